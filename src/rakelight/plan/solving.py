"""Which solver is asked, and what is said of the answer: how near to the best possible it is."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from rakelight.errors import Finding, Misread, Severity, Where
from rakelight.plan.bounds import Bound, bound
from rakelight.plan.draft import Draft
from rakelight.plan.model import Best
from rakelight.plan.polish import polish
from rakelight.plan.problem import Problem, nodes_of
from rakelight.plan.together import piece_of
from rakelight.plan.verify import verify

SOLVERS = ("auto", "greedy", "exact")
GOALS = ("early", "late")
_SECONDS = 10.0  # of the exact solver, where nothing is said
_SMALL = 150  # steps up to which `auto` with seconds asks the exact solver
_GRID = 5  # minutes: starts are whole fives, so a plan within one of the bound meets it


@dataclass(frozen=True)
class Ask:
    """What is asked of the planner: auto is greedy alone, unless seconds are given and the piece is small."""

    solver: str = "auto"
    seconds: float | None = None
    goal: str = "early"  # ready early, or begun late: as late as keeps nine in ten for all dates

    @property
    def late(self) -> bool:
        """Whether it is to be begun as late as may be."""
        return self.goal == "late"

    def __post_init__(self) -> None:
        """Raises Misread for an unknown solver or seconds that make no sense."""
        if self.solver not in SOLVERS:
            raise Misread(f"{self.solver!r} is no way to plan.", f"Say one of: {', '.join(SOLVERS)}.")
        if self.goal not in GOALS:
            raise Misread(f"{self.goal!r} is no goal of a plan.", f"Say one of: {', '.join(GOALS)}.")
        if self.seconds is not None and not 1 <= self.seconds <= 3600:
            raise Misread("--seconds is the time to spend on a better plan.", "Say 1 to 3600 seconds.")
        if self.seconds is not None and self.solver == "greedy":
            raise Misread("The greedy planner takes no --seconds.", "Leave it out, or say --solver exact.")

    def wants_exact(self, problem: Problem) -> bool:
        """Whether the exact solver is asked."""
        if self.solver == "auto":
            return self.seconds is not None and len(nodes_of(problem.work)) <= _SMALL
        return self.solver == "exact"


@dataclass(frozen=True)
class Found:
    """A plan, whose it is, and the minute before which no plan ends where the exact solver has proven one."""

    draft: Draft
    solver: str = "greedy"
    least: float = 0.0


def better(problem: Problem, draft: Draft, ask: Ask, tell: Callable[[str], None] | None = None) -> Found:
    """A better plan where seconds are given or the exact solver is asked; and which solver's plan it is.

    Up to about 150 steps of one piece the exact solver; above, with several pieces or with a helper, the order is
    polished.
    """
    exact = not problem.work.pieces and problem.helper is None and ask.wants_exact(problem)
    seconds = ask.seconds or (_SECONDS if ask.solver == "exact" else 0.0)
    if not seconds or draft.stuck or verify(problem, draft):
        return Found(draft)
    if not exact:
        return Found(polish(problem, draft, seconds, tell))
    from rakelight.plan.exact.solve import Effort, solve

    found, proof = solve(problem, draft, Effort(seconds), tell)
    return Found(found, "exact" if proof.rounds else "greedy", proof.least)


def not_exact(problem: Problem, ask: Ask) -> list[Finding]:
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
