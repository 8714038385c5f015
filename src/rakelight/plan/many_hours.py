"""Drying and open hours for many scenarios at once: the same arithmetic as `clock` and `timeline`, on arrays."""

from __future__ import annotations

from collections.abc import Callable, Sequence

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
    """Sums of each law in each place, one row for each step toward the cold's high end."""

    def __init__(self, clock: Clock, hours: int) -> None:
        self.clock = clock
        self.hours = min(hours, clock.hours)
        self._kept: dict[tuple[Law, str, float], tuple[Floats, Floats, float]] = {}

    def _of(self, law: Law, place: str, ratio: float) -> tuple[Floats, Floats, float]:
        """Rows of sums one after another, lifted so that all of them rise; each row's lift; length of a row."""
        key = (law, place or self.clock.first, ratio if law.cold_widens else 1.0)
        found = self._kept.get(key)
        if found is None:
            widens = law.cold_widens and ratio > 1.0
            rows = [
                self.clock.added(law, key[1], ratio, step / STEPS, self.hours)
                for step in range(MOST_STEPS + 1 if widens else 1)
            ]
            lift = float(max(row[-1] for row in rows)) + 1e6
            lifts = np.arange(len(rows)) * lift
            flat = np.concatenate([row + up for row, up in zip(rows, lifts, strict=True)])
            found = self._kept[key] = (flat, lifts, float(self.hours + 1))
        return found

    def step(self, z: Floats) -> Ints:
        """Which row a deviate reads."""
        return np.clip(np.rint(z / Z90 * STEPS), 0, MOST_STEPS).astype(np.int64)

    def done_at(self, law: Law, place: str, ratio: float, row: Ints, hour: Floats) -> Floats:
        """The sum at an hour, with its row's lift."""
        flat, lifts, length = self._of(law, place, ratio)
        row = np.minimum(row, len(lifts) - 1)
        at = np.clip(hour, 0, length - 2).astype(np.int64)
        where = row * int(length) + at
        here = flat[where]
        return np.asarray(here + (flat[where + 1] - here) * (hour - at))

    def reach(self, law: Law, place: str, ratio: float, row: Ints, start: Floats, need_h: Floats) -> Floats:
        """Hour at which the sum has grown by some hours since a start; the last hour where it never does."""
        flat, lifts, length = self._of(law, place, ratio)
        row = np.minimum(row, len(lifts) - 1)
        target = self.done_at(law, place, ratio, row, start) + need_h
        first = row * int(length)
        at = np.searchsorted(flat, target, "left") - first
        never = at >= length
        at = np.clip(at, 1, int(length) - 1)
        before = flat[first + at - 1]
        step = np.maximum(flat[first + at] - before, 1e-12)
        found = np.maximum(start, at - 1 + np.clip((target - before) / step, 0.0, 1.0))
        return np.where(never, float(self.hours), found)

    def until(
        self, law: Law, places: Sequence[str], leaves: Sequence[Floats], ratio: float, row: Ints,
        start: Floats, need_h: Floats,
    ) -> Floats:
        """As the clock's: through the places a part stands in, each left at its hour (one fewer than places)."""  # noqa: D401
        now, left = start, need_h
        found = np.full(len(start), np.nan)
        for n, place in enumerate(places):
            leave = leaves[n] if n < len(leaves) else None
            if leave is not None and bool(np.all(leave <= now)):
                continue
            end = self.reach(law, place, ratio, row, now, left)
            if leave is None:
                return np.where(np.isnan(found), end, found)
            here = leave > now
            found = np.where(np.isnan(found) & here & (end <= leave), end, found)
            passed = self.done_at(law, place, ratio, row, leave) - self.done_at(law, place, ratio, row, now)
            left = np.where(here, np.maximum(0.0, left - passed), left)
            now = np.where(here, leave, now)
        return found

    def passed(
        self, law: Law, places: Sequence[str], leaves: Sequence[Floats], ratio: float, row: Ints,
        start: Floats, end: Floats,
    ) -> Floats:
        """Reference hours that have passed between two hours."""
        now, total = start, np.zeros(len(start))
        for n, place in enumerate(places):
            leave = np.minimum(end, leaves[n]) if n < len(leaves) else end
            here = leave > now
            if not here.any():
                continue
            more = self.done_at(law, place, ratio, row, leave) - self.done_at(law, place, ratio, row, now)
            total = total + np.where(here, more, 0.0)
            now = np.where(here, leave, now)
        return total


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
        self._at = np.searchsorted(self.ends, ticks, "right")
        self.midnights = np.array(list(_midnights(hours.next_day, last)), dtype=np.float64)

    def window(self, minute: Floats) -> Ints:
        """The first window that ends after a minute."""
        at = self._at[np.minimum(minute, self.last).astype(np.int64) // GRID]
        return np.where(self.ends[at] <= minute, at + 1, at)

    def fit(self, minute: Floats, length: Floats) -> Floats:
        """First start from a minute on at which a block crosses no break."""
        length = np.minimum(length, self.longest)
        at = self.window(minute)
        start = grid(np.maximum(minute, self.starts[at]))
        late = start + length > self.ends[at]
        while late.any():
            at = np.where(late, at + 1, at)
            start = np.where(late, grid(self.starts[at]), start)
            late = start + length > self.ends[at]
        return start

    def finish(self, start: Floats, minutes: Floats) -> Floats:
        """End of work that is put down at each break and taken up after it."""
        at = self.window(start)
        target = self.before[at] + (start - self.starts[at]) + minutes
        to = np.searchsorted(self.before, target, "left") - 1
        return np.asarray(self.starts[to] + target - self.before[to])

    def next_day(self, minute: Floats) -> Floats:
        """The next local midnight."""
        at = np.searchsorted(self.midnights, minute, "right")
        return self.midnights[np.minimum(at, len(self.midnights) - 1)]

    def day(self, minute: Floats) -> Ints:
        """Number of the local day."""
        return np.searchsorted(self.midnights, minute, "right")

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
