"""The odds of a date drawn: ten holes a day, as many pegs as times in ten all is ready by that day."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta

from rakelight.papers.pictures.calendar_rows import flag_words
from rakelight.papers.pictures.canvas import Sheet, words_width
from rakelight.papers.plan_text import day_words
from rakelight.papers.wrapping import upper_first
from rakelight.plan.model import Due
from rakelight.plan.tenths import in_tenths, tenths_words
from rakelight.shop.hours import windows
from rakelight.shop.model import Shop

#: as many columns as a phone shows
MOST_COLUMNS = 13
_LEFT, _COLUMN, _TOP, _FOOT = 50.0, 25.0, 52.0, 262.0
_HOLE = (_FOOT - _TOP) / 10
#: days before all but never ready, and after all but always, are left out
_NEVER, _ALWAYS = 0.03, 0.97

RULES = (
    (".peg", "fill:@ink;stroke:@board;stroke-width:2"),
    (".hole", "fill:@board;stroke:@line;stroke-width:1.6"),
    (".want", "fill:none;stroke:@ink;stroke-width:3"),
    (".shut", "fill:@sunk"),
    (".curve", "fill:none;stroke:@lamp-ink;stroke-width:3;stroke-linejoin:round"),
    (".mk", "fill:@ink"),
)


@dataclass(frozen=True)
class OddsDay:
    """A column: its last day, and the share of times all is ready by then."""

    day: date
    share: float
    closed: bool = False


@dataclass(frozen=True)
class OddsModel:
    """All that the picture shows."""

    title: str
    days: tuple[OddsDay, ...]
    step: int  # days in a column
    wanted: date
    wanted_words: str
    likely: date | None
    likely_words: str


def odds_model(due: Due, shop: Shop, whole: str = "") -> OddsModel | None:
    """The odds of a wanted date by day; None where they are not known.

    Parameters: whole, the name of the part that is the whole piece.
    """
    if due.odds is None or not due.odds.curve:
        return None
    zone = shop.zone
    by_day = {(m.astimezone(zone) - timedelta(hours=12)).date(): share for m, share in due.odds.curve}
    wanted = due.by.astimezone(zone).date()
    by_day[wanted] = due.odds.chance  # by its hour, not by night
    days = _columns(by_day, wanted)
    step = (days[1] - days[0]).days if len(days) > 1 else 1
    columns = tuple(OddsDay(day, _by(by_day, day), step == 1 and _closed(shop, day)) for day in days)
    low, likely, high = (m.astimezone(zone).date() if m else None for m in (due.odds.p10, due.odds.p50, due.odds.p90))
    title = f"The odds of the date: {flag_words(due, whole)}"
    said = _likely_words(low, likely, high)
    return OddsModel(title, columns, step, wanted, f"wanted {day_words(wanted)}", likely, said)


def _likely_words(low: date | None, likely: date | None, high: date | None) -> str:
    if likely is None or low is None:
        return "likely never in this air"
    end = f"to {high.day} {high:%b}" if high else "or perhaps never"
    return f"likely {day_words(likely)} ({low.day} {low:%b} {end})"


def _by(by_day: dict[date, float], day: date) -> float:
    """Ready by the end of a day: what the last day known before it says."""
    known = [d for d in by_day if d <= day]
    return by_day[max(known)] if known else 0.0


def _columns(by_day: dict[date, float], wanted: date) -> list[date]:
    """Days from never to always with the wanted one among them, no more than fit."""
    first = min([wanted, *(d for d, share in by_day.items() if share >= _NEVER)])
    last = max([wanted, *(d for d, share in by_day.items() if share < _ALWAYS)]) + timedelta(days=1)
    step = 1
    while True:
        before = -((wanted - first).days // -step) + 1
        after = -((last - wanted).days // -step)
        if before + after + 1 <= MOST_COLUMNS:
            break
        step += 1
    while before + after + 1 < min(MOST_COLUMNS, 7):
        after += 1
    return [wanted + timedelta(days=step * n) for n in range(-before, after + 1)]


def _closed(shop: Shop, day: date) -> bool:
    start = datetime(day.year, day.month, day.day, tzinfo=shop.zone)
    return not windows(shop, start, start + timedelta(days=1))


def _said(model: OddsModel) -> str:
    rows = [f"{day_words(d.day)} {tenths_words(in_tenths(d.share))}" for d in model.days]
    return f"The odds that all is ready by each day: {', '.join(rows)}. {upper_first(model.likely_words)}."


def draw(model: OddsModel, inline: str = "") -> str:
    """The odds as SVG. Parameters: inline, a name where the picture stands within a page."""
    width = max(380.0, _LEFT + _COLUMN * len(model.days) + 5)
    sheet = Sheet(width, 330, model.title, _said(model), RULES, inline)
    for n, day in enumerate(model.days):
        if day.closed:
            sheet.rect("shut", _LEFT + n * _COLUMN, _TOP, _COLUMN, _FOOT - _TOP)
    for tenths in (10, 5, 1):
        sheet.text(_LEFT - 10, _FOOT - _HOLE * (tenths - 0.5) + 5, str(tenths), "e q")
    sheet.text(2, 20, "times in ten, ready by the day", "q")
    at = [_LEFT + (n + 0.5) * _COLUMN for n in range(len(model.days))]
    wanted = next(n for n, d in enumerate(model.days) if d.day == model.wanted)
    sheet.rect("want", at[wanted] - 13.5, _TOP - 4, 27, _FOOT - _TOP + 8)
    sheet.line("curve", *((x, _FOOT - d.share * (_FOOT - _TOP)) for x, d in zip(at, model.days, strict=True)))
    for x, day in zip(at, model.days, strict=True):
        for n in range(10):
            filled = n < in_tenths(day.share)
            sheet.circle("peg" if filled else "hole", (x, _FOOT - (n + 0.5) * _HOLE), 8.5 if filled else 3)
        said = f"By {day_words(day.day)}: ready {tenths_words(in_tenths(day.share))} ({day.share * 100:.0f} in 100)."
        sheet.read(x - _COLUMN / 2, _TOP - 4, _COLUMN, _FOOT - _TOP + 34, said)
    _words(sheet, model, at, wanted, width)
    return sheet.svg()


def _words(sheet: Sheet, model: OddsModel, at: Sequence[float], wanted: int, width: float) -> None:
    odds = f"{model.wanted_words}, {tenths_words(in_tenths(model.days[wanted].share))}"
    half = words_width(odds, True) / 2 + 4
    sheet.text(min(max(half, at[wanted]), width - half), _TOP - 8, odds, "m b plate")
    likely = _column_of(model, model.likely)
    free, month = -1.0, 0
    for n, day in enumerate(model.days):
        words = f"{day.day.day} {day.day:%b}" if day.day.month != month and model.step > 1 else str(day.day.day)
        half = words_width(words) / 2
        if day.closed or at[n] - half < free or at[n] + half > width:
            continue
        sheet.text(at[n], _FOOT + 24, words, "m b" if n in (wanted, likely) else "m q")
        free, month = at[n] + half + 9, day.day.month
    if likely is not None:
        sheet.polygon("mk", [(at[likely] - 6, _FOOT + 39), (at[likely] + 6, _FOOT + 39), (at[likely], _FOOT + 30)])
    left = max(2.0, min(at[likely] if likely is not None else at[0], width - words_width(model.likely_words, True) - 2))
    sheet.text(left, _FOOT + 56, model.likely_words, "b")


def _column_of(model: OddsModel, day: date | None) -> int | None:
    """The first column by whose end a day has come."""
    return next((n for n, d in enumerate(model.days) if day and day <= d.day), None)
