"""Ways to fill the pores of a face side by side: coats, time until the finish goes on, and minutes of work.

Case C43. Times are at the tables' reference air. Source: docs/decisions.md, "Pores"; labour and waits of the tables.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

from rakelight.facts.load import Facts
from rakelight.facts.records import FillerLimit, Material, Wood
from rakelight.physics.pores import MOST_FILLER_COATS, FillerCoats, Filling, dip_um, kept
from rakelight.schedule.film_answers import FaceAnswer
from rakelight.schedule.layers import Layer, Stack
from rakelight.schedule.over import may_go_over
from rakelight.schedule.pores_of import acts_of, filler_coats, suiting
from rakelight.spread import Spread


@dataclass(frozen=True)
class Way:
    """One way: what fills, how many coats, hours from the first until the next finish coat, minutes of work."""

    name: str
    alone: bool  # the finish itself, no filler: then coats, hours and minutes are beyond those of its schedule
    coats: FillerCoats | None  # None where no number of coats gets there
    wait_h: Spread | None  # for the likely number of coats
    work_min: Spread | None  # the same, for this face of one part, with the sanding of each coat


def filling_ways(face: FaceAnswer, facts: Facts) -> tuple[Way, ...]:
    """The finish alone, and each filler that holds under it; nothing where the look asks no filling."""
    wood, limit, top = face.wood, face.limit, face.film.top
    if wood is None or limit is None or limit.likely_um is None or top is None or not wood.pore_depth_um:
        return ()
    if face.film.role != "show" or face.filler is None or not (face.filler.high or face.dust):
        return ()
    stack = face.film.stack
    bare = replace(stack, layers=tuple(x for x in stack.layers if x.kind != "filler"))
    fillers = dict.fromkeys([*(m.id for m in suiting(stack, facts)), *(m.id for m in suiting(bare, facts))])
    own = facts.materials[top.material]
    rows = [_by_film(own, top, wood, limit, face, facts)]
    rows += [_by_filler(facts.materials[id], stack, wood, limit, face, facts) for id in fillers]
    return tuple(rows)


def _by_film(own: Material, top: Layer, wood: Wood, limit: FillerLimit, face: FaceAnswer, facts: Facts) -> Way:
    """Film alone: how many coats of the finish beyond those of its schedule, before it is cut back."""
    eta = facts.figure("fill_eta_sprayed" if top.by == "spray" else "fill_eta_brushed").value.likely
    more = Filling(kept(top.solids, eta))
    acts = [act for act in acts_of(face.film.stack, facts) if act[0] != "filler"]
    last = max(n for n, (kind, _) in enumerate(acts) if kind == "film") + 1
    before, after = [act for _, act in acts[:last]], [act for _, act in acts[last:]]
    depth = wood.pore_depth_um or Spread.exact(0.0)
    most = MOST_FILLER_COATS

    def least(deep_um: float, limit_um: float) -> int:
        return next((n for n in range(most) if dip_um(deep_um, [*before, *[more] * n, *after]) <= limit_um), most)

    likely = least(depth.likely, limit.likely_um or 0.0)
    if likely >= most:
        return Way(own.name, True, None, None, None)
    low = least(depth.low, limit.lenient_um or depth.low)
    coats = FillerCoats(min(low, likely), likely, max(likely, least(depth.high, limit.strict_um or 0.0)))
    work = {"spray": "spray", "pad": "pad", "wipe": "wipe on"}.get(top.by, "seal or brush")
    return Way(own.name, True, coats, _times(own.time_h.get("recoat_min"), likely), _work(work, likely, face, facts))


def _by_filler(
    filler: Material, stack: Stack, wood: Wood, limit: FillerLimit, face: FaceAnswer, facts: Facts
) -> Way:
    coats = filler_coats(stack, wood, limit, facts, filler)
    if coats.likely >= MOST_FILLER_COATS:
        return Way(filler.name, False, None, None, None)
    over = next((x for x in stack.layers if x.kind == "film" and x.laid_um > 0), stack.layers[-1])
    last = may_go_over(facts, filler.id, over.material, over.by).wait_h
    between = filler.time_h.get("recoat_min")
    wait = _times(between, coats.likely - 1)
    if last and coats.likely:
        wait = last if wait is None else Spread(*(a + b for a, b in zip(wait, last, strict=True)))  # one material
    return Way(filler.name, False, coats, wait, _work("fill and wipe off", coats.likely, face, facts))


def _times(hours: Spread | None, number: int) -> Spread | None:
    return hours * float(number) if hours and number > 0 else None


def _work(work: str, coats: int, face: FaceAnswer, facts: Facts) -> Spread:
    """Minutes: each coat, and one sanding flush of it; the same hand does both, so ends add."""
    area = face.film.area_m2 * coats
    lay, sand = facts.labour[work].minutes_per_m2, facts.labour["scuff"].minutes_per_m2
    return Spread(*((a + b) * area for a, b in zip(lay, sand, strict=True)))
