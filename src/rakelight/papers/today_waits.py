"""What is drying and until when, and which hand test is due: read off the plan of a piece."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime, timedelta

from rakelight.plan.model import Placed, Plan, Ready
from rakelight.schedule.tasks import Job, Task, Work
from rakelight.spread import Z90
from rakelight.state.model import State


@dataclass(frozen=True)
class Drying:
    """A part on which something dries, and what it will then be ready for."""

    piece: str
    part: str
    face: str  # the faces meant, where it is not all of the part; else ""
    ready: Ready
    task: str  # the coat that must stay free of dust, or the step that waits
    then: str = ""  # what the step that waits does, "" where dust alone is meant or nothing follows
    start: datetime | None = None  # when that step is planned
    test: str = ""
    laid: datetime | None = None  # when the last coat was laid


@dataclass(frozen=True)
class HandTest:
    """A hand test that may be made today."""

    piece: str
    part: str
    task: str  # the step that waits for it
    says: str  # the test
    for_: str  # the readiness it settles
    from_: datetime  # not before: the early end of the wait, or as a test that failed asks
    likely: datetime | None
    high: datetime | None
    chance: float | None  # that it passes now, 0-1
    failed: datetime | None = None  # when it last failed


def drying_of(key: str, work: Work, plan: Plan, now: datetime) -> Iterator[Drying]:
    """For each part, how long dust must be kept off it, what its next step waits for, or when it is ready at last."""
    for name, job in work.jobs.items():
        steps = _steps(job, plan)
        laid = [(t, p) for t, p in steps if t.lay and p.end <= now]
        before = laid or [
            pair for m in job.begins_after for pair in _steps(work.jobs[m], plan) if pair[0].lay and pair[1].end <= now
        ]
        wet = [(t, p, r) for t, p in laid for r in p.ready if r.for_ == "dust-free" and r.likely and r.likely > now]
        task, spot = next(((t, p) for t, p in steps if not p.done and p.end > now), (None, None))
        if wet and (task is None or task.asks.readiness != "dust-free"):
            last, placed, ready = wet[-1]
            yield Drying(key, name, _faces(job, last), ready, last.id, laid=placed.end)
        wait = spot.waited_for if spot else None
        if task and spot and before and wait and wait.likely and wait.likely > now:
            face = _faces(job, before[-1][0]) if laid else ""
            dries = name if laid else _what_is_there(name, job, work, plan, now)
            yield Drying(
                key, dries, face, wait, task.id, task.says.split(": ")[0], spot.start, task.test, before[-1][1].end
            )
        elif laid and task is None and not _used(work, name):
            yield from _at_last(key, name, work, plan, now, laid[-1])


def _what_is_there(name: str, job: Job, work: Work, plan: Plan, now: datetime) -> str:
    """A part by its name; one that is to be joined from others is not there yet: the one of them coated last is."""
    if any(p.done or p.end <= now for _, p in _steps(job, plan)):
        return name
    coated = [(p.end, m) for m in job.begins_after for t, p in _steps(work.jobs[m], plan) if t.lay and p.end <= now]
    return max(coated)[1] if coated else name


def _at_last(
    key: str, name: str, work: Work, plan: Plan, now: datetime, last: tuple[Task, Placed]
) -> Iterator[Drying]:
    """A part with nothing left to do dries until it is ready for what it is wanted for."""
    task, placed = last
    wanted = [d.for_ for d in plan.due if d.part in ("", name)]
    for ready in placed.ready:
        if ready.for_ in wanted and ready.likely and ready.likely > now:
            yield Drying(key, name, "", ready, task.id, laid=placed.end)


def _steps(job: Job, plan: Plan) -> list[tuple[Task, Placed]]:
    placed = plan.placed
    return [(t, placed[t.id]) for t in job.tasks if t.id in placed and not (t.board or t.drop) and t.do != "judge"]


def _used(work: Work, part: str) -> bool:
    return any(part in job.begins_after for job in work.jobs.values())


def _faces(job: Job, task: Task) -> str:
    """The faces of a session, where others of the part are finished too and it leaves them out."""
    coated = {name for name in job.uses}
    return ", ".join(task.faces) if coated - set(task.faces) and len(task.faces) <= 2 else ""


def tests_of(key: str, work: Work, plan: Plan, state: State, now: datetime) -> Iterator[HandTest]:
    """Hand tests due today: of the next step of each part, from the early end of its wait on.

    A test that failed is due again only from the moment the maker named.
    """
    ends = now.replace(hour=0, minute=0, second=0, microsecond=0) + timedelta(days=1)
    trials = {t.task: t for t in state.trials}
    for name, job in work.jobs.items():
        beside = [t for t in job.tasks if t.board or t.do == "judge"]
        chains = [beside, [t for t in job.tasks if t.drop], [t for t in job.tasks if not t.board and not t.drop]]
        for chain in chains:
            pairs = [(t, plan.placed[t.id]) for t in chain if t.id in plan.placed]
            task, spot = next(((t, p) for t, p in pairs if not p.done and p.end > now), (None, None))
            wait = spot.waited_for if spot else None
            if task is None or not task.test or (wait is None and not task.drop):
                continue
            trial = trials.get(task.id)
            if trial and trial.passed:
                continue
            low = (wait.low if wait else spot.start if spot else None) or now
            if trial and trial.retry_h:
                low = max(low, trial.at + timedelta(hours=trial.retry_h))
            if low < ends:
                failed = trial.at if trial else None
                chance = passes(wait, now) if wait and not trial else None
                for_, likely, high = (wait.for_, wait.likely, wait.high) if wait else ("", None, None)
                part = name if task.board or task.drop else _what_is_there(name, job, work, plan, now)
                yield HandTest(key, part, task.id, task.test, for_, max(low, now), likely, high, chance, failed)


def passes(wait: Ready, now: datetime) -> float | None:
    """The chance that what is waited for is so by now; None where no end of it is known.

    Two halves of a normal curve through the low, likely and high moment (one in ten, even odds, nine in ten), as
    `Spread` reads three figures.

    >>> from datetime import UTC
    >>> day = datetime(2027, 2, 8, tzinfo=UTC)
    >>> wait = Ready("rub", day, day.replace(day=10), day.replace(day=14))
    >>> [round(passes(wait, day.replace(day=d)), 2) for d in (8, 10, 14)]
    [0.1, 0.5, 0.9]
    """
    from statistics import NormalDist

    if wait.low is None or wait.likely is None:
        return None
    high = wait.high or wait.likely + 2 * (wait.likely - wait.low)
    side = (high - wait.likely) if now > wait.likely else (wait.likely - wait.low)
    if not side:
        return 1.0 if now >= wait.likely else 0.0
    return NormalDist().cdf((now - wait.likely) / side * Z90)
