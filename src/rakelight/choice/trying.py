"""A piece on trial: other finishes put on it, unrolled, and laid on the calendar of its shop."""

from __future__ import annotations

import math
from collections.abc import Collection, Mapping
from dataclasses import dataclass, field, replace
from datetime import datetime
from functools import cached_property

from rakelight.choice.model import Limits, Make, Slot, Want
from rakelight.choice.slots import dressed
from rakelight.facts.load import Facts
from rakelight.piece.model import Face, FinishUse, Part, Piece
from rakelight.plan.draft import Draft
from rakelight.plan.greedy import MANNERS, Manner, lags_of, run_pass
from rakelight.plan.problem import Problem, Target, nodes_of
from rakelight.schedule.book import Book
from rakelight.schedule.layers import Faces, stacks_of_work
from rakelight.schedule.steps import Step
from rakelight.schedule.tasks import Work
from rakelight.schedule.unroll import unroll
from rakelight.shop.model import Shop
from rakelight.state.model import State

#: every material so much later than likely comes out near the eighth of ten outcomes: only orders what is planned
LATE_Z = 0.84
#: a board stands in nobody's way: each coat at the first place it fits
FIRST_PLACE = Manner(1.0, span_h=0.0)


@dataclass
class Board:
    """A finish on a board by itself."""

    work: Work
    faces: dict[str, Faces]
    margin_min: float | None = None  # past the first date where all dries late; None not asked yet


@dataclass
class Trying:
    """What every trial shares. The waits of `problem` are asked by all, so what one has learned helps the next."""

    piece: Piece
    book: Book
    shop: Shop
    facts: Facts
    problem: Problem  # of the wished finish
    state: State
    now: datetime
    slots: tuple[Slot, ...]
    limits: Limits = field(default_factory=Limits)
    wants: Mapping[str, Want] = field(default_factory=dict)  # by slot
    #: by the steps of a finish, and by woods where they matter: one bought in another sheen is laid just so
    boards: dict[tuple[tuple[Step, ...], tuple[str, ...]], Board] = field(default_factory=dict)

    def want(self, slot: Slot) -> Want:
        """What is wanted of a slot."""
        return self.wants.get(slot.name, Want())

    def dressed(self, makes: Mapping[str, Make], bare: Collection[Slot] = ()) -> tuple[Piece, Work]:
        """The piece with other finishes, and its work; slots named in `bare` get none."""
        other = {name: make for name, make in makes.items() if not make.wished}
        if not other and not bare:
            return self.piece, self.problem.work
        piece, book = dressed(self.piece, self.book, self.slots, other, bare)
        return piece, unroll(piece, book, self.shop, self.facts, self.state)

    def board(self, slot: Slot, make: Make) -> Board:
        """A finish on a board, kept for all slots; the wood matters only where this shop counts coats by it."""
        key = (make.schedule.steps, slot.woods if self.facts.shop else ())
        if key not in self.boards:
            work = self._on_board(slot, make)
            self.boards[key] = Board(work, stacks_of_work(work, self.facts))
        return self.boards[key]

    def _on_board(self, slot: Slot, make: Make) -> Work:
        face = Face("top", "show", 0.1, broad=True)
        use = {"all": FinishUse(make.name)}
        part = Part("board", "panel", woods=slot.woods, faces=(face,), finish=use, both_faces="on points")
        piece = replace(self.piece, parts={"board": part}, wanted=())
        return unroll(piece, self.book.with_more([make.schedule]), self.shop, self.facts)

    def of_slot(self, slot: Slot, make: Make) -> tuple[Piece, Work]:
        """The parts of one slot by themselves, with a finish, and their work."""
        piece, book = self.piece, self.book
        if not make.wished:
            piece, book = dressed(self.piece, self.book, (slot,), {slot.name: make})
        names = _with_members(piece, slot.parts)
        alone = replace(piece, parts={n: p for n, p in piece.parts.items() if n in names}, wanted=())
        return alone, unroll(alone, book, self.shop, self.facts, self.state)

    def asked(self, work: Work) -> Problem:
        """What the planner is asked about other work on the same piece: the same dates, the same waits."""
        steps = {t.step for job in work.jobs.values() for t in job.tasks}
        targets = tuple(t for t in self.problem.targets if _there(t, work, steps))
        return replace(self.problem, work=work, targets=targets, kept={})

    def board_margin(self, board: Board) -> float:
        """Minutes by which a board by itself misses the first date, where all dries late; less than 0 in hand."""
        if board.margin_min is None:
            board.margin_min = self._board_margin(board.work)
        return board.margin_min

    def _board_margin(self, work: Work) -> float:
        readiness = next((t.for_ for t in self.problem.targets if not t.is_step), "pack")
        by = min((t.by for t in self.problem.targets), default=0)
        problem = replace(
            self.problem, work=work, targets=(Target(readiness, by, ("board",)),), kept={}, done={}, begins={}
        )
        return self.margin(problem, run_pass(problem, FIRST_PLACE, None, self._late))

    def quick(self, problem: Problem, late: bool = False) -> Draft:
        """One pass; late: as if every material were later than likely."""
        return run_pass(problem, MANNERS[0], None, self._late if late else None)

    @cached_property
    def _late(self) -> dict[str, float]:
        return dict.fromkeys(self.facts.materials, LATE_Z)

    def margin(self, problem: Problem, draft: Draft) -> float:
        """Minutes by which the worst date is missed; less than 0 in hand, inf where it never dries."""
        if draft.stuck:
            return math.inf
        return max((draft.reached[n] - t.by for n, t in enumerate(problem.targets)), default=-math.inf)

    def twice(self, problem: Problem) -> Draft:
        """Two passes: the first makes waits known, so that urgency is true in the second; the better of both."""
        nodes = nodes_of(problem.work)
        first = run_pass(problem, MANNERS[0], None, None, nodes)
        again = run_pass(problem, MANNERS[0], lags_of(first, nodes), None, nodes, first.floors)
        return min(first, again, key=lambda draft: draft.score)


def _with_members(piece: Piece, parts: Collection[str]) -> set[str]:
    found = set(parts)
    while more := {m for p in found if p in piece.parts for m in piece.parts[p].of} - found:
        found |= more
    return found


def _there(target: Target, work: Work, steps: Collection[str]) -> bool:
    """A date of a step holds as long as that step is done."""
    return all(p in work.jobs for p in target.parts) and (not target.is_step or target.for_ in steps)
