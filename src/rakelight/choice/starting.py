"""The latest start from which a finish would have kept its dates at the wanted odds."""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime, timedelta

from rakelight.choice.trying import Trying
from rakelight.plan.greedy import best_draft
from rakelight.plan.latest import latest_keeping
from rakelight.plan.odds import Outlook
from rakelight.plan.planning import Wish, build_problem
from rakelight.plan.problem import Problem
from rakelight.schedule.tasks import Work
from rakelight.state.model import State

#: outcomes drawn for each start that is looked at
_SCENARIOS = 160
#: days back that are looked at
MOST_DAYS = 120


def wishes_of(problem: Problem) -> list[Wish]:
    """The dates of a problem as they were asked."""
    moment = problem.hours.moment
    return [
        Wish(t.for_, moment(t.by), "" if t.is_step or len(t.parts) > 1 else t.parts[0], t.piece, t.matters)
        for t in problem.targets
    ]


def latest_start(trying: Trying, work: Work, odds: float, short_days: float | None) -> datetime | None:
    """The last start that keeps all dates at some odds: from now on, or in the past where it is too late for that.

    None where something is done already, or where no start looked at would do.
    """
    problem = trying.asked(work)
    if problem.done or not problem.targets:
        return None
    if short_days == 0:
        draft, _ = best_draft(problem)
        return latest_keeping(Outlook(problem, draft), odds)
    now = problem.hours.moment(problem.start)
    earliest = now - timedelta(days=MOST_DAYS + 1)
    state = State(factors=problem.waits.factors)
    early = build_problem(work, trying.shop, trying.facts, earliest, wishes_of(problem), state)
    known: dict[int, datetime | None] = {}

    def begun(days: int) -> datetime | None:
        if days not in known:
            known[days] = _begun(early, now - timedelta(days=days), odds)
        return known[days]

    step = max(1, min(MOST_DAYS, round(short_days or 14)))
    low, high = 0, step
    while begun(high) is None:
        if high >= MOST_DAYS:
            return None
        low, high = high, min(MOST_DAYS, high * 2)
    while high - low > 1:
        middle = (low + high) // 2
        low, high = (low, middle) if begun(middle) is not None else (middle, high)
    return begun(high)


def _begun(early: Problem, start: datetime, odds: float) -> datetime | None:
    """When work begins, where a start keeps all dates at some odds."""
    problem = replace(early, start=early.hours.minute(start))
    draft, _ = best_draft(problem)
    if draft.stuck or draft.late > 0:
        return None
    outlook = Outlook(problem, draft, _SCENARIOS)
    if outlook.chance(outlook.plain) < odds:
        return None
    return problem.hours.moment(min((x.start for x in draft.laid.values()), default=problem.start))
