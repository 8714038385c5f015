"""What really happened to one piece, told again beside the book's figures: what its log teaches."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property

from rakelight.facts.load import Facts
from rakelight.log.events import Event, in_force
from rakelight.log.fold import fold
from rakelight.log.learning.seen import Taught
from rakelight.piece.model import Piece
from rakelight.plan.draft import Draft, Laid
from rakelight.plan.planning import build_problem
from rakelight.plan.problem import Node, Problem, nodes_of
from rakelight.plan.replay import Story, tell
from rakelight.schedule.amounts import Amounts, amounts
from rakelight.schedule.book import Book
from rakelight.schedule.tasks import Task, Work
from rakelight.schedule.unroll import unroll
from rakelight.shop.model import Shop
from rakelight.state.model import State


@dataclass(frozen=True)
class Past:
    """A piece as it went, by the tables alone: no factor of the shop is in it."""

    job: str  # key of the piece
    work: Work
    problem: Problem
    state: State
    events: tuple[Event, ...]  # that count, in the order told

    @classmethod
    def of(
        cls, job: str, piece: Piece, book: Book, shop: Shop, facts: Facts, events: Sequence[Event]
    ) -> Past | None:
        """From its files and events; None where nothing was done. Facts are the tables, without the shop's own."""
        told = in_force(events)
        now = max((e.happened for e in told), default=None)
        if now is None:
            return None
        state = fold(events, now)
        if not any(fact.logged for fact in state.done.values()):
            return None
        work = unroll(piece, book, shop, facts, state)
        return cls(job, work, build_problem(work, shop, facts, now, [], state), state, tuple(told))

    @property
    def facts(self) -> Facts:
        """The tables."""
        return self.problem.facts

    @cached_property
    def nodes(self) -> dict[str, Node]:
        """Every step with what must be done before it."""
        return nodes_of(self.work)

    @cached_property
    def tasks(self) -> dict[str, Task]:
        """Every step by its id."""
        return {t.id: t for job in self.work.jobs.values() for t in job.tasks}

    @cached_property
    def amounts(self) -> Amounts:
        """What each step takes by the tables."""
        return amounts(self.work, self.problem.shop, self.facts)

    def told(self, task: str) -> bool:
        """Whether a step was told as done."""
        fact = self.state.done.get(task)
        return fact is not None and fact.logged

    def written_of(self, task: str) -> Event:
        """What was told last of a step. Raises StopIteration where nothing was."""
        return next(e for e in reversed(self.events) if e.task == task or task in e.plan)

    def story(self, but: str = "", at: int | None = None) -> Story:
        """What was done, told again; with `but` and `at`, as that step would have begun at a minute."""
        laid = {}
        for key, (spans, place) in self.problem.done.items():
            task = self.tasks.get(key) or self._scuff(key)
            if key != but and (at is None or spans[0][0] <= at):
                laid[key] = Laid(spans, place, float(spans[0][0]), task=task, done=True)
        if but and at is not None:
            laid[but] = Laid(((at, at),), "", float(at), task=self.tasks[but], done=True)
        return tell(self.problem, Draft(laid, {}, 0.0, 0, 0.0, 0), self.nodes)

    def _scuff(self, key: str) -> Task | None:
        """A scuff that was put in before a coat that came late."""
        coat = self.tasks.get(key.rsplit("/", 1)[0])
        if coat is None or not key.endswith("/scuff-late"):
            return None
        um = self.facts.likely("scuff_um")
        return Task(key, coat.part, f"scuff before {coat.step}", "scuff", "", coat.faces, "dusty", coat.minutes,
                    removes_um=um, lot=coat.lot, pieces=coat.pieces, board=coat.board)  # fmt: skip


def taught_by(past: Past) -> Taught:
    """All that a piece's log teaches of this shop's own figures; what is not logged teaches nothing."""
    from rakelight.log.learning import counted, dried, looked_at, measured

    every = (
        dried.seen_in, measured.amounts_in, measured.minutes_in, counted.coats_in, looked_at.haze_in,
        looked_at.gloss_in,
    )  # fmt: skip
    found = [see(past) for see in every]
    seen = tuple(s for some, _ in found for s in some)
    return Taught(past.job, seen, tuple(says for _, odd in found for says in odd))
