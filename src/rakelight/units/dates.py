"""Dates, hours of work and durations as people write them."""

from __future__ import annotations

import re
from dataclasses import dataclass
from datetime import date, datetime, time, timedelta

from rakelight.errors import Misread
from rakelight.units.factors import H_PER_DAY, H_PER_WEEK, MIN_PER_H
from rakelight.units.numbers import NUMBER, as_float, is_number, number_of, plain, said

MONTHS = (
    "january", "february", "march", "april", "may", "june",
    "july", "august", "september", "october", "november", "december",
)  # fmt: skip
WEEKDAYS = ("monday", "tuesday", "wednesday", "thursday", "friday", "saturday", "sunday")

_EXAMPLE = "Write it as 19 March 2027, or 19 March 2027 13:00."
_YEARS = range(2000, 2101)
_HOUR = r"(?P<hour>\d{1,2})(?::(?P<minute>\d\d)(?::\d\d(?:\.\d+)?)?)?\s*(?P<half>am|pm|noon)?"
_ISO = re.compile(
    r"(?P<year>\d{4})-(?P<month>\d\d?)-(?P<day>\d\d?)"
    rf"(?:(?:t|\s)\s*{_HOUR}\s*(?P<offset>z|[+-]\d\d:?\d\d)?)?$",
    re.ASCII,
)
_WORDS = re.compile(
    r"(?:(?P<weekday>[a-z]{3,9}),? )?(?:(?P<day>\d{1,2})(?:st|nd|rd|th)? (?P<month>[a-z]{3,9})"
    r"|(?P<month2>[a-z]{3,9}) (?P<day2>\d{1,2})(?:st|nd|rd|th)?),?"
    rf"(?: (?P<year>\d{{4}}))?(?:,? (?:at )?{_HOUR})?$",
    re.ASCII,
)
_SLASHED = re.compile(r"\d{1,4}[/.]\d{1,2}[/.]\d{1,4}", re.ASCII)


@dataclass(frozen=True)
class DateWords:
    """A date as written; without an hour it means by opening that day."""

    day: date
    hour: time | None = None
    offset_min: int | None = None  # UTC offset, where one was written


def read_date(value: object) -> DateWords:
    """A date, with its hour where one is written; the year is required (2000 to 2100).

    Raises Misread for what is no date, or no day of the calendar.

    >>> read_date("19 March 2027 1:00 pm")
    DateWords(day=datetime.date(2027, 3, 19), hour=datetime.time(13, 0), offset_min=None)
    """
    if isinstance(value, datetime):
        offset = value.utcoffset()
        minutes = None if offset is None else round(offset.total_seconds() / MIN_PER_H)
        return DateWords(
            _checked_year(value.date(), value), value.time().replace(second=0, microsecond=0), minutes
        )
    if isinstance(value, date):
        return DateWords(_checked_year(value, value))
    if not isinstance(value, str):
        raise Misread(f"{said(value)} is not a date.", _EXAMPLE)
    words = plain(value)
    if found := _ISO.match(words):
        day = _day(value, int(found["year"]), int(found["month"]), int(found["day"]))
        return DateWords(day, _hour_of(found, value), _offset(found["offset"]))
    if _SLASHED.search(words):
        raise Misread(f"{said(value)} can be read two ways, day or month first.", _EXAMPLE)
    found = _WORDS.match(words)
    if not found:
        raise Misread(f"{said(value)} cannot be read as a date.", _EXAMPLE)
    month = read_month(found["month"] or found["month2"])
    number = int(found["day"] or found["day2"])
    if found["year"] is None:
        raise Misread(f"{said(value)} has no year.", "Write the year too, as 19 March 2027.")
    day = _day(value, int(found["year"]), month, number)
    _check_weekday(found["weekday"], day, value)
    return DateWords(day, _hour_of(found, value))


def read_month(value: object) -> int:
    """Number of a month, 1 to 12, from its name (three letters are enough) or its number.

    >>> read_month("Feb"), read_month("September")
    (2, 9)
    """
    if is_number(value) and value in range(1, 13):
        return int(value)  # type: ignore[call-overload, no-any-return]
    word = value.strip().lower().rstrip(".") if isinstance(value, str) else ""
    found = [n for n, name in enumerate(MONTHS, 1) if len(word) >= 3 and name.startswith(word)]
    if len(found) != 1:
        raise Misread(f"{said(value)} is not a month.", "Write for example March or Mar.")
    return found[0]


def _day(value: object, year: int, month: int, day: int) -> date:
    try:
        found = date(year, month, day)
    except ValueError:
        name = MONTHS[month - 1].capitalize() if 1 <= month <= 12 else f"month {month}"
        raise Misread(
            f"{said(value)}: there is no {day} {name} {year}.", "Write a day of the calendar."
        ) from None
    return _checked_year(found, value)


def _checked_year(day: date, value: object) -> date:
    if day.year not in _YEARS:
        raise Misread(f"{said(value)}: the year {day.year} is not meant.", _EXAMPLE)
    return day


def _check_weekday(word: str | None, day: date, value: object) -> None:
    if word is None:
        return
    if not any(name.startswith(word) for name in WEEKDAYS):
        raise Misread(f"{said(value)} cannot be read as a date.", _EXAMPLE)
    right = WEEKDAYS[day.weekday()]
    if not right.startswith(word):
        raise Misread(f"{said(value)}: that day is a {right.capitalize()}.", "Mend the weekday or the date.")


def _hour_of(found: re.Match[str], value: object) -> time | None:
    if found["hour"] is None:
        return None
    return _clock(int(found["hour"]), int(found["minute"] or 0), found["half"] or "", value)


def _clock(hour: int, minute: int, half: str, value: object) -> time:
    if half:
        if not 1 <= hour <= 12:
            raise Misread(f"{said(value)}: {hour} {half} is no hour.", "Write it as 13:00 or 1:00 pm.")
        hour = hour % 12 + (12 if half in ("pm", "noon") else 0)
    if hour > 23 or minute > 59:
        raise Misread(f"{said(value)}: {hour}:{minute:02d} is no hour of the day.", "Write 0:00 to 23:59.")
    return time(hour, minute)


def _offset(words: str | None) -> int | None:
    if words is None:
        return None
    if words == "z":
        return 0
    digits = words[1:].replace(":", "")
    minutes = int(digits[:2]) * 60 + int(digits[2:])
    if minutes > 14 * 60:
        raise Misread(f"{said(words)} is no offset of a clock.", "Write for example -05:00.")
    return -minutes if words[0] == "-" else minutes


def read_day_range(value: object) -> list[date]:
    """Days of a range as "27 March 2027 - 29 March 2027", both ends included, or one day.

    >>> [d.day for d in read_day_range("27 March 2027 - 29 March 2027")]
    [27, 28, 29]
    """
    ends = re.split(r" - | to ", plain(value)) if isinstance(value, str) else [value]
    if len(ends) == 2 and isinstance(ends[0], str) and re.fullmatch(r"\d{1,2}", ends[0]):
        ends[0] = f"{ends[0]} {re.sub(r'^[^ ]+ ', '', str(ends[1]))}"  # 27 - 29 March 2027
    if len(ends) > 2:
        raise Misread(f"{said(value)} is no range of days.", "Write it as 27 March 2027 - 29 March 2027.")
    days = [read_date(end) for end in ends]
    if any(d.hour for d in days):
        raise Misread(f"{said(value)}: a day off is a whole day.", "Write the date without an hour.")
    first, last = days[0].day, days[-1].day
    if last < first:
        raise Misread(f"{said(value)} goes backwards.", "Write the earlier day first.")
    if (last - first).days > 400:
        raise Misread(f"{said(value)} is more than 400 days.", "Look at the years.")
    return [first + timedelta(days=n) for n in range((last - first).days + 1)]


_SPAN = re.compile(
    r"(?P<h1>\d{1,2})(?::(?P<m1>\d\d))?\s*(?P<a1>am|pm|noon)?\s*(?:-|to)\s*"
    r"(?P<h2>\d{1,2})(?::(?P<m2>\d\d))?\s*(?P<a2>am|pm|noon)?$",
    re.ASCII,
)


def read_hours(value: object) -> tuple[tuple[time, time], ...]:
    """Spans of work in a day, in order; "closed" is none. Spans that touch are one.

    >>> read_hours("8:00-12:00, 12:45-17:00")[1]
    (datetime.time(12, 45), datetime.time(17, 0))
    """
    mend = "Write it as 8:00-12:00, 12:45-17:00."
    if isinstance(value, list) and all(isinstance(v, str) for v in value):
        value = ", ".join(value)
    if not isinstance(value, str):
        raise Misread(f"{said(value)} are not hours of work.", mend)
    words = plain(value)
    if words in ("closed", "none", "off"):
        return ()
    spans: list[tuple[time, time]] = []
    for span in re.split(r"\s*[,;]\s*", words):
        found = _SPAN.match(span)
        if not found:
            raise Misread(f"{said(span)} cannot be read as hours.", mend)
        start = _clock(int(found["h1"]), int(found["m1"] or 0), found["a1"] or "", span)
        end = _clock(int(found["h2"]), int(found["m2"] or 0), found["a2"] or "", span)
        if end <= start:
            raise Misread(
                f"{said(span)} ends before it begins.", "Write hours up to 23:59, the rest on the next day."
            )
        if spans and start < spans[-1][1]:
            raise Misread(f"{said(span)} begins before the hours in front of it end.", mend)
        if spans and start == spans[-1][1]:
            start = spans.pop()[0]
        spans.append((start, end))
    return tuple(spans)


_UNIT_H = {"min": 1 / MIN_PER_H, "h": 1.0, "day": H_PER_DAY, "week": H_PER_WEEK}
_TIMES = re.compile(rf"({NUMBER})\s*(minutes?|mins?|hours?|hrs?|h|days?|d|weeks?|wks?)(?=\d|\W|$)", re.ASCII)
_MOST_H = 2 * 365 * H_PER_DAY


def read_duration(value: object) -> tuple[float, bool]:
    """Clock time in hours, and whether it is "overnight" (then the hours are 0).

    >>> read_duration("1 day"), read_duration("1 h 30 min"), read_duration("overnight")
    ((24.0, False), (1.5, False), (0.0, True))
    """
    mend = "Write it as 4 h, 35 min, 1 day, 2 weeks or overnight."
    if is_number(value):
        raise Misread(f"{said(value)} has no unit.", 'Write "4 h", "4 min" or "4 days".')
    if not isinstance(value, str):
        raise Misread(f"{said(value)} is not a time.", mend)
    words = plain(value)
    if words in ("overnight", "over night"):
        return 0.0, True
    rest = _TIMES.sub("", words).replace("and", "").strip(" ,")
    found = _TIMES.findall(words)
    if rest or not found:
        if re.fullmatch(NUMBER, words):
            raise Misread(
                f"{said(value)} has no unit.", f'Write "{words} h", "{words} min" or "{words} days".'
            )
        if words.startswith("-"):
            raise Misread(f"{said(value)} is negative.", mend)
        raise Misread(f"{said(value)} cannot be read as a time.", mend)
    hours = 0.0
    for number, unit in found:
        name = next(n for n in ("min", "week", "wk", "d", "h") if unit.startswith(n))
        hours += number_of(number) * _UNIT_H[{"d": "day", "wk": "week"}.get(name, name)]
    if hours > _MOST_H:
        raise Misread(f"{said(value)} is more than two years.", mend)
    return hours, False


def read_minutes(value: object, *, zero: bool = False) -> float:
    """Minutes of the maker's work: a number, or words as "35 min"; 100 hours at most.

    >>> read_minutes(35), read_minutes("1 h")
    (35.0, 60.0)
    """
    mend = "Write minutes = 35."
    if is_number(value):
        minutes = as_float(value)
    else:
        hours, overnight = read_duration(value)
        if overnight:
            raise Misread(f"{said(value)} is not minutes of work.", mend)
        minutes = hours * MIN_PER_H
    if not (0 <= minutes <= 100 * MIN_PER_H) or (minutes == 0 and not zero):
        raise Misread(f"{said(value)} is not from 1 minute to 100 hours of work.", mend)
    return minutes
