"""The hours in which a coat may be laid: warm and dry enough from laying until it can no longer be harmed."""

from __future__ import annotations

import math
from bisect import bisect_left, bisect_right
from collections.abc import Sequence
from operator import sub
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from rakelight.facts.records import Material
from rakelight.physics.blush import margin_k
from rakelight.plan.chill import chill_figure
from rakelight.plan.clock import Clock, Law
from rakelight.plan.doses import Doses
from rakelight.schedule.tasks import Lay

#: hours are compared with this grain: less than a second
_GRAIN_H = 1e-6


#: begins or ends of spans, hours
Hours = Sequence[float]


class Openings:
    """Spans of starting hours for one coat in one place, in order."""

    def __init__(self, starts: list[float], ends: list[float]) -> None:
        self.starts = starts
        self.ends = ends
        self.longest = max(map(sub, ends, starts), default=0.0)

    def holds(self, hour: float, long_h: float = 0.0) -> bool:
        """Whether the coat may be laid at an hour, and still be laid until `long_h` later.

        What takes longer than the longest span need only be begun in one.
        """
        at = bisect_right(self.starts, hour + _GRAIN_H) - 1
        return at >= 0 and hour + self._until(long_h) <= self.ends[at] + _GRAIN_H

    def next(self, hour: float, long_h: float = 0.0) -> float:
        """The hour itself, else the first later one; inf where there is none. Of `long_h` as `holds`."""
        if self.holds(hour, long_h):
            return hour
        until = self._until(long_h)
        for at in range(bisect_left(self.starts, hour), len(self.starts)):
            if self.ends[at] - self.starts[at] + _GRAIN_H >= until:
                return self.starts[at]
        return math.inf

    def _until(self, long_h: float) -> float:
        return long_h if long_h <= self.longest else 0.0

    def later(self, hours: NDArray[np.float64]) -> NDArray[np.float64]:
        """Of many hours: 0 where the coat may be laid, else the next hour at which it may; a million where never."""
        starts, ends = np.array([*self.starts, 1e6]), np.array([*self.ends, 1e6])
        at = np.searchsorted(starts, hours + _GRAIN_H, "right") - 1
        held = (at >= 0) & (hours <= ends[at] + _GRAIN_H)
        return np.where(held, 0.0, starts[np.searchsorted(starts, hours)])


def openings(doses: Doses, clock: Clock, lay: Lay, place: str, least_k: float | None = None) -> Openings:
    """When a coat may be laid in a place: warm enough, and no water settles in it.

    The minimum of the material holds in every hour from laying to dust-free at the likely rate, of coalescing
    and two-part finishes to ready to sand; of oils that are wiped off in the hour of laying only. Later cold
    only slows. The wet film stays above the dew point, at its full likely chill, in every hour from laying to
    dust-free at the high end. The piece is taken to be as warm as the air of the place.
    Args: least_k, by how much the film must stay above the dew point; None, by what the calendar asks.
    Source: docs/decisions.md, "Too cold to lay" and "Air".
    """
    row = doses.row(lay)
    early = doses.laws(row)[0]
    warm = _warm(doses, clock, lay, row, early, place)
    chill_k = chill_figure(doses.facts, row, lay.by).value.likely
    if least_k is None:
        least_k = doses.facts.likely("blush_hold_k")
    above = margins(clock, place, chill_k) >= least_k
    if above.all():
        return warm
    time, _ = doses.time(row, "touch_dry")
    need_h = time.high * doses.thick(lay, row)
    return _both(warm, _spans(above, clock, early, place, need_h))


def margins(clock: Clock, place: str, chill_k: float) -> NDArray[np.float64]:
    """Wet film less dew point in every hour of a place, the piece as warm as the air."""
    return margin_k(clock.air[place].temp_c[: clock.hours], chill_k, clock.dew_c(place))


def _warm(doses: Doses, clock: Clock, lay: Lay, row: Material, early: Law, place: str) -> Openings:
    water_film = row.mechanism in ("coalescence", "two_part_after_coalescence")
    time, _ = doses.time(row, "sandable" if water_film else "touch_dry")
    need_h = time.likely * doses.thick(lay, row)
    least = row.min_temp_c if row.min_temp_c is not None and not row.only_wax else -math.inf
    warm = clock.air[place].temp_c[: clock.hours] >= least
    return _spans(warm, clock, early, place, 0.0 if row.is_oil else need_h)


def _spans(fit: NDArray[np.bool_], clock: Clock, law: Law, place: str, need_h: float) -> Openings:
    """Spans of starting hours from which all is fit until some reference hours have passed."""
    padded = np.concatenate([[False], fit, [False]])
    turns = np.flatnonzero(padded[1:] != padded[:-1])
    begins, ends = turns[::2].astype(np.float64), turns[1::2]
    last = ends - _GRAIN_H * 2
    if need_h:
        last = _latest_starts(np.asarray(clock.sums(law, place)), ends, need_h)
    holds = last >= begins
    return Openings(begins[holds].tolist(), last[holds].tolist())


def _latest_starts(sums: NDArray[np.float64], ends: NDArray[np.int64], need_h: float) -> NDArray[np.float64]:
    """Last hours from which some hours are still passed by each end; -inf where there is none.

    >>> _latest_starts(np.array([0.0, 1.0, 1.5, 1.5, 2.5]), np.array([4, 1]), 1.5).tolist()
    [1.0, -inf]
    """
    target = sums[ends] - need_h
    at = np.clip(np.searchsorted(sums, target, side="right") - 1, 0, len(sums) - 2)
    grown = sums[at + 1] - sums[at]
    within = np.where(grown > 0, (target - sums[at]) / np.where(grown > 0, grown, 1.0), 0.0)
    return np.where(target < sums[0], -math.inf, at + within)


def _both(one: Openings, other: Openings) -> Openings:
    """Hours that lie in both."""
    starts, ends = met((one.starts, one.ends), (other.starts, other.ends))
    return Openings(starts.tolist(), ends.tolist())


def met(one: tuple[Hours, Hours], other: tuple[Hours, Hours]) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Begins and ends of what lies in both of two rows of spans, each in order and apart.

    >>> starts, ends = met(([0, 5], [3, 9]), ([2, 8, 9.5], [6, 8.5, 10]))
    >>> starts.tolist(), ends.tolist()
    ([2.0, 5.0, 8.0], [3.0, 6.0, 8.5])
    """
    (a0, a1), (b0, b1) = (tuple(np.asarray(row, dtype=np.float64) for row in rows) for rows in (one, other))
    found = [_begun_in(a0, a1, b0, b1, "right"), _begun_in(b0, b1, a0, a1, "left")]
    starts, ends = (np.concatenate(rows) for rows in zip(*found, strict=True))
    order = np.argsort(starts, kind="stable")
    return starts[order], ends[order]


def _begun_in(
    starts: NDArray[np.float64], ends: NDArray[np.float64], b0: NDArray[np.float64], b1: NDArray[np.float64],
    side: Literal["left", "right"],
) -> tuple[NDArray[np.float64], NDArray[np.float64]]:  # fmt: skip
    """What lies in both and begins with a span of the first; "left": not at the same hour as one of the second."""
    if not len(b0):
        return np.zeros(0), np.zeros(0)
    at = np.searchsorted(b0, starts, side=side) - 1
    holds = (at >= 0) & (starts <= b1[at])
    return starts[holds], np.minimum(ends, b1[at])[holds]
