"""Rules: how old the can is."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date

from rakelight.physics.drying import REFERENCE_C
from rakelight.rules.case import Case
from rakelight.rules.registry import NOTE, WARNING, Hit, rule
from rakelight.rules.words import capital, number
from rakelight.schedule.shelf import DAYS_PER_MONTH, keeps_months


def _begins(case: Case) -> date | None:
    if case.piece.start:
        return case.piece.start.day
    return case.plan.start.date() if case.plan and case.plan.start else None


def _drop_has_set(case: Case, material: str) -> bool:
    """Whether a drop of it on glass was looked at and found sound."""
    placed = case.plan.placed if case.plan else {}
    looks = [t for job in case.work.jobs.values() for t in job.tasks if t.drop == material and t.test]
    return any(t.id in placed and placed[t.id].done and not placed[t.id].hollow for t in looks)


@rule("can-past-its-life", "piece", "A can or jar opened so long ago that what is in it may never dry.")
def can_past_its_life(case: Case) -> Iterator[Hit]:
    begins = _begins(case)
    told = set()
    for task in case.tasks.values():
        step = task.scheduled
        row = case.facts.materials.get(step.material) if step else None
        life = keeps_months(row, case.facts, case.shop) if row else None
        if begins is None or step is None or row is None or step.opened is None or life is None:
            continue
        age = (begins - step.opened).days / DAYS_PER_MONTH
        if _drop_has_set(case, row.id) or age <= life.low or (task.part, row.id, step.opened) in told:
            continue
        told.add((task.part, row.id, step.opened))
        years = f"{number(age / 12)} years" if age >= 24 else f"{number(age)} months"
        says = f"{capital(row.name)} opened {years} ago: it keeps {number(life.low)} to {number(life.high)} months."
        mend = (
            "The day before, put a drop on glass: it must set as a fresh one does (shellac within the hour, oil in "
            f"a day or two at {case.shown.temp(REFERENCE_C)}). If it does not, use a fresh can; it would have to be "
            "washed off the piece."
        )
        severity = WARNING if age > life.likely else NOTE
        figures = {"age_months": age, "life_months": life.likely}
        yield Hit(severity, says, mend, row.source("shelf_life_months"), task.part, "", task.id, figures)
