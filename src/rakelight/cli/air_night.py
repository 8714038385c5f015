"""The hours after laying and the good hours of a week, as the command of air prints them."""

from __future__ import annotations

import math
from datetime import datetime, timedelta

from rakelight.facts import load
from rakelight.papers.wrapping import wrapped
from rakelight.plan.air_answers import AirAnswer
from rakelight.plan.air_week import AirWeek, Tonight
from rakelight.plan.good_hours import WARM, GoodSpan
from rakelight.units import show_above, show_delta_temp, show_temp

_QUARTER_S = 900
#: spans shorter than this are no hours to begin a coat in
_SHORTEST = timedelta(minutes=30)


def night_lines(answer: AirAnswer, night: Tonight, wide: int) -> list[str]:
    """How near the dew point a film laid now comes, and when it is ready for what."""
    unit = answer.unit
    lines = []
    if _lit(answer):
        warm = show_temp(answer.temp_c, unit)
        lines += wrapped(
            f"With the flame out the place does not stay at {warm} by itself: what follows holds only where it is kept "
            "as warm without one.", wide)  # fmt: skip
    least = show_delta_temp(night.least_k, unit)
    until = f"Laid now, the film stays {least} or more above the dew point until it is dust-free."
    if night.least_k < 0:
        until = f"Laid now, the film comes {show_above(night.least_k, unit)} the dew point before it is dust-free."
    told = [
        f"{name} {_dated(likely)} ({_range(low, high, likely)})"
        for name, low, likely, high in night.ready
        if low and likely and high
    ]
    return [*lines, *wrapped(until, wide), *wrapped(f"Ready: {'; '.join(told)}." if told else "", wide)]


def week_lines(answer: AirAnswer, week: AirWeek, wide: int) -> list[str]:
    """Good hours still to come, to the quarter hour."""
    lines: list[str] = []
    for row in week.rows:
        words: dict[str, list[str]] = {}
        left = [found for s in row.spans if (found := _left(s, week.now))]
        for s in left:
            mark = "" if s.grade == "go" else " (warm the piece first)"
            words.setdefault(_day(s.start), []).append(f"{_clock(s.start)} to {_clock(s.end)}{mark}")
        said = "; ".join(f"{day} {', '.join(hours)}" for day, hours in words.items())
        said = said or "none left in the open hours of this week"
        lines += wrapped(f"Good hours in {week.place}: {said}.", wide, "", "  ")
        if any(s.grade == WARM for s in left):
            lines += wrapped(_why_warm(answer), wide, "  ", "  ")
    return lines


def _why_warm(answer: AirAnswer) -> str:
    facts = load()
    clear, most = (show_delta_temp(facts.likely(f), answer.unit) for f in ("blush_go_k", "warm_piece_k"))
    return (
        f"Warm the piece first: before it is dust-free the air brings the film within {clear} of the dew point; "
        f"keep the piece up to {most} warmer than the place until then."
    )


def _lit(answer: AirAnswer) -> bool:
    return any(t.rule == "flame" and t.verdict == "refuse" for t in answer.tests)


def _left(span: GoodSpan, now: datetime) -> GoodSpan | None:
    """What is left of a span, inward to the quarter hour; None where that is too short to begin a coat in."""
    begin = _quarter(max(span.start, now), up=True)
    end = _quarter(span.end, up=False)
    return GoodSpan(begin, end, span.grade) if end - begin >= _SHORTEST else None


def _quarter(moment: datetime, *, up: bool) -> datetime:
    quarters = moment.timestamp() / _QUARTER_S
    whole = math.ceil(quarters) if up else math.floor(quarters)
    return datetime.fromtimestamp(whole * _QUARTER_S, moment.tzinfo)


def _clock(moment: datetime) -> str:
    return f"{moment.hour}:{moment:%M}"


def _day(moment: datetime) -> str:
    return f"{moment:%a} {moment.day} {moment:%b}"


def _dated(moment: datetime) -> str:
    moment = _quarter(moment, up=True)
    return f"{_day(moment)} {_clock(moment)}"


def _range(low: datetime, high: datetime, likely: datetime) -> str:
    """Both ends, the day left out where it is that of the likely moment."""
    shown = _quarter(likely, up=True).date()
    ends = (_quarter(end, up=True) for end in (low, high))
    return " to ".join(_clock(end) if end.date() == shown else _dated(end) for end in ends)
