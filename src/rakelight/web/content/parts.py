"""The parts of a planned piece: where each stands, when it is ready for what, its next steps and why they are then."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from datetime import date, datetime

from rakelight.desk import Answer
from rakelight.papers.plan_text import does_words, hand_words, pieces_words
from rakelight.piece.model import part_words
from rakelight.plan.model import Placed, Ready, Why
from rakelight.schedule.tasks import Job, Task
from rakelight.schedule.words import ready_words
from rakelight.units import show_area

#: steps that are ways from here to there, not where a part stands
_BETWEEN = ("move", "turn", "points")


@dataclass(frozen=True)
class PartRow:
    """One part, and when it is ready for what."""

    name: str
    shown: str
    below: str  # "sapele, 14 ft²" or "3 drawers"
    stands: str  # "coat 3 of 6, Tue 2 March"
    next_coat: datetime | None  # None: none planned
    next_words: str
    rub: Ready | None  # to rub, level or wax, whichever comes first
    rub_words: str
    pack: Ready | None
    use: Ready | None


@dataclass(frozen=True)
class StepRow:
    """One step still to do, or done."""

    id: str
    part: str
    says: str
    start: datetime
    end: datetime
    place: str
    minutes: int
    done: bool
    hollow: bool
    wait: Ready | None
    waits_for: str
    test: str
    why: Why | None


@dataclass(frozen=True)
class Day:
    """Steps of one day."""

    day: date
    steps: tuple[StepRow, ...]


def part_rows(answer: Answer) -> tuple[PartRow, ...]:
    """Every part that is not joined into another yet, in order of the file."""
    return tuple(_row(answer, job) for name, job in answer.work.jobs.items() if not _joined(answer, name))


def _joined(answer: Answer, part: str) -> bool:
    """Whether a part is part of another by now."""
    for job in answer.work.jobs.values():
        if part in job.begins_after:
            fact = answer.plan.placed.get(next((t.id for t in job.tasks if t.do == "join"), ""))
            return bool(fact and fact.done)
    return False


def _row(answer: Answer, job: Job) -> PartRow:
    placed = answer.plan.placed
    tasks = [t for t in job.tasks if t.id in placed and not t.board]
    to_do = [t for t in tasks if not placed[t.id].done]
    coat = next((t for t in to_do if t.lay and t.do != "wax"), None)
    rub = next((t for t in to_do if t.do in ("level", "rub", "wax")), None)
    return PartRow(
        job.part.name, job.part.shown, _below(answer, job), _stands(answer, job, tasks),
        placed[coat.id].start if coat else None,
        coat.says.split(":")[0].split(";")[0] if coat else "",
        _asked(answer, tasks, rub) if rub else None, f"to {rub.do}" if rub else "",
        _last_ready(answer, job, "pack"), _last_ready(answer, job, "use"),
    )  # fmt: skip


def _asked(answer: Answer, tasks: list[Task], rub: Task) -> Ready | None:
    """The wait a step stands behind, its own or that of the carrying to it; else the step itself."""
    placed = answer.plan.placed
    at = tasks.index(rub)
    for task in reversed(tasks[: at + 1]):
        wait = placed[task.id].waited_for
        if wait:
            return wait
        if task is not rub and task.do not in _BETWEEN:
            break
    start = placed[rub.id].start
    return Ready(rub.do, start, start, start)


def _below(answer: Answer, job: Job) -> str:
    part = job.part
    count = f", {part.count} of them" if part.count > 1 else ""
    if part.joined:
        members = ", ".join(
            f"{n} {m.replace('-', ' ')}" if n > 1 else m.replace("-", " ") for m, n in part.of.items()
        )
        return f"of {members}{count}"
    area = sum(f.area_m2 for f in part.faces if f.coated) * part.count
    return f"{job.wood}, {show_area(area, answer.piece.unit)}{count}"


def _stands(answer: Answer, job: Job, tasks: list[Task]) -> str:
    done = [t for t in tasks if answer.plan.placed[t.id].done and t.do not in _BETWEEN]
    if done:
        last = max(done, key=lambda t: answer.plan.placed[t.id].end)
        when = answer.plan.placed[last.id].end
        return f"{_first_lower(last.says.split(':')[0].split(';')[0])}, {when:%a} {when.day} {when:%B}"
    if not tasks:
        return "nothing is to be done to it"
    begins = min(answer.plan.placed[t.id].start for t in tasks)
    return f"begins {begins:%a} {begins.day} {begins:%B}"


def _first_lower(words: str) -> str:
    return words[:1].lower() + words[1:]


def _last_ready(answer: Answer, job: Job, for_: str) -> Ready | None:
    """When a part is ready for something: with the last of its coats, and of the parts it is joined from."""
    jobs = answer.work.jobs
    members = [jobs[m] for m in job.begins_after if m in jobs]
    own = [r for t in job.tasks if not t.board for r in _ready(answer, t.id) if r.for_ == for_]
    found = own + [r for m in members if (r := _last_ready(answer, m, for_))]
    if not found:
        return None
    if any(r.likely is None for r in found):
        return next(r for r in found if r.likely is None)
    last = max(found, key=lambda r: r.likely or datetime.min)
    ends = [
        None if any(e is None for e in side) else max(e for e in side if e)
        for side in ([r.low or r.likely for r in found], [r.high for r in found])
    ]
    return replace(last, low=ends[0], high=ends[1])


def _ready(answer: Answer, task: str) -> tuple[Ready, ...]:
    placed = answer.plan.placed.get(task)
    return placed.ready if placed else ()


def days_of(answer: Answer, done: bool = False) -> tuple[Day, ...]:
    """The steps by day: those still to do in order, or those done, the last day first."""
    tasks = {t.id: t for job in answer.work.jobs.values() for t in job.tasks}
    rows = [_step(key, tasks.get(key), p) for key, p in answer.plan.placed.items() if p.done is done]
    days: dict[date, list[StepRow]] = {}
    for row in sorted(rows, key=lambda r: r.start):
        days.setdefault(row.start.date(), []).append(row)
    ordered: Iterable[date] = sorted(days, reverse=done)
    return tuple(Day(day, tuple(days[day])) for day in ordered)


def _step(key: str, task: Task | None, placed: Placed) -> StepRow:
    part = key.split("/")[0]
    says = does_words(task)
    says += hand_words(placed)
    wait = placed.waited_for if placed.waited_for and placed.waited_for.likely else None
    return StepRow(
        key, f"{part_words(part)}{pieces_words(task) if task else ''}", says, placed.start, placed.end, placed.place,
        round(task.minutes.likely) if task else 0, placed.done, placed.hollow, wait,
        ready_words(wait.for_) if wait else "", task.test if task else "", placed.why,
    )  # fmt: skip
