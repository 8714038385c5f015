"""What a finish is when it is done, read from what lies on the face: sheen, pores, film, warmth, wear."""

from __future__ import annotations

from collections.abc import Sequence

from rakelight.choice.model import Look, Slot
from rakelight.facts.load import Facts
from rakelight.facts.looks import REPAIRS, WARMTHS, look_rows
from rakelight.facts.records import Wood
from rakelight.physics.pores import dip_um
from rakelight.piece.model import Face
from rakelight.schedule.layers import Faces, Layer, Stack
from rakelight.schedule.pores_of import acts_of, deepest, woods_of
from rakelight.schedule.sheen_of import sheen_of
from rakelight.schedule.tasks import Work

#: uses a piece may have to stand, as the table of materials calls them
USES = {"water": "water", "alcohol": "alcohol", "heat": "heat", "wear": "abrasion"}
_BRIGHT = ("semi-gloss", "gloss", "high gloss")


def look_of(
    work: Work, stacks: dict[str, Faces], slot: Slot, facts: Facts, said: str = "", woods: Sequence[Wood] = ()
) -> Look | None:
    """The look of a slot: of its largest show face, and the least any of its show faces stands.

    None where nothing is laid on a show face. Parameters: said, the sheen its schedule names;
    woods, in place of those of the part.
    """
    seen = _shown(work, stacks, slot)
    if not seen:
        return None
    part, face, stack = max(seen, key=lambda row: row[1].area_m2)
    sheen = sheen_of(stack, said, facts)
    word = said if said and not _rubbed(stack) else sheen.word if sheen else ""
    dip, grain = _pores(woods or woods_of(work, part, face.name, facts), stack, word, facts)
    film = stack.film_um
    build = _build(film, facts)
    return Look(
        sheen=word,
        grain=grain,
        warmth=_most(stack.layers, "warmth", WARMTHS),
        colour="coloured" if any(_colours(layer, facts) for layer in stack.layers) else "natural",
        build=build,
        feel=_feel(stack, build, grain, word),
        repair=_most(_worn(stack), "repair", REPAIRS),
        film_um=film,
        dip_um=dip,
        stands=_stands([s for _, _, s in seen], facts),
        top=_worn(stack)[0].material if _worn(stack) else "",
    )


def _shown(work: Work, stacks: dict[str, Faces], slot: Slot) -> list[tuple[str, Face, Stack]]:
    """Show faces of the outermost parts of a slot with what lies on them."""
    names = [p for p in slot.parts if p in work.jobs]
    inner = {m for p in names for m in work.jobs[p].part.of}
    found = []
    for name in names:
        if name in inner:
            continue
        for face in work.jobs[name].part.faces:
            if face.role != "show" or face.end_grain:
                continue
            found += [(name, face, s) for s in stacks[name].get(face.name, ()) if s.layers and _mine(s, slot)]
    return found


def _mine(stack: Stack, slot: Slot) -> bool:
    return any(layer.part in slot.parts for layer in stack.layers)


def _rubbed(stack: Stack) -> bool:
    films = [n for n, layer in enumerate(stack.layers, 1) if layer.laid_um > 0]
    return any(films and t.over >= films[-1] and t.do in ("level", "rub") for t in stack.takes)


def _pores(woods: Sequence[Wood], stack: Stack, sheen: str, facts: Facts) -> tuple[float | None, str]:
    """Dip left over a pore, and whether pores are open, half filled or full.

    Full: the dip passes as filled even at the next brighter look a table knows, satin; half: filler is laid, or the
    coats leave less than half the pore. Woods whose pores never show count as full under any film.
    """
    wood = deepest(list(woods))
    if wood is None or wood.pore_depth_um is None:
        return None, "full" if stack.films else "open"
    depth = wood.pore_depth_um.likely
    dip = dip_um(depth, [act for _, act in acts_of(stack, facts)])
    limit = facts.filler_limits.get(sheen if sheen in _BRIGHT else "satin")
    most = limit.likely_um if limit else None
    if most is not None and dip <= most and stack.films:
        return dip, "full"
    filled = any(layer.kind == "filler" for layer in stack.layers)
    return dip, "half" if filled or (stack.films and dip < depth / 2) else "open"


def _build(film_um: float, facts: Facts) -> str:
    thin = facts.likely("look_thin_um")
    full = facts.figures["rub_floor_um"].value.low
    return "in the wood" if film_um < thin else "thin" if film_um < full else "full"


def _feel(stack: Stack, build: str, grain: str, sheen: str) -> str:
    if build == "in the wood":
        return "wood"
    if grain == "full" and sheen in _BRIGHT[1:] and build == "full":
        return "glass"
    waxed = any(layer.kind == "wax" for layer in stack.layers)
    if _rubbed(stack) or waxed or grain != "open" or build != "thin":
        return "silky"
    return "wood"


def _most(layers: Sequence[Layer], column: str, order: tuple[str, ...]) -> str:
    """The furthest of some words of the table of looks, over layers."""
    rows = look_rows()
    words = [getattr(rows[layer.material], column) for layer in layers if layer.material in rows]
    return max(words, key=order.index, default="")


def _colours(layer: Layer, facts: Facts) -> bool:
    return layer.kind in ("colour", "bleach")


def _worn(stack: Stack) -> list[Layer]:
    """The layer that is worn: the last film, else the last oil; wax does not count."""
    films = [x for x in stack.layers if x.kind == "film"]
    oils = [x for x in stack.layers if x.kind == "oil"]
    return [films[-1]] if films else [oils[-1]] if oils else []


def _stands(stacks: Sequence[Stack], facts: Facts) -> dict[str, int]:
    """Grade of five for each use, the least of all show faces."""
    found: dict[str, int] = {}
    for stack in stacks:
        for layer in _worn(stack):
            for use, column in USES.items():
                grade = facts.materials[layer.material].resistance.get(column)
                if grade is not None:
                    found[use] = min(grade, found.get(use, grade))
    return found
