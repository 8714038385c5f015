"""Areas of faces and lengths of arrises, from sizes in mm; exact for exact shapes.

Stations along a slab or a turned leg are joined by Simpson's rule where their number is odd (exact for a
parabola), by the trapezoid rule where it is even. Lengths along curved edges and areas of turned surfaces are
sums of straight pieces; where the number of stations is odd the sums with every station and with every second
one are extrapolated (4 a - b) / 3, which is what makes Simpson's rule of the trapezoid rule, slope included.
Source: any textbook of numerical integration (Simpson, Richardson); from memory.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from itertools import pairwise

from rakelight.units import MM2_PER_M2

Point = tuple[float, float]


@dataclass(frozen=True)
class Measured:
    """Area of each face in m2 and length of all arrises in mm, of one part."""

    area_m2: dict[str, float]
    arris_mm: float


def _measured(arris_mm: float, **area_mm2: float) -> Measured:
    return Measured({name.replace("_", " "): mm2 / MM2_PER_M2 for name, mm2 in area_mm2.items()}, arris_mm)


def panel(long: float, wide: float, thick: float) -> Measured:
    """A flat board: top, underside, edges (along the grain), ends.

    >>> panel(1000, 500, 20).area_m2["edges"]
    0.04
    """
    return _measured(
        4 * (long + wide + thick),
        top=long * wide,
        underside=long * wide,
        edges=2 * long * thick,
        ends=2 * wide * thick,
    )


def round_panel(across: float, thick: float) -> Measured:
    """A disc: its rim is one face, edges."""
    flat = math.pi * across**2 / 4
    return _measured(2 * math.pi * across, top=flat, underside=flat, edges=math.pi * across * thick)


#: sides of a box that meet each side: the pair across its width, then across its height
_MEETS = {
    "top": (("left", "right"), ("front", "back")),
    "underside": (("left", "right"), ("front", "back")),
    "front": (("left", "right"), ("top", "underside")),
    "back": (("left", "right"), ("top", "underside")),
    "left": (("front", "back"), ("top", "underside")),
    "right": (("front", "back"), ("top", "underside")),
}
BOX_SIDES = tuple(_MEETS)


def box(wide: float, deep: float, high: float, thick: float, lacks: Sequence[str] = ()) -> Measured:
    """A box of walls of one thickness, outside measures; `lacks` are the sides it has not.

    Rims are the edges of the walls round each open side; inside is all inner surfaces.
    """
    walls = {side: 0.0 if side in lacks else thick for side in BOX_SIDES}
    outer = {"left right": wide, "front back": deep, "top underside": high}

    def spans(side: str) -> tuple[tuple[float, float], tuple[float, float]]:
        """Outside and inside measure of a side, both ways."""
        found = []
        for pair in _MEETS[side]:
            out = outer[" ".join(pair)]
            found.append((out, out - walls[pair[0]] - walls[pair[1]]))
        return found[0], found[1]

    area = {}
    rims = inside = 0.0
    arris = 4 * (wide + deep + high)
    for side in BOX_SIDES:
        (out_a, in_a), (out_b, in_b) = spans(side)
        if side in lacks:
            rims += out_a * out_b - in_a * in_b
            arris += 2 * (in_a + in_b)
        else:
            area[side] = out_a * out_b
            inside += in_a * in_b
    if lacks:
        area["rims"] = rims
    return _measured(arris, **area, inside=inside)


def frame(wide: float, high: float, rail: float, thick: float) -> Measured:
    """A frame of four members of one width, outside measures."""
    in_wide, in_high = wide - 2 * rail, high - 2 * rail
    outer, inner = 2 * (wide + high), 2 * (in_wide + in_high)
    flat = wide * high - in_wide * in_high
    return _measured(
        2 * (outer + inner) + 8 * thick,
        front=flat,
        back=flat,
        inner_edges=inner * thick,
        outer_edges=outer * thick,
    )


def square_leg(long: float, wide: float, thick: float, foot: float | None = None) -> Measured:
    """A leg with four flat sides, tapered evenly to a square foot where `foot` is given."""
    foot_wide, foot_thick = (wide, thick) if foot is None else (foot, foot)
    run = math.hypot(long, (wide - foot_wide) / 2, (thick - foot_thick) / 2)
    return _measured(
        4 * run + 2 * (wide + thick) + 2 * (foot_wide + foot_thick),
        sides=leg_band(long, wide, thick, foot, long) * MM2_PER_M2,
        top=wide * thick,
        foot=foot_wide * foot_thick,
    )


def leg_band(long: float, wide: float, thick: float, foot: float | None, length: float) -> float:
    """Area in m2 of the four sides of a leg over a length from its top."""
    share = min(length / long, 1.0)
    end_wide = wide if foot is None else wide + (foot - wide) * share
    end_thick = thick if foot is None else thick + (foot - thick) * share
    run = long * share
    faces = (wide + end_wide) * math.hypot(run, (thick - end_thick) / 2)
    return (faces + (thick + end_thick) * math.hypot(run, (wide - end_wide) / 2)) / MM2_PER_M2


def turned_leg(long: float, across_at: Sequence[float]) -> Measured:
    """A turned leg from its diameters at even stations, top to foot."""
    first, last = across_at[0], across_at[-1]
    return _measured(
        math.pi * (first + last),
        sides=_extrapolated(across_at, lambda at: _cones(long, at)),
        top=math.pi * first**2 / 4,
        foot=math.pi * last**2 / 4,
    )


def turned_band(long: float, across_at: Sequence[float], length: float) -> float:
    """Area in m2 of a turned surface over a length from its top, by straight pieces."""
    step = long / (len(across_at) - 1)
    area, left = 0.0, min(length, long)
    for one, two in pairwise(across_at):
        run = min(step, left)
        if run <= 0:
            break
        area += _cones(run, (one, one + (two - one) * run / step))
        left -= run
    return area / MM2_PER_M2


def _cones(long: float, across_at: Sequence[float]) -> float:
    """Lateral area of cone frusta end to end: pi times mean diameter times slant."""
    step = long / (len(across_at) - 1)
    pairs = pairwise(across_at)
    return sum(math.pi * (a + b) / 2 * math.hypot(step, (a - b) / 2) for a, b in pairs)


def stick(long: float, wide: float, thick: float) -> Measured:
    """A straight stick: its four sides are one face."""
    return _measured(4 * (long + wide + thick), sides=2 * (wide + thick) * long, ends=2 * wide * thick)


def moulding(long: float, girth: float, wide: float = 0.0, thick: float = 0.0) -> Measured:
    """A moulding: its face is girth by length; back and ends only where width and thickness are known."""
    return _measured(2 * long, face=long * girth, back=long * wide, ends=2 * wide * thick)


def slab(long: float, wide_at: Sequence[float], thick: float, natural: str = "both") -> Measured:
    """A slab from its widths at even stations, end to end.

    Where both edges are natural (or neither is straight) each takes half of every change of width; where only
    `left` or `right` is, the other is straight.
    """
    flat = _extrapolated(wide_at, lambda at: _trapezoid(long, at))
    share = 1.0 if natural in ("left", "right") else 0.5
    curved = _extrapolated(wide_at, lambda at: _run(long, [w * share for w in at]))
    edges = curved + long if share == 1.0 else 2 * curved
    ends = wide_at[0] + wide_at[-1]
    return _measured(
        2 * (edges + ends) + 4 * thick,
        top=flat,
        underside=flat,
        edges=edges * thick,
        ends=ends * thick,
    )


def outlined_slab(outline: Sequence[Point], thick: float) -> Measured:
    """A slab from the points round it, as (along the grain, across); corners joined straight.

    A stretch that runs more across the grain than along it counts as end grain.
    """
    edges = ends = twice = 0.0
    for (x1, y1), (x2, y2) in zip(outline, [*outline[1:], outline[0]], strict=True):
        twice += x1 * y2 - x2 * y1
        length = math.hypot(x2 - x1, y2 - y1)
        if abs(y2 - y1) > abs(x2 - x1):
            ends += length
        else:
            edges += length
    flat = abs(twice) / 2
    return _measured(2 * (edges + ends), top=flat, underside=flat, edges=edges * thick, ends=ends * thick)


def crosses_itself(outline: Sequence[Point]) -> bool:
    """Whether the line round the points cuts itself, so that its area means nothing."""
    count = len(outline)
    sides = [(outline[n], outline[(n + 1) % count]) for n in range(count)]
    for n, one in enumerate(sides):
        for m in range(n + 2, count):
            if (n, m) != (0, count - 1) and _cut(*one, *sides[m]):
                return True
    return False


def _cut(a: Point, b: Point, c: Point, d: Point) -> bool:
    def turn(p: Point, q: Point, r: Point) -> float:
        return (q[0] - p[0]) * (r[1] - p[1]) - (q[1] - p[1]) * (r[0] - p[0])

    return turn(a, b, c) * turn(a, b, d) < 0 and turn(c, d, a) * turn(c, d, b) < 0


def rectangle_m2(long: float, wide: float) -> float:
    """Area in m2 of a rectangle, mm."""
    return long * wide / MM2_PER_M2


def circle_m2(across: float) -> float:
    """Area in m2 of a circle, mm."""
    return math.pi * across**2 / 4 / MM2_PER_M2


def _trapezoid(long: float, at: Sequence[float]) -> float:
    return long / (len(at) - 1) * (sum(at) - (at[0] + at[-1]) / 2)


def _run(long: float, at: Sequence[float]) -> float:
    """Length along straight pieces through the stations."""
    step = long / (len(at) - 1)
    return sum(math.hypot(step, b - a) for a, b in pairwise(at))


def _extrapolated(at: Sequence[float], rule: Callable[[Sequence[float]], float]) -> float:
    """The rule with every station, mended by the rule with every second one where the number is odd."""
    fine = rule(at)
    return (4 * fine - rule(at[::2])) / 3 if len(at) % 2 else fine
