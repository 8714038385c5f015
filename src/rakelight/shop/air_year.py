"""What a logger's record says of a shop: its year month by month, and the air lines of its file.

The air of a closed night is worked out with the drift of `climate`: each hour's share of open air is known from the
shop's hours, and open and closed air are the two ends of the straight line through all hours of the month.
"""

from __future__ import annotations

import calendar
from dataclasses import dataclass, replace
from datetime import UTC, datetime
from typing import Any

import numpy as np
from numpy.typing import NDArray

from rakelight.shop.air_log import AirLog
from rakelight.shop.climate import DAMPEST_RH, hourly
from rakelight.shop.model import MonthlyAir, Place, Shop
from rakelight.units import c_to_f

Floats = NDArray[np.float64]

#: fewer hours of a month than this say too little of it
_LEAST_H = 72
#: a month whose open share moves less than this cannot part day from night
_LEAST_SWING = 0.15
#: an hour counts as open from this share up, and this many of them give the open air
_WHOLLY, _LEAST_OPEN_H = 0.999, 12
#: no room is drier
_DRIEST_RH = 0.01


@dataclass(frozen=True)
class MonthSeen:
    """One month of a record."""

    month: int
    hours: int
    temp_c: tuple[float, float, float]  # tenth, half, nine tenths of the hours are below
    rh: tuple[float, float, float]
    learned: MonthlyAir | None  # None: too few hours

    def as_json(self) -> dict[str, Any]:
        """As plain data."""
        row: dict[str, Any] = {
            "month": self.month,
            "hours": self.hours,
            "temp_c": [round(t, 2) for t in self.temp_c],
            "rh": [round(r, 3) for r in self.rh],
        }
        if self.learned:
            a = self.learned
            row["open"] = {"temp_c": round(a.open_temp_c, 2), "rh": round(a.open_rh, 3)}
            row["closed"] = {"temp_c": round(a.closed_temp_c, 2), "rh": round(a.closed_rh, 3)}
        return row


def year_of(log: AirLog, shop: Shop) -> tuple[MonthSeen, ...]:
    """Every month of a record, January first; the same month of several years is taken together."""
    origin, air, known = log.hourly()
    share = _open_share(shop, origin, len(air.temp_c))
    seconds = origin.timestamp() + 3600.0 * np.arange(len(air.temp_c), dtype=np.float64)
    months = _months(seconds, log)
    found = []
    for month in range(1, 13):
        at = known & (months == month)
        if not at.any():
            continue
        temp_c, rh = air.temp_c[at], air.rh[at]
        learned = _learn(month, temp_c, rh, share[at]) if int(at.sum()) >= _LEAST_H else None
        found.append(MonthSeen(month, int(at.sum()), _tenths(temp_c), _tenths(rh), learned))
    return tuple(found)


def air_lines(year: tuple[MonthSeen, ...], unit: str) -> list[str]:
    """Lines for the place in the shop file, as the language of the files has them."""

    def words(temp_c: float, rh: float) -> str:
        temp = f"{c_to_f(temp_c):.0f} F" if unit == "in" else f"{temp_c:.1f} C"
        return f"{temp}, {rh * 100:.0f} %"

    lines = ["air = ["]
    for seen in year:
        a = seen.learned
        if a:
            name = calendar.month_name[seen.month]
            opened, closed = words(a.open_temp_c, a.open_rh), words(a.closed_temp_c, a.closed_rh)
            lines.append(f'  {{ month = "{name}", open = "{opened}", closed = "{closed}" }},')
    return [*lines, "]"]


def with_air(shop: Shop, place: str, year: tuple[MonthSeen, ...]) -> Shop:
    """The shop with a place's air as the record has it; months it has not stay as they are."""
    learned = {seen.month: seen.learned for seen in year if seen.learned}
    room = shop.places[place]
    kept = tuple(a for a in room.air if a.month not in learned)
    air = (*kept, *learned.values())
    guessed = room.air_guessed and len(learned) < 12
    return replace(shop, places=shop.places | {place: replace(room, air=air, air_guessed=guessed)})


def _open_share(shop: Shop, origin: datetime, hours: int) -> Floats:
    """How much of the open air each hour has: the drift of a place that is 1 open and 0 closed."""
    name = next(iter(shop.places))
    probe = Place(name, air=(MonthlyAir(0, 1.0, 0.0, 0.0, 0.0),))
    return hourly(replace(shop, places={name: probe}), name, origin, hours).temp_c


def _months(seconds: Floats, log: AirLog) -> NDArray[np.int64]:
    days = np.floor(seconds / 86_400.0).astype(np.int64)
    each, where = np.unique(days, return_inverse=True)
    month = [
        datetime.fromtimestamp(d * 86_400.0 + 43_200.0, UTC).astimezone(log.zone).month for d in each.tolist()
    ]
    return np.array(month, dtype=np.int64)[where.reshape(-1)]


def _learn(month: int, temp_c: Floats, rh: Floats, share: Floats) -> MonthlyAir:
    """Open air: the mean of the hours that are wholly open. Closed air: what the others drift to from it."""
    if float(np.ptp(share)) < _LEAST_SWING:
        both = float(np.mean(temp_c)), float(np.mean(rh))
        return MonthlyAir(month, *both, *both)
    (open_t, closed_t), (open_h, closed_h) = _ends(temp_c, share), _ends(rh, share)

    def held(value: float) -> float:
        return min(DAMPEST_RH, max(_DRIEST_RH, value))

    return MonthlyAir(month, open_t, held(open_h), closed_t, held(closed_h))


def _ends(values: Floats, share: Floats) -> tuple[float, float]:
    """What values come to at a share of 1 and of 0."""
    wholly = share > _WHOLLY
    if np.count_nonzero(wholly) < _LEAST_OPEN_H:
        slope, closed = (float(v) for v in np.polyfit(share, values, 1))
        return closed + slope, closed
    opened = float(np.mean(values[wholly]))
    gone = 1.0 - share
    return opened, opened + float(np.sum(gone * (values - opened)) / np.sum(gone * gone))


def _tenths(values: Floats) -> tuple[float, float, float]:
    low, half, high = np.quantile(values, (0.1, 0.5, 0.9)).tolist()
    return low, half, high
