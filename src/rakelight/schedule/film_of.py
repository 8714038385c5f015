"""What a coat leaves and what an abrasive takes: film as the sessions of a part go on.

Source: docs/decisions.md, "Film", "Scuffs", "Rubbing". Figures stand in the tables.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace

from rakelight.facts.load import Facts
from rakelight.facts.records import Material
from rakelight.physics.film import dry_um, thinned_solids
from rakelight.physics.mixing import solids_volume_spread
from rakelight.piece.model import Face, Part
from rakelight.schedule.ops import Op
from rakelight.schedule.steps import Grit, Step
from rakelight.schedule.tasks import Lay
from rakelight.spread import Spread

#: what is taken off: ids of the table of figures, each so many times
Taken = tuple[tuple[str, float], ...]

#: what a powder takes, by its name in the table of abrasives
_POWDERS = {"pumice": "pumice_um", "rottenstone": "rottenstone_um"}
_MOST_SAY_SO = 0.5  # share of the area that stands, from which a coat is laid as on standing faces


@dataclass(frozen=True)
class Skin:
    """What lies on one face, as far as the next step must know."""

    last: Lay | None = None  # the last coat
    film: Lay | None = None  # the last coat that leaves a film
    coats: int = 0  # coats laid, colour not counted: wood drinks through it as if bare
    abraded: bool = False  # since the last coat
    levelled: bool = False  # since the last coat
    grain_um: float = 0.0  # of the last abrasive since then

    def laid(self, lay: Lay, material: Material) -> Skin:
        """With one more coat."""
        counts = not material.roles <= {"colour", "colour_removal"}
        return Skin(lay, lay if lay.dry_um > 0 else self.film, self.coats + counts)


def leaves_film(material: Material, solids: Spread, facts: Facts) -> bool:
    """Whether a coat counts as film: not oil, colour, size, wax, filler scraped flush, or a thin wash."""
    if material.coats_join == "absorbed" or material.roles & {"filler", "wax"}:
        return False
    return solids.likely >= facts.figures["film_low_solids"].value.likely


def solids_as_laid(step: Step, material: Material, facts: Facts) -> Spread:
    """Share of solids by volume, at the cut and thinning of a step."""
    solids = material.solids_volume
    if step.cut_lb is not None and material.is_shellac:
        solids = solids_volume_spread(step.cut_lb, facts.figures["resin_density_kg_per_l"].value)
    if step.thin:
        solids = Spread.of([thinned_solids(s, step.thin) for s in solids])
    return solids


def lay_of(op: Op, part: Part, facts: Facts) -> Lay | None:
    """What an op lays on each of its faces; None where it lays nothing."""
    step = op.step
    material = facts.materials.get(step.material)
    if material is None or op.do in ("rub", "level", "sand", "scuff"):
        return None
    by = step.by if step.by in material.wet_film_um else material.methods[0]
    wet = material.wet_film_um[by]
    cap = _standing_cap(part, op.faces, material, facts)
    if cap is not None:
        wet = Spread(min(wet.low, cap), min(wet.likely, cap), min(wet.high, cap))
    solids = solids_as_laid(step, material, facts)
    dry = dry_um(wet.likely, solids.likely) if leaves_film(material, solids, facts) else 0.0
    return Lay(
        material=material.id,
        by=step.by or by,
        cut_lb=step.cut_lb,
        thin=step.thin,
        warm=step.warm,
        flood=step.flood,
        solids_volume=solids,
        wet_um=wet,
        dry_um=dry,
        coat=op.coat,
        of=op.of,
    )


def _standing_cap(part: Part, names: Iterable[str], material: Material, facts: Facts) -> float | None:
    """Most wet film on faces taller than 100 mm that stand while they are coated; None where they lie."""
    if "film" not in material.roles or _height_mm(part) <= facts.figures["stand_tall_mm"].value.likely:
        return None
    faces = [f for f in part.faces if f.name in set(names)]
    whole = sum(f.area_m2 for f in faces)
    standing = sum(f.area_m2 for f in faces if stands(f, part))
    if whole <= 0 or standing / whole < _MOST_SAY_SO:
        return None
    return facts.figures["stand_shellac_um" if material.is_shellac else "stand_other_um"].value.likely


def stands(face: Face, part: Part) -> bool:
    """Whether a face is upright while it is coated."""
    return face.stands or (part.both_faces == "hung" and face.broad)


def _height_mm(part: Part) -> float:
    sizes = part.sizes
    if sizes.high_mm is not None:
        return sizes.high_mm
    return max((v for v in (sizes.long_mm, sizes.wide_mm, sizes.round_mm) if v), default=float("inf"))


def fepa(grit: Grit, facts: Facts) -> int:
    """Number of the FEPA P grade nearest in grain."""
    if not grit.us:
        return grit.number
    size = facts.paper_um(grit.number, grit.us) or 0.0
    if size <= 0:
        return grit.number
    papers = [a for a in facts.abrasives.values() if a.kind == "FEPA_P" and a.size_um]
    return int(min(papers, key=lambda a: abs((a.size_um or 0) - size)).grade.lstrip("P"))


def removal_um(op: Op, skin: Skin, facts: Facts) -> tuple[float, Skin]:
    """Film an abrasive step takes from a face, likely um, and the face after it."""
    parts, after = removal_parts(op, skin, facts)
    return taken_um(parts, facts), after


def taken_um(parts: Taken, facts: Facts) -> float:
    """What is taken, likely um: each figure of the table so many times."""
    return sum(facts.figures[id].value.likely * times for id, times in parts)


def removal_parts(op: Op, skin: Skin, facts: Facts) -> tuple[Taken, Skin]:
    """What an abrasive step takes from a face, figure by figure of the table, and the face after it.

    Scuff and sanding over a coat: P68, 8 um on the first water-borne coat over bare wood. Levelling: P69 with
    the first paper, whatever its grit, unless levelled already, and a tenth of each grain replaced; pumice
    and rottenstone their own. Never more than lies there: that is seen to where layers are folded.
    """
    step = op.step
    grains = [facts.paper_um(g.number, g.us) or 0.0 for g in step.grits]
    after = replace(skin, abraded=True, grain_um=grains[-1] if grains else skin.grain_um)
    if skin.last is None:
        return (), replace(after, abraded=False)
    if op.do in ("sand", "scuff"):
        row = facts.materials[skin.last.material]
        first = skin.coats == 1 and row.is_water_borne and "film" in row.roles
        return (("scuff_first_waterborne_um" if first else "scuff_um", 1.0),), after
    taken: list[tuple[str, float]] = []
    papers = bool(grains)
    if papers and not skin.levelled:
        sprayed = skin.film and skin.film.by == "spray"
        taken.append(("level_sprayed_um" if sprayed else "level_brushed_um", 1.0))
    replaced = grains[:-1] if papers else []
    if skin.grain_um and (skin.levelled or not papers):
        replaced = [skin.grain_um, *replaced]
    if replaced:
        taken.append(("scratch_share", sum(replaced)))
    taken += [(id, 1.0) for powder, id in _POWDERS.items() if powder in step.abrasive]
    size = facts.abrasives[step.abrasive].size_um if step.abrasive in facts.abrasives else None
    grain = grains[-1] if grains else (size or 0.0)
    return tuple(taken), replace(after, levelled=skin.levelled or papers, grain_um=grain)
