"""Readings of what was used and how long it took, over what the book says of the same step."""

from __future__ import annotations

import math

from rakelight.log.learning.past import Past
from rakelight.log.learning.seen import Seen
from rakelight.schedule.coats import CoatAmount, coverage_key
from rakelight.schedule.minutes import labour_of
from rakelight.schedule.tasks import Task

#: a reading further from the book than this, either way, is told and not counted. Source: assumption
_MOST_COVERAGE, _MOST_MINUTES = 5.0, 12.0
#: what stays in the gun may be this share of what was used; above it nothing is known of the coat. Source: assumption
_MOST_IN_GUN = 0.5


def amounts_in(past: Past) -> tuple[list[Seen], list[str]]:
    """Coverage of each coat whose amount was told: litres, or grams by weighing."""
    found, odd = [], []
    for task in past.tasks.values():
        lay, coat = task.lay, past.amounts.of_task(task.id)
        used = _used_ml(past, task, coat) if coat else None
        if lay is None or coat is None or used is None or not past.told(task.id) or coat.liquid.likely <= 0:
            continue
        if coat.gun_ml > _MOST_IN_GUN * used:
            continue
        times = coat.liquid.likely / (used - coat.gun_ml)
        if not 1 / _MOST_COVERAGE <= times <= _MOST_COVERAGE:
            odd.append(_far(task, f"{used:.0f} ml", f"{coat.taken.likely:.0f} ml"))
            continue
        key = coverage_key(past.facts.materials[lay.material], lay.by)
        found.append(_reading(past, task, key, math.log(times)))
    return found, odd


def _used_ml(past: Past, task: Task, coat: CoatAmount) -> float | None:
    told = past.state.used_ml.get(task.id)
    grams = past.state.used_g.get(task.id)
    if told is None and grams is not None:
        told = grams / _grams_per_ml(past, task, coat)
    return told if told and told > 0 else None


def _grams_per_ml(past: Past, task: Task, coat: CoatAmount) -> float:
    """Of the liquid as laid; a thinner weighs as the finish it thins, but alcohol in shellac its own."""
    assert task.lay is not None
    row = past.facts.materials[task.lay.material]
    neat = row.density_kg_per_l.likely
    if not row.is_shellac:
        return neat
    made = coat.recipe
    alcohol = past.facts.likely("alcohol_density_kg_per_l")
    return made.flakes_g + made.finish_ml * neat + made.thinner_ml * alcohol


def minutes_in(past: Past) -> tuple[list[Seen], list[str]]:
    """Minutes a square metre of each step whose time was told and whose work is of one kind."""
    found, odd = [], []
    read = {e.task: e.values["minutes"] for e in past.events if e.what == "minutes" and "minutes" in e.values}
    for id, took in {**read, **past.state.took_min}.items():
        task = past.tasks.get(id)
        if task is None or took <= 0 or not past.told(id):
            continue
        book = _book_minutes(past, task)
        if book is None:
            continue
        if not 1 / _MOST_MINUTES <= took / book <= _MOST_MINUTES:
            odd.append(_far(task, f"{took:.0f} min", f"{book:.0f} min"))
            continue
        work = labour_of(task.scheduled)[0] if task.scheduled else ""
        found.append(_reading(past, task, f"minutes:{work}", math.log(took / book)))
    return found, odd


def _book_minutes(past: Past, task: Task) -> float | None:
    """Minutes by the table; None where the step's own minutes are written, or it is too small to follow its area."""
    step = task.scheduled
    if step is None or step.minutes is not None or task.area_m2 <= 0 or task.board:
        return None
    least = past.facts.likely("labour_least_min")
    return task.minutes.likely if task.minutes.likely > least else None


def _reading(past: Past, task: Task, key: str, log: float) -> Seen:
    return Seen(key, past.written_of(task.id).written, log, log)


def _far(task: Task, told: str, book: str) -> str:
    return f"{task.id}: {told} told where the book has {book}; too far off to be counted."


