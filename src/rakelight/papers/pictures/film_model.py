"""What the picture of a film shows: bands from the wood up, pores, limits, what rubbing takes. Lengths in um."""

from __future__ import annotations

from dataclasses import dataclass, replace

from rakelight.facts.load import Facts
from rakelight.schedule.film_advice import times_in
from rakelight.schedule.film_answers import FaceAnswer
from rakelight.schedule.film_ledger import fuses
from rakelight.schedule.pores_of import acts_of
from rakelight.spread import Spread
from rakelight.units import UM_PER_MIL, UM_PER_MM

#: an arris nobody touched is still this round, um (judgement, for drawing)
_SHARP_UM = 60.0


@dataclass(frozen=True)
class Band:
    """One layer: a coat or seal with thickness, or filler that only makes pores shallower."""

    kind: str  # coat, seal, filler, old
    number: int  # of a coat, from the wood up; 0 for others
    flat_um: float
    arris_um: float
    dip_um: float  # left over a pore once it is dry and what is sanded is sanded
    scratched: bool  # what lies beneath was sanded


@dataclass(frozen=True)
class FilmModel:
    """A face cut across, and its arris."""

    title: str
    says: str
    bands: tuple[Band, ...]
    fused: bool
    oiled: bool
    wood: str
    pore_um: tuple[float, float]  # wide, deep; 0 none
    film: Spread
    floor_um: float | None
    ceiling_um: float
    take: Spread | None
    take_arris: Spread | None
    arris_um: float  # radius
    arris_words: str
    odds_flat: str
    odds_arris: str
    through_flat: str  # what is likely cut through; ""
    through_arris: str

    @property
    def film_um(self) -> float:
        """Whole film on the flat, as drawn."""
        return sum(band.flat_um for band in self.bands)


def film_model(face: FaceAnswer, facts: Facts) -> FilmModel:
    """The picture's model from the answer on one face."""
    film = face.film
    depth = face.wood.pore_depth_um.likely if face.wood and face.wood.pore_depth_um else 0.0
    wide = (face.wood.pore_width_um if face.wood and depth else None) or (depth, depth)
    top = film.top
    fused = bool(top and fuses(facts.materials[top.material]))
    bands = _bands(face, depth, facts)
    rubbed = film.rubbed
    rounded = "sharp" if face.arris_mm < 0.05 else f"rounded to {face.arris_mm:g} mm"
    part = film.part.replace("-", " ")
    takes = film.rub_um.likely, film.arris_rub_um.likely
    through = [_through(bands, fused, um, at_arris) for um, at_arris in zip(takes, (False, True), strict=True)]
    model = FilmModel(
        title=f"The film on the {part}, {film.face}, cut across the grain",
        says="",
        bands=bands,
        fused=fused,
        oiled=any(layer.kind == "oil" for layer in film.stack.layers),
        wood=face.wood.name if face.wood else "",
        pore_um=(sum(wide) / 2.0, depth),
        film=film.dry_um,
        floor_um=face.floor_um,
        ceiling_um=face.ceiling_um,
        take=film.rub_um if rubbed else None,
        take_arris=film.arris_rub_um if rubbed else None,
        arris_um=max(_SHARP_UM, face.arris_mm * UM_PER_MM),
        arris_words=rounded,
        odds_flat=_odds(face.cut.flat, fused) if rubbed else "not rubbed",
        odds_arris=_odds(face.cut.arris, fused) if rubbed else "not rubbed",
        through_flat=through[0] if rubbed else "",
        through_arris=through[1] if rubbed else "",
    )
    return replace(model, says=_says(model))


def _bands(face: FaceAnswer, depth: float, facts: Facts) -> tuple[Band, ...]:
    film = face.film
    coats = iter(film.coats)
    films = [layer for layer in film.stack.layers if layer.laid_um > 0]
    found = [Band("old", 0, film.old_um, film.old_um, depth, False)] if film.old_um else []
    dip, number, at = depth, 0, -1
    acts = acts_of(film.stack, facts)
    last = films[-1]
    for layer in film.stack.layers:
        at += 1
        dip *= acts[at][1].keeps
        while at + 1 < len(acts) and acts[at + 1][0] in ("sand", "scuff", "level", "rub"):
            at += 1
            if layer is not last:
                dip = max(0.0, dip - acts[at][1].cuts_um)
        if layer.laid_um > 0:
            coat = next(coats)
            number += layer.do == "coat"
            kind = "coat" if layer.do == "coat" else "seal"
            n = number if kind == "coat" else 0
            found.append(Band(kind, n, coat.left_um.likely, coat.arris_um.likely, dip, coat.scratched))
        elif layer.kind == "filler":
            found.append(Band("filler", 0, 0.0, 0.0, dip, False))
        if layer is last:
            break
    return tuple(found)


def _odds(chance: float, fused: bool) -> str:
    what = "a spot is cut through" if fused else "a ring shows"
    return f"{times_in(chance)} {what}"


def _through(bands: tuple[Band, ...], fused: bool, take_um: float, at_arris: bool) -> str:
    """Where a likely removal ends, if that is further than it may: through a coat, or to the wood."""
    gone = take_um
    coats = [b for b in bands if b.flat_um > 0]
    for n in range(len(coats) - 1, -1, -1):
        there = coats[n].arris_um if at_arris else coats[n].flat_um
        if gone <= there:
            if fused or n == len(coats) - 1:
                return ""
            return f"coat {coats[-1].number}, into {coats[n].number or coats[n].kind}"
        gone -= there
    return "to the wood"


def _says(model: FilmModel) -> str:
    """The picture in words, for those who cannot see it."""
    coats = sum(b.kind == "coat" for b in model.bands)
    filled = any(b.kind == "filler" for b in model.bands)
    mil = model.film.likely / UM_PER_MIL
    words = [
        "To scale both ways.",
        f"{model.wood.capitalize() or 'Wood'}{' with oil in it' if model.oiled else ''}"
        f"{', its pores filled' if filled else ''}, {coats} coat{'' if coats == 1 else 's'}, "
        f"{model.film.likely:.0f} micrometres ({mil:.1f} mil) together.",
        f"Ceiling {model.ceiling_um:.0f}." if model.floor_um is None
        else f"Floor {model.floor_um:.0f}, ceiling {model.ceiling_um:.0f}.",
    ]  # fmt: skip
    if model.take:
        low, likely, high = model.take
        words.append(f"Rubbing takes {low:.0f} to {high:.0f}, likely {likely:.0f} micrometres.")
        flat = f"likely goes through {model.through_flat}" if model.through_flat else "stays within it"
        arris = f"likely goes through {model.through_arris}" if model.through_arris else "stays within it"
        words.append(f"On the flat that {flat}; at the arris it {arris}.")
    return " ".join(words).replace("through to the wood", "to the wood")
