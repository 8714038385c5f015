"""The flat of a film: bands from the wood up as a level wet coat dries over pores, and what rubbing takes."""

from __future__ import annotations

import math
from dataclasses import dataclass

from rakelight.papers.pictures.canvas import Point, Rules, Sheet
from rakelight.papers.pictures.film_model import Band, FilmModel
from rakelight.units import UM_PER_MIL

_STEP_PX = 4.0
#: a band thinner than this holds no number
_NUMBER_PX = 15.0
_SCRATCH_PX = 1.2


@dataclass(frozen=True)
class Box:
    """Where a drawing stands, px; `wood` is the height of the wood's surface, `scale` px for one um."""

    left: float
    right: float
    wood: float
    bottom: float
    scale: float


def hatch_rules(inline: str) -> Rules:
    """Rules of the picture; patterns are called by their own name in it."""
    own = f"{inline}-" if inline else ""
    return (
        (".wood", "fill:@wood"), (".fib", f"fill:url(#{own}fib)"), (".pore", "fill:none;stroke:@ray;stroke-width:1.6"),
        (".dotty", "fill:@ray;opacity:.55"), (".oile", "fill:none;stroke:@ink;stroke-width:1.5;stroke-dasharray:1 5"),
        (".void", "fill:@board"), (".fill", "fill:@fill;stroke:@ink;stroke-width:1.2"),
        (".dots", f"fill:url(#{own}dots)"), (".dotk", "fill:@ink"),
        (".k1", "fill:@c1"), (".k2", "fill:@c2"), (".k1,.k2", "stroke:@ink;stroke-width:1.1"),
        (".f1", "fill:@c1"), (".ks", "fill:@ink"), (".ko", "fill:@sunk;stroke:@ink;stroke-width:1.1"),
        (".top", "fill:none;stroke:@ink;stroke-width:2.6;stroke-linejoin:round"),
        (".glint", f"fill:none;stroke:url(#{own}rake);stroke-width:4.5;stroke-linecap:round"),
        (".rk0,.rk1", "stop-color:@lamp"), (".rk1", "stop-opacity:0"), ("paper .glint", "stroke:none"),
        (".h1", f"fill:url(#{own}h1)"), (".h2", f"fill:url(#{own}h2)"), (".h3", f"fill:url(#{own}h3)"),
        (".hk", "fill:none;stroke:@ink"),
        (".lik", "fill:none;stroke:@ink;stroke-width:2.2;stroke-dasharray:7 4"),
        (".lim", "fill:none;stroke:@ink;stroke-width:2"), (".dash", "stroke-dasharray:12 5"),
        (".lead", "fill:none;stroke:@ink-2;stroke-width:1.2"),
        (".num", "font-weight:700;text-anchor:middle;paint-order:stroke;stroke-width:6px;stroke-linejoin:round"),
        (".n1", "stroke:@c1"), (".n2", "stroke:@c2"),
        (".wed", "fill:@shade-soft;stroke:@shade;stroke-width:1.6"), (".dot", "fill:@board;stroke:@ink;stroke-width:2"),
        (".wit", "fill:none;stroke:@stop;stroke-width:3.5"), (".st", "fill:@stop;font-weight:700"),
        ("paper .wood,.k1,.k2,.f1,.fill,.ko", "fill:#fff"), ("paper .wit", "stroke:#000"), ("paper .st", "fill:#000"),
    )  # fmt: skip


def hatches(sheet: Sheet, box: Box) -> None:
    """Patterns: fibres, filler, and the three hatches of what rubbing takes: close for sure, open perhaps."""
    ends = f'x1="{box.left:g}" x2="{box.left + (box.right - box.left) * 0.6:g}" y1="0" y2="0"'
    stops = '<stop class="rk0"/><stop class="rk1" offset="1"/>'
    rake = f'<linearGradient id="{sheet.id("rake")}" gradientUnits="userSpaceOnUse" {ends}>{stops}</linearGradient>'
    sheet.define(rake)
    fibres = ((2.2, 2.0), (6.7, 5.9))
    dots = ((1.7, 1.7), (5.2, 5.2))
    for name, size, at, cls in (("fib", (9.0, 7.8), fibres, "dotty"), ("dots", (7.0, 7.0), dots, "dotk")):
        spots = "".join(f'<circle class="{cls}" cx="{x}" cy="{y}" r="1"/>' for x, y in at)
        sheet.define(_pattern(sheet.id(name), size, spots))
    for name, px, width in (("h1", 5, 1.5), ("h2", 9, 1.1), ("h3", 17, 0.9)):
        d = f"M-1 {px + 1}L{px + 1} -1M-1 1L1 -1M{px - 1} {px + 1}L{px + 1} {px - 1}"
        line = f'<path class="hk" stroke-width="{width}" d="{d}"/>'
        sheet.define(_pattern(sheet.id(name), (px, px), line))


def _pattern(id: str, size: tuple[float, float], inside: str) -> str:
    return f'<pattern id="{id}" width="{size[0]}" height="{size[1]}" patternUnits="userSpaceOnUse">{inside}</pattern>'


def draw_flat(sheet: Sheet, model: FilmModel, box: Box) -> None:
    """Draw the flat into its box."""
    pores = _pores(model, box)
    xs = _along(box.left, box.right)
    ground = [(x, box.wood + model.pore_um[1] * box.scale * _deep(x, pores, True)) for x in xs]
    ground = [(x, min(y, box.bottom - 4)) for x, y in ground]
    body = [*ground, (box.right, box.bottom), (box.left, box.bottom)]
    sheet.polygon("wood", body)
    sheet.polygon("fib", body)
    sheet.line("pore", *ground)
    if model.oiled:
        sheet.line("oile", *[(x, min(y + 24 + 5 * math.sin(x / 17), box.bottom - 6)) for x, y in ground])
    below, height = ground, 0.0
    for band in model.bands:
        height += band.flat_um
        above = [(x, box.wood - box.scale * (height - band.dip_um * _deep(x, pores, False))) for x in xs]
        above = [(x, min(y, low[1])) for (x, y), low in zip(above, below, strict=True)]
        _read(sheet, model, box, band, height)
        if band.kind == "filler":
            _filler(sheet, below, above)
        else:
            rough = _scratched(below) if band.scratched and not model.fused else below
            sheet.polygon(_class(band.kind, band.number, model.fused), [*above, *reversed(rough)])
        below = above
    _taken(sheet, model, box, below)
    _numbers(sheet, model, box)
    corners = ((box.left, box.bottom), (box.right, box.bottom))
    sheet.line("lead", (box.left, below[0][1]), *corners, (box.right, below[-1][1]))


def _read(sheet: Sheet, model: FilmModel, box: Box, band: Band, height: float) -> None:
    """What a touch on a layer tells: its name and its thickness on the flat and at the arris."""
    name = {"seal": "Seal", "old": "Old film", "filler": "Filler"}.get(band.kind, f"Coat {band.number}")
    if band.flat_um <= 0:
        return
    flat, arris = (f"{um:.0f} µm, {um / UM_PER_MIL:.1f} mil" for um in (band.flat_um, band.arris_um))
    said = f"{name}: {flat} on the flat; {arris} at the arris."
    sheet.read(box.left, box.wood - box.scale * height, box.right - box.left, box.scale * band.flat_um, said)


def _class(kind: str, number: int, fused: bool) -> str:
    if kind in ("seal", "old"):
        return "ks" if kind == "seal" else "ko"
    if fused:
        return "f1"
    return "k1" if number % 2 else "k2"


def _pores(model: FilmModel, box: Box) -> list[tuple[float, float]]:
    """Centre and half width of the pores that fit, px."""
    half = model.pore_um[0] * box.scale / 2
    if half < 2:
        return []
    room = box.right - box.left
    first = box.left + max(half + 24, 0.3 * room)
    pitch = max(2 * half + 64, 0.45 * room)
    return [(x, half) for x in (first, first + pitch) if x - half < box.right]


def _along(left: float, right: float) -> list[float]:
    count = max(2, round((right - left) / _STEP_PX))
    return [left + (right - left) * n / count for n in range(count + 1)]


def _deep(x: float, pores: list[tuple[float, float]], wall: bool) -> float:
    """Share of the full depth at a place: a round wall in the wood, a soft dip in a film that has levelled."""
    for centre, half in pores:
        off = abs(x - centre) / half
        if off < 1:
            return math.sqrt(1 - off * off) if wall else math.cos(math.pi * off / 2) ** 2
    return 0.0


def _filler(sheet: Sheet, below: list[Point], above: list[Point]) -> None:
    """Filler lies in the pores alone."""
    pairs = list(zip(below, above, strict=True))
    run: list[tuple[Point, Point]] = []
    for n, (low, high) in enumerate([*pairs, ((0.0, 0.0), (0.0, 0.0))]):
        if low[1] - high[1] > 0.3:
            run += [(low, high)] if run or n == 0 else [pairs[n - 1], (low, high)]
            continue
        if run:
            run += pairs[n : n + 1]
            points = [*(high for _, high in run), *(low for low, _ in reversed(run))]
            sheet.polygon("fill", points)
            sheet.polygon("dots", points)
        run = []


def _scratched(line: list[Point]) -> list[Point]:
    """A surface that was sanded: small teeth."""
    return [(x, y + (_SCRATCH_PX / 2 if n % 2 else -_SCRATCH_PX / 2)) for n, (x, y) in enumerate(line)]


def _taken(sheet: Sheet, model: FilmModel, box: Box, top: list[Point]) -> None:
    if model.take:
        level = box.wood - model.film_um * box.scale
        for cls, um in zip(("h3", "h2", "h1"), reversed(list(model.take)), strict=True):
            to = min(level + um * box.scale, box.wood)
            sheet.polygon(cls, [*((x, min(y, to)) for x, y in top), (box.right, to), (box.left, to)])
        likely = min(level + model.take.likely * box.scale, box.wood)
        sheet.line("lik", (box.left, likely), (box.right, likely))
    sheet.line("top", *top)
    lit = box.left + (box.right - box.left) * 0.6
    sheet.line("glint", *((x, y) for x, y in top if x <= lit))


def _numbers(sheet: Sheet, model: FilmModel, box: Box) -> None:
    if model.fused:
        coats = [b for b in model.bands if b.kind == "coat"]
        if coats and sum(b.flat_um for b in coats) * box.scale >= _NUMBER_PX + 4:
            words = f"{len(coats)} coats, one film" if len(coats) > 1 else "1 coat"
            y = box.wood - sum(b.flat_um for b in model.bands) * box.scale / 2 + 5
            sheet.text(box.left + 90, y, words, "num n1")
        return
    height = 0.0
    for band in model.bands:
        height += band.flat_um
        if band.number and band.flat_um * box.scale >= _NUMBER_PX:
            y = box.wood - (height - band.flat_um / 2) * box.scale + 5.5
            sheet.text(box.left + 22, y, str(band.number), f"num n{1 if band.number % 2 else 2}")
