"""The arris of a film, crown up, at the scale of the flat: film draws back from it, papers bite there."""

from __future__ import annotations

import math

from rakelight.papers.pictures.canvas import Point, Sheet
from rakelight.papers.pictures.film_flat import Box
from rakelight.papers.pictures.film_model import FilmModel
from rakelight.spread import Spread

_STEP_PX = 4.0
_FLANK = math.pi / 4  # an arris of a square edge, crown up: flanks fall away at half a right angle


def draw_arris(sheet: Sheet, model: FilmModel, box: Box) -> None:
    """Draw the arris into its box."""
    spots = _spots(model.arris_um * box.scale, box)
    ground = [spot for spot, _ in spots]
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


def _spots(radius: float, box: Box) -> list[tuple[Point, float]]:
    """Points of the wood from left to right within the box, each with the angle of its upright."""
    centre, half = (box.left + box.right) / 2, (box.right - box.left) / 2
    count = round(2 * half / _STEP_PX)
    found = []
    for n in range(count + 1):
        x = -half + 2 * half * n / count
        end = radius * math.sin(_FLANK)
        if abs(x) <= end:
            angle = math.asin(x / radius)
            y = radius * (1 - math.cos(angle))
        else:
            angle = math.copysign(_FLANK, x)
            y = radius * (1 - math.cos(_FLANK)) + (abs(x) - end)
        if box.wood + y <= box.bottom - 2:
            found.append(((centre + x, box.wood + y), angle))
    return found


def _lifted(spots: list[tuple[Point, float]], flat_um: float, arris_um: float, scale: float) -> list[Point]:
    """A surface so far above the wood: the arris's figure on the crown, the flat's where the flank begins."""
    found = []
    for (x, y), angle in spots:
        share = math.sin(math.pi / 2 * min(1.0, abs(angle) / _FLANK)) ** 2
        high = max(0.0, arris_um + (flat_um - arris_um) * share) * scale
        found.append((x + high * math.sin(angle), y - high * math.cos(angle)))
    return found


def _taken(
    sheet: Sheet,
    model: FilmModel,
    box: Box,
    spots: list[tuple[Point, float]],
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
