"""Which solver is asked for a better plan than the greedy one."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from rakelight.errors import Misread
from rakelight.plan.draft import Draft
from rakelight.plan.problem import Problem, nodes_of

SOLVERS = ("auto", "greedy", "exact")
GOALS = ("early", "late")
_SECONDS = 10.0  # of the exact solver, where nothing is said
_SMALL = 150  # steps up to which `auto` with seconds asks the exact solver


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
    if not seconds or draft.stuck:
        return Found(draft)
    from rakelight.plan.verify import verify

    if verify(problem, draft):
        return Found(draft)
    if not exact:
        from rakelight.plan.polish import polish

        return Found(polish(problem, draft, seconds, tell))
    from rakelight.plan.exact.solve import Effort, solve

    found, proof = solve(problem, draft, Effort(seconds), tell)
    return Found(found, "exact" if proof.rounds else "greedy", proof.least)
