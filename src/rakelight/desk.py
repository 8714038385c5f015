"""The facade: open a piece and a shop, one verb a method. All that the command line and the pages may call."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from datetime import datetime
from functools import cached_property
from pathlib import Path

from rakelight import rules
from rakelight.errors import Finding, NotFound, Refused, Severity, Where
from rakelight.facts import load
from rakelight.facts.load import Facts
from rakelight.log.events import Event, Log
from rakelight.log.fold import fold
from rakelight.piece.file import read_piece
from rakelight.piece.model import DateWords, Piece
from rakelight.plan.model import Due, Placed, Plan
from rakelight.plan.planning import Wish, build_problem, latest_start, make_plan
from rakelight.plan.problem import Problem
from rakelight.schedule.amounts import Amounts, amounts
from rakelight.schedule.book import Book
from rakelight.schedule.steps import READINESSES
from rakelight.schedule.tasks import Work
from rakelight.schedule.unroll import unroll
from rakelight.shop.file import read_shop
from rakelight.shop.hours import by_moment
from rakelight.shop.model import Shop
from rakelight.state.model import State


@dataclass(frozen=True)
class Answer:
    """A plan with all that goes with it."""

    piece: Piece
    shop: Shop
    work: Work
    plan: Plan
    amounts: Amounts
    findings: tuple[Finding, ...]
    state: State = field(default_factory=State)
    book: Book | None = None

    @property
    def worst(self) -> Severity | None:
        """The severest of the findings."""
        order = [Severity.NOTE, Severity.WARNING, Severity.ERROR]
        return max((f.severity for f in self.findings), key=order.index, default=None)


@dataclass
class Desk:
    """A piece on the desk, with the shop it is made in and the log of what has happened."""

    piece: Piece
    shop: Shop
    facts: Facts
    book: Book
    now: datetime
    wishes: tuple[Wish, ...]
    start: datetime
    read: tuple[Finding, ...]
    log: Log

    @cached_property
    def state(self) -> State:
        """What has happened, as the log tells it."""
        return fold(self.log.events(), self.now)

    @cached_property
    def work(self) -> Work:
        """The piece's schedules as single sessions of work."""
        return unroll(self.piece, self.book, self.shop, self.facts, self.state)

    @cached_property
    def problem(self) -> Problem:
        """What the planner is asked."""
        return build_problem(
            self.work, self.shop, self.facts, max(self.start, self.now), self.wishes, self.state
        )

    def check(self) -> list[Finding]:
        """What is wrong with the piece and its schedules, before anything is planned."""
        found = [*self.read, *self.work.findings, *self._unknown_wishes()]
        if not _stopped(found):
            found += rules.check(self.piece, self.work, self.shop, self.facts)
        return _once(found)

    def plan(self) -> Answer:
        """The plan, its amounts, and what is wrong with it.

        Raises Refused where the files or schedules cannot be planned at all.
        """
        stopping = [*self.read, *self.work.findings, *self._unknown_wishes()]
        if _stopped(stopping):
            raise Refused([f for f in stopping if f.severity is Severity.ERROR])
        plan = make_plan(self.problem, self.now)
        plan = replace(plan, placed={k: self._as_known(k, p) for k, p in plan.placed.items()})
        plan = replace(plan, due=tuple(self._with_latest(d) for d in plan.due))
        missed = [_missed(d, self.piece) for d in plan.due if d.likely is None or d.late_h > 0]
        found = [*stopping, *plan.findings, *missed]
        found += rules.check(self.piece, self.work, self.shop, self.facts, plan)
        return Answer(
            self.piece,
            self.shop,
            self.work,
            plan,
            amounts(self.work, self.shop, self.facts, {k: p.start.date() for k, p in plan.placed.items()}),
            tuple(_once(found)),
            self.state,
            self.book,
        )

    def _unknown_wishes(self) -> list[Finding]:
        """Dates wanted for something that is neither a readiness nor a step of the maker's own."""
        own = sorted({t.step for job in self.work.jobs.values() for t in job.tasks if t.do == "own"})
        found = []
        for wish in self.wishes:
            if wish.for_ in READINESSES or wish.for_ in own:
                continue
            line = next((w.line for w in self.piece.wanted if w.for_ == wish.for_), 0)
            where = Where(file=self.piece.file, line=line)
            mend = f"Write one of: {', '.join([*READINESSES, *own])}."
            says = f"{wish.for_!r} is neither a readiness nor a step of this piece's own."
            found.append(Finding("unknown-for", Severity.ERROR, where, says, mend))
        return found

    def _as_known(self, key: str, placed: Placed) -> Placed:
        fact = self.state.done.get(key)
        return replace(placed, hollow=not fact.logged) if fact else placed

    def _with_latest(self, due: Due) -> Due:
        if (due.late_h <= 0 and due.likely is not None) or self.state.done:
            return due
        return replace(due, latest_start=self._latest)

    @cached_property
    def _latest(self) -> datetime | None:
        return latest_start(self.problem)

    def keep(self, answer: Answer) -> None:
        """Write the plan into the log: from now on, what is not said otherwise counts as done as planned."""
        self.log.add(Event.planned(answer.plan, self.now))

    def forget(self) -> None:
        """Read the log again after something was added."""
        for name in ("state", "work", "problem", "_latest"):
            self.__dict__.pop(name, None)


def open_desk(
    piece_path: Path,
    shop_path: Path,
    *,
    by: DateWords | None = None,
    for_: str = "pack",
    now: DateWords | None = None,
    log_path: Path | None = None,
) -> Desk:
    """A piece and a shop, read and laid side by side.

    Raises NotFound where a file is not there, Refused with every fault found where one cannot be read.
    """
    facts = load()
    shop, found = read_shop(shop_path)
    piece, more = read_piece(piece_path, facts=facts)
    found = [*found, *more]
    if piece is None or shop is None or _stopped(found):
        raise Refused([f for f in found if f.severity is Severity.ERROR] or found)
    book = Book.beside(piece, piece_path, shop, facts, shop_path)
    moment = by_moment(shop, now) if now else datetime.now(shop.zone).replace(second=0, microsecond=0)
    start = by_moment(shop, piece.start) if piece.start else moment
    log = Log(log_path or piece_path.with_suffix(".log.jsonl"))
    wishes, faults = _wishes(piece, shop, by, for_, max(start, moment), log.began)
    found += faults
    if _stopped(found):
        raise Refused([f for f in found if f.severity is Severity.ERROR])
    return Desk(piece, shop, facts, book, moment, tuple(wishes), start, tuple(found), log)


def _wishes(
    piece: Piece, shop: Shop, by: DateWords | None, for_: str, start: datetime, begun: bool
) -> tuple[list[Wish], list[Finding]]:
    found: list[Finding] = []
    wishes = []
    if by:
        wishes.append(Wish(for_, by_moment(shop, by)))
    else:
        for wanted in piece.wanted:
            wish = Wish(wanted.for_, by_moment(shop, wanted.by), wanted.part)
            if wish.by <= start and not begun:
                where = Where(file=piece.file, line=wanted.line)
                says = f"{wanted.for_} is wanted by {wish.by:%-d %B %Y}, before work starts on {start:%-d %B %Y}."
                found.append(
                    Finding(
                        "date-past", Severity.ERROR, where, says, "Write a later date, or an earlier start."
                    )
                )
            wishes.append(wish)
    if not wishes:
        where = Where(file=piece.file, line=1)
        mend = 'Write wanted = [{ by = "19 March 2027" }] in the piece, or say --by.'
        found.append(Finding("no-date-wanted", Severity.ERROR, where, "No date is wanted.", mend))
    return wishes, found


def _missed(due: Due, piece: Piece) -> Finding:
    part = f"{piece.parts[due.part].shown}: " if due.part in piece.parts else ""
    verb = f"ready to {due.for_}" if due.for_ in READINESSES and due.for_ != "use" else due.for_
    if due.likely is None:
        says = f"{part}{verb} by {due.by:%a %-d %B} cannot be reached in this shop's air."
        mend = "Dry it in a warmer place (cures_in), or choose another finish."
    else:
        days = due.late_h / 24
        short = (
            f"{max(1, round(days))} day{'s' if round(days) > 1 else ''}"
            if days >= 0.75
            else f"{due.late_h:.0f} hours"
        )
        says = (
            f"{part}{verb} by {due.by:%a %-d %B} is missed by {short}: likely {due.likely:%a %-d %B %H:%M}."
        )
        when = due.latest_start
        mend = (
            f"It would have needed a start on {when:%a %-d %B %Y} at the latest; "
            "or dry it warmer, or change the finish."
            if when
            else "Dry it warmer, take fewer coats, or choose a finish that dries sooner."
        )
    return Finding(
        "date-missed", Severity.ERROR, Where(part=due.part), says, mend, figures={"late_h": due.late_h}
    )


def _stopped(found: Sequence[Finding]) -> bool:
    return any(f.severity is Severity.ERROR for f in found)


def _once(found: Sequence[Finding]) -> list[Finding]:
    """Each finding once, the severest first."""
    order = {Severity.ERROR: 0, Severity.WARNING: 1, Severity.NOTE: 2}
    seen: dict[tuple[str, str, str], Finding] = {}
    for f in found:
        seen.setdefault((f.id, str(f.where), f.says), f)
    return sorted(seen.values(), key=lambda f: order[f.severity])


__all__ = ["Answer", "Desk", "NotFound", "Refused", "open_desk"]
