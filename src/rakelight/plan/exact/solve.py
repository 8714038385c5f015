"""From a greedy plan to a proven one: read its waits, solve, lay out again with the true waits, and read again.

In order: dates met, then no scuff for a missed window, then an early finish, then few visits and set-ups. What is
proven is proven for the waits as they stand in the plan; the bound beside it (`plan.bounds`) needs no such word.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from time import monotonic

from ortools.sat.python import cp_model

from rakelight.plan.draft import Draft
from rakelight.plan.exact.days import TICK, up
from rakelight.plan.exact.links import Reader
from rakelight.plan.exact.model import Lin, Model, Step
from rakelight.plan.exact.replay import Planned, replay
from rakelight.plan.problem import Node, Problem, nodes_of
from rakelight.plan.timeline import Span
from rakelight.plan.verify import verify

#: fewer and CP-SAT runs no neighbourhood search: measured, docs/decisions.md
LEAST_WORKERS = 8
ROUNDS = 4

Tell = Callable[[str], None]


@dataclass(frozen=True)
class Effort:
    """How long to try. Work (`units`, deterministic) instead of seconds is for tests: one worker then."""

    seconds: float = 10.0
    workers: int = LEAST_WORKERS
    units: float | None = None


@dataclass(frozen=True)
class Proof:
    """What came of it."""

    rounds: int = 0
    finish: float = 0.0  # minutes, of the last solution
    finish_least: float = 0.0  # no plan with these waits ends before
    finish_proven: bool = False
    visits_least: float = 0.0  # visits and set-ups, each counted one, at that finish
    visits_proven: bool = False
    improved: bool = False


def rank(draft: Draft) -> tuple[float, float, float, float]:
    """The order in which plans are compared: late, scuffs put in, finish, visits and set-ups."""
    openers = sum(1 for x in draft.laid.values() if not x.done and x.before_min + x.after_min > 0)
    late = len(draft.stuck) * 1e9 + draft.late
    return (late, float(draft.added), math.ceil(draft.finish / TICK - 1e-6), draft.visits + openers)


def solve(problem: Problem, draft: Draft, effort: Effort, tell: Tell | None = None) -> tuple[Draft, Proof]:
    """The best plan found that passes the independent check, never a worse one than that given.

    Args: draft, the plan to start from, itself sound; effort; tell, is told where it stands.
    """
    nodes = nodes_of(problem.work)
    best, base, proof = draft, draft, Proof()
    until = monotonic() + effort.seconds
    seen: set[tuple[tuple[str, tuple[Span, ...]], ...]] = set()
    for turn in range(ROUNDS):
        left = until - monotonic()
        if left < min(0.2, effort.seconds / 4):
            break
        found = _turn(problem, nodes, base, effort, left if effort.units is None else effort.seconds)
        if found is None:
            break
        planned, proof = found[0], replace(found[1], rounds=turn + 1)
        drafts = [replay(problem, nodes, planned, draft.floors, keep) for keep in (True, False)]
        sound = [d for d in drafts if not verify(problem, d)]
        for one in sound:
            if rank(one) < rank(best):
                best = one
        if tell:
            tell(f"round {turn + 1}: finish {problem.hours.moment(best.finish):%a %-d %B %H:%M}")
        mark = tuple(sorted(planned.items()))
        if not sound or mark in seen or _as_hoped(best, proof):
            break
        seen.add(mark)
        base = min(sound, key=rank)
    return best, replace(proof, improved=rank(best) < rank(draft))


def _as_hoped(best: Draft, proof: Proof) -> bool:
    """The plan as laid out is as good as the model said: reading again would change nothing."""
    return proof.finish_proven and rank(best)[2] <= up(proof.finish) and rank(best)[3] <= proof.visits_least


def _turn(
    problem: Problem, nodes: Mapping[str, Node], base: Draft, effort: Effort, seconds: float
) -> tuple[Planned, Proof] | None:
    """One reading and solving: spans in minutes."""
    begun = monotonic()
    model = Model(problem, nodes, base, Reader(problem, nodes, base).read())
    stages = Stages(model, effort)

    def left() -> float:
        return max(0.05, seconds - (monotonic() - begun))

    if base.late > 0:
        if not stages.least(model.late, left() / 3):
            return None
        stages.hold(model.late)
    else:
        model.cp.add(model.late <= 0)
    if base.added:
        stages.least(model.added, left() / 3)
        stages.hold(model.added)
    elif model.late_coats:
        model.cp.add(model.added <= 0)
    if not stages.least(model.finish, left() * 0.5):
        return None
    finish, least, proven = stages.value, stages.bound, stages.proven
    stages.hold(model.finish)
    stages.least(model.visits + model.set_ups, left() * 0.8)
    proof = Proof(
        1, finish * TICK, least * TICK, proven, stages.bound, stages.proven and proven
    )
    return stages.planned(), proof


class Stages:
    """One goal after another on one model, each held before the next."""

    def __init__(self, model: Model, effort: Effort) -> None:
        self.model, self.effort = model, effort
        self.value = self.bound = 0.0
        self.proven = False
        self.found: dict[int, int] = {i: h for i, (_, h) in model.hints.items()}
        self.solved: dict[str, tuple[Span, ...]] = {}

    def least(self, goal: Lin, seconds: float) -> bool:
        """Make a goal as small as it goes in the time; False where nothing is found."""
        if isinstance(goal, int):
            self.value = self.bound = goal
            self.proven = True
            return True
        cp = self.model.cp
        cp.minimize(goal)
        cp.clear_hints()
        for index, (var, _) in self.model.hints.items():
            cp.add_hint(var, self.found[index])
        solver = cp_model.CpSolver()
        parameters = solver.parameters
        parameters.num_workers = 1 if self.effort.units is not None else max(LEAST_WORKERS, self.effort.workers)
        parameters.random_seed = 0
        if self.effort.units is None:
            parameters.max_time_in_seconds = seconds
        else:
            parameters.max_deterministic_time = self.effort.units
        status = solver.solve(cp)
        self.proven = status == cp_model.OPTIMAL
        if status not in (cp_model.OPTIMAL, cp_model.FEASIBLE):
            return False
        self.value, self.bound = solver.objective_value, solver.best_objective_bound
        self.found = {i: solver.value(var) for i, (var, _) in self.model.hints.items()}
        self.solved = {k: _spans(solver, step) for k, step in self.model.steps.items()}
        return True

    def hold(self, goal: Lin) -> None:
        """From now on, no worse than found."""
        if not isinstance(goal, int):
            self.model.cp.add(goal <= round(self.value))

    def planned(self) -> dict[str, tuple[Span, ...]]:
        """Spans of work in minutes."""
        return {
            key: tuple((a * TICK, b * TICK) for a, b in spans)
            for key, spans in self.solved.items() if not self.model.draft.laid[key].done
        }  # fmt: skip


def _spans(solver: cp_model.CpSolver, step: Step) -> tuple[Span, ...]:
    found = [(int(solver.value(g.start)), int(solver.value(g.start + g.size))) for g in step.segments]
    found = [(a, b) for a, b in found if b > a]
    start = int(solver.value(step.start))
    return tuple(found) or ((start, start),)
