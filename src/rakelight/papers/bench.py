"""Bench sheets: a day's or a part's steps in order, to tick off and to write on."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass, replace
from datetime import date, datetime
from functools import cached_property
from urllib.parse import quote

from rakelight.facts.load import Facts
from rakelight.papers.bench_mind import AT_ONCE, MindCard, Minding, SheetCaution, when_words
from rakelight.papers.plan_text import clock_words, day_words, does_words, hand_words, ready_words
from rakelight.papers.sheet_words import ends_words, part_of, span_words, spread_words
from rakelight.papers.soaking import Soak, soak_words, soaks_in
from rakelight.papers.wrapping import upper_first
from rakelight.piece.model import part_words
from rakelight.plan.model import Placed, Plan, rags_span
from rakelight.schedule.amounts import Amounts
from rakelight.schedule.arris_risk import ArrisRisk, risks_by_task, step_words
from rakelight.schedule.cautions import StepCaution, cautions_of
from rakelight.schedule.rags import RAGS
from rakelight.schedule.tasks import Task, Work
from rakelight.shop.hours import hours_between
from rakelight.shop.model import Shop
from rakelight.units import show_work


@dataclass(frozen=True)
class Wait:
    """What a step waits for, on the clock, and the hand test that settles it."""

    ready: str  # "Ready to rub"
    earliest: str
    likely: str
    latest: str
    test: str = ""


def step_page(address: str, task: str) -> str:
    """Where the page of a step is opened.

    Parameters: address, of the pages, with the piece after a question mark where there are several.

    >>> step_page("http://10.0.0.2:8000/?piece=cabinet", "case/coat-1")
    'http://10.0.0.2:8000/step/case/coat-1?piece=cabinet'
    """
    base, mark, which = address.partition("?")
    return f"{base.rstrip('/')}/step/{quote(task)}{mark}{which}"


@dataclass(frozen=True)
class BenchStep:
    """One step to do."""

    number: int
    task: str  # what the command line calls it; "" rags, which belong to the step before
    clock: str
    part: str
    place: str
    done: str  # "done", "counted as done as planned"; "" still to do
    says: str
    wait: Wait | None = None
    amounts: tuple[str, ...] = ()
    cautions: tuple[SheetCaution, ...] = ()
    address: str = ""  # of the step's page; "" where no address was given


@dataclass(frozen=True)
class BenchPage:
    """The steps of one day, or of one part: kept together on paper where they fit."""

    title: str
    note: str
    defers: str  # whose word comes before the cautions of its steps; "" where there are none
    steps: tuple[BenchStep, ...]


@dataclass(frozen=True)
class BenchSheet:
    """Days or parts one after another, several to a sheet of paper; at the end all there is to mind."""

    pages: tuple[BenchPage, ...]
    mind: tuple[MindCard, ...] = ()


@dataclass(frozen=True)
class _Drawn:
    """A step and the cautions that stand at it."""

    step: BenchStep
    cautions: tuple[StepCaution, ...] = ()


@dataclass(frozen=True)
class _Bench:
    """All that the steps are made from."""

    work: Work
    plan: Plan
    amounts: Amounts
    facts: Facts
    address: str = ""
    shop: Shop | None = None

    @cached_property
    def arrises(self) -> dict[str, ArrisRisk]:
        """Steps that go through an arris somewhere, unless it is kept off."""
        return risks_by_task(self.work, self.facts)

    @cached_property
    def soaks(self) -> list[Soak]:
        """Flakes still to be put to soak."""
        unit = self.work.piece.unit
        return list(soaks_in(self.plan, self.amounts, self.facts, self.shop, unit)) if self.shop else []

    @cached_property
    def from_soaks(self) -> dict[str, Soak]:
        """The jar that each coat is laid from."""
        return {coat.task: soak for soak in self.soaks for coat in soak.coats}

    def rows(self) -> list[tuple[str, Placed, Task | None, int]]:
        """Every stretch of work, by when it begins: key, where it stands, its step, which stretch of it."""
        tasks = {t.id: t for job in self.work.jobs.values() for t in job.tasks}
        rows = [(k, p, tasks.get(k), n) for k, p in self.plan.placed.items() for n in range(len(p.spans))]
        return sorted(rows, key=lambda row: row[1].spans[row[3]])

    def steps(self, key: str, placed: Placed, task: Task | None, stretch: int, clock: str) -> list[_Drawn]:
        """One row of a sheet and the rags after it, with what is to be done at once as a step of its own."""
        step = self.step(key, placed, task, stretch, clock)
        mind = cautions_of(self.work, task, self.facts) if task and not (stretch or placed.done) else ()
        rags = rags_span(task, placed) if stretch == len(placed.spans) - 1 else None
        if rags is None:
            return [_Drawn(step, mind)]
        now = tuple(c for c in mind if when_words(c) == AT_ONCE)
        kept = tuple(c for c in mind if when_words(c) != AT_ONCE)
        after = BenchStep(0, "", span_words(*rags), step.part, placed.place, "", RAGS)
        return [_Drawn(step, kept), _Drawn(after, now)]

    def step(self, key: str, placed: Placed, task: Task | None, stretch: int, clock: str) -> BenchStep:
        """One row of a sheet, its number still to come."""
        part = part_of(task) if task else part_words(key.split("/")[0])
        says = does_words(task) + hand_words(placed)
        done = ("counted as done as planned" if placed.hollow else "done") if placed.done else ""
        page = step_page(self.address, key) if self.address else ""
        if stretch or placed.done:
            says += " (taken up again)" if stretch else ""
            return BenchStep(0, key, clock, part, placed.place, done, says, address=page)
        wait = self._wait(placed, task)
        return BenchStep(0, key, clock, part, placed.place, done, says, wait, self._amounts(key), address=page)

    def _wait(self, placed: Placed, task: Task | None) -> Wait | None:
        wait = placed.waited_for
        test = task.test if task else ""
        if placed.done:
            return None
        if wait is None:
            return Wait("Before it", "", "", "", test) if test else None
        return Wait(upper_first(ready_words(wait.for_)), *ends_words(wait), test)

    def _amounts(self, key: str) -> tuple[str, ...]:
        if key in self.arrises:
            return (step_words(self.arrises[key], self.work.piece.unit),)
        coat = self.amounts.of_task(key)
        if coat is None or coat.area_m2 <= 0:
            return ()
        lines = [f"Lays about {spread_words(coat.liquid, self.work.piece.unit)}."]
        if key in self.from_soaks:
            soak = self.from_soaks[key]
            lines.insert(0, f"From the jar of {soak.cut_lb:g} lb cut put to soak {day_words(soak.by)}.")
        elif coat.mix and not coat.board:
            lines.insert(0, upper_first(f"mix {coat.mix.says}"))
        elif coat.mix:
            lines.insert(0, "From the piece's jar; mix it now if it is not mixed yet.")
        if coat.jars:
            lines.insert(0, f"From {' and '.join(coat.jars)}, mixed already.")
        return tuple(lines)


def by_day(
    work: Work, plan: Plan, amounts: Amounts, facts: Facts, address: str = "",
    keep: Callable[[date], bool] | None = None, shop: Shop | None = None,
) -> BenchSheet:  # fmt: skip
    """The sheet of each day on which something is still to do.

    Parameters: address, of the page that opens a step on the phone, "" none; keep, which days; shop, whose
    hours say when flakes are put to soak (None: each coat is mixed by itself).
    """
    bench = _Bench(work, plan, amounts, facts, address, shop)
    days: dict[date, list[tuple[datetime, list[_Drawn]]]] = {}
    hours: dict[date, float] = {}
    for key, placed, task, n in bench.rows():
        start, end = placed.spans[n]
        if keep and not keep(start.date()):
            continue
        drawn = bench.steps(key, placed, task, n, span_words(start, end))
        days.setdefault(start.date(), []).append((start, drawn))
        hours[start.date()] = hours.get(start.date(), 0.0) + _hours(task, start, end)
    for soak in bench.soaks:
        if not keep or keep(soak.by.date()):
            step = BenchStep(0, "", clock_words(soak.by), upper_first(soak.material), "", "", soak_words(soak))
            days.setdefault(soak.by.date(), []).append((soak.by, [_Drawn(step)]))
    flat = {day: [d for _, drawn in sorted(rows, key=lambda row: row[0]) for d in drawn] for day, rows in days.items()}
    return _sheet(
        (_day_title(day), f"{show_work(hours[day])} of work" if hours.get(day) else "", steps)
        for day, steps in sorted(flat.items())
        if not all(drawn.step.done for drawn in steps)
    )


def by_part(
    work: Work, plan: Plan, amounts: Amounts, facts: Facts, address: str = "", shop: Shop | None = None
) -> BenchSheet:
    """A sheet for each part, all its days."""
    bench = _Bench(work, plan, amounts, facts, address, shop)
    parts: dict[str, list[_Drawn]] = {name: [] for name in work.jobs}
    for key, placed, task, n in bench.rows():
        start, end = placed.spans[n]
        clock = f"{day_words(start)}, {span_words(start, end)}"
        parts.setdefault(key.split("/")[0], []).extend(bench.steps(key, placed, task, n, clock))
    return _sheet((_count(work, name), _woods(work, name), steps) for name, steps in parts.items() if steps)


def _sheet(days: Iterable[tuple[str, str, list[_Drawn]]]) -> BenchSheet:
    """Steps counted from 1 on each day or part, and at the end what is to be minded, each sentence once."""
    minding, pages = Minding(), []
    for title, note, drawn in days:
        cautions = minding.told(d.cautions for d in drawn)
        steps = (replace(d.step, number=n, cautions=c) for n, (d, c) in enumerate(zip(drawn, cautions, strict=True), 1))
        defers = max((c.defers for d in drawn for c in d.cautions), key=len, default="")
        pages.append(BenchPage(title, note, defers, tuple(steps)))
    return BenchSheet(tuple(pages), minding.cards())


def _hours(task: Task | None, start: datetime, end: datetime) -> float:
    if start.date() == end.date() or task is None:
        return hours_between(start, end)
    return task.minutes.likely / 60


def _day_title(day: date) -> str:
    return f"{day:%A} {day.day} {day:%B}"


def _count(work: Work, name: str) -> str:
    count = work.jobs[name].part.count if name in work.jobs else 1
    return part_words(name) + (f", {count} of them" if count > 1 else "")


def _woods(work: Work, name: str) -> str:
    job = work.jobs.get(name)
    if job is None:
        return ""
    if job.part.of:
        return "joined from " + ", ".join(part_words(member).lower() for member in job.part.of)
    return ", ".join(job.part.woods)
