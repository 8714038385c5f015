"""Coats of an open number: how many it took over the least, where the book expected so many."""

from __future__ import annotations

from datetime import datetime

from rakelight.log.learning.past import Past
from rakelight.log.learning.seen import Seen
from rakelight.schedule.own_counts import count_key, more_than_least
from rakelight.schedule.tasks import Job, Task


def coats_in(past: Past) -> tuple[list[Seen], list[str]]:
    """Coats each step took in fact: as told, or as many as were told done where more was told after them."""
    found = []
    for job in past.work.jobs.values():
        for step, tasks in _open_steps(job).items():
            number = past.state.coats_taken.get(step) or _laid(past, job, tasks)
            scheduled = tasks[0].scheduled
            if number is None or scheduled is None:
                continue
            expected = more_than_least(scheduled.coats)
            if expected > 0:
                written = _written(past, step, tasks)
                more = max(0, number - scheduled.coats.least)
                key = count_key(scheduled, job.wood)
                found.append(Seen(key, written, more=more, expected=expected))
    return found, []


def _open_steps(job: Job) -> dict[str, list[Task]]:
    """Coats by the step of the schedule they are of, where their number is open."""
    found: dict[str, list[Task]] = {}
    for task in job.tasks:
        step = task.scheduled
        if task.lay and step and not task.board and step.coats.least < step.coats.most:
            found.setdefault(f"{job.part.name}/{step.name or step.do}", []).append(task)
    return found


def _laid(past: Past, job: Job, tasks: list[Task]) -> int | None:
    """Coats laid, where each was told and so was something of the part after the last; else None."""
    last = max(job.tasks.index(t) for t in tasks)
    after = any(past.told(t.id) for t in job.tasks[last + 1 :])
    if not after or not all(past.told(t.id) for t in tasks):
        return None
    return max((t.lay.coat for t in tasks if t.lay), default=None)


def _written(past: Past, step: str, tasks: list[Task]) -> datetime:
    """When what it took was written."""
    ids = {t.id for t in tasks}
    told = [e.written for e in past.events if e.step == step or e.task in ids or not ids.isdisjoint(e.plan)]
    return max(told)
