"""How dates, ranges, odds, amounts and fractions are written on a page: by the words of the papers, with marks."""

from __future__ import annotations

import re
from collections.abc import Callable
from datetime import date, datetime
from typing import Any

from markupsafe import Markup, escape

from rakelight.papers.plan_text import range_words
from rakelight.papers.today import Doing
from rakelight.piece.model import part_words
from rakelight.plan.model import Due, Odds, Ready
from rakelight.plan.tenths import in_tenths
from rakelight.schedule.words import ready_words
from rakelight.shop.hours import hours_between, hours_later
from rakelight.spread import Spread
from rakelight.units import (
    show_area,
    show_film,
    show_length,
    show_mass,
    show_percent,
    show_temp,
    show_volume,
    show_work,
)

#: ends further apart than this are told in days, without an hour (the rule of the papers)
_DAYS_FROM_H = 60.0
_FRACTION = re.compile(r"(?<![\d/])(?:(\d+)[  ])?(\d{1,2})/(\d{1,2})(?![\d/])")
_UNITS = "in|ft²|m²|mm|cm|fl oz|oz|lb|ml|l|g|kg|min|h|days?|mil|um|µm|%|quarts?|F|C|°F|°C"
_NUMBER_UNIT = re.compile(rf"(\d|/sub></span>) (?=(?:{_UNITS})(?![\w]))")
_DEGREES = re.compile(r"(\d) ([FC])(?![\w])")
_MICRONS = re.compile(r"(\d) um(?!\w)")


def day(moment: datetime) -> str:
    """Tue 2 March."""
    return f"{moment:%a} {moment.day} {moment:%B}"


def clock(moment: datetime) -> str:
    """16:10."""
    return f"{moment.hour}:{moment:%M}"


def near(moment: datetime, now: datetime) -> str:
    """The day as a maker says it: today, tomorrow, Wed 3 March."""
    days = (moment.date() - now.date()).days
    return {0: "today", 1: "tomorrow", -1: "yesterday"}.get(days) or day(moment)


def at(moment: datetime, now: datetime | None = None) -> str:
    """Tue 2 March, 16:10; the hour alone while it is today."""
    if now and moment.date() == now.date():
        return clock(moment)
    return f"{day(moment)}, {clock(moment)}"


def quarter(moment: datetime) -> datetime:
    """To the nearest quarter hour: no finer than a wait is known."""
    moment = hours_later(moment, 7.5 / 60)
    return moment.replace(minute=moment.minute // 15 * 15, second=0, microsecond=0)


def range_html(ready: Ready | Due, now: datetime) -> Markup:
    """Likely first and heavy, then earliest to latest: **19:00** (17:30 to 22:00)."""
    if ready.likely is None:
        return Markup("<b>no date in this air</b>")
    low, high = ready.low or ready.likely, ready.high
    if high is None:
        return Markup("<b>{}</b> <span class=quiet>(from {}; perhaps never in this air)</span>").format(
            near(ready.likely, now), near(low, now))  # fmt: skip
    if hours_between(low, high) > _DAYS_FROM_H:
        likely, ends = near(ready.likely, now), (near(low, now), near(high, now))
    else:
        likely, ends = _close(ready.likely, now), (_close(low, now), _close(high, now))
        if low.date() == high.date() and low.date() != now.date():
            ends = (clock(quarter(low)), clock(quarter(high)))
    if ends[0] == ends[1]:
        return Markup("<b>{}</b>").format(likely)
    return Markup("<b>{}</b> <span class=quiet>({} to {})</span>").format(likely, *ends)


def _close(moment: datetime, now: datetime) -> str:
    moment = quarter(moment)
    return clock(moment) if moment.date() == now.date() else f"{near(moment, now)}, {clock(moment)}"


def spread_html(amount: Spread, show: Callable[[float], str]) -> Markup:
    """An amount, likely first: **6 fl oz** (5 to 7)."""
    likely, low, high = (show(v) for v in (amount.likely, amount.low, amount.high))
    if low == high:
        return Markup("<b>{}</b>").format(units(likely))
    unit = low.rpartition(" ")[2]
    first = low.removesuffix(f" {unit}") if high.endswith(f" {unit}") else low
    if low.endswith(" fl oz") and high.endswith(" fl oz"):
        first = low.removesuffix(" fl oz")
    return Markup("<b>{}</b> <span class=quiet>({} to {})</span>").format(units(likely), units(first), units(high))


def volume_html(amount: Spread, unit: str) -> Markup:
    """A volume with its ends, and millilitres beside ounces."""
    shown = spread_html(amount, lambda v: show_volume(v, unit))
    metric = show_volume(amount.likely, "mm")
    return shown if show_volume(amount.likely, unit) == metric else shown + Markup(" · {}").format(units(metric))


def minutes_html(minutes: Spread) -> Markup:
    """Time of work with its ends: **35 min** (30 to 45)."""
    return spread_html(minutes, lambda v: show_work(v / 60))


def minutes_plain(minutes: Spread) -> Markup:
    """The same in quiet letters: 35 min (30 to 45)."""
    return Markup(minutes_html(minutes).replace("<b>", "").replace("</b>", ""))


def pegs(odds: Odds) -> Markup:
    """Ten pegs in ten holes, and the same in words."""
    filled = 10 if odds.chance >= 0.98 else min(9, max(1 if odds.chance >= 0.03 else 0, round(odds.chance * 10)))
    row = Markup("").join(Markup("<i{}></i>").format(Markup(" class=in") if n < filled else "") for n in range(10))
    says = f"{filled} time{'s' * (filled != 1)} in 10" if filled else "hardly ever"
    percent = f" ({odds.chance * 100:.0f} in 100)"
    return Markup(
        '<span class=odds-row><span class=pegs role=img aria-label="{} of ten pegs">{}</span> '
        "<span><b>{}</b>{}</span></span>"
    ).format(filled, row, says, percent)


def units(words: object) -> Markup:
    """A sentence with built fractions, degree signs, and no break between a number and its unit."""
    text = str(escape(words))
    text = _DEGREES.sub(r"\1 °\2", text)
    text = _MICRONS.sub(r"\1 µm", text)
    text = _FRACTION.sub(_fraction, text)
    return Markup(_NUMBER_UNIT.sub("\\1\N{NO-BREAK SPACE}", text))


def _fraction(found: re.Match[str]) -> str:
    whole = f"{found[1]}\N{NO-BREAK SPACE}" if found[1] else ""
    return f'{whole}<span class="fr"><sup>{found[2]}</sup>\N{FRACTION SLASH}<sub>{found[3]}</sub></span>'


def iso(moment: datetime) -> str:
    """For the attribute of a time element."""
    return moment.isoformat(timespec="minutes")


def iso_s(moment: datetime) -> str:
    """The same, to the second."""
    return moment.isoformat(timespec="seconds")


def near_short(moment: datetime, now: datetime) -> str:
    """The day in few letters: today, tomorrow, Wed 3."""
    days = (moment.date() - now.date()).days
    if days > _MONTH_SAID_FROM or days < -_MONTH_SAID_FROM:
        return f"{moment:%a} {moment.day} {moment:%b}"
    return {0: "today", 1: "tomorrow", -1: "yesterday"}.get(days) or f"{moment:%a} {moment.day}"


def at_short(moment: datetime, now: datetime) -> str:
    """The same with its hour, where it is within three days; the hour alone while it is today."""
    if moment.date() == now.date():
        return clock(moment)
    close = abs(hours_between(now, moment)) <= 3 * 24
    return f"{near_short(moment, now)}, {clock(moment)}" if close else near_short(moment, now)


def near_day(moment: date, now: datetime) -> str:
    """A day without an hour as a maker says it: today, tomorrow, Wed 3 March."""
    days = (moment - now.date()).days
    return {0: "today", 1: "tomorrow", -1: "yesterday"}.get(days) or f"{moment:%a} {moment.day} {moment:%B}"


def part_faces(doing: Doing) -> str:
    """A part with the faces worked, where it is not all of it: "Case, outside"."""
    part = part_words(doing.part)
    if doing.step is None or doing.step.board or doing.step.do == "judge":
        return f"{part}, test board" if doing.step and doing.step.board else part
    faces = doing.step.faces
    return f"{part}, {faces[0]}" if len(faces) == 1 and not faces[0].startswith("board") else part


def does(doing: Doing) -> str:
    """What a step does, without saying again that it is on the test board."""
    said = doing.says
    if doing.step and doing.step.board and said.lower().startswith(_BOARD):
        return sentence(said[len(_BOARD) :].strip())
    return said


def first_sentence(words: str) -> str:
    """The first sentence of several."""
    return words.split(". ")[0].rstrip(".") + "."


def sentence(words: str) -> str:
    """Words as they begin a sentence."""
    return words[:1].upper() + words[1:]


def within(words: str) -> str:
    """Words as they stand within a sentence; letters that stand for a thing (P320) stay."""
    return words if words[1:2].isdigit() or words[1:2].isupper() else words[:1].lower() + words[1:]


_BOARD = "test board:"
#: days further off than this are said with their month
_MONTH_SAID_FROM = 20

FILTERS: dict[str, Callable[..., Any]] = {
    "day": day, "clock": clock, "near": near, "at": at, "range": range_html, "volume": volume_html,
    "minutes": minutes_html, "minutes_plain": minutes_plain, "pegs": pegs, "units": units, "iso": iso,
    "part": part_words,    "size": lambda v, u: units(show_length(v, u)), "area": lambda v, u: units(show_area(v, u)),
    "mass": lambda v, u: units(show_mass(v, u)), "temp": lambda v, u: units(show_temp(v, u)),
    "film": lambda v, u: units(show_film(v, u)), "percent": lambda v: units(show_percent(v)),
    "sentence": sentence, "lower_first": within, "iso_s": iso_s, "does": does, "quarter": quarter,
    "first_sentence": first_sentence, "near_short": near_short, "at_short": at_short,
    "near_day": near_day, "part_faces": part_faces, "ready": ready_words, "tenths": in_tenths,
    "range_plain": lambda ready, now: range_words(ready), "ml": lambda v, u: units(show_volume(v, u)),
}  # fmt: skip
