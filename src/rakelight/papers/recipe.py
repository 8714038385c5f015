"""Recipe page of a finished part: what really happened, beside what was planned."""

from __future__ import annotations

from dataclasses import dataclass

from rakelight.papers.plan_text import clock_words, day_words
from rakelight.papers.sheet_words import mass_words, shown, volume_words
from rakelight.plan.model import Plan
from rakelight.schedule.tasks import Job, Work
from rakelight.shop.hours import hours_between
from rakelight.state.model import State
from rakelight.units import show_area

_TOLD, _AS_PLANNED = "told", "not told; counted as planned"


@dataclass(frozen=True)
class RecipeLine:
    """One step as it happened."""

    when: str
    says: str
    place: str
    told: str  # "told", or that it is only counted as planned
    moved: str  # "planned Mon 8 Feb", where it was another day
    used: str = ""  # what it took, as told: "used 3 fl oz (90 ml), 35 min of work"


@dataclass(frozen=True)
class RecipePage:
    """One finished part."""

    part: str
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
    """A page for each finished part that has steps of its own."""
    pages = tuple(_page(work, job, plan, state) for job in work.jobs.values() if finished(job, state))
    open_parts = tuple(shown(name) for name, job in work.jobs.items() if job.tasks and not finished(job, state))
    return Recipes(pages, state.notes, open_parts)


def _page(work: Work, job: Job, plan: Plan, state: State) -> RecipePage:
    lines, told = [], 0
    for task in sorted((t for t in job.tasks if not t.board), key=lambda t: state.done[t.id].start):
        fact = state.done[task.id]
        told += fact.logged
        kept = state.kept.get(task.id)
        off = kept is not None and fact.logged and kept.date() != fact.start.date()
        placed = plan.placed.get(task.id)
        clock = f"{day_words(fact.start)} {fact.start.year}, {clock_words(fact.start)}"
        lines.append(
            RecipeLine(
                clock, task.says, placed.place if placed else "", _TOLD if fact.logged else _AS_PLANNED,
                f"planned {day_words(kept)}" if kept and off else "", _used(task.id, state, work.piece.unit),
            )
        )  # fmt: skip
    part = job.part
    area = sum(f.area_m2 for f in part.faces if f.coated) * part.count
    faces = f"{show_area(area, work.piece.unit)} finished" if area else ""
    count = f", {part.count} of them" if part.count > 1 else ""
    return RecipePage(
        shown(part.name) + count, _wood(job), ", ".join(sorted({s.name for s in job.uses.values()})), faces,
        tuple(lines), f"{told} of {len(lines)} steps were told as done.", _coats(part.name, state), _tests(job, state),
    )  # fmt: skip


def _wood(job: Job) -> str:
    if job.part.of:
        return "joined from " + ", ".join(shown(m).lower() for m in job.part.of)
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
    return tuple(f"{shown(step)}: it took {n} coat{'s' * (n != 1)}." for step, n in mine)
