"""Whether the shop has what a way of laying needs."""

from __future__ import annotations

from collections.abc import Sequence

from rakelight.errors import Finding, Severity, Where
from rakelight.facts.load import Facts
from rakelight.piece.model import Part
from rakelight.schedule.book import Book
from rakelight.schedule.ops import Op
from rakelight.schedule.steps import Schedule
from rakelight.shop.model import Gear, Shop

#: other ways to name, the nearest first
_INSTEAD = {"spray": ("brush", "wipe"), "brush": ("wipe", "spray", "pad"), "pad": ("brush", "wipe")}
_NEEDS = {"spray": "gun", "brush": "brush", "pad": "pad"}


def has(gear: Gear, by: str) -> bool:
    """Whether something can be laid in a way; cloth and trowel every shop has."""
    return {"spray": gear.gun is not None, "brush": gear.brush, "pad": gear.pad}.get(by, True)


def _where_to_say(schedule: Schedule | None, way: str) -> str:
    """What to write where: a schedule that comes with it is copied beside the piece first."""
    if schedule is None or schedule.book == "piece":
        inside = f" in the schedule {schedule.name}" if schedule else ""
        return f'write by = "{way}"{inside}'
    return f'a copy of the schedule {schedule.name} beside the piece, {schedule.name}.toml, may say by = "{way}"'


def check_gear(
    part: Part, order: Sequence[Op], shop: Shop, facts: Facts, book: Book, file: str
) -> list[Finding]:
    """A finding for each step laid in a way the shop has no gear for, with another way where there is one."""
    found: list[Finding] = []
    for op in order:
        by, material = op.step.by, facts.materials.get(op.step.material)
        if op.do in ("wax", "wait") or material is None or has(shop.gear, by):
            continue
        schedule = book.find(op.group) if op.group else None
        where = Where(
            file=schedule.file if schedule else file, line=op.step.line, part=part.name, step=op.step.name
        )
        name = material.name.split(" (")[0]
        ways = [w for w in _INSTEAD.get(by, ()) if w in material.methods and has(shop.gear, w)]
        if ways:
            mend = f"{name.capitalize()} may also be laid by {' or '.join(ways)}: {_where_to_say(schedule, ways[0])}."
        else:
            mend = f"{name.capitalize()} is not laid in another way here: choose another finish."
        mend += f" Or write the {_NEEDS[by]} into [gear] of the shop."
        verb = {"spray": "sprayed", "brush": "brushed", "pad": "padded"}[by]
        says = f"{name} is to be {verb}, and the shop has no {_NEEDS[by]}."
        finding = Finding(f"no-{_NEEDS[by]}", Severity.ERROR, where, says, mend)
        if finding not in found:
            found.append(finding)
    return found
