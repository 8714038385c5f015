"""What stands on the bench page: the step in hand with its figures, what dries and what was told today."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import datetime, timedelta

from rakelight.desk import Answer
from rakelight.desk.pore_test import DustDue
from rakelight.errors import Finding, Severity
from rakelight.facts.load import Facts
from rakelight.log.events import Event
from rakelight.papers.plan_text import does_words
from rakelight.papers.today import Doing, Rags, Today
from rakelight.papers.today_waits import Drying
from rakelight.plan.model import Ready
from rakelight.schedule.cautions import AFTER, BEFORE, StepCaution, cautions_of
from rakelight.shop.hours import hours_between
from rakelight.units import show_volume, show_work

#: beginnings of the names of what bars a step: fire, breath, harm
STOPPING = ("vapour", "flame")
#: minutes are offered to whole fives from here on
_FIVES_FROM = 20
#: rags due within this stand first on the page, and are the lit board
_SOON = timedelta(hours=1)
#: where a block of a band ends and its slope meets the ground
BLOCK, FOOT = 12, 346
_TOP, _MIDDLE, _GROUND = 10, 27, 44
_READY_NAMES = {
    "dust-free": "Dust-free", "next coat": "Next coat", "sand": "To sand", "rub": "To rub", "handle": "To handle",
    "pack": "To pack", "show": "To show", "use": "Full use", "wax": "To wax",
}  # fmt: skip


@dataclass(frozen=True)
class Pick:
    """One of the figures offered: what is sent, what is shown, and low, likely or high.

    The likely one, chosen beforehand, sends nothing: nobody measured it, so it is told as planned and teaches nothing.
    """

    value: str
    shown: str
    word: str
    chosen: bool = False


@dataclass(frozen=True)
class InHand:
    """The step that the log at the foot speaks of."""

    doing: Doing
    count: str  # "Coat 5 of 5: oil varnish"
    used: tuple[Pick, ...] = ()
    used_unit: str = ""
    used_name: str = ""  # of the material
    took: tuple[Pick, ...] = ()
    coats: tuple[Pick, ...] = ()
    ready: tuple[tuple[str, Ready], ...] = ()
    before: tuple[StepCaution, ...] = ()
    after: tuple[StepCaution, ...] = ()
    stop: Finding | None = None
    begun: datetime | None = None
    says: str = ""  # the line that tells what one tap on Done logs
    air: tuple[str, str] | None = None  # go or not now, and why

    @property
    def id(self) -> str:
        """Piece and step, as a link of the page names them."""
        return f"{self.doing.piece}:{self.doing.task}"


@dataclass(frozen=True)
class Band:
    """A wait drawn: points of its shadow, and where now is."""

    low: float
    likely: float
    high: float
    now: float
    lines: str
    open: bool = False  # no latest end is known


@dataclass(frozen=True)
class BenchView:
    """All of the page."""

    today: Today
    in_hand: InHand | None
    others: tuple[Doing, ...] = ()  # what may be done now as well
    bands: tuple[tuple[Drying, Band], ...] = ()
    rags_first: bool = False
    rags_text: tuple[str, ...] = ()
    rags_defers: str = ""
    empty: str = ""
    told: tuple[Event, ...] = ()
    hollow: tuple[Doing, ...] = field(default=())  # counted as done as planned
    dusts: tuple[tuple[str, DustDue], ...] = ()  # filler to be tried with dust, with its piece


def in_hand(
    doing: Doing, answer: Answer | None, facts: Facts, begun: datetime | None, put_right: frozenset[str]
) -> InHand:
    """A step with the figures that the log offers.

    Parameters: begun, when it was told as begun; put_right, names of warnings that were told as put right for it.
    """
    task = doing.step
    cautions = cautions_of(answer.work, task, facts) if answer and task else ()
    used = _used(doing)
    took = _took(doing, begun is not None)
    found = answer.findings if answer else ()
    stop = next((f for f in found if _bars(f, doing.task) and f.id not in put_right), None)
    comes = _soonest(doing.placed.ready) if doing.placed else ()
    ready = tuple((_READY_NAMES.get(r.for_, r.for_.capitalize()), r) for r in comes)
    chosen = [next(p for p in row if p.chosen) for row in (used, took) if row]
    unit = _unit(doing)
    figures = [f"{p.shown} {unit}" if p in used else f"{p.shown} min" for p in chosen if p.value != "clock"]
    says = " · ".join([*(["1 coat"] if task and task.lay else []), *figures])
    return InHand(
        doing, doing.says, used, unit, doing.amount.name if doing.amount else "", took, _coats(doing), ready,
        tuple(c for c in cautions if c.when == BEFORE), tuple(c for c in cautions if c.when == AFTER), stop, begun,
        says,
    )  # fmt: skip


def _soonest(comes: tuple[Ready, ...]) -> list[Ready]:
    """Of what follows from a step, what the next hours turn on: dust, and the next coat or else what comes first."""
    dust = [r for r in comes if r.for_ == "dust-free"]
    rest = [r for r in comes if r.for_ == "next coat"] or [r for r in comes if r.for_ != "dust-free"]
    return [*dust, *rest[:1]]


def _bars(finding: Finding, task: str) -> bool:
    return finding.severity is Severity.ERROR and finding.id.startswith(STOPPING) and finding.where.step == task


def _unit(doing: Doing) -> str:
    if doing.amount is None:
        return ""
    shown = show_volume(doing.amount.liquid.likely, doing.unit)
    return "fl oz" if shown.endswith("fl oz") else shown.rpartition(" ")[2]


def _used(doing: Doing) -> tuple[Pick, ...]:
    amount = doing.amount
    if amount is None or amount.liquid.likely <= 0:
        return ()
    unit = _unit(doing)
    spread = amount.liquid
    rows = [(spread.low, "low"), (spread.likely, "likely"), (spread.high, "high")]
    shown = [show_volume(v, doing.unit).removesuffix(f" {unit}") for v, _ in rows]
    picks = [
        Pick("" if w == "likely" else f"{v:.1f}", s, w, w == "likely") for (v, w), s in zip(rows, shown, strict=True)
    ]
    return (*_once(picks), Pick("weigh", "weigh", "or type"))


def _took(doing: Doing, is_begun: bool) -> tuple[Pick, ...]:
    task = doing.step
    if task is None or task.minutes.likely <= 0:
        return ()
    rows = [(task.minutes.low, "low"), (task.minutes.likely, "likely"), (task.minutes.high, "high")]
    whole = [(str(_whole(minutes)), word) for minutes, word in rows]
    picks = [
        Pick("" if word == "likely" and not is_begun else n, n, word, word == "likely" and not is_begun)
        for n, word in whole
    ]
    last = Pick("clock", "clock", "ran", True) if is_begun else Pick("type", "other", "type it")
    return (*_once(picks), last)


def _whole(minutes: float) -> int:
    return max(1, round(minutes / 5) * 5 if minutes >= _FIVES_FROM else round(minutes))


def _once(picks: list[Pick]) -> list[Pick]:
    """Without those that show the same as the likely one."""
    likely = next(p for p in picks if p.word == "likely")
    return [p for p in picks if p is likely or p.shown != likely.shown]


def _coats(doing: Doing) -> tuple[Pick, ...]:
    """Numbers of coats a step may take in all, where its schedule leaves that open."""
    task = doing.step
    count = task.scheduled.coats if task and task.lay and task.scheduled else None
    if task is None or task.lay is None or count is None or count.most == count.least:
        return ()
    numbers = range(max(count.least, task.lay.coat), count.most + 1)
    return (Pick("", "as planned", f"{count.likely}", True), *(Pick(str(n), str(n), "") for n in numbers))


def band(drying: Drying, now: datetime) -> Band | None:
    """A wait drawn from when it was laid to its latest end; None where no end is known."""
    ready = drying.ready
    laid = drying.laid or now
    if ready.likely is None:
        return None
    low = ready.low or ready.likely
    high = ready.high or max(ready.likely, now) + 2 * (ready.likely - low)
    whole = max(hours_between(laid, high), 0.25)

    def x(moment: datetime) -> float:
        share = min(1.0, max(0.0, hours_between(laid, moment) / whole))
        return round(BLOCK + share * (FOOT - BLOCK), 1)

    a, b, c = x(low), x(ready.likely), x(high)
    lines = "".join(f"M{BLOCK} {y}H{_edge(a, b, c, y):g}" for y in range(15, 41, 5))
    return Band(a, b, c, x(now), lines, ready.high is None)


def _edge(a: float, b: float, c: float, y: float) -> float:
    """Where the slope is at a height: from the top at the earliest, half way at the likely, to the ground."""
    if y <= _MIDDLE:
        return round(a + (b - a) * (y - _TOP) / (_MIDDLE - _TOP), 1)
    return round(b + (c - b) * (y - _MIDDLE) / (_GROUND - _MIDDLE), 1)


def rags_are_first(rags: tuple[Rags, ...], now: datetime) -> bool:
    """Whether rags must be out within the hour."""
    return any(r.by - now <= _SOON for r in rags)


def nothing_words(today: Today, next_words: str) -> str:
    """What an empty bench says: what dries longest is not asked of anybody."""
    first = next((d for d in today.next if d.start.date() == today.at.date()), None)
    if first:
        return f"Nothing to do until {first.start.hour}:{first.start:%M}."
    return f"Nothing to do today. {next_words}".strip()


def find_doing(answers: Mapping[str, Answer], piece: str, task: str) -> Doing | None:
    """A step by its piece and name, wherever the plan has it; None where it has none."""
    answer = answers.get(piece)
    placed = answer.plan.placed.get(task) if answer else None
    if answer is None or placed is None:
        return None
    step = next((t for job in answer.work.jobs.values() for t in job.tasks if t.id == task), None)
    says = does_words(step)
    return Doing(
        piece, answer.piece.name, task, task.split("/")[0], says, placed.start, placed.end, placed.place, step,
        answer.amounts.of_task(task), placed, answer.piece.unit,
    )  # fmt: skip


def work_words(doing: Doing) -> str:
    """How long a step takes: "35 min"."""
    return show_work(doing.step.minutes.likely / 60) if doing.step and doing.step.minutes.likely > 0 else ""
