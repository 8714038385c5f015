"""How far drying has come: the rate of each law added up hour by hour in the air of each place."""

from __future__ import annotations

import math
from array import array
from bisect import bisect_left
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from rakelight.errors import RakelightError
from rakelight.facts.load import Facts
from rakelight.physics import drying
from rakelight.physics.air import dew_point_c
from rakelight.shop.climate import HourlyAir
from rakelight.spread import Z90

Floats = NDArray[np.float64]

#: hours added up from the origin: entry i is what has been done at hour i
Sums = Sequence[float]
#: cold is drawn out in steps of an eighth of the way from likely to high (at most 4 % of a wait)
_STEPS = 8
#: humidity of the air is held at this. Source: docs/decisions.md, "Clock"
_DAMPEST = 0.98


@dataclass(frozen=True)
class Stay:
    """Where the part stands from an hour on."""

    place: str
    from_hour: float


@dataclass(frozen=True, eq=False)
class Law:
    """How a rate follows from the air. One object a law: they are told apart by identity, which is quick."""

    kind: str  # clock, heat, stopped, oxidative, water, vapour
    blend: tuple[drying.Share, ...] = ()  # of vapour

    @property
    def cold_widens(self) -> bool:
        """Whether cold widens the high end: not by the clock, nor where solvent leaves a wet film."""
        return self.kind not in ("clock", "vapour")


CLOCK = Law("clock")
HEAT = Law("heat")  # solvent left in a film
STOPPED = Law("stopped")  # two-part cure
OXIDATIVE = Law("oxidative")
WATER = Law("water")


class Clock:
    """Rates by law and place, added up; everything is made when first asked for and kept."""

    def __init__(self, facts: Facts, air: Mapping[str, HourlyAir]) -> None:
        if not air:
            raise RakelightError("No place with air is known; write one in the shop file.")
        self.air = air
        self.first = next(iter(air))
        self.hours = min(len(a.temp_c) for a in air.values())
        self._figure = {
            name: facts.figure(name).value.likely
            for name in ("ea_oxidative_kj", "ea_residual_kj", "oxidative_stop_c", "oxidative_rh_step_per_rh",
                         "oxidative_rh_cap", "cold_w_18", "cold_w_13")
        }  # fmt: skip
        self._rates: dict[tuple[Law, str], Floats] = {}
        self._sums: dict[tuple[Law, str], Sums] = {}
        self._slow: dict[tuple[Law, str, float, int], Sums] = {}
        self._cold: dict[str, Floats | None] = {}
        self._dew: dict[str, Floats] = {}

    # -- sums -----------------------------------------------------------------------------------

    def sums(self, law: Law, place: str) -> Sums:
        """The rate of a law in a place, added up."""
        found = self._sums.get((law, place))
        if found is None:
            found = self._sums[law, place] = _added(self.rate(law, place))
        return found

    def slowed(self, law: Law, place: str, high_over_likely: float, z: float) -> Sums:
        """As `sums`, with the cold drawn out toward the high end by a deviate above 0."""
        step = round(z / Z90 * _STEPS)
        if step <= 0 or not law.cold_widens:
            return self.sums(law, place)
        key = (law, place, high_over_likely, step)
        found = self._slow.get(key)
        if found is None:
            width = self._width(place)
            if width is None:
                found = self.sums(law, place)
            else:
                slowing = drying.cold_slowing(width, high_over_likely, step / _STEPS)
                found = _added(self.rate(law, place) / slowing)
            self._slow[key] = found
        return found

    def added(self, law: Law, place: str, high_over_likely: float, steps: int, hours: int) -> list[Floats]:
        """As `slowed`, arrays over the first hours: likely, then each eighth further out; likely alone where cold
        draws nothing out."""
        rate = self.rate(law, place)[:hours]
        width = self._width(place) if steps > 0 and law.cold_widens else None
        if width is None:
            return [_sums(rate)]
        eighth = drying.cold_slowing(width[:hours], high_over_likely, 1 / _STEPS)  # to the nth power: n eighths
        found = [_sums(rate)]
        for _ in range(steps):
            rate = rate / eighth
            found.append(_sums(rate))
        return found

    def rate(self, law: Law, place: str) -> Floats:
        """Rate of a law in each hour, 1 in the air of the tables.

        Raises RakelightError for an unknown place.
        """
        key = (law, place)
        if key not in self._rates:
            air = self.air.get(place)
            if air is None:
                raise RakelightError(f"{place} is no place of this shop; its places: {', '.join(self.air)}.")
            temp_c = air.temp_c[: self.hours]
            rh = np.minimum(air.rh[: self.hours], _DAMPEST)
            self._rates[key] = self._of_law(law, temp_c, rh)
        return self._rates[key]

    def _of_law(self, law: Law, temp_c: Floats, rh: Floats) -> Floats:
        figure = self._figure
        if law.kind == "clock":
            return np.ones(len(temp_c))
        if law.kind == "heat":
            return drying.heat_rate(temp_c, figure["ea_residual_kj"])
        if law.kind == "stopped":
            return drying.stopped_rate(temp_c, figure["ea_oxidative_kj"], figure["oxidative_stop_c"])
        if law.kind == "oxidative":
            return drying.oxidative_rate(
                temp_c,
                rh,
                figure["ea_oxidative_kj"],
                figure["oxidative_stop_c"],
                figure["oxidative_rh_step_per_rh"],
                figure["oxidative_rh_cap"],
            )
        if law.kind == "vapour":
            return drying.vapour_rate(temp_c, law.blend)
        # the same few hours come back day after day: work each out once
        hours, where = np.unique(temp_c + 1j * rh, return_inverse=True)
        return np.asarray(drying.water_rate(hours.real.copy(), hours.imag.copy()))[where.reshape(-1)]

    def ever_cold(self, place: str) -> bool:
        """Whether a place is ever cold enough to draw drying out."""
        return self._width(place) is not None

    def _width(self, place: str) -> Floats | None:
        if place not in self._cold:
            temp_c = self.air[place].temp_c[: self.hours]
            width = drying.cold_width(temp_c, self._figure["cold_w_18"], self._figure["cold_w_13"])
            self._cold[place] = width if bool(np.any(width > 1.0)) else None
        return self._cold[place]

    def dew_c(self, place: str) -> Floats:
        """Dew point of each hour."""
        found = self._dew.get(place)
        if found is None:
            air = self.air[place]
            found = self._dew[place] = dew_point_c(air.temp_c[: self.hours], air.rh[: self.hours])
        return found

    # -- time -----------------------------------------------------------------------------------

    def until(
        self, law: Law, stays: Sequence[Stay], start: float, need_h: float, ratio: float = 1.0, z: float = 0.0
    ) -> float:
        """Hour at which as many reference hours have passed since a start; inf where they never do."""
        at = len(stays) - 1
        while at > 0 and stays[at].from_hour > start:
            at -= 1
        while True:
            place = stays[at].place if stays else self.first
            sums = self.slowed(law, place, ratio, z) if z > 0 else self._sums.get((law, place))
            if sums is None:
                sums = self.sums(law, place)
            end = reach(sums, start, need_h)
            at += 1
            if at >= len(stays) or end <= stays[at].from_hour:
                return end
            leave = stays[at].from_hour
            if leave > start:
                need_h = max(0.0, need_h - (done_at(sums, leave) - done_at(sums, start)))
                start = leave

    def passed(
        self, law: Law, stays: Sequence[Stay], start: float, end: float, ratio: float = 1.0, z: float = 0.0
    ) -> float:
        """Reference hours that have passed between two hours."""
        total = 0.0
        at = len(stays) - 1
        while at > 0 and stays[at].from_hour > start:
            at -= 1
        while start < end:
            place = stays[at].place if stays else self.first
            sums = self.slowed(law, place, ratio, z)
            at += 1
            leave = min(end, stays[at].from_hour) if at < len(stays) else end
            if leave > start:
                total += done_at(sums, leave) - done_at(sums, start)
                start = leave
        return total


def reach(sums: Sums, start: float, need_h: float) -> float:
    """Hour at which the sum has grown by some hours since a start; straight within an hour; inf past the end.

    >>> reach([0.0, 1.0, 1.5, 1.5, 2.5], 0.5, 1.0), reach([0.0, 1.0], 0.0, 2.0)
    (2.0, inf)
    >>> reach([0.0, 1.0, 1.5, 1.5, 2.5], 0.5, 1.5)
    3.5
    """
    target = done_at(sums, start) + need_h
    low = int(start) if start > 0 else 0
    if low >= len(sums):
        return math.inf
    at = bisect_left(sums, target, low)
    if at >= len(sums):
        return math.inf
    if at <= low:
        return start
    before = sums[at - 1]
    found = at - 1 + (target - before) / (sums[at] - before)
    return found if found > start else start


def done_at(sums: Sums, hour: float) -> float:
    """The sum at an hour; before the first and after the last hour it goes on as in that hour.

    >>> done_at([0.0, 1.0, 3.0], 1.5), done_at([0.0, 1.0, 3.0], -1.0)
    (2.0, -1.0)
    """
    at = int(hour)
    if at >= len(sums) - 1:
        at = len(sums) - 2
    if at < 0 or hour < 0:
        at = 0
    here = sums[at]
    return here + (sums[at + 1] - here) * (hour - at)


def _sums(rate: Floats) -> Floats:
    sums = np.empty(len(rate) + 1)
    sums[0] = 0.0
    np.cumsum(rate, out=sums[1:])
    return sums


def _added(rate: Floats) -> Sums:
    return array("d", _sums(rate).tobytes())  # a quarter of the memory of a list, and quicker to make
