"""Drying and open hours for many scenarios at once: the same arithmetic as `clock` and `timeline`, on arrays."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
from numpy.typing import NDArray

from rakelight.plan.clock import Clock, Law
from rakelight.plan.timeline import Hours
from rakelight.spread import Z90

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]

#: cold is drawn out in eighths of the way to the high end, as the clock has it
STEPS = 8
MOST_STEPS = 20
GRID = 5


class Rates:
    """Sums of each law in each place, one row for each step toward the cold's high end, all in one rising array."""

    def __init__(self, clock: Clock, hours: int) -> None:
        self.clock = clock
        self.hours = min(hours, clock.hours)
        self.length = self.hours + 1
        self._count = 0
        self._at: dict[tuple[Law, str, float], tuple[int, int]] = {}
        self._flat = np.zeros(0)

    def row(self, law: Law, place: str, ratio: float) -> tuple[int, int]:
        """First row of a law in a place, and how many further rows toward the high end it has."""
        widens = law.cold_widens and ratio > 1.0
        key = (law, place or self.clock.first, ratio if widens else 1.0)
        if key not in self._at:
            more = MOST_STEPS if widens and self.clock.ever_cold(key[1]) else 0
            self._at[key] = (self._count, more)
            self._count += more + 1
        return self._at[key]

    def flat(self) -> Floats:
        """All rows one after another, each lifted above the one before."""
        if len(self._flat) != self._count * self.length:
            rows = np.empty((self._count, self.length))  # written once: to ask for memory costs more than the sums
            for (law, place, ratio), (first, more) in self._at.items():
                rows[first : first + more + 1] = self.clock.added(law, place, ratio, more, self.hours)
            rows += np.arange(self._count)[:, None] * (rows[:, -1].max() + 1e6)
            self._flat = rows.ravel()
        return self._flat

    @staticmethod
    def step(z: Floats) -> Ints:
        """How many rows a deviate lies toward the high end."""
        return np.minimum(np.maximum(np.rint(z / Z90 * STEPS), 0), MOST_STEPS).astype(np.int64)

    def done_at(self, row: Ints, hour: Floats) -> Floats:
        """The sum at an hour, with its row's lift."""
        flat = self.flat()
        at = np.minimum(hour, self.length - 2).astype(np.int64)
        share = hour - at
        at += row * self.length
        here = flat.take(at)
        at += 1
        return np.asarray(here + (flat.take(at) - here) * share)

    def reach(self, row: Ints, start: Floats, target: Floats) -> Floats:
        """Hour, from a start on, at which the lifted sum reaches a target; the last hour where it never does."""
        flat = self.flat()
        first = row * self.length
        at = flat.searchsorted(target)
        at = np.minimum(np.maximum(at, first + 1), first + (self.length - 1))
        before = flat.take(at - 1)
        share = (target - before) / np.maximum(flat.take(at) - before, 1e-12)
        found = at - first - 1 + np.minimum(np.maximum(share, 0.0), 1.0)
        found[share > 1.0 + 1e-9] = float(self.hours)
        return np.asarray(np.maximum(start, found))


class OpenHours:
    """The shop's windows for many scenarios: where a block fits, when split work ends, the next morning."""

    def __init__(self, hours: Hours, last: int) -> None:
        self.last = last  # minute past which nothing is looked at: all that is later counts as never
        windows = [w for w in hours.windows if w[0] < last]
        self.starts = np.array([a for a, _ in windows] + [last], dtype=np.float64)
        self.ends = np.array([b for _, b in windows] + [last + 10**6], dtype=np.float64)
        self.sizes = self.ends - self.starts
        self.longest = float(hours.longest)
        self.before = np.concatenate(([0.0], np.cumsum(self.sizes)))
        ticks = np.arange(0, last + 2 * GRID, GRID)
        self._at = self.ends.searchsorted(ticks, "right")
        self._opens = grid(self.starts)
        self._rooms = self.ends - self._opens
        self._first = np.maximum(ticks, self._opens[self._at])
        self._room = self.ends[self._at] - self._first
        self.midnights = np.array(list(_midnights(hours.next_day, last)), dtype=np.float64)

    def window(self, minute: Floats) -> Ints:
        """The first window that ends after a minute."""
        at = self._at[np.minimum(minute, self.last).astype(np.int64) // GRID]
        return np.where(self.ends[at] <= minute, at + 1, at)

    def fit(self, minute: Floats, length: Floats) -> Floats:
        """First start from a minute on at which a block crosses no break. Args: minute, length, of one shape."""
        tick = np.ceil(np.minimum(minute, self.last) * (1 / GRID) - 1e-9).astype(np.int64)
        start = self._first.take(tick)
        late = np.flatnonzero(self._room.take(tick) < np.minimum(length, self.longest))
        if len(late):
            least = np.minimum(length.reshape(-1).take(late), self.longest)
            at = self._at.take(tick.reshape(-1).take(late)) + 1
            short = np.flatnonzero(self._rooms.take(at) < least)
            while len(short):
                at[short] += 1
                short = short[self._rooms.take(at.take(short)) < least.take(short)]
            start.reshape(-1)[late] = self._opens.take(at)
        return start

    def finish(self, start: Floats, minutes: Floats) -> Floats:
        """End of work that is put down at each break and taken up after it."""
        at = self.window(start)
        target = self.before[at] + (start - self.starts[at]) + minutes
        to = self.before.searchsorted(target, "left") - 1
        return np.asarray(self.starts[to] + target - self.before[to])

    def next_day(self, minute: Floats) -> Floats:
        """The next local midnight."""
        at = self.midnights.searchsorted(minute, "right")
        return self.midnights[np.minimum(at, len(self.midnights) - 1)]

    def day(self, minute: Floats) -> Ints:
        """Number of the local day."""
        return self.midnights.searchsorted(minute, "right")

    def after_a_night(self, minute: Floats) -> Floats:
        """The next opening on a later local day."""
        midnight = self.next_day(minute)
        return np.maximum(midnight, self.starts[self.window(midnight)])


def grid(minute: Floats) -> Floats:
    """Up to the next five minutes."""
    return np.asarray(np.ceil(minute / GRID - 1e-9) * GRID)


def _midnights(next_day: Callable[[int], int], last: int) -> list[int]:
    found, minute = [], 0
    while minute < last:
        minute = next_day(minute)
        found.append(minute)
    return [*found, last + 10**6]
