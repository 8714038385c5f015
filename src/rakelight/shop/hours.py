"""When the shop is open: windows of work on the calendar, in elapsed time across a change of the clocks.

Two moments of one zone subtract in wall time in Python; here all is reckoned in seconds since 1970.
"""

from __future__ import annotations

from collections.abc import Callable
from datetime import date, datetime, time, timedelta
from functools import lru_cache

from rakelight.errors import RakelightError
from rakelight.piece.model import DateWords
from rakelight.shop.model import Shop

#: hour by which a date without an hour is meant on a closed day. Source: language of the files, section 1
CLOSED_DAY_HOUR = time(8, 0)
#: a night ends with the first opening after this hour: at one in the morning it still lies ahead. Assumption
NIGHT_ENDS_AT = 4
_FAR_DAYS = 3660
#: seconds of an hour
HOUR_S = timedelta(hours=1).total_seconds()

Window = tuple[datetime, datetime]


def windows(shop: Shop, start: datetime, end: datetime) -> list[Window]:
    """Open stretches of work between two moments, in the zone of the shop; breaks and days off left out.

    Parameters: start, end, zone-aware. A stretch that reaches past either is cut there.
    Returns pairs of opening and closing; none where end is not after start.
    """
    first, last = start.timestamp(), end.timestamp()
    found = []
    for opens, closes in open_seconds(shop, start, end):
        if max(opens, first) < min(closes, last):
            found.append((_moment(shop, max(opens, first)), _moment(shop, min(closes, last))))
    return found


def open_seconds(shop: Shop, start: datetime, end: datetime) -> list[tuple[float, float]]:
    """As `windows`, uncut and in seconds since 1970: every stretch of each day from start to end."""
    day = start.astimezone(shop.zone).date() - timedelta(days=1)
    last = end.astimezone(shop.zone).date() + timedelta(days=1)
    found: list[tuple[float, float]] = []
    while day <= last:
        for opens, closes in _day_seconds(shop, day):
            if found and opens <= found[-1][1]:
                found[-1] = (found[-1][0], max(found[-1][1], closes))
            else:
                found.append((opens, closes))
        day += timedelta(days=1)
    return found


def is_open(shop: Shop, moment: datetime) -> bool:
    """Whether there is work at a moment; the minute of closing is closed."""
    now = moment.timestamp()
    return any(opens <= now < closes for opens, closes in open_seconds(shop, moment, moment))


def next_opening(shop: Shop, moment: datetime) -> datetime:
    """The next time work begins, after a night, a day off or a break: at the moment itself or later.

    Raises RakelightError where it never does within ten years.
    """
    now = moment.timestamp()
    return _first(shop, moment, lambda opens: opens >= now)


def open_from(shop: Shop, moment: datetime) -> datetime:
    """The moment itself where the shop is open, else `next_opening`."""
    return moment.astimezone(shop.zone) if is_open(shop, moment) else next_opening(shop, moment)


def closing_after(shop: Shop, moment: datetime) -> datetime | None:
    """When work ends on the day of a moment, after its last stretch of hours; None where that is past, or closed.

    Hours that begin on a day and go on past midnight are of that day. The moment of closing itself counts.
    """
    now, day = moment.timestamp(), moment.astimezone(shop.zone).date()
    for of in (day - timedelta(days=1), day):
        last = max((closes for _, closes in _day_seconds(shop, of)), default=0.0)
        if last >= now:
            return _moment(shop, last)
    return None


def overnight_until(shop: Shop, moment: datetime) -> datetime:
    """The first opening after the night that follows a moment, or that it lies in before four o'clock.

    Raises RakelightError where there is none within ten years.
    """
    shift = timedelta(hours=NIGHT_ENDS_AT)
    local = moment.astimezone(shop.zone).replace(tzinfo=None)
    morning = (local - shift).date() + timedelta(days=1)
    after = datetime.combine(morning, time(NIGHT_ENDS_AT), shop.zone).timestamp()
    return _first(shop, moment, lambda opens: opens >= after)


def opening_of(shop: Shop, day: date) -> datetime | None:
    """When work begins on a day; None on a closed one."""
    spans = _day_seconds(shop, day)
    return _moment(shop, min(opens for opens, _ in spans)) if spans else None


def by_moment(shop: Shop, words: DateWords) -> datetime:
    """The moment a date means: its hour, else by opening of the shop that day, 8:00 on a closed day.

    An hour is wall time of the shop's zone, unless the date was written with an offset of its own.
    """
    if words.hour is None:
        opens = opening_of(shop, words.day)
        return opens or _moment(shop, _at(shop, words.day, CLOSED_DAY_HOUR))
    if words.offset_min is None:
        return _moment(shop, _at(shop, words.day, words.hour))
    wall = datetime.combine(words.day, words.hour) - timedelta(minutes=words.offset_min)
    return _moment(shop, (wall - datetime(1970, 1, 1)).total_seconds())


def hours_between(start: datetime, end: datetime) -> float:
    """Hours that pass on a stopwatch from one zone-aware moment to another.

    >>> from zoneinfo import ZoneInfo
    >>> sat = datetime(2027, 3, 13, 12, tzinfo=ZoneInfo("America/Chicago"))
    >>> hours_between(sat, sat.replace(day=14))
    23.0
    """
    return (end.timestamp() - start.timestamp()) / HOUR_S


def hours_later(moment: datetime, hours: float) -> datetime:
    """The moment that many hours of a stopwatch later, or earlier where they are negative, in its own zone.

    >>> from zoneinfo import ZoneInfo
    >>> hours_later(datetime(2027, 3, 14, 3, 30, tzinfo=ZoneInfo("America/Chicago")), -1).hour
    1
    """
    return datetime.fromtimestamp(moment.timestamp() + hours * HOUR_S, moment.tzinfo)


def is_day_off(shop: Shop, day: date) -> bool:
    """Whether a day is off: one of the days named in the shop's file, or a holiday of its country."""
    return day in shop.off or (shop.holidays != "" and day in _holidays(shop.holidays, day.year))


@lru_cache(maxsize=64)
def _holidays(country: str, year: int) -> frozenset[date]:
    import holidays

    return frozenset(holidays.country_holidays(country, years=[year]))


def _day_seconds(shop: Shop, day: date) -> list[tuple[float, float]]:
    """The spans of work that begin on a day, in seconds since 1970."""
    spans = shop.hours.get(day.weekday(), ())
    if not spans or is_day_off(shop, day):
        return []
    found = []
    for begins, ends in spans:
        ends_on = day if ends > begins else day + timedelta(days=1)  # to midnight, or past it
        opens, closes = _at(shop, day, begins), _at(shop, ends_on, ends)
        if closes > opens:
            found.append((opens, closes))
    return found


def _at(shop: Shop, day: date, hour: time) -> float:
    """Seconds since 1970 of a wall time; one the clocks skip is that much later, one met twice the first."""
    return datetime.combine(day, hour, shop.zone).timestamp()


def _moment(shop: Shop, seconds: float) -> datetime:
    return datetime.fromtimestamp(seconds, shop.zone)


def _first(shop: Shop, moment: datetime, wanted: Callable[[float], bool]) -> datetime:
    """The first opening that is wanted, looking on from a moment, further each time."""
    for days in (8, 60, 800, _FAR_DAYS):
        found = open_seconds(shop, moment, moment + timedelta(days=days))
        opens = next((opens for opens, _ in found if wanted(opens)), None)
        if opens is not None:
            return _moment(shop, opens)
    raise RakelightError(f"{shop.name} does not open again within ten years: look at its hours and days off.")
