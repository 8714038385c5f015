"""The arris of a film, crown up, at the scale of the flat: film draws back from it, papers bite there."""

from __future__ import annotations

import math

from rakelight.papers.pictures.canvas import Point, Sheet
from rakelight.papers.pictures.film_flat import Box
from rakelight.papers.pictures.film_model import FilmModel
from rakelight.spread import Spread

_STEP_PX = 4.0
_FLANK = math.pi / 4  # an arris of a square edge, crown up: flanks fall away at half a right angle
#: how far from the crown a film is as full as on the flat, um, where the arc itself is shorter (judgement, for drawing)
_BACK_UM = 400.0
#: a place on the wood, px; the angle of its upright; the share of the flat's film there over the arris's
_Spot = tuple[Point, float, float]


def draw_arris(sheet: Sheet, model: FilmModel, box: Box) -> None:
    """Draw the arris into its box."""
    spots = _spots(model, box)
    ground = [spot for spot, _, _ in spots]
    body = [*ground, (ground[-1][0], box.bottom), (ground[0][0], box.bottom)]
    sheet.polygon("wood", body)
    sheet.polygon("fib", body)
    sheet.line("pore", *ground)
    below = ground
    flat = arris = 0.0
    for band in (b for b in model.bands if b.kind != "filler"):
        flat, arris = flat + band.flat_um, arris + band.arris_um
        above = _lifted(spots, flat, arris, box.scale)
        cls = "ks" if band.kind == "seal" else "ko" if band.kind == "old" else ""
        cls = cls or ("f1" if model.fused else "k1" if band.number % 2 else "k2")
        sheet.polygon(cls, [*above, *reversed(below)])
        below = above
    _taken(sheet, model, box, spots, flat, arris, below)
    sheet.line("top", *below)


def _spots(model: FilmModel, box: Box) -> list[_Spot]:
    """Places on the wood from left to right, as far as the film above them stays in the box."""
    radius, back = model.arris_um * box.scale, _BACK_UM * box.scale
    centre, half = (box.left + box.right) / 2, (box.right - box.left) / 2
    end = radius * math.sin(_FLANK)
    full = max(back, radius * _FLANK)
    found: list[_Spot] = []
    for n in range(round(2 * half / _STEP_PX) + 1):
        x = -half + _STEP_PX * n
        if abs(x) <= end:
            angle = math.asin(x / radius)
            y, away = radius * (1 - math.cos(angle)), radius * abs(angle)
        else:
            angle, run = math.copysign(_FLANK, x), abs(x) - end
            y, away = radius * (1 - math.cos(_FLANK)) + run, radius * _FLANK + run * math.sqrt(2)
        share = math.sin(math.pi / 2 * min(1.0, away / full)) ** 2
        out = abs(x) + model.film_um * box.scale * abs(math.sin(angle))
        if box.wood + y <= box.bottom - 2 and out <= half:
            found.append(((centre + x, box.wood + y), angle, share))
    return found


def _lifted(spots: list[_Spot], flat_um: float, arris_um: float, scale: float) -> list[Point]:
    """A surface so far above the wood: the arris's figure on the crown, the flat's away from it."""
    found = []
    for (x, y), angle, share in spots:
        high = max(0.0, arris_um + (flat_um - arris_um) * share) * scale
        found.append((x + high * math.sin(angle), y - high * math.cos(angle)))
    return found


def _taken(
    sheet: Sheet,
    model: FilmModel,
    box: Box,
    spots: list[_Spot],
    flat: float,
    arris: float,
    top: list[Point],
) -> None:
    if model.take is None or model.take_arris is None:
        return

    def line(pick: str) -> list[Point]:
        off = [getattr(s, pick) for s in (model.take or _NONE, model.take_arris or _NONE)]
        return _lifted(spots, max(0.0, flat - off[0]), max(0.0, arris - off[1]), box.scale)

    for cls, pick in (("h3", "high"), ("h2", "likely"), ("h1", "low")):
        sheet.polygon(cls, [*top, *reversed(line(pick))])
    likely = line("likely")
    sheet.line("lik", *likely)
    if model.through_arris:
        third = len(likely) // 3
        sheet.line("wit", *likely[third : len(likely) - third])


_NONE = Spread(0.0, 0.0, 0.0)
