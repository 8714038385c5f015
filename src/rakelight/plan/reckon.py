"""What a filled calendar comes to: when each wanted date is reached, how late, how many visits."""

from __future__ import annotations

import math
from collections.abc import Mapping

from rakelight.plan.doing import Doing
from rakelight.plan.draft import Draft, Laid
from rakelight.plan.problem import Problem, Target, chain_keys
from rakelight.plan.together import piece_of
from rakelight.schedule.steps import READINESSES
from rakelight.schedule.tasks import Task


def reckon(doing: Doing) -> Draft:
    """The draft a pass has come to."""
    problem = doing.problem
    reached = {n: reached_by(doing, target) for n, target in enumerate(problem.targets)}
    late = 0.0
    for n, target in enumerate(problem.targets):
        late += target.matters * (max(0.0, reached[n] - target.by) if math.isfinite(reached[n]) else 1e7)
    ends = [laid.end for laid in doing.laid.values()]
    finish = max([*ends, *(m for m in reached.values() if math.isfinite(m))], default=problem.start)
    finishes = _finishes(problem, doing.laid, reached)
    days = {problem.hours.day(a) for laid in doing.laid.values() if not laid.who for a, b in laid.spans if b > a}
    return Draft(
        doing.laid,
        reached,
        late,
        doing.added,
        float(finish),
        len(days),
        tuple(doing.stuck),
        dict(doing.asking.floors),
        dict(doing.chains),
        dict(doing.waited),
        finishes,
    )


def _finishes(
    problem: Problem, laid: Mapping[str, Laid], reached: Mapping[int, float]
) -> dict[str, float]:
    """Minute at which each piece is done and ready for what is wanted of it."""
    found = {key: float(problem.start) for key in problem.pieces}
    for id, one in laid.items():
        key = piece_of(id)
        found[key] = max(found[key], float(one.end))
    for n, target in enumerate(problem.targets):
        if math.isfinite(reached[n]):
            found[target.piece] = max(found[target.piece], reached[n])
    return found


def reached_by(doing: Doing, target: Target) -> float:
    """Minute at which a target is met as the calendar stands; inf where it never is."""
    problem = doing.problem
    if target.is_step:
        ends = [doing.laid[t.id].end for t in _named(problem, target) if t.id in doing.laid]
        missing = any(t.id not in doing.laid for t in _named(problem, target))
        return math.inf if missing or not ends else float(max(ends))
    minute = float(problem.start)
    for name in target.parts:
        for task in tasks_towards(problem, name, target.for_):
            if task.id not in doing.laid:
                return math.inf
            minute = max(minute, doing.laid[task.id].end)
        for key in chain_keys(problem.jobs[name]):
            if key in doing.chains:
                minute = max(minute, _dry(doing, key, target.for_))
    return minute


def _named(problem: Problem, target: Target) -> list[Task]:
    return [
        t for p in target.parts for t in problem.jobs[p].tasks if t.step == target.for_ or t.do == target.for_
    ]


def _dry(doing: Doing, key: str, readiness: str) -> float:
    waits = doing.problem.waits
    pasts = [h for h in doing.chains[key].all_pasts() if h.events]
    z = doing.asking.z(readiness)
    return 60 * max((h.ready(waits, readiness, z=z) for h in pasts), default=0.0)


def tasks_towards(problem: Problem, part: str, readiness: str) -> list[Task]:
    """Tasks of a part and of its members that must be done before a readiness means anything.

    For `show`: those before the first step that itself asks `show` or `pack`; for `pack`, wrapping included.
    """
    order = READINESSES.index(readiness) if readiness in READINESSES else len(READINESSES)
    stop = {"show": ("show", "pack", "use"), "pack": ("use",)}.get(readiness, ())
    job = problem.jobs[part]
    found: list[Task] = []
    for member in job.begins_after:
        found += tasks_towards(problem, member, readiness)
    for task in job.tasks:
        asked = [a.readiness for a in (task.asks, *task.also)]
        if task.do == "own" and any(a in stop and READINESSES.index(a) + 1 >= order for a in asked):
            break
        found.append(task)
    return found
