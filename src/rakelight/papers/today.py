"""Today at the bench, over one or several pieces: now, next, what dries until when, tests, buying, rags."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from datetime import date, datetime, timedelta
from typing import Protocol

from rakelight.facts.load import Facts
from rakelight.papers.buying_list import first_day
from rakelight.papers.plan_text import does_words, hand_words
from rakelight.papers.soaking import Soak, due_soon, soaks_of
from rakelight.papers.today_waits import Drying, HandTest, drying_of, tests_of
from rakelight.piece.model import Piece
from rakelight.plan.model import Due, Placed, Plan
from rakelight.schedule.amounts import Amounts
from rakelight.schedule.buying import BuyLine, together
from rakelight.schedule.cautions import AFTER, cautions_of
from rakelight.schedule.coats import CoatAmount
from rakelight.schedule.tasks import Task, Work
from rakelight.shop.hours import windows
from rakelight.shop.model import Shop
from rakelight.state.model import State

_MONDAY = 0
_SATURDAY = 5
_WEEK = 7
#: rags told of the day before still count until they are told to be out. Source: rags.md of the cautions ("after 15 h")
_RAGS_H = 24.0


class Planned(Protocol):
    """A plan with all that goes with it; an `Answer` of the desk is one."""

    @property
    def piece(self) -> Piece:
        """The piece."""

    @property
    def shop(self) -> Shop:
        """The shop it is made in."""

    @property
    def work(self) -> Work:
        """Its steps."""

    @property
    def plan(self) -> Plan:
        """Where they stand."""

    @property
    def amounts(self) -> Amounts:
        """What they take."""

    @property
    def state(self) -> State:
        """What has happened."""


@dataclass(frozen=True)
class Doing:
    """One stretch of work to do."""

    piece: str  # key of the piece
    name: str  # of the piece
    task: str
    part: str
    says: str
    start: datetime
    end: datetime
    place: str
    step: Task | None = None  # None: a scuff the plan put in
    amount: CoatAmount | None = None
    placed: Placed | None = None
    unit: str = "in"  # of the piece: how amounts are shown


@dataclass(frozen=True)
class ToBuyNow:
    """Something to buy before the weekend: it is needed on `by`."""

    by: date
    line: BuyLine
    pieces: tuple[str, ...]  # names of the pieces it is for


@dataclass(frozen=True)
class Rags:
    """Rags that may take fire by themselves, and by when they must be out."""

    piece: str
    task: str
    part: str
    used: datetime  # when the work with them ended
    by: datetime
    text: tuple[str, ...]
    defers: str


@dataclass(frozen=True)
class Unconfirmed:
    """Steps that count as done as planned, and since when."""

    steps: tuple[tuple[str, str], ...] = ()  # piece, step
    since: datetime | None = None


@dataclass(frozen=True)
class Today:
    """All that a maker wants to know on coming in."""

    at: datetime
    now: tuple[Doing, ...] = ()
    next: tuple[Doing, ...] = ()
    drying: tuple[Drying, ...] = ()  # what frees first stands first
    tests: tuple[HandTest, ...] = ()
    buy: tuple[ToBuyNow, ...] = ()
    rags: tuple[Rags, ...] = ()
    soak: tuple[Soak, ...] = ()  # flakes to put to soak, those first needed first
    unconfirmed: Unconfirmed = Unconfirmed()
    due: tuple[tuple[str, Due], ...] = ()  # name of the piece, what is wanted of it
    names: dict[str, str] = field(default_factory=dict)  # of the pieces, by key
    several: bool = False  # whether there are several pieces


def today_of(
    answers: Mapping[str, Planned],
    now: datetime,
    facts: Facts,
    rags_out: datetime | None = None,
) -> Today:
    """Today, from the plans of all pieces at hand.

    Parameters: answers, the plan of each piece by its key; now, zone-aware; rags_out, when it was last told that the
    rags are out (None: never). What dries is in the order in which it frees.
    """
    doing = sorted((d for key, a in answers.items() for d in _doing(key, a, now)), key=lambda d: (d.start, d.task))
    first, later = _split(doing, now)
    drying = [d for key, a in answers.items() for d in drying_of(key, a.work, a.plan, now)]
    tests = [t for key, a in answers.items() for t in tests_of(key, a.work, a.plan, a.state, now)]
    rags = [r for key, a in answers.items() for r in _rags(key, a, facts, now, rags_out)]
    return Today(
        now,
        tuple(first),
        tuple(later),
        tuple(sorted(drying, key=lambda d: (d.ready.likely or datetime.max.replace(tzinfo=now.tzinfo), d.piece))),
        tuple(sorted(tests, key=lambda t: t.likely or t.from_)),
        tuple(_buy(answers, before_weekend(now.date()))),
        tuple(sorted(rags, key=lambda r: r.by)),
        due_soon((s for key, a in answers.items() for s in soaks_of(key, a, facts, now)), now),
        _unconfirmed(answers),
        tuple((a.piece.name, due) for a in answers.values() for due in a.plan.due),
        {key: a.piece.name for key, a in answers.items()},
        len(answers) > 1,
    )


def before_weekend(day: date) -> date:
    """The last day whose wants must be bought before the weekend: the Monday after it.

    >>> before_weekend(date(2027, 2, 10)), before_weekend(date(2027, 2, 13))
    (datetime.date(2027, 2, 15), datetime.date(2027, 2, 22))
    """
    ahead = (_MONDAY - day.weekday()) % _WEEK or _WEEK
    return day + timedelta(days=ahead + (_WEEK if day.weekday() >= _SATURDAY else 0))


def _doing(key: str, answer: Planned, now: datetime) -> Iterator[Doing]:
    """Stretches of work that are not over: those not done, and one that is under way by the plan."""
    tasks = {t.id: t for job in answer.work.jobs.values() for t in job.tasks}
    for id, placed in answer.plan.placed.items():
        task = tasks.get(id)
        says = does_words(task)
        says += hand_words(placed)
        for start, end in placed.spans:
            if end > now:
                yield Doing(
                    key, answer.piece.name, id, id.split("/")[0], says, start, end, placed.place, task,
                    answer.amounts.of_task(id), placed, answer.piece.unit,
                )  # fmt: skip


def _split(doing: list[Doing], now: datetime) -> tuple[list[Doing], list[Doing]]:
    """What may be done now, and what comes after it: the rest of today and the next day with work."""
    today = [d for d in doing if d.start.date() <= now.date()]
    first = [d for d in today if d.start <= now]
    if not first and today and _may_begin(today[0], now):
        first = [d for d in today if d.start < today[0].end and _may_begin(d, now)]
    later = [d for d in doing if d not in first]
    days = sorted({d.start.date() for d in later if d.start.date() > now.date()})
    return first, [d for d in later if d.start.date() <= (days[0] if days else now.date())]


def _may_begin(doing: Doing, now: datetime) -> bool:
    """Whether nothing it waits for is still drying."""
    wait = doing.placed.waited_for if doing.placed else None
    return wait is None or (wait.likely is not None and wait.likely <= now)


def _buy(answers: Mapping[str, Planned], last: date) -> Iterator[ToBuyNow]:
    """Lines of the buying lists first needed by a day, of all pieces together; what steps done took was bought."""
    rows: dict[tuple[str, str], list[tuple[date, BuyLine, str]]] = {}
    for answer in answers.values():
        for line in answer.amounts.buy:
            day = first_day(line, answer.work, answer.plan, answer.amounts)
            if day is None or day > last or (not line.cans and line.buy.likely <= 0):
                continue
            if line.stocked and not line.missing and not any(d.old for d in line.drawn):
                continue
            if not line.stocked and first_day(line, answer.work, answer.plan, answer.amounts, done=True):
                continue
            rows.setdefault((line.name, line.unit), []).append((day, line, answer.piece.name))
    unit = next((a.piece.unit for a in answers.values()), "in")
    found = []
    for same in rows.values():
        days, lines, names = zip(*same, strict=True)
        found.append(ToBuyNow(min(days), together(lines, unit), names))
    yield from sorted(found, key=lambda row: row.by)


def _rags(
    key: str, answer: Planned, facts: Facts, now: datetime, out: datetime | None
) -> Iterator[Rags]:
    """Rags of steps done within a day, with the words of the caution that stands at each."""
    for id, placed in answer.plan.placed.items():
        age_h = (now - placed.end).total_seconds() / timedelta(hours=1).total_seconds()
        if not placed.done or not 0 <= age_h < _RAGS_H or (out and out >= placed.end):
            continue
        task = next((t for job in answer.work.jobs.values() for t in job.tasks if t.id == id), None)
        if task is None or not _heats(task, facts):
            continue
        after = [c for c in cautions_of(answer.work, task, facts) if c.when == AFTER]
        if after:
            text = tuple(words for c in after for words in c.text)
            yield Rags(key, id, task.part, placed.end, _closing(answer.shop, placed.end), text, after[0].defers)


def _heats(task: Task, facts: Facts) -> bool:
    used = [task.lay.material if task.lay else "", task.scheduled.wet_material if task.scheduled else ""]
    return any(facts.materials[m].self_heating_rags for m in used if m in facts.materials)


def _closing(shop: Shop, moment: datetime) -> datetime:
    """When work ends on the day of a moment, or the moment itself where that is past."""
    midnight = moment.replace(hour=0, minute=0) + timedelta(days=1)
    return max((b for _, b in windows(shop, moment, midnight)), default=moment)


def _unconfirmed(answers: Mapping[str, Planned]) -> Unconfirmed:
    hollow = [(p.start, key, id) for key, a in answers.items() for id, p in a.plan.placed.items() if p.hollow]
    hollow.sort()
    return Unconfirmed(tuple((key, id) for _, key, id in hollow), hollow[0][0] if hollow else None)
