"""Cautions at their step: what to know before the can is opened, while it is done, and at once after it.

The words stand in `cautions.toml`; the product's sheet, local code and licensed people come before them.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

from rakelight.facts.load import Facts
from rakelight.facts.names import find_solvent
from rakelight.facts.records import Caution, Material, Source
from rakelight.schedule.tasks import Task, Work

BEFORE, AFTER = "before", "after"
#: whose word comes first, by the row's own mark
DEFERS = {
    "sheet": "The product's own sheet comes first.",
    "code": "The product's own sheet, local code and licensed people come first.",
}
_LAID_BY = {"spray": "spray"}  # every other way counts as by brush
_ABRADING = ("sand", "scuff", "level")
_POWDERS = ("pumice", "rottenstone", "tripoli")


@dataclass(frozen=True)
class StepCaution:
    """Sentences to show at one step."""

    id: str
    when: (
        str  # before: before the can is opened or the tool switched on; after: at once, before the next step
    )
    text: tuple[str, ...]
    defers: str
    source: Source

    def as_json(self) -> dict[str, Any]:
        """As plain data."""
        return {"id": self.id, "when": self.when, "text": list(self.text), "defers": self.defers,
                "source": self.source.text, "kind": self.source.kind.value}  # fmt: skip


def cautions_of(work: Work, task: Task, facts: Facts) -> tuple[StepCaution, ...]:
    """Cautions of one session, before first; empty where there is nothing to mind."""
    found: dict[str, StepCaution] = {}
    for caution, when in _found(work, task, facts):
        found.setdefault(
            caution.id, StepCaution(caution.id, when, caution.text, DEFERS[caution.defer], caution.source)
        )
    dust = _wood_dust(work, task, facts)
    if dust:
        found.setdefault(dust.id, dust)
    return tuple(sorted(found.values(), key=lambda c: c.when != BEFORE))


def cautions_for(
    facts: Facts, row: Material, by: str, *, first: bool = True, warm: bool = False
) -> tuple[Caution, ...]:
    """Rows for laying a material: every class it belongs to, the way it is laid; of mixing with the first coat."""
    how = _LAID_BY.get(by, "brush")
    asked = [(c, how) for c in row.caution_class]
    asked += [(c, "mix") for c in row.caution_class if first]
    if warm:
        asked.insert(0, ("drying_oil", "warm_oil"))
    if row.vapour_solvents_mass:
        asked.append(("any", "ventilate"))
    if how == "spray":
        asked.append(("any", "other"))
    return tuple(c for ask in asked for c in _rows(facts, *ask))


def _found(work: Work, task: Task, facts: Facts) -> Iterator[tuple[Caution, str]]:
    if task.lay is not None and task.lay.material in facts.materials:
        row = facts.materials[task.lay.material]
        lay = task.lay
        for caution in cautions_for(facts, row, lay.by, first=lay.coat == 1, warm=lay.warm):
            yield caution, BEFORE
        if row.self_heating_rags:
            yield from ((c, AFTER) for c in _rows(facts, "drying_oil", "dispose"))
        elif "alcohol_finish" in row.caution_class:
            yield from ((c, AFTER) for c in _rows(facts, "alcohol_finish", "dispose"))
    elif task.do in _ABRADING:
        yield from ((c, BEFORE) for c in _abrading(work, task, facts))
    elif task.do == "rub":
        yield from _rubbing(task, facts)
    if task.do in (*_ABRADING, "rub"):
        yield from _wet(task, facts)


def _wet(task: Task, facts: Facts) -> Iterator[tuple[Caution, str]]:
    """Of paper or wool wet with a solvent: its vapour before, its rags after."""
    wet = task.scheduled.wet if task.scheduled else ""
    if wet and find_solvent(facts, wet).one not in (None, "water"):
        yield from ((c, BEFORE) for c in _rows(facts, "solvent_lubricant", "rub_wet"))
        yield from ((c, AFTER) for c in _rows(facts, "solvent_lubricant", "dispose"))


def _abrading(work: Work, task: Task, facts: Facts) -> Iterator[Caution]:
    laid, job = _laid_before(work, task, facts), work.jobs.get(task.part)
    if job and not task.board and any(job.part.old_on(face) for face in task.faces):
        yield from _rows(facts, "old_finish", "sand_finish")
    if not laid:
        yield from _rows(facts, "bare_wood", "sand_bare")
        return
    yield from _rows(facts, "cured_finish", "sand_finish")
    for row in laid:
        for name in row.caution_class:
            yield from _rows(facts, name, "sand_finish")


def _rubbing(task: Task, facts: Facts) -> Iterator[tuple[Caution, str]]:
    abrasive = task.scheduled.abrasive if task.scheduled else ""
    if any(powder in abrasive for powder in _POWDERS):
        yield from ((c, BEFORE) for c in _rows(facts, "rubbing_powder", "rub_powder"))
        yield from ((c, AFTER) for c in _rows(facts, "rubbing_powder", "dispose"))
    elif abrasive.startswith("steel_wool"):
        yield from ((c, BEFORE) for c in _rows(facts, "abrasive_pad", "rub_powder"))
    wet = task.scheduled.wet_material if task.scheduled else ""
    if wet in facts.materials and facts.materials[wet].self_heating_rags:
        yield from ((c, AFTER) for c in _rows(facts, "drying_oil", "dispose"))


def _rows(facts: Facts, material_class: str, operation: str) -> list[Caution]:
    return [c for c in facts.cautions if c.material_class == material_class and c.operation == operation]


def _laid_before(work: Work, task: Task, facts: Facts) -> list[Material]:
    """What lies on the part already: of its own earlier steps, and of the members it was joined from."""
    found: dict[str, Material] = {}
    job = work.jobs.get(task.part)
    if job is None:
        return []
    for earlier in job.tasks:
        if earlier.id == task.id:
            break
        if earlier.lay and earlier.board == task.board and earlier.lay.material in facts.materials:
            found[earlier.lay.material] = facts.materials[earlier.lay.material]
    for member in () if task.board else job.begins_after:
        for other in work.jobs[member].tasks if member in work.jobs else ():
            if other.lay and not other.board and other.lay.material in facts.materials:
                found[other.lay.material] = facts.materials[other.lay.material]
    return list(found.values())


def _wood_dust(work: Work, task: Task, facts: Facts) -> StepCaution | None:
    """What is known of the dust of the wood that is sanded bare."""
    if task.do != "sand" or _laid_before(work, task, facts):
        return None
    job = work.jobs.get(task.part)
    names = job.part.woods if job else ()
    for name in (*names, job.wood if job else ""):
        wood = facts.woods.get(name)
        if wood is None or not wood.dust:
            continue
        text = (
            f"Dust of {wood.name}: {wood.dust}. Collect it at the tool, wear a mask that fits, and stop if skin or "
            "breath reacts."
        )
        source = wood.sources.get("dust") or wood.sources.get("pores")
        if source:
            return StepCaution(f"dust-{wood.name}", BEFORE, (text,), DEFERS["sheet"], source)
    return None
