"""The line a maker reads for one session of work."""

from __future__ import annotations

from collections.abc import Sequence

from rakelight.facts.load import Facts
from rakelight.piece.model import Part
from rakelight.schedule.ops import Op
from rakelight.schedule.steps import LAYING, Step
from rakelight.schedule.words import abrasive_words, grits_words, material_words

_BY = {
    "brush": "brushed",
    "wipe": "wiped on",
    "pad": "padded",
    "spray": "sprayed",
    "trowel": "trowelled and scraped",
}
_DOES = {"raise grain": "Raise the grain with water"}


def op_says(op: Op, faces: Sequence[str], side: str, facts: Facts, soak_min: float = 0.0) -> str:
    """One session in words: "Coat 3 of 6: dewaxed shellac, 2 lb cut, brushed; underside"."""
    step = op.step
    if op.do in LAYING:
        says = _laid(op, step, facts, soak_min)
    elif op.do in ("sand", "scuff"):
        says = _sanded(op)
    elif op.do == "level":
        says = f"Level {grits_words(step.grits)}" + (f", wet with {step.wet}" if step.wet else ", dry")
    elif op.do == "rub":
        with_ = abrasive_words(step) if step.abrasive else grits_words(step.grits)
        says = f"Rub with {with_}" + (f", wet with {step.wet}" if step.wet else "")
    else:
        says = _capital(_DOES.get(op.do) or step.own or op.name)
    return f"{says}; {side}" if side else says


def _laid(op: Op, step: Step, facts: Facts, soak_min: float) -> str:
    head = _capital(op.name) + (f" of {op.of}" if op.of > 1 else "")
    said = [_material(step, facts)]
    if step.warm:
        said.append("warm")
    said.append(_BY.get(step.by, f"by {step.by}" if step.by else ""))
    if step.flood:
        said.append("flooded")
    says = f"{head}: {', '.join(word for word in said if word)}"
    if soak_min and op.do == "wax":
        return f"{says}; rest {soak_min:g} min and buff"
    if soak_min:
        return f"{says}; leave {soak_min:g} min and wipe off"
    return f"{says}; wipe off" if op.do == "oil" else says


def _material(step: Step, facts: Facts) -> str:
    """What is laid, without what the table says in brackets of its name."""
    words = material_words(step, facts)
    name = facts.materials[step.material].name if step.material in facts.materials else ""
    return words.replace(name, name.split(" (")[0], 1)


def _sanded(op: Op) -> str:
    verb = "Sand" if op.do == "sand" else "Scuff"
    first = grits_words(op.step.grits)
    others = [s for s in op.shares[1:] if s.step.grits != op.step.grits]
    says = f"{verb} {first}"
    if op.name.startswith("scuff before"):
        says += f" {op.name.removeprefix('scuff ')}"
    for share in others:
        says += f"; {' and '.join(share.faces)} {grits_words(share.step.grits)}"
    return says


def join_says(part: Part, number: int, names: Sequence[str]) -> str:
    """Joining in words: "Glue up 3 drawers; clamps 2 h"."""
    verb = {"glue": "Glue up", "screws": "Join with screws", "dry": "Join dry"}.get(part.join, "Join")
    says = f"{verb}: {', '.join(n.replace('-', ' ') for n in names)}"
    if part.clamped == "overnight":
        return f"{says}; in clamps overnight"
    return f"{says}; in clamps {part.clamped:g} h" if isinstance(part.clamped, int | float) else says


def board_says(says: str) -> str:
    """The same on the test board."""
    return f"Test board: {says[:1].lower()}{says[1:]}"


def _capital(words: str) -> str:
    return words[:1].upper() + words[1:]
