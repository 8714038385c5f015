"""A drop on glass the day before: what a can past its life must pass before anything is laid from it."""

from __future__ import annotations

from collections.abc import Collection, Mapping
from dataclasses import replace
from datetime import date

from rakelight.facts.load import Facts
from rakelight.facts.records import Material
from rakelight.schedule.bench import slug
from rakelight.schedule.shelf import Shelf, keeps_months, past
from rakelight.schedule.steps import Duration
from rakelight.schedule.tasks import Asks, Job, Task, Work
from rakelight.shop.model import Shop
from rakelight.spread import Spread
from rakelight.units import MIN_PER_H

DROP, LOOK = "drop on glass", "look at the drop"


def drop_h(row: Material, facts: Facts) -> Spread:
    """Hours after which a drop on glass of a sound can has set, at 21 C. Source: P85 for shellac, else `drop_h`."""
    smear = facts.practice["P85"].value
    if row.is_shellac and smear:
        return Spread.exact(smear.high / MIN_PER_H)
    return facts.figures["drop_h"].value


def drop_test_words(row: Material) -> str:
    """What is looked for."""
    return "it is hard, not gummy" if row.is_shellac else "it has set through, no smear under the thumb"


def old_cans(
    work: Work, shelf: Shelf | None, shop: Shop, facts: Facts, day: date, needed: Collection[str]
) -> dict[str, date]:
    """Materials that would be laid from a can past its life, with the day it was opened, mixed or bought.

    Parameters: shelf, what is in stock (None: not told); day, when work begins; needed, ids of cans in stock that
    are drawn on. What a schedule says of its can (`opened`) counts as well.
    """
    found: dict[str, date] = {}
    for can in shelf.cans if shelf else ():
        if can.id in needed and can.form in ("finish", "mixed") and can.begun and can.old(day):
            found[can.material] = min(can.begun, found.get(can.material, can.begun))
    for task in _coats(work):
        step = task.scheduled
        if step is None or step.opened is None or task.lay is None:
            continue
        row = facts.materials[task.lay.material]
        life = keeps_months(row, facts, shop)
        if life and day > past(step.opened, life.likely):
            found[row.id] = min(step.opened, found.get(row.id, step.opened))
    return found


def with_drop_tests(
    work: Work, old: Mapping[str, date], facts: Facts, done: Collection[str] = ()
) -> Work:
    """The work with a drop on glass the day before the first coat from each can past its life.

    Every coat of it waits for the drop, on whatever part it is laid; where one of them is `done` already it is too
    late for a drop. Source: "set in 1-2 days at 21 C" (figure
    `drop_h`).
    """
    jobs = dict(work.jobs)
    for material, begun in old.items():
        row = facts.materials[material]
        first = next((t for t in _coats(work) if t.lay and t.lay.material == material), None)
        if first is None:
            continue
        drop, look = _tasks(first, row, facts, jobs[first.part].part.count)
        begun_with = any(t.id in done for t in _coats(work) if t.lay and t.lay.material == material)
        if begun_with and drop.id not in done and look.id not in done:
            continue
        for name, job in jobs.items():
            jobs[name] = _waiting(job, material, begun, look.id)
        job = jobs[first.part]
        jobs[first.part] = replace(job, tasks=(drop, look, *job.tasks))
    return replace(work, jobs=jobs)


def _coats(work: Work) -> list[Task]:
    return [t for job in work.jobs.values() for t in job.tasks if t.lay]


def _tasks(first: Task, row: Material, facts: Facts, count: int) -> tuple[Task, Task]:
    """The drop, and looking at it."""
    name, part = row.name.split(" (")[0], first.part
    minutes = facts.figures["labour_least_min"].value
    wait = Duration(drop_h(row, facts).likely)
    drop = Task(
        f"{part}/drop-{slug(name)}", part, DROP, "own", f"Drop of {name} on glass, from the can past its life", (),
        "quiet", minutes, pieces=(1, count), drop=row.id,
    )  # fmt: skip
    look = Task(
        f"{part}/look-{slug(name)}", part, LOOK, "own",
        f"Look at the drop of {name}: if it has not set, use a fresh can", (), "quiet", minutes,
        Asks(at_least=wait), pieces=(1, count), test=drop_test_words(row), drop=row.id,
    )  # fmt: skip
    return drop, look


def _waiting(job: Job, material: str, begun: date, look: str) -> Job:
    tasks = []
    for task in job.tasks:
        if task.lay and task.lay.material == material:
            step = task.scheduled
            known = replace(step, opened=step.opened or begun) if step else None
            task = replace(task, follows=(*task.follows, look), scheduled=known)
        tasks.append(task)
    return replace(job, tasks=tuple(tasks))
