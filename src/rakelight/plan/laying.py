"""The hours in which a coat may be laid: warm enough from laying until it can no longer be harmed."""

from __future__ import annotations

import math
from bisect import bisect_left, bisect_right

from rakelight.plan.clock import Clock, latest_start
from rakelight.plan.doses import Doses
from rakelight.schedule.tasks import Lay

#: hours are compared with this grain: less than a second
_GRAIN_H = 1e-6


class Openings:
    """Spans of starting hours for one coat in one place, in order."""

    def __init__(self, starts: list[float], ends: list[float]) -> None:
        self.starts = starts
        self.ends = ends

    def holds(self, hour: float) -> bool:
        """Whether the coat may be laid at an hour."""
        at = bisect_right(self.starts, hour + _GRAIN_H) - 1
        return at >= 0 and hour <= self.ends[at] + _GRAIN_H

    def next(self, hour: float) -> float:
        """The hour itself, else the first later one; inf where there is none."""
        if self.holds(hour):
            return hour
        at = bisect_left(self.starts, hour)
        return self.starts[at] if at < len(self.starts) else math.inf


def openings(doses: Doses, clock: Clock, lay: Lay, place: str) -> Openings:
    """When a coat may be laid in a place, at the likely rate.

    The minimum of the material holds in every hour from laying to dust-free, of coalescing and two-part
    finishes to ready to sand; of oils that are wiped off in the hour of laying only. Later cold only slows.
    Source: DECISIONS 7.1, "below the minimum".
    """
    row = doses.row(lay)
    early = doses.laws(row)[0]
    water_film = row.mechanism in ("coalescence", "two_part_after_coalescence")
    time, _ = doses.time(row, "sandable" if water_film else "touch_dry")
    need_h = time.likely * doses.thick(lay, row)
    sums = clock.sums(early, place)
    temps = clock.air[place].temp_c[: clock.hours]
    least = row.min_temp_c if row.min_temp_c is not None else -math.inf
    starts: list[float] = []
    ends: list[float] = []
    hour = 0
    while hour < len(temps):
        if temps[hour] < least:
            hour += 1
            continue
        end = hour
        while end < len(temps) and temps[end] >= least:
            end += 1
        last = end - _GRAIN_H * 2 if row.is_oil else latest_start(sums, end, need_h)
        if last >= hour:
            starts.append(float(hour))
            ends.append(last)
        hour = end
    return Openings(starts, ends)
