"""Do it again: what a finished part really took, step by step, as a record that can be compared and scaled."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import datetime

from rakelight.errors import RakelightError
from rakelight.facts.load import Facts
from rakelight.log.events import Event, in_force
from rakelight.schedule.amounts import Amounts
from rakelight.schedule.steps import Schedule, Step
from rakelight.schedule.tasks import Job, Task, Work
from rakelight.shop.hours import hours_between
from rakelight.spread import Spread
from rakelight.state.model import State

_CARRYING = ("move", "turn", "points", "judge", "wait")


@dataclass(frozen=True)
class StepDone:
    """One step of a schedule as it really was, on all of a part."""

    name: str
    do: str
    says: str
    material: str  # id; "" where nothing is laid
    at: int | None  # which step of the schedule; None: the maker's own, of the piece
    step: Step
    area_m2: float
    coats: int  # laid; 0 where nothing is
    begun: datetime
    ended: datetime
    planned_min: float
    took_min: float | None  # where it was told
    planned_ml: Spread | None
    used_ml: float | None  # where it was told
    mixed: Mapping[str, float]  # flakes_g, powder_g, finish_ml, thinner_ml: of one ml as laid
    thinner: str
    waited_h: float | None  # from the end of the step before it to its own beginning; None for the first
    told: int
    of: int  # sessions
    stood_h: float | None = None  # least time for which the coat beneath stood, both told; None: not known
    between_h: float | None = None  # the same between its own coats
    each_min: float | None = None  # minutes of one session on one part, where they were told
    seen: tuple[Event, ...] = ()  # readings, tests, faults, notes that belong to it

    @property
    def ml(self) -> float | None:
        """Laid in fact: as told, else as planned."""
        if self.used_ml is not None:
            return self.used_ml
        return self.planned_ml.likely if self.planned_ml else None

    @property
    def minutes(self) -> float:
        """Worked in fact: as told, else as planned."""
        return self.took_min if self.took_min is not None else self.planned_min


@dataclass(frozen=True)
class JobDone:
    """A finished part."""

    piece: str
    part: str
    wood: str
    count: int
    area_m2: float
    schedule: str
    faces: tuple[str, ...]
    steps: tuple[StepDone, ...]

    @property
    def begun(self) -> datetime:
        """When the first step was begun."""
        return self.steps[0].begun

    @property
    def ended(self) -> datetime:
        """When the last step ended."""
        return self.steps[-1].ended

    @property
    def told(self) -> tuple[int, int]:
        """How many sessions were told, of how many."""
        return sum(s.told for s in self.steps), sum(s.of for s in self.steps)

    @property
    def times_planned(self) -> float | None:
        """Minutes worked to minutes planned, over the steps whose time was told; None where none was."""
        told = [s for s in self.steps if s.took_min is not None and s.planned_min > 0]
        planned = sum(s.planned_min for s in told)
        return sum(s.took_min or 0.0 for s in told) / planned if planned else None


def job_done(
    work: Work, state: State, events: Iterable[Event], amounts: Amounts, facts: Facts, part: str = "", face: str = ""
) -> JobDone:
    """What a finished part really took.

    Parameters: part, "" where only one is finished; face, whose schedule is meant where there are several (else that
    of the most area). Raises RakelightError, one sentence, where the part is not finished or not there.
    """
    job = _job(work, state, part)
    faces, schedule = _leading(job, face)
    told = in_force(list(events))
    steps = [
        _step(at, step, tasks, job, state, amounts, facts) for at, step, tasks in _matched(job, schedule, faces)
    ]
    steps.sort(key=lambda s: s.begun)
    steps = [replace(s, waited_h=hours_between(b.ended, s.begun) if b else None, seen=_seen(s, job, told, steps))
             for b, s in zip([None, *steps[:-1]], steps, strict=True)]  # fmt: skip
    area = sum(f.area_m2 for f in job.part.faces if f.name in faces) * job.part.count
    return JobDone(
        work.piece.name, job.part.name, job.wood, job.part.count, area, schedule.name, tuple(faces), tuple(steps)
    )


def _job(work: Work, state: State, part: str) -> Job:
    laid = {n: j for n, j in work.jobs.items() if j.uses and any(t.lay for t in j.tasks)}
    ready = [n for n, j in laid.items() if not _open(j, state)]
    if part and part not in work.jobs:
        raise RakelightError(f"No part is called {part!r}: there are {', '.join(laid)}.")
    if part and part not in laid:
        raise RakelightError(f"{part} has no finish of its own: say one of {', '.join(laid)}.")
    if part and part not in ready:
        left = _open(laid[part], state)
        more = f" and {len(left) - 3} more" if len(left) > 3 else ""
        raise RakelightError(f"{part} is not finished yet: {', '.join(left[:3])}{more} still to be done.")
    if not part and len(ready) != 1:
        says = f"several parts are finished: say --part {' or '.join(ready)}" if ready else "no part is finished yet"
        raise RakelightError(f"Of {work.piece.name} {says}.")
    return laid[part or ready[0]]


def _open(job: Job, state: State) -> list[str]:
    return [t.id for t in job.tasks if t.id not in state.done and not t.board and t.do not in _CARRYING]


def _leading(job: Job, face: str) -> tuple[list[str], Schedule]:
    if face and face not in job.uses:
        raise RakelightError(f"{job.part.name} has no finished face {face!r}: there are {', '.join(job.uses)}.")
    areas = {f.name: f.area_m2 for f in job.part.faces}
    sums: dict[str, float] = {}
    for name, schedule in job.uses.items():
        sums[schedule.name] = sums.get(schedule.name, 0.0) + areas.get(name, 0.0)
    chosen = job.uses[face].name if face else max(sums, key=lambda name: sums[name])
    faces = [name for name, schedule in job.uses.items() if schedule.name == chosen]
    return faces, job.uses[faces[0]]


def _matched(
    job: Job, schedule: Schedule, faces: Sequence[str]
) -> list[tuple[int | None, Step, list[Task]]]:
    """Each step of the schedule with its sessions on those faces, then the maker's own steps of the piece."""
    kept: dict[tuple[int, str], list[Task]] = {}
    own: dict[str, list[Task]] = {}
    for task in job.tasks:
        step = task.scheduled
        if task.board or task.drop or step is None or task.do in _CARRYING:
            continue
        if task.faces and not set(task.faces) & set(faces):
            continue
        at = next((n for n, s in enumerate(schedule.steps) if _same(s, task)), None)
        if at is not None:
            kept.setdefault((at, ""), []).append(task)
        elif task.do == "own":
            own.setdefault(task.step, []).append(task)
    found: list[tuple[int | None, Step, list[Task]]] = [(at, schedule.steps[at], ts) for (at, _), ts in kept.items()]
    return [*found, *((None, ts[0].scheduled, ts) for ts in own.values() if ts[0].scheduled)]


def _same(step: Step, task: Task) -> bool:
    """Whether a session is of a step; scuffing between coats is of the step of the coats."""
    made = task.scheduled
    if made is None or made.line != step.line:
        return False
    between = task.do == "scuff" and step.scuff is not None and task.step.startswith("scuff before")
    return (made.do, made.own) == (step.do, step.own) or between


def _step(
    at: int | None, step: Step, tasks: Sequence[Task], job: Job, state: State, amounts: Amounts, facts: Facts
) -> StepDone:
    done = [state.done[t.id] for t in tasks if t.id in state.done]
    laid = [t for t in tasks if t.lay]
    coats = [amounts.of_task(t.id) for t in laid]
    planned = [c.liquid for c in coats if c]
    whole = planned[0] if planned else None
    for more in planned[1:]:
        whole = whole.with_shared(more) if whole else more
    made = next((c.recipe for c in coats if c), None)
    mixed = {"flakes_g": made.flakes_g, "powder_g": made.powder_g, "finish_ml": made.finish_ml,
             "thinner_ml": made.thinner_ml} if made else {}  # fmt: skip
    rounds = len({t.step for t in laid}) + sum("/again" in t.id for t in laid)
    return StepDone(
        step.name, step.do, tasks[0].says, step.material, at, step,
        sum(f.area_m2 for f in job.part.faces if f.name in {n for t in tasks for n in t.faces}) * job.part.count,
        rounds, min(f.start for f in done), max(f.end or f.start for f in done),
        sum(t.minutes.likely for t in tasks), _told(tasks, state.took_min),
        whole, _used(laid, state, amounts, facts), mixed, made.thinner.name if made and made.thinner else "",
        None, sum(f.logged for f in done), len(tasks), _stood_h([t for t in tasks if _first(t)], job, state),
        _stood_h([t for t in tasks if not _first(t)], job, state), _each_min(tasks, step, state),
    )  # fmt: skip


def _first(task: Task) -> bool:
    """Whether it is no further coat of its step, nor a scuff before one."""
    between = task.do == "scuff" and task.step.startswith("scuff before")
    return not between and (task.lay is None or task.lay.coat == 1)


def _stood_h(tasks: Sequence[Task], job: Job, state: State) -> float | None:
    """The least time for which what was laid stood before sessions of a step, both of them told."""
    found = []
    for task in tasks:
        chain = [t for t in job.tasks if t.pieces == task.pieces and not t.board and t.do not in _CARRYING]
        at = chain.index(task) if task in chain else 0
        facts = [state.done.get(t.id) for t in chain[max(0, at - 1) : at + 1]]
        if at and chain[at - 1].lay and all(f and f.logged for f in facts):
            before, after = (f for f in facts if f)
            found.append(hours_between(before.end or before.start, after.start))
    return min(found, default=None)


def _each_min(tasks: Sequence[Task], step: Step, state: State) -> float | None:
    """Minutes of one session on one part, the mean of those told."""
    own = [t for t in tasks if t.id in state.took_min and t.do == step.do]
    each = [state.took_min[t.id] / (t.pieces[1] - t.pieces[0] + 1) for t in own]
    return sum(each) / len(each) if each else None


def _told(tasks: Sequence[Task], told: Mapping[str, float]) -> float | None:
    """The sum over sessions of what was told, what was not told as planned; None where nothing was."""
    if not any(t.id in told for t in tasks):
        return None
    return sum(told.get(t.id, t.minutes.likely) for t in tasks)


def _used(laid: Sequence[Task], state: State, amounts: Amounts, facts: Facts) -> float | None:
    found, any_told = 0.0, False
    for task in laid:
        coat = amounts.of_task(task.id)
        if task.id in state.used_ml:
            found, any_told = found + state.used_ml[task.id], True
        elif task.id in state.used_g and coat:
            density = facts.materials[coat.material].density_kg_per_l.likely
            found, any_told = found + state.used_g[task.id] / density, True
        elif coat:
            found += coat.liquid.likely
    return found if any_told else None


def _seen(step: StepDone, job: Job, told: Sequence[Event], steps: Sequence[StepDone]) -> tuple[Event, ...]:
    """What was read, tested, seen and noted between the step before and the end of this one, on this part."""
    before = max((s.ended for s in steps if s.ended <= step.begun and s is not step), default=None)
    found = []
    for event in told:
        if event.kind not in ("reading", "tested", "fault", "note") and not event.words:
            continue
        if event.kind in ("planned", "piece", "can"):
            continue
        of = event.task.split("/")[0] if event.task else ""
        if of and of != job.part.name:
            continue
        if (before is None or event.happened > before) and event.happened <= step.ended:
            found.append(event)
    return tuple(found)


@dataclass(frozen=True)
class Scaled:
    """One step for another area."""

    name: str
    minutes: float
    ml: float | None
    parts: Mapping[str, float]  # flakes_g, powder_g, finish_ml, thinner_ml
    thinner: str


def scaled(job: JobDone, area_m2: float) -> tuple[Scaled, ...]:
    """The amounts and minutes of a finished part for another area, in proportion to the area.

    Parameters: area_m2, above 0. Time for setting up does not shrink with the area, so small areas take longer
    than this says.
    """
    if not area_m2 > 0:
        raise RakelightError("An area is more than nothing: say for example --area \"12 ft2\".")
    found = []
    for step in job.steps:
        share = area_m2 / job.area_m2
        ml = step.ml * share if step.ml is not None else None
        parts = {name: each * ml for name, each in step.mixed.items() if each} if ml else {}
        found.append(Scaled(step.name, step.minutes * share, ml, parts, step.thinner))
    return tuple(found)


@dataclass(frozen=True)
class Beside:
    """One step of two jobs, each to the square metre; None where a job has it not, or it was not told."""

    name: str
    minutes: tuple[float | None, float | None]
    ml: tuple[float | None, float | None]
    waited_h: tuple[float | None, float | None]
    coats: tuple[int | None, int | None]


def compared(one: JobDone, other: JobDone) -> tuple[Beside, ...]:
    """Two finished parts step by step, those of the first in their order, then what only the other has."""
    names = dict.fromkeys([*(s.name for s in one.steps), *(s.name for s in other.steps)])
    sides = [{s.name: s for s in reversed(job.steps)} for job in (one, other)]
    found = []
    for name in names:
        a, b = (side.get(name) for side in sides)
        minutes, ml = ((_per_m2(a, of), _per_m2(b, of)) for of in ("took_min", "used_ml"))
        waits = tuple(s.waited_h if s else None for s in (a, b))
        coats = tuple(s.coats if s else None for s in (a, b))
        found.append(Beside(name, minutes, ml, (waits[0], waits[1]), (coats[0], coats[1])))
    return tuple(found)


def _per_m2(step: StepDone | None, field: str) -> float | None:
    value = getattr(step, field) if step else None
    return value / step.area_m2 if step and value is not None and step.area_m2 else None
