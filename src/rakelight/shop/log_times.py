"""Local times of a logger turned into moments, through the nights when the clocks change."""

from __future__ import annotations

import re
from datetime import UTC, date, datetime, time, timedelta
from zoneinfo import ZoneInfo

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]
#: what to ask: what cannot be told, and how to say it
Asked = tuple[str, str]

_DAY_S = 86_400
_DATE = re.compile(r"(\d{1,4})([-/.])(\d{1,2})\2(\d{1,4})\.?$")
_CLOCK = re.compile(
    r"\s*(\d{1,2})[:.h](\d{2})(?:[:.](\d{2})(?:[.,]\d+)?)?\s*([ap])?\.?(?:m\.?)?\s*(Z|[+-]\d{2}:?\d{2})?$",
    re.IGNORECASE,
)
_EPOCH = date(1970, 1, 1).toordinal()


def to_seconds(words: list[str], zone: ZoneInfo, order: str = "") -> tuple[Floats, Asked | None]:
    """Seconds since 1970 of each local time, nan where it cannot be read.

    Parameters: words, as "2027-02-08 14:00", "08.02.2027 14:00", "2/8/2027 2:00 PM", with or without an offset;
    zone of the wall clock; order, "d/m" or "m/d" for dates with strokes, "" to tell it from the file.
    An hour that comes twice in autumn is told by the clock having gone back.
    """
    split = [_parted(w) for w in words]
    read = {d: m.groups() if (m := _DATE.match(d)) else None for d in {d for d, _ in split}}
    day_first = _day_first([p for p in read.values() if p], order)
    if day_first is None:
        return np.zeros(0), (
            "Its dates may be day and month or month and day.",
            "Say --order d/m or --order m/d.",
        )
    days = {d: _ordinal(p, day_first) if p else np.nan for d, p in read.items()}
    clocks = {c: _clock(c) for c in {c for _, c in split}}
    local = np.array([days[d] * _DAY_S + clocks[c][0] for d, c in split])
    offset = np.array([clocks[c][1] for _, c in split])
    return np.where(np.isnan(offset), _in_zone(local, zone), local - offset), None


def _parted(words: str) -> tuple[str, str]:
    """Date and clock time."""
    words = words.strip()
    day, gap, clock = words.partition(" ")
    if not gap:
        day, _, clock = words.partition("T")
    return day.rstrip(","), clock


def _day_first(dated: list[tuple[str, ...]], order: str) -> bool | None:
    """Whether the day stands first, where the year does not; None: ask."""
    if order:
        return order.strip().lower().startswith("d")
    open_ones = [(int(a), stroke, int(b)) for a, stroke, b, _ in dated if len(a) < 3]
    if not open_ones or any(stroke == "." or a > 12 for a, stroke, _ in open_ones):
        return True
    return False if any(b > 12 for _, _, b in open_ones) else None


def _ordinal(parts: tuple[str, ...], day_first: bool) -> float:
    """Days since 1970; nan for a day no calendar has."""
    a, _, b, c = parts
    if len(a) == 4:
        year, month, day = int(a), int(b), int(c)
    else:
        year = int(c) + (2000 if len(c) <= 2 else 0)
        day, month = (int(a), int(b)) if day_first else (int(b), int(a))
    try:
        return float(date(year, month, day).toordinal() - _EPOCH)
    except ValueError:
        return np.nan


def _clock(words: str) -> tuple[float, float]:
    """Seconds of the day, nan where it is none; and the offset in seconds, nan where none is written."""
    found = _CLOCK.match(words)
    if not found:
        return np.nan, np.nan
    hour, minute, second = int(found[1]), int(found[2]), int(found[3] or 0)
    if found[4]:
        if not 1 <= hour <= 12:
            return np.nan, np.nan
        hour = hour % 12 + (12 if found[4].lower() == "p" else 0)
    if hour > 23 or minute > 59 or second > 59:
        return np.nan, np.nan
    zone = found[5]
    offset = np.nan
    if zone:
        ahead = -1 if zone[0] == "-" else 1
        offset = 0.0 if zone in "Zz" else ahead * (int(zone[1:3]) * 60.0 + int(zone[-2:])) * 60.0
    return float(hour * 3600 + minute * 60 + second), offset


def _in_zone(local: Floats, zone: ZoneInfo) -> Floats:
    """Moments of wall times: a day with one offset at once, a day when the clocks change row by row."""
    found = np.full(len(local), np.nan)
    known = np.flatnonzero(np.isfinite(local))
    days = np.floor_divide(local[known], _DAY_S).astype(np.int64)
    by_day = np.argsort(days, kind="stable")
    each, begins = np.unique(days[by_day], return_index=True)
    for day, rows in zip(each.tolist(), np.split(known[by_day], begins[1:]), strict=True):
        begin = datetime.combine(date.fromordinal(day + _EPOCH), time(), zone)
        end = begin + timedelta(days=1)  # wall time: the next midnight
        first, last = (t.utcoffset() or timedelta() for t in (begin, end))
        if first == last:
            found[rows] = local[rows] - first.total_seconds()
        else:
            found[rows] = _changing(local[rows], zone)
    return found


def _changing(local: Floats, zone: ZoneInfo) -> Floats:
    """A day on which the clocks change: once the wall clock has gone back, its hour is the second one."""
    if len(local) > 1 and local[0] > local[-1]:  # newest first
        return _changing(local[::-1], zone)[::-1]
    found = np.empty(len(local))
    latest, back = -np.inf, False
    for n, second in enumerate(local.tolist()):
        wall = datetime(1970, 1, 1) + timedelta(seconds=second)
        back = back or second < latest
        latest = max(latest, second)
        found[n] = wall.replace(tzinfo=zone, fold=int(back)).astimezone(UTC).timestamp()
    return found
