"""Rules: how old the can is."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date

from rakelight.facts.records import Material
from rakelight.physics.drying import REFERENCE_C
from rakelight.rules.case import Case
from rakelight.rules.registry import NOTE, WARNING, Hit, rule
from rakelight.rules.words import capital, number
from rakelight.spread import Spread

_DAYS_PER_MONTH = 365.25 / 12


def _begins(case: Case) -> date | None:
    if case.piece.start:
        return case.piece.start.day
    return case.plan.start.date() if case.plan and case.plan.start else None


def _life(case: Case, row: Material, life: Spread) -> Spread:
    """How long it keeps; mixed shellac by the mean warmth of the place where work begins, where it is known."""
    air = case.shop.first_place.air
    if not row.is_shellac or not air:
        return life
    mean_c = sum(month.open_temp_c + month.closed_temp_c for month in air) / (2 * len(air))
    steps: float = (REFERENCE_C - mean_c) / case.facts.likely("shellac_shelf_halving_k")
    return life * float(2.0**steps)


@rule("can-past-its-life", "piece", "A can or jar opened so long ago that what is in it may never dry.")
def can_past_its_life(case: Case) -> Iterator[Hit]:
    begins = _begins(case)
    told = set()
    for task in case.tasks.values():
        step = task.scheduled
        row = case.facts.materials.get(step.material) if step else None
        if begins is None or step is None or row is None or step.opened is None or row.shelf_life_months is None:
            continue
        age = (begins - step.opened).days / _DAYS_PER_MONTH
        life = _life(case, row, row.shelf_life_months)
        if age <= life.low or (task.part, row.id, step.opened) in told:
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
