"""Pores of a face under the coats its schedule lays: what each does to a dip, and filler coats a sheen asks.

Source: docs/decisions.md, "Pores". Depths stand in the table of woods, limits in the table of sheens.
"""

from __future__ import annotations

from rakelight.facts.load import Facts
from rakelight.facts.records import FillerLimit, Material, Wood
from rakelight.physics.pores import FillerCoats, Filling, kept, least_filler_coats
from rakelight.schedule.layers import Layer, Stack
from rakelight.schedule.tasks import Work
from rakelight.spread import Spread

_FILLER = "filler_wb_clear"


def woods_of(work: Work, part: str, face: str, facts: Facts) -> list[Wood]:
    """Woods of a face: of the part, or of the members that brought it to a joined part."""
    job = work.jobs.get(part)
    if job is None:
        return []
    if job.part.woods:
        return [facts.woods[w] for w in job.part.woods if w in facts.woods]
    found: list[Wood] = []
    for name, sources in job.faces_from.items():
        if face and name != face:
            continue
        for member, inner in sources:
            found += [w for w in woods_of(work, member, inner, facts) if w not in found]
    return found


def deepest(woods: list[Wood]) -> Wood | None:
    """Of several woods the one with the deepest pores; None where no depth is known."""
    known = [w for w in woods if w.pore_depth_um]
    return max(known, key=lambda w: w.pore_depth_um.likely if w.pore_depth_um else 0.0, default=None)


def acts_of(stack: Stack, facts: Facts) -> list[tuple[str, Filling]]:
    """What happens to a pore, in order: each coat (its kind) and each cutting (its verb)."""
    found: list[tuple[str, Filling]] = []
    for at, layer in enumerate(stack.layers, 1):
        found.append((layer.kind, Filling(keeps=_keeps(layer, facts))))
        found += [(take.do, Filling(cuts_um=take.took_um)) for take in stack.takes if take.over == at]
    return found


def filler_of(stack: Stack, facts: Facts) -> Material:
    """The filler that is used; a clear water-borne one where none is."""
    used = next((layer.material for layer in stack.layers if layer.kind == "filler"), _FILLER)
    return facts.materials[used]


def filler_coats(stack: Stack, wood: Wood, limit: FillerLimit, facts: Facts) -> FillerCoats:
    """Least filler coats for a face, with the coats and cutting its schedule lays after them."""
    acts = acts_of(stack, facts)
    at = max((n for n, (kind, _) in enumerate(acts) if kind == "filler"), default=-1)
    first = next((n for n, (kind, _) in enumerate(acts) if kind == "filler"), 0)
    depth = wood.pore_depth_um or Spread.exact(0.0)
    for _, act in acts[:first]:
        depth = depth * act.keeps
    keeps = kept(filler_of(stack, facts).solids_volume.likely, facts.likely("fill_eta_trowel"))
    after = [act for kind, act in acts[at + 1 :] if kind != "filler"]
    likely = limit.likely_um or 0.0
    return least_filler_coats(depth, keeps, after, limit.strict_um or likely, likely, limit.lenient_um)


def _keeps(layer: Layer, facts: Facts) -> float:
    if layer.kind not in ("film", "filler"):
        return 1.0
    how = "fill_eta_sprayed" if layer.by == "spray" else "fill_eta_brushed"
    if layer.kind == "filler":
        how = "fill_eta_trowel"
    return kept(layer.solids, facts.likely(how))
