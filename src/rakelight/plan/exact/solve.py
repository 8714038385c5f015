"""From a greedy plan to a proven one: read its waits, solve, lay out again with the true waits, and read again.

In order: dates met, then no scuff for a missed window, then an early finish, then few visits and set-ups. What the
rounds prove is proven for the waits as they stand in the plan; what `shortest` proves holds for every plan.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Collection
from dataclasses import dataclass, replace
from time import monotonic

from ortools.sat.python import cp_model

from rakelight.plan.bounds import unhindered
from rakelight.plan.draft import Draft
from rakelight.plan.exact.asked import least_of
from rakelight.plan.exact.days import TICK, up
from rakelight.plan.exact.effort import Effort
from rakelight.plan.exact.links import Reader
from rakelight.plan.exact.model import DAY, Model
from rakelight.plan.exact.replay import replay
from rakelight.plan.exact.shortest import shortest
from rakelight.plan.exact.variables import Lin, Step
from rakelight.plan.problem import Problem, nodes_of
from rakelight.plan.timeline import Span
from rakelight.plan.verify import verify

ROUNDS = 4
#: share of the time left that a round may take; and of all of it what is kept for any plan and for few visits
_A_ROUND = 0.25
_FOR_ANY_PLAN = 0.55

#: seconds under which a model is not worth making
_WORTH_SOLVING_S = 0.3

__all__ = ["Effort", "Proof", "rank", "solve"]

Tell = Callable[[str], None]


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
    least: float = 0.0  # minutes: no plan at all ends before, by its rules and tables


def rank(draft: Draft) -> tuple[float, float, float, float]:
    """The order in which plans are compared: late, scuffs put in, finish, visits and set-ups."""
    openers = sum(1 for x in draft.laid.values() if not x.done and x.before_min + x.after_min > 0)
    late = len(draft.stuck) * 1e9 + draft.late
    return (late, float(draft.added), math.ceil(draft.finish / TICK - 1e-6), draft.visits + openers)


def solve(problem: Problem, draft: Draft, effort: Effort, tell: Tell | None = None) -> tuple[Draft, Proof]:
    """The best plan found that passes the independent check, never a worse one than that given.

    Args: draft, the plan to start from, itself sound; effort; tell, is told where it stands.
    """
    search = Search(problem, draft, effort, tell)
    search.early_finish()
    search.any_plan()
    search.few_visits()
    return search.best, replace(search.proof, improved=rank(search.best) < rank(draft))


class Search:
    """Rounds of reading, solving and laying out again."""

    def __init__(self, problem: Problem, draft: Draft, effort: Effort, tell: Tell | None) -> None:
        self.problem, self.effort, self.tell = problem, effort, tell
        self.nodes = nodes_of(problem.work)
        self.best = draft
        self.proof = Proof()
        self.until = monotonic() + effort.seconds
        self.build_s = self.lay_s = 0.0  # what making a model, and laying a solution out and checking it, has taken
        free = unhindered(problem)
        self.least = free.finish
        self.heads = {key: float(laid.start) for key, laid in free.laid.items() if not laid.done}

    def left(self, share: float) -> float:
        """Seconds for the next solving: a share of those left once its solution has been laid out."""
        return max(0.05, (self.until - monotonic() - self.lay_s) * share)

    def no_time(self) -> bool:
        """Whether another model would be made and laid out for nothing; never where work is counted, not seconds."""
        spent = monotonic() + self.build_s + self.lay_s + _WORTH_SOLVING_S
        return self.effort.units is None and spent > self.until

    def early_finish(self) -> None:
        """Dates, scuffs and the finish, in rounds, until the plan as laid out is as the model said."""
        base = self.best
        for turn in range(ROUNDS):
            if turn and (self.no_time() or self.left(1.0) < self.effort.seconds * _FOR_ANY_PLAN):
                return
            # at first each coat has time to clean up after it; then those that do in the plan laid out
            stages = self._finish(base, None if turn else set(self.nodes), turn + 1)
            if stages is None:
                return
            sound = self._lay_out(stages, f"round {turn + 1}")
            if not sound or self._met():
                return
            base = min(sound, key=rank)

    def any_plan(self) -> None:
        """How early any plan may end, whatever its waits; what is found on the way is laid out and kept if better."""
        if self._met() or self.no_time():
            self.proof = replace(self.proof, least=self.least)
            return
        until = monotonic() + self.left(0.5)
        found = shortest(self.problem, least_of(self.problem), self.best, until, self.effort)
        self.proof = replace(self.proof, least=max(self.least, found.least))
        if found.planned:
            self._lay(found.planned, "any plan")

    def _met(self) -> bool:
        return self.best.finish - self.least <= TICK and not self.best.late and not self.best.added

    def _finish(self, base: Draft, opened: Collection[str] | None, turn: int) -> Stages | None:
        model = self._model(base, True, opened)
        scuff, late = self._weights(model)
        stages = Stages(model, self.effort)
        more = scuff * model.added + late * model.late
        if not stages.least(model.finish + more, self.left(_A_ROUND)):
            return None
        over = stages.of(more)
        self.proof = replace(
            self.proof,
            rounds=turn,
            finish=(stages.value - over) * TICK,
            finish_least=max(0.0, (stages.bound - over) * TICK),
            finish_proven=stages.proven,
        )
        return stages

    def few_visits(self) -> None:
        """Visits and set-ups, at the finish reached."""
        if self.no_time():
            return
        model = self._model(self.best)
        stages = Stages(model, self.effort)
        for goal, most in (
            (model.late, up(self.best.late)),
            (model.added, self.best.added),
            (model.finish, up(self.best.finish)),
        ):
            if not isinstance(goal, int):
                model.cp.add(goal <= most)
        if stages.least(model.visits + model.set_ups, self.left(0.9)):
            self.proof = replace(self.proof, visits_least=stages.bound, visits_proven=stages.proven)
            self._lay_out(stages, "visits")

    def _model(self, base: Draft, lean: bool = False, opened: Collection[str] | None = None) -> Model:
        begun = monotonic()
        links = Reader(self.problem, self.nodes, base).read()
        for key, head in self.heads.items():
            links.floors[key] = max(head, links.floors.get(key, 0.0))
        model = Model(self.problem, self.nodes, base, links, lean, opened)
        model.cp.add(model.finish >= int(self.least // TICK))
        self.build_s = max(self.build_s, monotonic() - begun)
        return model

    @staticmethod
    def _weights(model: Model) -> tuple[int, int]:
        """One scuff outweighs any finish, and one tick late any number of scuffs."""
        scuff = model.last + 60 * DAY
        return scuff, scuff * (len(model.late_coats) + 1)

    def _lay_out(self, stages: Stages, what: str) -> list[Draft]:
        return self._lay(stages.planned(), what)

    def _lay(self, planned: dict[str, tuple[Span, ...]], what: str) -> list[Draft]:
        begun, floors = monotonic(), self.best.floors
        drafts = [replay(self.problem, self.nodes, planned, floors, keep) for keep in (True, False)]
        drafts.append(replay(self.problem, self.nodes, planned, floors, True, trust=True))
        sound = [d for d in drafts if not d.stuck and not verify(self.problem, d)]
        self.best = min([self.best, *sound], key=rank)
        self.lay_s = max(self.lay_s, monotonic() - begun)
        if self.tell:
            self.tell(f"{what}: ends {self.problem.hours.moment(self.best.finish):%a %-d %B %H:%M}")
        return sound


class Stages:
    """One goal after another on one model, each held before the next."""

    def __init__(self, model: Model, effort: Effort) -> None:
        self.model, self.effort = model, effort
        self.value = self.bound = 0.0
        self.proven = False
        self.solver = cp_model.CpSolver()
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
        cp.clear_hints()  # type: ignore[no-untyped-call]
        for index, (var, _) in self.model.hints.items():
            cp.add_hint(var, self.found[index])
        solver = self.solver = self.effort.solver(seconds)
        status = solver.solve(cp)
        self.proven = status == cp_model.OPTIMAL
        if status not in (cp_model.OPTIMAL, cp_model.FEASIBLE):
            return False
        self.value, self.bound = solver.objective_value, solver.best_objective_bound
        self.found = {i: solver.value(var) for i, (var, _) in self.model.hints.items()}
        self.solved = {k: _spans(solver, step) for k, step in self.model.steps.items()}
        return True

    def of(self, goal: Lin) -> float:
        """What a sum comes to in the last solution."""
        return float(self.solver.value(goal))

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
