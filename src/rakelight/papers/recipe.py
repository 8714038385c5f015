"""Recipe page of a finished part: what really happened, beside what was planned."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import datetime
from itertools import groupby

from rakelight.papers.plan_text import clock_words, day_words
from rakelight.papers.sheet_words import mass_words, volume_words
from rakelight.papers.wrapping import lower_first, upper_first
from rakelight.piece.model import part_words
from rakelight.plan.model import Plan
from rakelight.schedule.tasks import Job, Work
from rakelight.shop.hours import hours_between
from rakelight.state.model import State
from rakelight.units import show_area

_TOLD, _AS_PLANNED = "told", "not told; counted as planned"


@dataclass(frozen=True)
class RecipeLine:
    """One step as it happened."""

    when: str  # "Mon 8 Feb 8:00"; of several parts in their order, a day said once: "Mon 8 Feb 10:00, 10:50"
    says: str
    place: str  # where it is another than that of the line before
    told: str  # "told", or that it is only counted as planned
    moved: str  # "planned Mon 8 Feb", where it was another day
    used: str = ""  # what it took, as told: "used 3 fl oz (90 ml), 35 min of work"


@dataclass(frozen=True)
class RecipePage:
    """One finished part, or several that went through the same."""

    part: str
    span: str  # "8 Feb to 8 Mar 2027"
    wood: str
    schedule: str
    faces: str
    lines: tuple[RecipeLine, ...]
    trust: str  # how much of it was told
    coats: tuple[str, ...]  # coats it took
    tests: tuple[str, ...]


@dataclass(frozen=True)
class Recipes:
    """Pages of the finished parts, what was noted on the piece, and the parts that are not finished."""

    pages: tuple[RecipePage, ...]
    notes: tuple[str, ...]
    unfinished: tuple[str, ...]


def finished(job: Job, state: State) -> bool:
    """Whether every step of a part is done by the log, told or counted as planned."""
    return bool(job.tasks) and all(t.id in state.done for t in job.tasks)


def recipes(work: Work, plan: Plan, state: State) -> Recipes:
    """What each finished part that has steps of its own went through; of parts that went through the same, once."""
    told = [_told(work, job, plan, state) for job in work.jobs.values() if finished(job, state)]
    alike: dict[tuple[object, ...], list[_Told]] = {}
    for one in told:
        alike.setdefault(one.alike, []).append(one)
    pages = tuple(_page(same) for same in alike.values())
    open_parts = tuple(part_words(name) for name, job in work.jobs.items() if job.tasks and not finished(job, state))
    return Recipes(pages, state.notes, open_parts)


@dataclass(frozen=True)
class _Told:
    """What one part went through, when each step of it was, and its last moment."""

    page: RecipePage
    moments: tuple[datetime, ...]
    ends: datetime
    area: str

    @property
    def alike(self) -> tuple[object, ...]:
        """Equal for parts that are told as one: all but name, area and the clock; none that a test was made on."""
        own = self.page.coats or self.page.tests
        return (self.page.wood, self.page.schedule, self.page.lines, self.page.part if own else "")


def _page(same: list[_Told]) -> RecipePage:
    """Parts that went through the same, told once."""
    one, several = same[0].page, len(same) > 1
    lines = tuple(
        replace(line, when=_moments([told.moments[n] for told in same])) for n, line in enumerate(one.lines)
    )  # fmt: skip
    area = ", ".join(told.area for told in same if told.area)
    steps = sum(len(told.moments) for told in same)
    of_told = sum(line.told == _TOLD for line in lines) * len(same)
    order = "The moments stand in the order of the parts. " if several else ""
    names = upper_first("; ".join(lower_first(told.page.part) for told in same))
    return replace(
        one, part=names, lines=lines, faces=f"{area} finished" if area else "",
        span=_span(min(m for t in same for m in t.moments), max(told.ends for told in same)),
        trust=f"{order}{of_told} of {steps} steps were told as done.",
    )  # fmt: skip


def _moments(moments: list[datetime]) -> str:
    """Moments in a line, a day said once.

    >>> _moments([datetime(2027, 2, 8, 10), datetime(2027, 2, 8, 10, 50), datetime(2027, 2, 9, 8)])
    'Mon 8 Feb 10:00, 10:50; Tue 9 Feb 8:00'
    """
    days = [(day, [clock_words(m) for m in some]) for day, some in groupby(moments, day_words)]
    return "; ".join(f"{day} {', '.join(clocks)}" for day, clocks in days)


def _span(first: datetime, last: datetime) -> str:
    """From which day to which: "8 Feb to 8 Mar 2027"."""
    begins, ends = f"{first.day} {first:%b}", f"{last.day} {last:%b} {last.year}"
    if first.date() == last.date():
        return ends
    return f"{begins}{'' if first.year == last.year else f' {first.year}'} to {ends}"


def _told(work: Work, job: Job, plan: Plan, state: State) -> _Told:
    lines: list[RecipeLine] = []
    before = ""
    tasks = sorted((t for t in job.tasks if not t.board), key=lambda t: state.done[t.id].start)
    for task in tasks:
        fact = state.done[task.id]
        kept = state.kept.get(task.id)
        off = kept is not None and fact.logged and kept.date() != fact.start.date()
        placed = plan.placed.get(task.id)
        place = placed.place if placed else ""
        lines.append(
            RecipeLine(
                "", task.says, place if place != before else "", _TOLD if fact.logged else _AS_PLANNED,
                f"planned {day_words(kept)}" if kept and off else "", _used(task.id, state, work.piece.unit),
            )
        )  # fmt: skip
        before = place
    part = job.part
    area = sum(f.area_m2 for f in part.faces if f.coated) * part.count
    count = f", {part.count} of them" if part.count > 1 else ""
    schedules = ", ".join(sorted({s.name for s in job.uses.values()}))
    page = RecipePage(
        part_words(part.name) + count, "", _wood(job), schedules, "", tuple(lines), "",
        _coats(part.name, state), _tests(job, state),
    )  # fmt: skip
    facts = [state.done[task.id] for task in tasks]
    begun, ended = tuple(f.start for f in facts), max(f.end or f.start for f in facts)
    return _Told(page, begun, ended, show_area(area, work.piece.unit) if area else "")


def _wood(job: Job) -> str:
    if job.part.of:
        return "joined from " + ", ".join(part_words(m).lower() for m in job.part.of)
    return ", ".join(job.part.woods)


def _used(task: str, state: State, unit: str) -> str:
    """What a step took, as it was told; "" where nothing was."""
    said = []
    if task in state.used_ml:
        said.append(f"used {volume_words(state.used_ml[task], unit)}")
    if task in state.used_g:
        said.append(f"used {mass_words(state.used_g[task], unit)}")
    if task in state.took_min:
        said.append(f"{state.took_min[task]:.0f} min of work")
    return ", ".join(said)


def _tests(job: Job, state: State) -> tuple[str, ...]:
    said = []
    for step, test in sorted(state.pores.items(), key=lambda pair: pair[1].at):
        if step.partition("/")[0] == job.part.name:
            seen = "lay white in open pores" if test.open else "found the pores filled"
            said.append(f"{day_words(test.at)}: dust rubbed over coat {test.coat} of {step.partition('/')[2]} {seen}.")
    for trial in state.trials:
        task = next((t for t in job.tasks if t.id == trial.task), None)
        if task is None:
            continue
        result = "passed" if trial.passed else "failed"
        fact = state.done.get(task.id)
        later = f", done {hours_between(trial.at, fact.start) / 24:.0f} days later" if fact and not trial.passed else ""
        said.append(f"{day_words(trial.at)}: {task.test or trial.readiness or 'hand test'}: {result}{later}.")
    return tuple(said)


def _coats(part: str, state: State) -> tuple[str, ...]:
    mine = [(k.partition("/")[2], n) for k, n in state.coats_taken.items() if k.startswith(f"{part}/")]
    return tuple(f"{part_words(step)}: it took {n} coat{'s' * (n != 1)}." for step, n in mine)
