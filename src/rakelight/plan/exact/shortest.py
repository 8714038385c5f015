"""How early any plan may end: the model of the least solved, and what it finds laid out again."""

from __future__ import annotations

import math
from dataclasses import dataclass
from time import monotonic

from ortools.sat.python import cp_model

from rakelight.plan.draft import Draft
from rakelight.plan.exact.asked import Least
from rakelight.plan.exact.days import TICK
from rakelight.plan.exact.effort import Effort
from rakelight.plan.exact.least import LeastModel
from rakelight.plan.exact.variables import Step
from rakelight.plan.problem import Problem
from rakelight.plan.timeline import Span


@dataclass(frozen=True)
class Shortest:
    """What came of it: no plan ends before `least`; `planned`, spans in minutes of the best order found."""

    least: float
    planned: dict[str, tuple[Span, ...]] | None = None


def shortest(problem: Problem, least: Least, draft: Draft, until: float, effort: Effort) -> Shortest:
    """How early any plan may end, and the order that ends earliest by these rules, found by then.

    Args: draft, a sound plan: only what ends no later is looked for; until, of the clock that only goes on: to make
    the model is counted in, and where that takes all of it nothing is looked for.
    """
    model = LeastModel(problem, least, draft, math.ceil(draft.finish / TICK - 1e-6))
    if model.hopeless:
        return Shortest(draft.finish)
    seconds = until - monotonic()
    if seconds <= 0 and effort.units is None:
        return Shortest(0.0)
    model.cp.minimize(model.finish)
    for var, value in model.hints.values():
        model.cp.add_hint(var, value)
    solver = effort.solver(seconds)
    status = solver.solve(model.cp)
    if status == cp_model.INFEASIBLE:
        return Shortest(draft.finish)
    bound = min(draft.finish, max(0.0, solver.best_objective_bound))
    if status not in (cp_model.OPTIMAL, cp_model.FEASIBLE):
        return Shortest(bound)
    done = {k for k, x in model.least.free.laid.items() if x.done}
    return Shortest(bound, {k: _spans(solver, step) for k, step in model.steps.items() if k not in done})


def _spans(solver: cp_model.CpSolver, step: Step) -> tuple[Span, ...]:
    found = [(int(solver.value(s.start)), int(solver.value(s.start + s.size))) for s in step.segments]
    start = int(solver.value(step.start))
    return tuple((a * TICK, b * TICK) for a, b in found if b > a) or ((start * TICK, start * TICK),)
