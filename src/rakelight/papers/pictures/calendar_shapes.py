"""The shapes of the calendar: blocks of work by their edge, waits as shadows, bases; turned by their axis."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from itertools import pairwise

from rakelight.papers.pictures.calendar_rows import DUSTY, HAND, WET, Block, CalendarModel, Row, Wait
from rakelight.papers.pictures.canvas import Point, Sheet, num
from rakelight.papers.plan_text import day_words, moment_words

#: height of a block and its shadow, px
TALL = 28.0
LEAST = 8.0
_DAY_S = 86400.0
#: a crowded block is pushed on no further than this many px, or half a day
_PUSH = 14.0

RULES = (
    (".wet,.dusty", "fill:@ink"),
    (".lit", "fill:@lamp"),
    (".past", "opacity:.62"),
    (".hand", "fill:@board;stroke:@ink;stroke-width:2"),
    (".shadow", "fill:@shade-soft"),
    (".ln", "fill:none;stroke:@shade;stroke-width:1"),
    (".slope", "fill:none;stroke:@shade;stroke-width:1.6"),
    (".likely", "fill:@board;stroke:@ink;stroke-width:2"),
    (".base", "stroke:@line;stroke-width:1.5;fill:none"),
    (".stay0", "stroke:@shade;stroke-width:4;fill:none"),
    (".stay1", "stroke:@shade;stroke-width:4;stroke-dasharray:9 4;fill:none"),
    (".stay2", "stroke:@shade;stroke-width:4;stroke-dasharray:2 4;fill:none"),
    (".shut", "fill:@sunk"),
    (".night", "fill:#171d1e;stroke:@line;stroke-width:1"),
    (".open", "fill:@lamp"),
    (".now", "stroke:@lamp-ink;stroke-width:3;fill:none"),
    (".nowt", "fill:@lamp-ink;font-weight:700"),
    (".want", "stroke:@ink;stroke-width:3;fill:none"),
    (".flag", "fill:@ink"),
    (".flagt", "fill:@board;font-weight:700"),
    (".tick", "stroke:@line;stroke-width:1;fill:none"),
    (".sth", "fill:none;stroke:@board;stroke-width:9;stroke-linecap:square"),
    (".stx", "fill:none;stroke:@stop;stroke-width:4;stroke-linecap:square"),
    (".peg", "fill:@ink"),
    (".hole", "fill:none;stroke:@ink;stroke-width:2"),
    ("paper .lit", "fill:#000"),
    ("paper .open", "fill:#fff"),
    ("paper .shut", "fill:#e6e6e6"),
    ("paper .past", "opacity:1"),
    ("paper .stay0,.stay1,.stay2", "stroke:#000"),
)


@dataclass(frozen=True)
class Bar:
    """A block where it is drawn, px along the row."""

    a: float
    b: float
    blocks: tuple[Block, ...]

    @property
    def edge(self) -> str:
        """Its top edge."""
        return self.blocks[0].edge


@dataclass(frozen=True)
class Axis:
    """Time along the picture, and how a row stands across it."""

    model: CalendarModel
    first: float  # px of the start
    last: float
    narrow: bool

    @property
    def day(self) -> float:
        """Px of a day."""
        return (self.last - self.first) / (self.model.end.timestamp() - self.model.start.timestamp()) * _DAY_S

    def at(self, moment: datetime) -> float:
        """Px of a moment along the picture."""
        return self.first + (moment.timestamp() - self.model.start.timestamp()) / _DAY_S * self.day

    def inside(self, moment: datetime) -> float:
        """As `at`, no further than the picture goes."""
        return min(max(self.at(moment), self.first), self.last)

    def point(self, along: float, up: float, base: float) -> Point:
        """A point of a row: so far along, so far up from its base."""
        return (base + up, along) if self.narrow else (along, base - up)


def bars(row: Row, axis: Axis) -> list[Bar]:
    """The blocks of a row where they are drawn: none under another, the crowded ones pushed on a little."""
    found: list[Bar] = []
    allowed = max(_PUSH, axis.day / 2)
    for block in row.blocks:
        true = axis.at(block.start)
        before = found[-1] if found else None
        a = max(true, before.b + 1) if before else true
        end = max(true + LEAST, axis.at(block.end))
        if before and before.edge == block.edge and (a - true > allowed or _taken_up(before, block, true)):
            found[-1] = Bar(before.a, max(before.b, axis.at(block.end)), (*before.blocks, block))
        elif before and not block.base and a - true > allowed:
            continue  # a scuff between coats of one day: no room for it
        else:
            found.append(Bar(a, a + end - true, (block,)))
    return found


def _taken_up(before: Bar, block: Block, at: float) -> bool:
    """Work put down and taken up again so soon that it shows as one."""
    return not block.base and before.b >= at


def draw_base(sheet: Sheet, row: Row, axis: Axis, base: float, places: Sequence[str]) -> None:
    """The line a row stands on, from the part's beginning to where it is joined; below it where it stands."""
    a = axis.inside(row.start) if row.start else axis.first
    b = axis.inside(row.end) if row.end else axis.last
    sheet.line("base", axis.point(a, 0, base), axis.point(b, 0, base))
    if row.end:
        sheet.line("base", axis.point(b, -5, base), axis.point(b, TALL / 2, base))
    for stay in row.stays:
        left, right = axis.inside(stay.start), axis.inside(stay.end)
        kind = f"stay{min(2, places.index(stay.place))}"
        if right - left > 1:
            sheet.line(kind, axis.point(left, -4, base), axis.point(right, -4, base))


def draw_wait(sheet: Sheet, wait: Wait, axis: Axis, base: float) -> None:
    """A shadow: square where it is past, sloped from earliest through likely to latest where it lies ahead."""
    now = axis.model.now
    a = axis.at(wait.start)
    if wait.fact:
        _shade(sheet, [(a, TALL), (axis.at(wait.likely), TALL)], axis, base, " past")
        return
    begin = max(a, axis.at(now)) if now else a
    if begin > a:
        _shade(sheet, [(a, TALL), (begin, TALL)], axis, base, " past")
    low, likely = max(begin, axis.at(wait.low)), max(begin, axis.at(wait.likely))
    high = max(likely, axis.at(wait.high)) if wait.high else 0.0
    top = [(begin, TALL), (low, TALL), (likely, TALL / 2), (high, 0.0)]
    if not wait.high:  # perhaps never: it runs out of the picture half as high
        top[3] = (max(axis.last, likely) + 1, TALL / 2)
    _shade(sheet, top, axis, base, "")


def _shade(sheet: Sheet, top: list[Point], axis: Axis, base: float, cls: str) -> None:
    top = _cut(top, axis.last)
    if len(top) < 2 or top[-1][0] - top[0][0] < 0.5:
        return
    a, b = top[0][0], top[-1][0]
    under = [(b, 0.0), (a, 0.0)] if top[-1][1] > 0 else [(a, 0.0)]
    sheet.polygon(f"shadow{cls}", [axis.point(x, h, base) for x, h in (*top, *under)])
    up = 3.5
    while up < TALL:  # its lines, each as long as the shadow is at that height
        right = _reach(top, up)
        if right - a > 1:
            sheet.line(f"ln{cls}", axis.point(a, up, base), axis.point(right, up, base))
        up += 4
    if not cls:
        sheet.line("slope", *(axis.point(x, h, base) for x, h in top))


def _cut(top: list[Point], last: float) -> list[Point]:
    """A falling line cut at the edge of the picture."""
    kept: list[Point] = []
    for n, (x, h) in enumerate(top):
        if x <= last:
            kept.append((x, h))
            continue
        if n and top[n - 1][0] < last:
            (x0, h0) = top[n - 1]
            kept.append((last, h0 + (h - h0) * (last - x0) / (x - x0)))
        break
    return kept


def _reach(top: list[Point], up: float) -> float:
    """How far a falling line stands above a height."""
    right = top[0][0]
    for (x0, h0), (x1, h1) in pairwise(top):
        if h1 >= up:
            right = x1
        elif h0 > up:
            right = x0 + (x1 - x0) * (h0 - up) / (h0 - h1)
    return right


def draw_ring(sheet: Sheet, wait: Wait, axis: Axis, base: float) -> None:
    """The likely end of a wait ahead, where there is a range to see."""
    now = axis.model.now
    if wait.fact or (now and wait.likely <= now) or axis.at(wait.likely) > axis.last:
        return
    if (axis.inside(wait.high) if wait.high else axis.last) - axis.at(wait.low) >= 12:
        sheet.circle("likely", axis.point(axis.at(wait.likely), TALL / 2, base), 4.5)


def draw_beyond(sheet: Sheet, axis: Axis, base: float) -> None:
    """That a wait goes on past the edge."""
    a = axis.last
    sheet.line("slope", *(axis.point(a + x, h, base) for x, h in ((-12, 22), (-3, 14), (-12, 6))))


def draw_bar(sheet: Sheet, bar: Bar, axis: Axis, base: float) -> None:
    """Work by its edge: saw-tooth dusty, rounded wet, open box by hand; lit from where time begins."""
    a, b, edge = bar.a, bar.b, bar.edge
    if edge == HAND:
        x, y = axis.point(a + 1, TALL - 1, base)
        size = (TALL - 1, b - a - 2) if axis.narrow else (b - a - 2, TALL - 1)
        sheet.rect("hand", x - (TALL - 1 if axis.narrow else 0), y, *size)
    elif edge == DUSTY:
        sheet.polygon("dusty", [axis.point(x, h, base) for x, h in _teeth(a, b)])
    else:
        sheet.path(edge, _rounded(a, b, axis, base))
    if edge in (WET, DUSTY):
        _light(sheet, a, b, axis, base)
    if any(block.stopped for block in bar.blocks):
        for cls in ("sth", "stx"):
            x, y = axis.point((a + b) / 2, TALL / 2, base)
            sheet.path(cls, f"M{num(x - 9)},{num(y - 9)}l18,18m0,-18l-18,18")


def _light(sheet: Sheet, a: float, b: float, axis: Axis, base: float) -> None:
    """The light along the edge it comes from: the left, or above where the picture is turned."""
    wide = min(4.0, max(1.4, (b - a) * 0.16))
    (x0, y0), (x1, y1) = axis.point(a, TALL - 5, base), axis.point(a + wide, 0, base)
    sheet.rect("lit", min(x0, x1), min(y0, y1), abs(x1 - x0), abs(y1 - y0))


def _teeth(a: float, b: float) -> list[Point]:
    """A saw-tooth top, each tooth about 5 px."""
    count = max(2, round((b - a) / 5))
    step = (b - a) / count
    points: list[Point] = [(a, 0.0)]
    for n in range(count):
        points += [(a + n * step, TALL - 5), (a + (n + 0.5) * step, TALL + 1)]
    return [*points, (b, TALL - 5), (b, 0.0)]


def _rounded(a: float, b: float, axis: Axis, base: float) -> str:
    r = min(5.0, (b - a) / 2)

    def at(x: float, h: float) -> str:
        px, py = axis.point(x, h, base)
        return f"{num(px)},{num(py)}"

    return (
        f"M{at(a, 0)}L{at(a, TALL - r)}Q{at(a, TALL)} {at(a + r, TALL)}"
        f"L{at(b - r, TALL)}Q{at(b, TALL)} {at(b, TALL - r)}L{at(b, 0)}Z"
    )


def _read_wait(sheet: Sheet, row: Row, wait: Wait, axis: Axis, base: float) -> None:
    """What a touch on a shadow tells."""
    if wait.fact:
        said = f"dried until {_about(wait.likely)}."
    else:
        latest = f"latest {_about(wait.high)}" if wait.high else "perhaps never in this air"
        said = f"dries until likely {_about(wait.likely)}; earliest {_about(wait.low)}, {latest}."
    _read(sheet, axis, (axis.inside(wait.start), axis.inside(wait.high) if wait.high else axis.last), base, row, said)


def _about(moment: datetime) -> str:
    """A moment to the hour: Tue 9 Feb 9:00."""
    near = moment + timedelta(minutes=30)
    return f"{day_words(near)} {near.hour}:00"


def _read_bar(sheet: Sheet, row: Row, bar: Bar, axis: Axis, base: float) -> None:
    """What a touch on a block tells."""
    first, last = bar.blocks[0], bar.blocks[-1]
    named = list(dict.fromkeys(f"{b.base} {b.number or ''}".strip() for b in bar.blocks if b.base)) or ["work"]
    same_day = first.start.date() == last.end.date()
    until = f"{last.end.hour}:{last.end:%M}" if same_day else moment_words(last.end)
    said = f"{', '.join(named)}, {moment_words(first.start)} to {until}."
    _read(sheet, axis, (bar.a, bar.b), base, row, said)


def _read(sheet: Sheet, axis: Axis, along: tuple[float, float], base: float, row: Row, said: str) -> None:
    (x0, y0), (x1, y1) = axis.point(along[0], TALL, base), axis.point(along[1], 0, base)
    sheet.read(min(x0, x1), min(y0, y1), abs(x1 - x0), abs(y1 - y0), f"{row.name}: {said}")


def draw_row(sheet: Sheet, row: Row, axis: Axis, base: float, places: Sequence[str]) -> list[Bar]:
    """One part: base, shadows, rings, blocks. Returns the blocks where they were drawn."""
    drawn = bars(row, axis)
    draw_base(sheet, row, axis, base, places)
    for wait in row.waits:
        draw_wait(sheet, wait, axis, base)
        _read_wait(sheet, row, wait, axis, base)
    for bar in drawn:
        draw_bar(sheet, bar, axis, base)
        _read_bar(sheet, row, bar, axis, base)
    for wait in row.waits:
        draw_ring(sheet, wait, axis, base)
    if any(not w.fact and (w.high is None or axis.at(w.high) > axis.last + 1) for w in row.waits):
        draw_beyond(sheet, axis, base)
    return drawn
