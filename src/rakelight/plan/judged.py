"""What is made of a draft once it stands: its plan in the maker's dates, checked, with how near it is to the best
possible and why each step stands where it does.

A room of its own, read in only when there is a draft: the odds are reckoned beside it meanwhile.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from datetime import datetime

from rakelight.errors import Finding, Severity, Where
from rakelight.plan.bounds import Bound, bound
from rakelight.plan.draft import Draft
from rakelight.plan.model import Best, Due, Plan
from rakelight.plan.problem import Problem
from rakelight.plan.result import plan_of
from rakelight.plan.solving import Ask, Found
from rakelight.plan.together import piece_of
from rakelight.plan.verify import verify
from rakelight.plan.why import whys

_GRID = 5  # minutes: starts are whole fives, so a plan within one of the bound meets it


def judged(problem: Problem, found: Found, due: Sequence[Due], now: datetime, ask: Ask) -> Plan:
    """The plan of a draft, checked, with the bound beside it and why each step stands where it does.

    `due`: its dates as far as they are known.
    """
    draft, solver = found.draft, found.solver
    least = None if draft.stuck else bound(problem, draft).at_least(found.least, draft)
    plan = plan_of(problem, draft, tuple(due), now)
    plan = replace(plan, best=best_possible(problem, draft, solver, least))
    if least and problem.work.pieces:
        plan = replace(plan, best_of=best_of_each(problem, draft, solver, least))
    more = (*_unsound(problem, draft), *_against(problem, draft), *_not_exact(problem, ask))
    reasons = whys(problem, draft, plan.placed)
    placed = {k: replace(p, why=reasons.get(k)) for k, p in plan.placed.items()}
    return replace(plan, findings=(*plan.findings, *more), placed=placed)


def _not_exact(problem: Problem, ask: Ask) -> list[Finding]:
    """A note where the exact solver was asked for by name, and a helper is what it cannot take."""
    if ask.solver != "exact" or problem.helper is None:
        return []
    says = "The exact solver knows one maker and no helper: the order of work was bettered in the time given instead."
    mend = "Say --solver auto with --seconds, or take the helper out of the shop's file to have a proven plan."
    return [Finding("helper-not-exact", Severity.NOTE, Where(file=problem.shop.file), says, mend)]


def best_possible(problem: Problem, draft: Draft, solver: str, least: Bound | None = None) -> Best | None:
    """How near to the best possible a plan is; None where steps could not be placed.

    Of several pieces the gap is of the sum of their times from start to finish.
    """
    if draft.stuck:
        return None
    least = least or bound(problem, draft)
    if problem.work.pieces:
        begun = sum(_begin(problem, key) for key in problem.pieces)
        gap_h = max(0.0, draft.total - least.total) / 60
        proven = draft.total - least.total <= _GRID and draft.late - least.late <= _GRID
        gap = 0.0 if proven else gap_h * 60 / max(1.0, draft.total - begun)
        return Best(problem.hours.moment(least.minute), least.total_which, gap, gap_h, solver, proven)
    gap_h = max(0.0, draft.finish - least.minute) / 60
    proven = draft.finish - least.minute <= _GRID and draft.late - least.late <= _GRID
    gap = 0.0 if proven else least.gap(draft, problem.start)
    return Best(problem.hours.moment(least.minute), least.which, gap, gap_h, solver, proven)


def best_of_each(problem: Problem, draft: Draft, solver: str, least: Bound) -> dict[str, Best]:
    """The same of each of several pieces, against what it could be alone; empty for one."""
    found = {}
    for key in problem.work.pieces if not draft.stuck else ():
        value, finish = least.finishes[key], draft.finishes[key]
        proven = finish - value <= _GRID
        gap = 0.0 if proven else max(0.0, finish - value) / max(1.0, finish - _begin(problem, key))
        hours = max(0.0, finish - value) / 60
        found[key] = Best(problem.hours.moment(value), "waits", gap, hours, solver, proven)
    return found


def _begin(problem: Problem, key: str) -> int:
    return min((problem.begin(part) for part in problem.jobs if piece_of(part) == key), default=problem.start)


def _against(problem: Problem, draft: Draft) -> list[Finding]:
    """Of each date that is missed, what stands against it."""
    if draft.late <= 0 or draft.stuck:
        return []
    from rakelight.plan.conflict import conflicts  # asked only where a date is missed

    return conflicts(problem, draft)


def _unsound(problem: Problem, draft: Draft) -> list[Finding]:
    """A finding where the plan breaks a rule: every plan is checked before it is told."""
    broken = verify(problem, draft)
    if not broken:
        return []
    more = f" It breaks {len(broken)} in all." if len(broken) > 1 else ""
    says = f"The plan breaks a rule of its own: {broken[0]}.{more}"
    mend = "This is a fault of rakelight: please keep the files and tell its makers."
    return [Finding("plan-unsound", Severity.ERROR, Where(), says, mend)]
