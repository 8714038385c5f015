"""The calendar drawn: parts as rows, work as blocks, waits as their shadows; one definition, two cuts.

Wide, for a desk and for paper: days run across. Narrow, for a phone: days run down and parts stand side by side.
"""

from __future__ import annotations

from collections.abc import Sequence

from rakelight.papers.pictures.calendar_head import (
    draw_legend,
    draw_odds,
    head_rows,
    legend_height,
    odds_width,
)
from rakelight.papers.pictures.calendar_rows import CalendarModel, Flag, Row, week_starts
from rakelight.papers.pictures.calendar_shapes import RULES, TALL, Axis, Bar, bars, draw_row
from rakelight.papers.pictures.canvas import Sheet, fitted, words_width
from rakelight.papers.pictures.labels import Called, Label, beside, placed

WIDE_PX = 1152.0
_EDGE = 14.0
_TIER = 18.0
_OWN_WORDS = 172.0  # a maker's own words over a block, px

#: narrow: as wide as the phone it is seen on, wider only for many parts
_NARROW_PX, _NARROW_MOST, _COLUMN, _COLUMN_LEAST = 360.0, 480.0, 66.0, TALL + 5
_DAYS_LEFT = 82.0
_DOWN_PX, _DAY_LEAST, _DAY_MOST = 900.0, 9.0, 44.0


def draw(model: CalendarModel, narrow: bool = False, inline: str = "") -> str:
    """The calendar as SVG.

    Parameters: narrow, days downward, for a phone; inline, a name where the picture stands within a page.
    """
    return _narrow(model, inline) if narrow else _wide(model, inline)


def _called(drawn: Sequence[Bar]) -> list[Called]:
    return [
        Called(bar.a, bar.b, fitted(block.base, _OWN_WORDS), block.number, 0 if block.lesser else 1)
        for bar in drawn
        for block in bar.blocks
        if block.base
    ]


def _wide(model: CalendarModel, inline: str) -> str:
    names = max((words_width(r.name, True) for r in model.rows), default=0)
    first = _EDGE + min(230.0, max(132.0, names + 14))
    axis = Axis(model, first, WIDE_PX - _EDGE, False)
    heads = head_rows(model, axis)
    strip = 12 + 31.0 * heads.count + 31
    layout: list[tuple[Row, float, list[Label]]] = []
    y = strip + 14
    for row in model.rows:
        labels = placed(_called(bars(row, axis)), axis.first, axis.last)
        tiers = max((x.tier for x in labels), default=0) + 1
        y += TALL + 14 + _TIER * tiers
        layout.append((row, y, labels))
        y += 10
    foot = y + 8
    height = foot + 20 + legend_height(model, WIDE_PX - 2 * _EDGE)
    sheet = Sheet(WIDE_PX, height, model.title, model.says, RULES, inline)
    _days_across(sheet, model, axis, strip, foot)
    sheet.text(first - 12, strip + 9, "open hours", "q e")
    for row, base, _ in layout:
        _name(sheet, row, base, first - _EDGE - 8)
        draw_row(sheet, row, axis, base, model.places)
    heads.draw(sheet, axis, foot)
    _weeks_across(sheet, model, axis, strip)
    for row, base, labels in layout:
        _words_across(sheet, row, base, labels, axis)
    draw_legend(sheet, model, _EDGE, foot + 34, WIDE_PX - 2 * _EDGE)
    return sheet.svg()


def _name(sheet: Sheet, row: Row, base: float, room: float) -> None:
    """The part and its wood; a long name takes the place of the wood."""
    first, rest = row.name, ""
    if words_width(first, True) > room and " " in first:
        words = first.split()
        count = max((n for n in range(1, len(words)) if words_width(" ".join(words[:n]), True) <= room), default=1)
        first, rest = " ".join(words[:count]), " ".join(words[count:])
    below = rest or row.below
    sheet.text(_EDGE, base - 16 if below else base - 8, fitted(first, room, True), "b")
    if below:
        sheet.text(_EDGE, base + 3, fitted(below, room, bool(rest)), "b" if rest else "q")


def _words_across(sheet: Sheet, row: Row, base: float, labels: Sequence[Label], axis: Axis) -> None:
    for label in labels:
        y = base - TALL - 8 - _TIER * label.tier
        if label.tier:
            sheet.line("tick", (label.at + 1, y + 4), (label.at + 1, base - TALL - 1))
        sheet.text(label.right if label.ends else label.left, y, label.words, "plate e" if label.ends else "plate")
    if row.says:
        wide = words_width(row.says)
        stops = [axis.inside(f.at) for f in axis.model.flags]
        ends = (axis.last, *(at - 8 for at in reversed(stops)))
        clear = [x for x in ends if not any(x - wide < at < x for at in stops)]
        ways = [x for x in clear if all(label.tier or label.right < x - wide - 3 for label in labels)]
        x = (ways or clear or [axis.last])[0]
        sheet.text(x, base - TALL - 8 if ways else base - 8, row.says, "plate e")


def _days_across(sheet: Sheet, model: CalendarModel, axis: Axis, top: float, foot: float) -> None:
    for a, b in model.shut:
        sheet.rect("shut", axis.at(a), top, axis.inside(b) - axis.at(a), foot - top)
    sheet.rect("night", axis.first, top, axis.last - axis.first, 9)
    for a, b in model.open:
        sheet.rect("open", axis.at(a), top, max(0.6, axis.inside(b) - axis.at(a)), 9)
    for day in week_starts(model):
        sheet.line("tick", (axis.at(day), top - 8), (axis.at(day), foot))


def _weeks_across(sheet: Sheet, model: CalendarModel, axis: Axis, top: float) -> None:
    free, month = axis.first - 1, 0
    for day in week_starts(model):
        x = axis.at(day)
        words = f"{day.day} {day:%b}" if day.month != month else str(day.day)
        if x >= free and x + 4 + words_width(words) <= axis.last:
            sheet.text(x + 4, top - 8, words, "q plate")
            free, month = x + words_width(words) + 12, day.month


def _narrow(model: CalendarModel, inline: str) -> str:
    parts = [r for r in model.rows if not r.whole]
    whole = [r for r in model.rows if r.whole]
    count = max(1, len(parts))
    width = min(_NARROW_MOST, max(_NARROW_PX, _DAYS_LEFT + 4 + _COLUMN * count))
    pitch = max(_COLUMN_LEAST, (width - _DAYS_LEFT - 4) / count)
    width = max(width, _DAYS_LEFT + 4 + pitch * count)
    pitch = min(pitch, 132.0)
    names = [fitted(r.name, 120, True) for r in parts]
    if names:  # the last one leans out over its column
        width = max(width, _DAYS_LEFT + pitch * (count - 1) + words_width(names[-1], True) * 0.79)
    top = 14 + max((words_width(n, True) * 0.62 + 10 for n in names), default=20)
    days = (model.end - model.start).days
    axis = Axis(model, top, top + days * min(_DAY_MOST, max(_DAY_LEAST, _DOWN_PX / days)), True)
    hung = [y + (56 if f.tenths is not None else 28) for f, y in _flags_down(model, axis)]
    said = [y + 8 for row in whole for _, y in _whole_words(row, axis, model)]
    foot = max([axis.last, *hung, *said]) + 12
    height = foot + legend_height(model, width - 16) + 4
    sheet = Sheet(width, height, model.title, model.says, RULES, inline)
    _days_down(sheet, model, axis, width)
    taken: list[tuple[int, Label]] = []
    lowest = min([axis.last - 4, *(axis.at(r.blocks[0].start) - 10 for r in whole if r.blocks)])
    for n, (row, name) in enumerate(zip(parts, names, strict=True)):
        base = _DAYS_LEFT + n * pitch
        sheet.text(base, top - 12, name, "b", -38)
        drawn = draw_row(sheet, row, axis, base, model.places)
        called = [c for c in _called(drawn) if c.weight]
        taken += [(n, x) for x in beside(called, pitch - TALL - 5, axis.first + 8, lowest)]
    _marks_down(sheet, model, axis, width)
    for n, label in taken:
        sheet.text(_DAYS_LEFT + n * pitch + TALL + 4, label.at + 5.5, label.words, "plate")
    for n, row in enumerate(parts):
        _last_words(sheet, row, axis, _DAYS_LEFT + n * pitch + TALL + 4, width)
    for row in whole:
        _whole_down(sheet, row, axis, width, model)
    draw_legend(sheet, model, 8, foot + 22, width - 16)
    return sheet.svg()


def _last_words(sheet: Sheet, row: Row, axis: Axis, x: float, width: float) -> None:
    """What a part that stands alone still waits for, where there is room beside it."""
    if row.says and row.waits and words_width(row.says) <= width - x:
        y = axis.inside(row.waits[-1].likely)
        if all(not -12 < y - axis.inside(f.at) < 62 for f in axis.model.flags):
            sheet.text(x, y + 5, row.says, "plate")
        else:
            sheet.text(x, min(axis.inside(f.at) for f in axis.model.flags) - 12, row.says, "plate")


def _days_down(sheet: Sheet, model: CalendarModel, axis: Axis, width: float) -> None:
    left, right = _DAYS_LEFT - 18, width - 2
    for a, b in model.shut:
        sheet.rect("shut", left, axis.at(a), right - left, axis.inside(b) - axis.at(a))
    sheet.rect("night", left, axis.first, 8, axis.last - axis.first)
    for a, b in model.open:
        sheet.rect("open", left, axis.at(a), 8, max(0.6, axis.inside(b) - axis.at(a)))
    month, free = 0, axis.first
    for day in week_starts(model):
        y = axis.at(day)
        sheet.line("tick", (left - 8, y), (right, y))
        if y >= free:
            below = 30 if model.now and abs(axis.at(model.now) - y - 8) < 16 else 14
            sheet.text(left - 10, y + below, f"{day.day} {day:%b}" if day.month != month else str(day.day), "q e")
            month, free = day.month, y + 18


def _marks_down(sheet: Sheet, model: CalendarModel, axis: Axis, width: float) -> None:
    left = _DAYS_LEFT - 28
    if model.now:
        y = axis.at(model.now)
        sheet.line("now", (left, y), (width - 2, y))
        sheet.polygon("nowt", [(left - 10, y - 8), (left - 10, y + 8), (left + 3, y)])
        sheet.text(left - 14, y + 6 if y > axis.first + 12 else y - 3, "now", "nowt e plate")
    for flag in model.flags:
        sheet.line("want", (left, axis.inside(flag.at)), (width - 2, axis.inside(flag.at)))
    for flag, y in _flags_down(model, axis):
        words = fitted(flag.says.replace(", wanted ", " by "), (width - left - 14) / 0.88, True)
        wide = min(words_width(words, True) + 16, width - left - 2)
        sheet.rect("flag", width - 2 - wide, y, wide, 26)
        sheet.text(width - 10, y + 19, words, "flagt e")
        if flag.tenths is not None:
            draw_odds(sheet, width - 8 - odds_width(flag), y + 38, flag.tenths)


def _flags_down(model: CalendarModel, axis: Axis) -> list[tuple[Flag, float]]:
    """Flags and where they hang: from their date, or from under the one before."""
    found, free = [], 0.0
    for flag in model.flags:
        y = max(axis.inside(flag.at), free)
        found.append((flag, y))
        free = y + (30 if flag.tenths is None else 56)
    return found


def _whole_down(sheet: Sheet, row: Row, axis: Axis, width: float, model: CalendarModel) -> None:
    """The whole piece lies across all parts; its words stand below it."""
    left, right = _DAYS_LEFT, width - 8
    for bar in bars(row, axis):
        sheet.rect("hand", left, bar.a + 1, right - left, max(6.0, bar.b - bar.a - 1))
    for n, (line, y) in enumerate(_whole_words(row, axis, model)):
        named = n == 0 and line != row.says
        sheet.text(left, y, fitted(line, right - left), "plate b" if named else "plate")


def _whole_words(row: Row, axis: Axis, model: CalendarModel) -> list[tuple[str, float]]:
    """What is said below the whole piece, and how far down, clear of the flags."""
    drawn = bars(row, axis)
    words, last = [], ""
    for bar in drawn:
        for block in bar.blocks:
            if block.base and block.base != last and not block.lesser:
                words.append(last := block.base)
    if not drawn:
        return []
    day = row.blocks[0].start
    said = [f"{', '.join(words[:1])}, {day:%a} {day.day}"] if words else []
    flags = [axis.inside(f.at) for f in model.flags]
    y, found = drawn[-1].b + 18, []
    for line in [*said, *([row.says] if row.says else [])]:
        while any(at - 6 < y < at + 70 for at in flags):
            y += 4
        found.append((line, y))
        y += 22
    return found
