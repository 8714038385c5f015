"""One piece on the desk: open a piece and a shop, one verb a method."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from datetime import datetime
from functools import cached_property
from pathlib import Path
from typing import Any

from rakelight.errors import Finding, NotFound, Refused, Severity, Where
from rakelight.facts import load
from rakelight.facts.load import Facts
from rakelight.log.events import Event, EventLog, Log
from rakelight.log.fold import fold
from rakelight.piece.file import read_piece
from rakelight.piece.model import DateWords, Piece
from rakelight.plan.model import Due, Placed, Plan
from rakelight.plan.planning import Wish, build_problem, latest_start, make_plan
from rakelight.plan.problem import Problem, nodes_of
from rakelight.plan.solving import Ask
from rakelight.plan.waits import Waits
from rakelight.schedule.amounts import Amounts, amounts
from rakelight.schedule.book import Book
from rakelight.schedule.drop_test import old_cans, with_drop_tests
from rakelight.schedule.own_waits import own_name
from rakelight.schedule.redone import came_off
from rakelight.schedule.shelf import Shelf
from rakelight.schedule.steps import READINESSES
from rakelight.schedule.tasks import Work
from rakelight.schedule.unroll import unroll
from rakelight.shop.file import read_shop
from rakelight.shop.hours import by_moment
from rakelight.shop.model import Shop
from rakelight.state.model import State
from rakelight.units import read_date, show_late


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
    log: EventLog
    factors: Mapping[str, float] = field(default_factory=dict)  # this shop's own, as `facts/this_shop.py` has them
    finished_jobs: int = 0  # of this shop, that taught it something
    shelf: Shelf | None = None  # what is in stock; None: not told
    read_to: int = 0  # row of the shop's file up to which the log has surely been read

    @cached_property
    def _told(self) -> list[Event]:
        """The events that the state folds from."""
        return self.log.for_state(self.now)

    @cached_property
    def state(self) -> State:
        """What has happened, as the log tells it, and what this shop has taught."""
        folded = fold(self._told, self.now)
        return replace(folded, factors={**folded.factors, **self.factors}, finished_jobs=self.finished_jobs)

    @cached_property
    def as_written(self) -> Work:
        """The piece's schedules as single sessions of work."""
        return unroll(self.piece, self.book, self.shop, self.facts, self.state)

    @cached_property
    def work(self) -> Work:
        """The same with a drop on glass before the first coat from a can past its life, without what came off again."""
        work, day, shelf = came_off(self.as_written, self.state.again), max(self.start, self.now).date(), self.shelf
        needed: set[str] = set()
        if shelf and any(can.old(day) for can in shelf.cans):
            drawn = amounts(work, self.shop, self.facts, None, shelf, self.state.done).drawn
            needed = {d.can for d in drawn if d.old}
        old = old_cans(work, shelf, self.shop, self.facts, day, needed)
        return with_drop_tests(work, old, self.facts, self.state.done) if old else work

    @cached_property
    def problem(self) -> Problem:
        """What the planner is asked."""
        return build_problem(
            self.work, self.shop, self.facts, max(self.start, self.now), self.dates(), self.state
        )

    def dates(self) -> list[Wish]:
        """What is wanted by when: of the piece, and of single steps that carry a date."""
        tasks = [t for job in self.work.jobs.values() for t in job.tasks if t.by_date]
        steps = [Wish(t.step, by_moment(self.shop, read_date(t.by_date)), t.part) for t in tasks]
        return [*self.wishes, *dict.fromkeys(steps)]

    def check(self) -> list[Finding]:
        """What is wrong with the piece and its schedules, before anything is planned."""
        found = [*self.read, *self.work.findings, *self._unknown_wishes()]
        if not _stopped(found):
            from rakelight.rules import check

            found += check(self.piece, self.work, self.shop, self.facts)
        return _once(found)

    def plan(
        self, ask: Ask | None = None, tell: Callable[[str], None] | None = None, odds: str = ""
    ) -> Answer:
        """The plan, its amounts, and what is wrong with it.

        `ask`: which solver and how long; `tell` is told where an exact one stands; `odds`: "dates", or "all".
        Where it is to be begun late, on the latest day that keeps nine in ten for all dates; at once where none does.
        Raises Refused where the files or schedules cannot be planned at all.
        """
        self.stopping()
        if ask and ask.late and not self.state.done:
            first = make_plan(self.problem, self.now, Ask(), tell, "all")
            if first.keeps_90 and first.keeps_90 > max(self.start, self.now):
                return replace(self, start=first.keeps_90).plan(replace(ask, goal="early"), tell, odds)
        waits, origin = self.problem.waits, self.problem.hours.origin
        early: list[Answer] = []
        plan = make_plan(
            self.problem, self.now, ask, tell, odds, lambda plan: early.append(self.answer(plan, waits, origin))
        )
        return replace(early[0], plan=self._as_told(plan))

    def stopping(self) -> list[Finding]:
        """What is known before planning. Raises Refused where it cannot be planned at all."""
        found = [*self.read, *self._log_faults(), *self.work.findings, *self._unknown_wishes()]
        if _stopped(found):
            raise Refused([f for f in found if f.severity is Severity.ERROR])
        return found

    def answer(self, plan: Plan, waits: Waits, origin: datetime) -> Answer:
        """A plan of this piece with its amounts and what is wrong with it.

        Parameters: plan, in this piece's own names; waits and origin, of the problem it answers.
        """
        plan = self._as_told(plan)
        shut = {f.where.part for f in plan.findings if f.id == "no-hours-before-date"}
        late = [d for d in plan.due if d.part not in shut and (d.likely is None or show_late(d.by, d.likely))]
        missed = [_missed(d, self.piece, self.now) for d in late]
        found = [*self.stopping(), *plan.findings, *missed]
        from rakelight.papers.soaking import flakes_late, soaks_in
        from rakelight.rules import check  # read in while the odds are reckoned beside it

        found += check(self.piece, self.work, self.shop, self.facts, plan, waits, origin)
        amounts = self._amounts(plan)
        found += flakes_late(soaks_in(plan, amounts, self.facts, self.shop, self.piece.unit, self.now), self.facts)
        return Answer(
            self.piece, self.shop, self.work, plan, amounts, tuple(_once(found)), self.state, self.book
        )

    def _amounts(self, plan: Plan) -> Amounts:
        days = {k: p.start.date() for k, p in plan.placed.items()}
        return amounts(self.work, self.shop, self.facts, days, self.shelf, self.state.done)

    def _log_faults(self) -> list[Finding]:
        """Lines of the log that cannot be read, and steps in it that this piece does not have now."""
        known = {t.id for job in self.work.jobs.values() for t in job.tasks}
        told = [k for k, f in self.state.done.items() if f.logged] + [t.task for t in self.state.trials]
        odd = sorted({k for k in told if _base(k) not in known} - self.state.skipped)
        found = self.log.faults()
        if odd:
            more = f" and {len(odd) - 3} more" if len(odd) > 3 else ""
            says = f"The log tells of steps that are not in this piece now: {', '.join(odd[:3])}{more}."
            mend = "They stay in the log and are not counted; another piece wants another log (--log)."
            found.append(
                Finding("log-unknown-steps", Severity.NOTE, Where(file=self.log.path.name), says, mend)
            )
        return [*found, *self._contradictions]

    @cached_property
    def _contradictions(self) -> list[Finding]:
        """Where what the log tells cannot all have been so."""
        if not self._told:
            return []
        from rakelight.desk.contradict import contradictions

        nodes, name = nodes_of(self.work), self.log.path.name
        return contradictions(self._told, self.state, nodes, self.now, self.shop.zone, name)

    def _unknown_wishes(self) -> list[Finding]:
        """Dates wanted for something that is neither a readiness nor a step of the maker's own."""
        tasks = [t for job in self.work.jobs.values() for t in job.tasks if t.do == "own"]
        own = sorted({t.step for t in tasks})
        found = []
        for wish in self.wishes:
            if wish.for_ in READINESSES or own_name(tasks, wish.for_) in own:
                continue
            line = next((w.line for w in self.piece.wanted if w.for_ == wish.for_), 0)
            found.append(_unknown_for(wish.for_, Where(file=self.piece.file, line=line), own))
        return found

    def _as_told(self, plan: Plan) -> Plan:
        """What was told of each step, and the latest start of a date that is missed."""
        placed = {k: self._as_known(k, p) for k, p in plan.placed.items()}
        return replace(plan, placed=placed, due=tuple(self._with_latest(d) for d in plan.due))

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
        """Write the plan into the log, if new: from now on, what is not said otherwise counts as done as planned."""
        new = Event.planned(answer.plan, self.now, answer.work)
        if not new.is_plan_of(next((e for e in reversed(self.log.events()) if e.kind == "planned"), None)):
            self.log.add(new)

    def forget(self) -> None:
        """Read the log again after something was added."""
        for name in ("_told", "_contradictions", "state", "as_written", "work", "problem", "_latest"):
            self.__dict__.pop(name, None)


def open_desk(
    piece_path: Path,
    shop_path: Path,
    *,
    by: DateWords | None = None,
    for_: str = "pack",
    now: DateWords | None = None,
    log_path: Path | None = None,
    telling: bool = False,
) -> Desk:
    """A piece and a shop, read and laid side by side; `telling`: to write down what happened, whatever is wanted.

    Raises NotFound where a file is not there, Refused with every fault found where one cannot be read.
    """
    facts = load()
    shop, found = read_shop(shop_path)
    piece, more = read_piece(piece_path, facts=facts)
    found = [*found, *more]
    if piece is None or shop is None or _stopped(found):
        if piece and shop:
            found += _named_wrongly(piece, Book.beside(piece, piece_path, shop, facts, shop_path))
        errors = [f for f in found if f.severity is Severity.ERROR] or found
        raise Refused(sorted(errors, key=lambda f: (f.where.file, f.where.line)))
    book = Book.beside(piece, piece_path, shop, facts, shop_path)
    log = Log(log_path or piece_path.with_suffix(".log.jsonl"))
    return lay_out(piece, shop, facts, book, log, moment_of(shop, now), by=by, for_=for_, read=found, telling=telling)


def moment_of(shop: Shop, now: DateWords | None) -> datetime:
    """The moment asked about, or the clock's, to the minute."""
    return by_moment(shop, now) if now else datetime.now(shop.zone).replace(second=0, microsecond=0)


def lay_out(
    piece: Piece,
    shop: Shop,
    facts: Facts,
    book: Book,
    log: EventLog,
    now: datetime,
    *,
    by: DateWords | None = None,
    for_: str = "pack",
    read: Sequence[Finding] = (),
    telling: bool = False,
    factors: Mapping[str, float] | None = None,
    **more: Any,
) -> Desk:
    """A piece on the desk, its files read already (`read`: what was found in them).

    `factors`: this shop\'s own; they are laid over the facts.

    Raises Refused where no date is wanted, or one before work starts; not for `telling` what happened, nor where
    the piece is begun.
    """
    start = by_moment(shop, piece.start) if piece.start else now
    wishes, faults = _wishes(piece, shop, by, for_, max(start, now), log.began)
    found = [*read, *([] if telling else faults)]
    if _stopped(found):
        raise Refused([f for f in found if f.severity is Severity.ERROR])
    own = facts.in_shop(factors or {})
    return Desk(piece, shop, own, book, now, tuple(wishes), start, tuple(found), log, factors or {}, **more)


def _wishes(
    piece: Piece, shop: Shop, by: DateWords | None, for_: str, start: datetime, begun: bool
) -> tuple[list[Wish], list[Finding]]:
    found: list[Finding] = []
    asked = [(Wish(w.for_, by_moment(shop, w.by), w.part, matters=w.matters), w.line) for w in piece.wanted]
    if by:
        asked = [(Wish(for_, by_moment(shop, by)), 0)]
    wishes = [wish for wish, _ in asked]
    for wish, line in asked:
        if wish.by <= start and not begun:
            where = Where(file=piece.file, line=line)
            says = f"{wish.for_} is wanted by {wish.by:%-d %B %Y}, before work starts on {start:%-d %B %Y}."
            found.append(
                Finding("date-past", Severity.ERROR, where, says, "Write a later date, or an earlier start.")
            )
    if not wishes:
        where = Where(file=piece.file, line=1)
        mend = 'Write wanted = [{ by = "19 March 2027" }] in the piece, or say --by.'
        found.append(Finding("no-date-wanted", Severity.ERROR, where, "No date is wanted.", mend))
    return wishes, found


def _named_wrongly(piece: Piece, book: Book) -> list[Finding]:
    """Schedules and readinesses a faulty piece names that are not there, so that all is told at once."""
    found: list[Finding] = []
    for part in piece.parts.values():
        for use in part.finish.values():
            found += book.why(use.schedule, Where(file=piece.file, line=use.line, part=part.name))
    extra = [step.data for part in piece.parts.values() for step in part.extra if step.data.get("own")]
    own = {str(said[key]) for said in extra for key in ("own", "name") if said.get(key)}
    for wanted in piece.wanted:
        if wanted.for_ not in READINESSES and wanted.for_ not in own:
            found.append(_unknown_for(wanted.for_, Where(file=piece.file, line=wanted.line), sorted(own)))
    return found


def _unknown_for(said: str, where: Where, own: Sequence[str]) -> Finding:
    mend = f"Write one of: {', '.join([*READINESSES, *(w for w in own if w)])}."
    says = f"{said!r} is neither a readiness nor a step of this piece's own."
    return Finding("unknown-for", Severity.ERROR, where, says, mend)


def _missed(due: Due, piece: Piece, now: datetime) -> Finding:
    part = f"{piece.parts[due.part].shown}: " if due.part in piece.parts else ""
    verb = f"ready to {due.for_}" if due.for_ in READINESSES and due.for_ != "use" else due.for_
    if due.likely is None:
        says = f"{part}{verb} by {due.by:%a %-d %B} cannot be reached in this shop's air."
        mend = "Dry it in a warmer place (cures_in), or choose another finish."
    else:
        short = show_late(due.by, due.likely)
        says = (
            f"{part}{verb} by {due.by:%a %-d %B} is missed by {short}: likely {due.likely:%a %-d %B %-H:%M}."
        )
        when = due.latest_start
        mend = (
            f"It would have needed a start on {when:%a %-d %B %Y} at the latest; "
            "or dry it warmer, or change the finish."
            if when
            else "Dry it warmer, take fewer coats, or choose a finish that dries sooner."
        )
        mend = mend if due.by > now else "That date is past: agree a later one and write it in the piece, or say --by."
    return Finding(
        "date-missed", Severity.ERROR, Where(part=due.part), says, mend, figures={"late_h": due.late_h}
    )


def _base(task: str) -> str:
    """The task itself, or the one a scuff was put in before."""
    return task.removesuffix("/scuff-late")


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
