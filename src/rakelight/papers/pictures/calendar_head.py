"""Over and under the calendar: the flags of wanted dates with their odds, now, and what the shapes mean."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from rakelight.papers.pictures.calendar_rows import DUSTY, HAND, WET, Block, CalendarModel, Flag, Wait
from rakelight.papers.pictures.calendar_shapes import Axis, Bar, draw_bar, draw_ring, draw_wait
from rakelight.papers.pictures.canvas import Sheet, words_width
from rakelight.papers.plan_text import clock_words, day_words
from rakelight.plan.tenths import tenths_words

_HIGH = 31.0
_PEGS = 124.0


def now_words(model: CalendarModel) -> str:
    """The now line in words."""
    return f"now, {day_words(model.now)} {clock_words(model.now)}" if model.now else ""


@dataclass(frozen=True)
class _Spot:
    """One thing of the head: where it begins, how wide, on which line of it."""

    left: float
    wide: float
    line: int
    flag: Flag | None = None  # None: now


@dataclass(frozen=True)
class Heads:
    """The head laid out."""

    model: CalendarModel
    spots: tuple[_Spot, ...]

    @property
    def count(self) -> int:
        """How many lines high it is."""
        return max((s.line for s in self.spots), default=-1) + 1

    def draw(self, sheet: Sheet, axis: Axis, foot: float) -> None:
        """Lines down through the rows, then flags and words on top of them."""
        for spot in self.spots:
            top = 8 + spot.line * _HIGH
            if spot.flag:
                x = axis.inside(spot.flag.at)
                sheet.line("want", (x, top), (x, foot))
            elif self.model.now:
                x = axis.at(self.model.now)
                sheet.line("now", (x, top + 36), (x, foot))
                sheet.polygon("nowt", [(x - 9, top + 26), (x + 9, top + 26), (x, top + 40)])
        for spot in self.spots:
            self._words(sheet, spot, axis, 8 + spot.line * _HIGH)

    def _words(self, sheet: Sheet, spot: _Spot, axis: Axis, top: float) -> None:
        flag = spot.flag
        if flag is None:
            sheet.text(spot.left, top + 20, now_words(self.model), "nowt plate")
            return
        wide = words_width(flag.says, True) + 18
        x = axis.inside(flag.at)
        left = x - wide if x - wide >= 4 else x
        sheet.rect("flag", left, top, wide, 27)
        sheet.text(left + wide / 2, top + 19, flag.says, "flagt m")
        if flag.tenths is not None:
            at = left + wide + 14
            if at + odds_width(flag) > axis.last + 14:
                at = left - odds_width(flag) - 2
            draw_odds(sheet, at, top + 13, flag.tenths)


def odds_width(flag: Flag) -> float:
    """How wide the odds of a date are drawn, px; 0 where they are not known."""
    return 0.0 if flag.tenths is None else _PEGS + words_width(tenths_words(flag.tenths), True) + 10


def draw_odds(sheet: Sheet, x: float, y: float, count: int) -> None:
    """Ten pegs in ten holes, and the count in words."""
    for n in range(10):
        filled = n < count
        sheet.circle("peg" if filled else "hole", (x + 5 + n * 12, y), 5 if filled else 3)
    sheet.text(x + _PEGS, y + 6, tenths_words(count), "b plate")


def head_rows(model: CalendarModel, axis: Axis) -> Heads:
    """Flags and now, each on the lowest line where it lies on nothing."""
    wanted: list[tuple[float, float, Flag | None]] = []
    for flag in reversed(model.flags):
        x, wide = axis.inside(flag.at), words_width(flag.says, True) + 18
        odds = odds_width(flag) + 14 if flag.tenths is not None else 0.0
        left = x - wide if x - wide >= 4 else x
        if odds and left + wide + odds > axis.last + 14:
            left, wide = left - odds, wide + odds
        else:
            wide += odds
        wanted.append((left, wide, flag))
    if model.now:
        wide = words_width(now_words(model), True)
        left = min(max(4.0, axis.at(model.now) - wide / 2), axis.last - wide)
        wanted.append((left, wide, None))
    spots: list[_Spot] = []
    for left, wide, of in wanted:
        line = 0
        while any(s.line == line and s.left < left + wide + 12 and left < s.left + s.wide + 12 for s in spots):
            line += 1
        spots.append(_Spot(left, wide, line, of))
    # the flag of the latest date stands highest, so that no line runs through another's words
    return Heads(model, tuple(spots))


_Draw = Callable[[Sheet, float, float], None]


def _items(model: CalendarModel, width: float) -> list[tuple[str, float, _Draw]]:
    """What the shapes mean: words, width of the sign, how it is drawn at a place."""
    edges = {b.edge for r in model.rows for b in r.blocks}
    past = any(w.fact for r in model.rows for w in r.waits) or bool(model.now and model.now > model.start)
    stopped = any(b.stopped for r in model.rows for b in r.blocks)
    items: list[tuple[str, float, _Draw]] = []
    for edge, words in ((DUSTY, "dusty or dirty"), (WET, "wet"), (HAND, "dry, by hand")):
        if edge in edges:
            items.append((words, 20.0, _block_at(model, edge)))
    if past and any(w.fact for r in model.rows for w in r.waits):
        items.append(("waited (fact)", 30.0, _wait_at(model, True)))
    wait = "must wait: to the earliest, ○ likely, latest" if width > 500 else "wait: earliest, ○ likely, latest"
    items.append((wait, 72.0, _wait_at(model, False)))
    for n, place in enumerate(model.places):
        items.append((f"stands in the {place}", 34.0, _stay_at(n)))
    if model.shut:
        items.append(("closed", 18.0, lambda sheet, x, y: sheet.rect("shut", x, y - 14, 18, 18)))
    if stopped:
        items.append(("barred until mended", 20.0, _cross_at))
    return items


def _tiny(model: CalendarModel, x: float, days: float = 1.0) -> Axis:
    """An axis for the sign: the whole picture drawn on a few px a day."""
    length = (model.end.timestamp() - model.start.timestamp()) / 86400
    return Axis(CalendarModel("", "", model.start, model.end, None, (), (), (), ()), x, x + length * days, False)


def _block_at(model: CalendarModel, edge: str) -> _Draw:
    def draw(sheet: Sheet, x: float, y: float) -> None:
        block = Block(model.start, model.start, edge, "")
        draw_bar(sheet, Bar(x, x + 20, (block,)), _tiny(model, x), y + 4)

    return draw


def _wait_at(model: CalendarModel, fact: bool) -> _Draw:
    def draw(sheet: Sheet, x: float, y: float) -> None:
        axis = _tiny(model, x, 72.0)
        start, whole = model.start, (model.end - model.start) / (axis.last - axis.first)
        moments = [start + whole * px for px in ((30, 30, 30) if fact else (24, 44, 72))]
        wait = Wait(start, moments[1], moments[0], moments[2], fact)
        draw_wait(sheet, wait, axis, y + 4)
        draw_ring(sheet, wait, axis, y + 4)

    return draw


def _stay_at(n: int) -> _Draw:
    def draw(sheet: Sheet, x: float, y: float) -> None:
        sheet.line("base", (x, y - 4), (x + 34, y - 4))
        sheet.line(f"stay{min(2, n)}", (x, y), (x + 34, y))

    return draw


def _cross_at(sheet: Sheet, x: float, y: float) -> None:
    sheet.path("stx", f"M{x + 2:g},{y - 14:g}l16,16m0,-16l-16,16")


def _flowed(model: CalendarModel, width: float) -> list[tuple[float, int, str, float, _Draw]]:
    """Signs in lines as wide as the picture."""
    found, x, line = [], 0.0, 0
    for words, sign, draw in _items(model, width):
        wide = sign + 8 + words_width(words) * 0.92
        if x and x + wide > width:
            x, line = 0.0, line + 1
        found.append((x, line, words, sign, draw))
        x += wide + 22
    return found


def legend_height(model: CalendarModel, width: float) -> float:
    """How high the signs stand, px."""
    return (_flowed(model, width)[-1][1] + 1) * 36.0


def draw_legend(sheet: Sheet, model: CalendarModel, left: float, top: float, width: float) -> None:
    """The signs and what they mean."""
    for x, line, words, sign, draw in _flowed(model, width):
        y = top + line * 36
        draw(sheet, left + x, y)
        sheet.text(left + x + sign + 8, y, words)
