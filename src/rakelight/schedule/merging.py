"""Several schedules on one part become one order of work.

The longest schedule leads. Every step of another is done together with, or right after, the next step of the
same verb in the leading one; where there is none, right after the step before it. Two steps become one
session where the work is alike: sanding with sanding, scuffing with scuffing (each with its own papers),
coats of the same material laid in the same way. Further steps of the part (`extra`) come last, in order.
"""

from __future__ import annotations

from collections.abc import Sequence

from rakelight.errors import Finding, Severity, Where
from rakelight.piece.model import Part
from rakelight.schedule.ops import Op, find_op
from rakelight.schedule.steps import LAYING, Step

_TOGETHER = ("sand", "scuff", "raise grain")


def merge(lists: Sequence[list[Op]]) -> list[Op]:
    """One order for all the schedules of a part."""
    ranked = sorted(lists, key=len, reverse=True)  # stable: of equals the one read first leads
    if not ranked:
        return []
    merged = list(ranked[0])
    for other in ranked[1:]:
        _merge_into(merged, other)
    return merged


def _merge_into(merged: list[Op], ops: list[Op]) -> None:
    at = 0
    for op in ops:
        match = next((n for n in range(at, len(merged)) if merged[n].do == op.do), None)
        if match is None:
            merged.insert(at, op)
            at += 1
        elif alike(merged[match], op):
            merged[match] = merged[match].also(op)
            at = match + 1
        else:
            merged.insert(match + 1, op)
            at = match + 2


def alike(a: Op, b: Op) -> bool:
    """Whether two steps of the same verb are one session."""
    if a.do != b.do or a.step.wait != b.step.wait or a.step.when != b.step.when:
        return False
    if a.do in _TOGETHER:
        return True
    if a.do in LAYING:
        return _laid(a.step) == _laid(b.step)
    if a.do in ("level", "rub"):
        return (a.step.grits, a.step.abrasive, a.step.wet) == (b.step.grits, b.step.abrasive, b.step.wet)
    return a.do == "wait" and (a.step.for_, a.step.test) == (b.step.for_, b.step.test)


def _laid(step: Step) -> tuple[object, ...]:
    """A step as far as it says what is laid."""
    mixed = (step.cut_lb, step.thin, step.strength_g_per_l)
    return (step.material, step.by, *mixed, step.warm, step.flood)


def put_in(ops: list[Op], extras: Sequence[Op], part: Part, file: str = "") -> tuple[list[Op], list[Finding]]:
    """The order with further steps put in at the steps they name; those that name none come last, in order.

    A further step may stand at another further step, written before it or after it.
    """
    placed = list(ops)
    left = list(extras)
    while left:
        waiting = [op for op in left if not _put(placed, op, left)]
        if len(waiting) == len(left):
            break
        left = waiting
    return placed, _unplaced(left, placed, part, file)


def _put(placed: list[Op], op: Op, left: list[Op]) -> bool:
    """Put one step in; False where the step it names is not there (yet)."""
    before, after = op.step.before, op.step.after
    if not before and not after:
        placed.append(op)
        return True
    at = find_op(placed, before or after, last=bool(after))
    if at is None:
        return False
    if after:
        at += 1
        while at < len(placed) and placed[at].from_extra and placed[at].step.after == after:
            at += 1  # those at the same spot keep their order
    placed.insert(at, op)
    return True


def _unplaced(left: list[Op], placed: Sequence[Op], part: Part, file: str) -> list[Finding]:
    """What is wrong with the further steps that found no place: those that hang on another of them are not told."""
    found: list[Finding] = []
    told: set[int] = set()
    for op in left:
        way: list[int] = []
        at: int | None = left.index(op)
        while at is not None and at not in way:
            way.append(at)
            at = find_op(left, left[at].step.before or left[at].step.after, last=bool(left[at].step.after))
        last = way[-1] if at is None else at
        if last in told:
            continue
        circle = [] if at is None else way[way.index(at) :]
        told |= {last, *circle}
        found.append(_in_a_circle([left[n] for n in circle], part, file) if circle
                     else _astray(left[last], placed, part, file))  # fmt: skip
    return found


def _in_a_circle(ops: Sequence[Op], part: Part, file: str) -> Finding:
    """Further steps that wait for each other."""
    steps = [op.step for op in ops]
    where_to = [f"before {s.before}" if s.before else f"after {s.after}" for s in steps]
    ways = [f"{op.name} stands {spot}" for op, spot in zip(ops, where_to, strict=True)]
    if len(ops) == 1:
        says = f"{part.shown}: {ways[0]}, which is itself."
    else:
        says = f"{part.shown}: steps wait for each other in a circle, and none can be first: {', and '.join(ways)}."
    where = Where(file=file, line=ops[0].step.line, part=part.name, step=ops[0].name)
    mend = "Take `before` or `after` from one of them, or name another step there."
    return Finding("steps-circle", Severity.ERROR, where, says, mend)


def _astray(op: Op, placed: Sequence[Op], part: Part, file: str) -> Finding:
    key = "before" if op.step.before else "after"
    said = op.step.before or op.step.after
    names = ", ".join(dict.fromkeys(o.name for o in placed))
    where = Where(file=file, line=op.step.line, part=part.name)
    says = f'{key} = "{said}": {part.shown} has no step called so.'
    mend = f"Steps here: {names}." if names else "It has no steps."
    return Finding("no-such-step", Severity.ERROR, where, says, mend)
