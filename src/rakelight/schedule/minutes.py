"""Minutes of work, from the area and the shop's minutes for a square metre (`facts/tables/labour.csv`)."""

from __future__ import annotations

from collections.abc import Mapping

from rakelight.facts.load import Facts
from rakelight.piece.model import Part
from rakelight.schedule.ops import Op
from rakelight.schedule.steps import Step
from rakelight.spread import Spread

#: kinds of part that take longer than flat work
SHAPED = frozenset({"leg", "stick", "moulding", "frame"})
_BY = {
    "brush": "seal or brush",
    "pad": "pad",
    "wipe": "wipe on",
    "spray": "spray",
    "trowel": "fill and wipe off",
}


def labour_of(step: Step) -> tuple[str, int]:
    """Work of the labour table that a step is, and how many passes of it."""
    if step.do in ("sand", "level"):
        return ("sand one grit" if step.do == "sand" else "level one grit"), max(1, len(step.grits))
    if step.do == "rub":
        return "rub", max(1, len(step.grits))
    if step.do in ("scuff", "raise grain", "wax"):
        return {"scuff": "scuff", "raise grain": "wipe on", "wax": "wax and buff"}[step.do], 1
    flooded = step.do in ("oil", "stain") or step.flood
    if flooded and step.by in ("", "wipe", "brush"):
        return "oil and wipe", 1
    if step.do == "fill" and step.by in ("", "brush", "wipe"):
        return "fill and wipe off", 1
    return _BY.get(step.by, "seal or brush"), 1


def shaped_faces(part: Part, parts: Mapping[str, Part]) -> frozenset[str]:
    """Faces that take longer: of legs, sticks, mouldings and frames, and the insides of boxes."""
    found = set()
    for face in part.faces:
        members = [parts[m] for m, _ in face.members if m in parts]
        kinds = {m.kind for m in members} or {part.kind}
        inside = face.role == "inside" or face.name.split(".")[-1] == "inside"
        if kinds <= SHAPED or (inside and part.kind in ("box", "joined")):
            found.add(face.name)
    return frozenset(found)


def work_minutes(op: Op, areas: Mapping[str, float], shaped: frozenset[str], facts: Facts) -> Spread:
    """Minutes for one part, the least of a session not yet seen to.

    Parameters: areas, m2 by face of one part; shaped, faces that take longer.
    Source: reference/shop/README.md (A).
    """
    total = Spread.exact(0.0)
    factor = facts.figures["labour_shape"].value.likely
    for share in op.shares:
        work, passes = labour_of(share.step)
        rate = facts.labour[work].minutes_per_m2
        area = sum(areas.get(f, 0.0) * (factor if f in shaped else 1.0) for f in share.faces)
        total = total.with_shared(rate * (area * passes))
    return total
