"""The film of a face to scale, the arris beside the flat, with floor, ceiling and what rubbing takes; two cuts."""

from __future__ import annotations

from dataclasses import dataclass

from rakelight.facts.load import Facts
from rakelight.papers.pictures.canvas import Sheet, words_width
from rakelight.papers.pictures.film_arris import draw_arris
from rakelight.papers.pictures.film_flat import Box, draw_flat, hatch_rules, hatches
from rakelight.papers.pictures.film_model import FilmModel, film_model
from rakelight.schedule.film_answers import FaceAnswer
from rakelight.units import UM_PER_MIL

_MOST_SCALE, _FILM_PX, _PORE_PX = 2.2, 165.0, 205.0
_BAR_UM = 100.0


def picture_of(face: FaceAnswer, facts: Facts, narrow: bool = False, inline: str = "") -> str:
    """The film of one face as SVG.

    Parameters: narrow, the arris below the flat, for a phone; inline, a name where it stands within a page.
    """
    return draw(film_model(face, facts), narrow, inline)


def scale_of(model: FilmModel) -> float:
    """Px for one um, the same up and across: the ceiling and the pore fit."""
    high = max(model.ceiling_um, model.film.high, 1.0)
    deep = max(model.pore_um[1], 1.0)
    return min(_MOST_SCALE, _FILM_PX / high, _PORE_PX / deep)


@dataclass(frozen=True)
class _Cut:
    """Where things stand in one of the two cuts."""

    width: float
    height: float
    flat: Box
    arris: Box
    labels: float  # right end of the words left of the flat


def draw(model: FilmModel, narrow: bool = False, inline: str = "") -> str:
    """The picture as SVG; `narrow` and `inline` as in `picture_of`."""
    cut = _narrow(model) if narrow else _wide(model)
    sheet = Sheet(cut.width, cut.height, model.title, model.says, hatch_rules(inline), inline)
    hatches(sheet, cut.flat)
    draw_flat(sheet, model, cut.flat)
    _limits(sheet, model, cut)
    draw_arris(sheet, model, cut.arris)
    _heads(sheet, model, cut, narrow)
    if not narrow:
        _beside(sheet, model, cut)
    _bar(sheet, model, cut, narrow)
    return sheet.svg()


def _wide(model: FilmModel) -> _Cut:
    s = scale_of(model)
    wood = 78 + s * max(model.ceiling_um, model.film.high)
    bottom = wood + 225
    flat = Box(160, 640, wood, bottom, s)
    return _Cut(1152, bottom + 44, flat, Box(826, 1146, wood, bottom, s), 144)


def _narrow(model: FilmModel) -> _Cut:
    s = scale_of(model) * 0.85
    wood = 60 + s * max(model.ceiling_um, model.film.high)
    bottom = wood + 165
    low = bottom + 90 + s * sum(band.arris_um for band in model.bands)
    flat = Box(88, 352, wood, bottom, s)
    return _Cut(360, low + 144, flat, Box(88, 352, low, low + 140, s), 76)


def _heads(sheet: Sheet, model: FilmModel, cut: _Cut, narrow: bool) -> None:
    left, right = (12.0, 12.0) if narrow else (cut.flat.left, cut.arris.left)
    sheet.text(left, 20 if narrow else 28, "On the flat", "b")
    sheet.text(left, 41 if narrow else 50, model.odds_flat, "plate")
    y = cut.flat.bottom + 44 if narrow else 28
    sheet.text(right, y, f"At the arris, {model.arris_words}", "b")
    sheet.text(right, y + 21, model.odds_arris, "plate")
    if model.through_arris:
        _alarm(sheet, model.through_arris, cut.arris.right, cut.arris.bottom - (34 if narrow else 40))
    if model.through_flat:
        _alarm(sheet, model.through_flat, cut.flat.right - 4, cut.flat.bottom - 40)


def _alarm(sheet: Sheet, through: str, x: float, y: float) -> None:
    sheet.text(x, y, "likely through" if through.startswith("coat") else "likely", "plate st e")
    sheet.text(x, y + 20, through, "plate st e")


def _limits(sheet: Sheet, model: FilmModel, cut: _Cut) -> None:
    box, taken = cut.flat, -100.0
    short = cut.labels < 100
    for name, um in (("ceiling", model.ceiling_um), ("floor", model.floor_um), ("wood", 0.0)):
        if um is None:
            continue
        y = box.wood - um * box.scale
        if name != "wood":
            sheet.line("lim dash", (box.left - 8, y), (box.right + 8, y))
        at = max(y + 5, taken + 18)
        if short:
            sheet.text(cut.labels, at, name, "e b")
            at += 18
            sheet.text(cut.labels, at, f"{um:.0f} µm", "e q")
        else:
            sheet.text(cut.labels, at, f"{name} {um:.0f} µm" if um else "wood", "e b")
        taken = at


def _beside(sheet: Sheet, model: FilmModel, cut: _Cut) -> None:
    box, x = cut.flat, cut.flat.right + 20
    y = box.wood + 24
    sheet.text(x, y, "film before rubbing" if model.take else "film", "q")
    sheet.text(x, y + 20, f"{model.film.likely:.0f} µm, {model.film.likely / UM_PER_MIL:.1f} mil", "b")
    sheet.text(x, y + 40, f"({model.film.low:.0f} to {model.film.high:.0f})", "q")
    y += 66
    for words in _notes(model):
        sheet.text(x, y, words)
        y += 21
    if model.take is None:
        return
    low, likely, high = (v * box.scale for v in model.take)
    top = box.wood - model.film_um * box.scale
    wide = 38.0
    points = [(x, top), (x + wide, top), (x + wide, top + low), (x + wide / 2, top + likely), (x, top + high)]
    sheet.polygon("wed", points)
    sheet.circle("dot", (x + wide / 2, top + likely), 4.5)
    sheet.text(x + 48, top - 14, "rubbing will")
    sheet.text(x + 48, top + 6, f"take {model.take.likely:.0f} µm", "plate b")
    sheet.text(x + 48, top + 26, f"({model.take.low:.0f} to {model.take.high:.0f})", "plate q")


def _notes(model: FilmModel) -> list[str]:
    """What the bands are, in a few words each."""
    found = []
    seal = sum(b.flat_um for b in model.bands if b.kind == "seal")
    coats = [b for b in model.bands if b.kind == "coat"]
    old = sum(b.flat_um for b in model.bands if b.kind == "old")
    if coats:
        each = sum(b.flat_um for b in coats) / len(coats)
        found.append(f"{len(coats)} coat{'' if len(coats) == 1 else 's'}, {each:.0f} µm each")
    if seal:
        found.append(f"seal {seal:.0f} µm")
    if old:
        found.append(f"old film {old:.0f} µm")
    if any(b.kind == "filler" for b in model.bands):
        found.append("pore, filled")
    dip = model.bands[-1].dip_um if model.bands else 0.0
    if model.pore_um[1] and dip >= 1:
        found.append(f"dip left {dip:.0f} µm")
    if model.oiled:
        found.append("wood oiled")
    return found


def _bar(sheet: Sheet, model: FilmModel, cut: _Cut, narrow: bool) -> None:
    box = cut.flat
    um = _BAR_UM / 2 if narrow else _BAR_UM
    y, wide = box.bottom + (10 if narrow else 26), um * box.scale
    sheet.line("lim", (box.left, y - 6), (box.left, y), (box.left + wide, y), (box.left + wide, y - 6))
    words = f"{um:.0f} µm ({um / UM_PER_MIL:.0f} mil)"
    more = ", the same scale up and across"
    if not narrow and box.left + wide + 14 + words_width(words + more) < cut.width:
        words += more
    sheet.text(box.left + wide + 10, y + 5, words)
