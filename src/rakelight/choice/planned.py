"""A whole finish on the calendar with the odds of its dates: what the planner does, without its reasons and bounds."""

from __future__ import annotations

import math
from dataclasses import replace
from datetime import datetime

from rakelight.errors import Finding, Severity, Where
from rakelight.plan.draft import Draft
from rakelight.plan.greedy import best_draft
from rakelight.plan.model import Due, Plan
from rakelight.plan.odds import RECORDED, SCENARIOS, SCENARIOS_ASKED, Outlook
from rakelight.plan.problem import Problem
from rakelight.plan.result import plan_of
from rakelight.plan.verify import verify


def planned(problem: Problem, now: datetime) -> tuple[Plan, Outlook | None]:
    """The best plan found, checked, its dates drawn as `rakelight plan` draws them; and the drawn outcomes.

    None for the outcomes where no date can be reached at all.
    """
    draft, _ = best_draft(problem)
    plain = tuple(_due(problem, draft, n) for n in range(len(problem.targets)))
    if draft.stuck or not plain:
        return _checked(problem, draft, plan_of(problem, draft, plain, now)), None
    outlook = Outlook(problem, draft, SCENARIOS_ASKED if problem.finished_jobs >= RECORDED else SCENARIOS)
    dues = tuple(_as_drawn(due) for due in outlook.of_dues(plain, problem.finished_jobs))
    return _checked(problem, draft, plan_of(problem, draft, dues, now)), outlook


def _due(problem: Problem, draft: Draft, n: int) -> Due:
    target, minute = problem.targets[n], draft.reached[n]
    at = problem.hours.moment(minute) if math.isfinite(minute) else None
    part = target.parts[0] if len(target.parts) == 1 and not target.is_step else ""
    late_h = max(0.0, minute - target.by) / 60
    return Due(target.for_, problem.hours.moment(target.by), part, at, at, at, late_h, piece=target.piece)


def _as_drawn(due: Due) -> Due:
    """A date with the tenth and ninetieth of a hundred outcomes as its ends."""
    if due.odds is None or due.likely is None:
        return due
    low, high = due.odds.p10 or due.likely, due.odds.p90
    return replace(due, low=min(low, due.likely), high=max(high, due.likely) if high else None)


def _checked(problem: Problem, draft: Draft, plan: Plan) -> Plan:
    broken = verify(problem, draft)
    if not broken:
        return plan
    says = f"The plan breaks a rule of its own: {broken[0]}."
    mend = "This is a fault of rakelight: please keep the files and tell its makers."
    return replace(plan, findings=(*plan.findings, Finding("plan-unsound", Severity.ERROR, Where(), says, mend)))
