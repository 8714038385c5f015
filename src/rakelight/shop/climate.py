"""The air of a place hour by hour: warm while the shop is open, drifting to what a closed night comes to."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import UTC, date, datetime, time, timedelta
from typing import Any

import numpy as np
from numpy.typing import NDArray

from rakelight.errors import RakelightError
from rakelight.shop.hours import HOUR_S, open_seconds
from rakelight.shop.model import MonthlyAir, Place, Shop

Floats = NDArray[np.float64]

#: reckoned no damper than this, as everywhere in the waits. Source: docs/decisions.md, "Clock"
DAMPEST_RH = 0.98
#: a closing further back than this no longer matters: the place has come to its closed air
_LOOK_BACK = timedelta(days=8)
#: from this share of open air up a reading is one of the open shop
_MOSTLY_OPEN = 0.5


@dataclass(frozen=True, eq=False)
class HourlyAir:
    """Air of one place: hour i is the mean from i to i + 1 hours of elapsed time after the origin."""

    temp_c: Floats  # shape (hours,)
    rh: Floats  # shape (hours,), 0-0.98
    guessed: bool = False  # from a town's year, not from the maker's own figures


def hourly(shop: Shop, place: str, origin: datetime, hours: int) -> HourlyAir:
    """Air of a place for a number of hours.

    While the shop is open it is the open air of the month. From closing on, temperature and humidity drift
    toward the closed air with the time constant of the figure `cooling_time_constant_h`; at opening they
    are back at once. A break shorter than that constant counts as open: whoever eats his lunch leaves the
    heat on. Every place follows the hours of the shop.

    Parameters: place, a name of the shop; origin, zone-aware; hours, 0 and up.
    Returns HourlyAir with arrays of that length. Raises RakelightError for an unknown place, or one
    without air.
    """
    room = _room(shop, place)
    origin = origin.astimezone(UTC)  # elapsed time: in a zone of its own Python adds wall time
    edges = origin.timestamp() + HOUR_S * np.arange(hours + 1, dtype=np.float64)
    share = np.diff(_Drift(shop, origin, origin + timedelta(hours=hours)).until(edges)) / HOUR_S
    month = _months(shop, origin, edges[:-1])
    return HourlyAir(*_mixed(room, month, share), guessed=room.air_guessed)


def air_at(shop: Shop, place: str, moment: datetime) -> tuple[float, float]:
    """Temperature (C) and relative humidity (0-0.98) of a place at one moment.

    Raises RakelightError for an unknown place or one without air.
    """
    room = _room(shop, place)
    share = _Drift(shop, moment, moment).at(moment.timestamp())
    month = np.array([moment.astimezone(shop.zone).month])
    temp_c, rh = _mixed(room, month, np.array([share]))
    return float(temp_c[0]), float(rh[0])


def month_air(place: Place, month: int) -> MonthlyAir:
    """What the file says of a month: its own line, else the line for all the year, else the nearest month.

    Of two as near, the earlier. Raises RakelightError where the place has no air at all.

    >>> winter = Place("shop", air=(MonthlyAir(2, 18, 0.45, 7, 0.8), MonthlyAir(4, 18, 0.45, 12, 0.7)))
    >>> [month_air(winter, m).month for m in (2, 3, 7, 11)]
    [2, 2, 4, 2]
    """
    if not place.air:
        raise RakelightError(f"{place.name} has no air: write air or town below [place.{place.name}].")

    def far(line: MonthlyAir) -> tuple[int, int]:
        if line.month == 0:
            return 1, 0  # all the year: after the month itself, before any other month
        since = (month - line.month) % 12
        return 2 * min(since, 12 - since), since

    return min(place.air, key=far)


def with_reading(shop: Shop, place: str, moment: datetime, temp_c: float, rh: float) -> Shop:
    """A shop whose open air of this month is what was read while it is open, or its closed air while it is shut.

    Parameters: temp_c, rh (0 to 1), as read in the place at the moment. The other months and the other half of the
    day stay as the file has them. Raises RakelightError for an unknown place or one without air.
    """
    room = _room(shop, place)
    month = moment.astimezone(shop.zone).month
    share = _Drift(shop, moment, moment).at(moment.timestamp())
    now = replace(month_air(room, month), month=month)
    if share > _MOSTLY_OPEN:
        now = replace(now, open_temp_c=temp_c, open_rh=rh)
    else:
        now = replace(now, closed_temp_c=temp_c, closed_rh=rh)
    air = (*(line for line in room.air if line.month != month), now)
    return replace(shop, places=shop.places | {place: replace(room, air=air)})


class _Drift:
    """How much of the open air is left: 1 while open, falling by the time constant once closed.

    `until` is its integral in seconds since the first known closing, so that any hour's mean is one
    subtraction.
    """

    def __init__(self, shop: Shop, start: datetime, end: datetime) -> None:
        from rakelight.facts import load

        constant_h = load().figures["cooling_time_constant_h"].value.likely
        self.tau = HOUR_S * constant_h
        spans: list[tuple[float, float]] = []
        for opens, closes in open_seconds(shop, start - _LOOK_BACK, end):
            if spans and opens - spans[-1][1] < self.tau:
                spans[-1] = (spans[-1][0], closes)
            else:
                spans.append((opens, closes))
        self.opens = np.array([opens for opens, _ in spans])
        self.closes = np.array([closes for _, closes in spans])
        shut = self.opens[1:] - self.closes[:-1]
        gained = (self.closes - self.opens)[:-1] + self.tau * -np.expm1(-shut / self.tau)
        self.before = np.concatenate([[0.0], np.cumsum(gained)]) if spans else np.zeros(0)

    def until(self, seconds: Floats) -> Floats:
        """Integral of the share of open air up to each moment (seconds since 1970), in seconds."""
        if not self.opens.size:
            return np.zeros_like(seconds)
        span = np.searchsorted(self.opens, seconds, side="right") - 1
        known = np.maximum(span, 0)
        warm = np.clip(seconds - self.opens[known], 0.0, (self.closes - self.opens)[known])
        shut = np.maximum(0.0, seconds - self.closes[known])
        total = self.before[known] + warm + self.tau * -np.expm1(-shut / self.tau)
        return np.where(span < 0, 0.0, total)

    def at(self, second: float) -> float:
        """Share of open air at one moment."""
        span = int(np.searchsorted(self.opens, second, side="right")) - 1
        if span < 0:
            return 0.0
        return float(np.exp(-max(0.0, second - self.closes[span]) / self.tau))


def _room(shop: Shop, place: str) -> Place:
    if place not in shop.places:
        raise RakelightError(f"{shop.name} has no place {place}; it has {', '.join(shop.places)}.")
    return shop.places[place]


def _months(shop: Shop, origin: datetime, seconds: Floats) -> NDArray[np.int64]:
    """Month, by the calendar of the shop, in which each moment lies."""
    first = origin.astimezone(shop.zone).date().replace(day=1)
    starts: list[float] = []
    numbers: list[int] = []
    while not starts or (seconds.size and starts[-1] <= seconds[-1]):
        starts.append(datetime.combine(first, time(), shop.zone).timestamp())
        numbers.append(first.month)
        first = date(first.year + first.month // 12, first.month % 12 + 1, 1)
    return np.array(numbers)[np.searchsorted(starts, seconds, side="right") - 1]


def _mixed(room: Place, month: NDArray[Any], share: Floats) -> tuple[Floats, Floats]:
    """Temperature and humidity from the month's two airs and the share of the open one."""
    year = [month_air(room, number) for number in range(1, 13)]
    at = month - 1
    open_temp_c = np.array([line.open_temp_c for line in year])[at]
    closed_temp_c = np.array([line.closed_temp_c for line in year])[at]
    open_rh = np.array([line.open_rh for line in year])[at]
    closed_rh = np.array([line.closed_rh for line in year])[at]
    rh = closed_rh + (open_rh - closed_rh) * share
    return closed_temp_c + (open_temp_c - closed_temp_c) * share, np.minimum(rh, DAMPEST_RH)
