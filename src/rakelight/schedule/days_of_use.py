"""On how many days a brush or a gun is used: as a plan has it, else counted from the coats a day."""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping
from datetime import date

from rakelight.facts.load import Facts
from rakelight.schedule.tasks import Task, Work


def guessed_days(tasks: Iterable[Task], facts: Facts) -> dict[str, int]:
    """Day number of each coat, by task id, where no plan knows it: coats over coats a day, parts side by side.

    Lots and faces of one coat fall on one day; steps of a part follow each other, its test board for itself.
    """
    steps: dict[str, dict[int, int]] = {}  # part -> line of a step -> days it takes
    known = [t for t in tasks if t.lay]
    for task in known:
        coats = task.lay.coat if task.lay else 1
        days = steps.setdefault(_of(task), {})
        days[_line(task)] = max(days.get(_line(task), 0), math.ceil(coats / _a_day(task, facts)))
    found: dict[str, int] = {}
    for task in known:
        lines = steps[_of(task)]
        before = sum(lines[line] for line in list(lines)[: list(lines).index(_line(task))])
        coat = task.lay.coat if task.lay else 1
        found[task.id] = before + math.ceil(coat / _a_day(task, facts))
    return found


def gun_sessions(work: Work, facts: Facts, days: Mapping[str, date] | None = None) -> frozenset[str]:
    """Ids of the coats that begin a session of the gun: one a day and material, whatever lots and faces it takes."""
    sprayed = [t for job in work.jobs.values() for t in job.tasks if t.lay and t.lay.by == "spray"]
    guessed = guessed_days(sprayed, facts)
    first: dict[tuple[object, str], str] = {}
    for task in sprayed:
        day: object = (days or {}).get(task.id) or guessed[task.id]
        first.setdefault((day, task.lay.material if task.lay else ""), task.id)
    return frozenset(first.values())


def _of(task: Task) -> str:
    return f"{'board ' * task.board}{task.part}"


def _line(task: Task) -> int:
    return task.scheduled.line if task.scheduled else 0


def _a_day(task: Task, facts: Facts) -> int:
    """Most coats a day: as the step says, else as many of shellac or lacquer as may go on."""
    if task.scheduled and task.scheduled.a_day:
        return task.scheduled.a_day
    row = facts.materials.get(task.lay.material) if task.lay else None
    shellac = row is None or row.is_shellac
    return round(facts.likely("shellac_coats_a_day" if shellac else "lacquer_coats_a_day"))
