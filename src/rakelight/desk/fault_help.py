"""Faults help on the desk: what is known of the coats of a piece and of the others of the shop."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from datetime import datetime, timedelta

from rakelight.desk.one_piece import Desk
from rakelight.errors import Misread
from rakelight.facts.faults import Fault
from rakelight.log.events import Event, in_force
from rakelight.log.fault_remedy import Remedy, Times, remedy
from rakelight.log.faults import CoatLaid, Likely, likely_causes
from rakelight.log.stock import Stock
from rakelight.physics.air import dew_point_c
from rakelight.plan.chill import chill_figure
from rakelight.plan.good_hours import hourly_margins
from rakelight.plan.model import Placed, Plan
from rakelight.schedule.layers import Take, stacks_of_work
from rakelight.schedule.over import may_go_over
from rakelight.schedule.shelf import DAYS_PER_MONTH, keeps_months
from rakelight.schedule.tasks import Job, Task
from rakelight.shop.hours import hours_between

#: a reading of the air speaks for a coat laid this long before or after it, hours: assumption
_NEAR_H = (-12.0, 4.0)
_SEALS = ("size", "seal")
_WORKED = ("sand", "raise grain", "scuff", "level", "rub")
_ABRADES = ("sand", "scuff", "level", "rub")


@dataclass(frozen=True)
class FaultHelp:
    """What to do about a fault, and what it likely came from."""

    fault: Fault
    coat: CoatLaid
    causes: tuple[Likely, ...]
    remedy: Remedy
    before: str  # id of the step the coats done again go before; ""


def fault_help(
    desk: Desk, step: str, fault: Fault, face: str = "", others: Iterable[CoatLaid] = (), stock: Stock | None = None
) -> FaultHelp:
    """Help with a fault on a step of a piece.

    Parameters: step, its id; face, where it is seen ("" all of the step's); others, coats of other pieces; stock, for
    the age of the can. Raises Misread where nothing was laid yet.
    """
    plan = desk.plan().plan
    look = _Looking(desk, plan, stock)
    task = look.coat_of(step)
    coats = look.coats()
    coat = next(c for c in coats if c.task == task.id)
    coat = look.with_film(coat, step)
    coat = replace(coat, faces=(face,)) if face and face in coat.faces else coat
    beside = [*(c for c in coats if c.task != coat.task), *others]
    causes = likely_causes(fault, coat, beside, desk.facts, desk.piece.unit)
    job = desk.as_written.jobs[task.part]
    laid = [t.id for t in _done_on(job, plan, task.faces) if t.lay or t.do in _WORKED]
    help_ = remedy(fault, coat, causes, look.times(task), laid)
    return FaultHelp(fault, coat, causes, help_, look.next_after(job, step))


def coats_laid(desk: Desk, stock: Stock | None = None) -> list[CoatLaid]:
    """All coats of a piece that are done, as they were laid."""
    return _Looking(desk, desk.plan().plan, stock).coats()


class _Looking:
    """One piece, its plan and what was told of it."""

    def __init__(self, desk: Desk, plan: Plan, stock: Stock | None) -> None:
        self.desk, self.plan, self.stock = desk, plan, stock
        self.told = in_force(list(desk.log.events()))
        self.tasks = {t.id: t for job in desk.as_written.jobs.values() for t in job.tasks}

    def coat_of(self, step: str) -> Task:
        """The coat a fault of a step is on: its own, else the last laid before it on those faces."""
        task = self.tasks[step]
        if task.lay and task.id in self.desk.state.done:
            return task
        job = self.desk.as_written.jobs[task.part]
        laid = [t for t in _done_on(job, self.plan, task.faces) if t.lay]
        if not laid:
            raise Misread(f"Nothing is told as laid on {task.part} yet.", "Tell `done` of the coat first.")
        placed = self.plan.placed.get(task.id)
        if task.lay and not (placed and placed.done):
            raise Misread(
                f"{task.id} is not laid yet.", f"Tell `done` of it first, or name what lies there: {laid[-1].id}."
            )
        return laid[-1]

    def coats(self) -> list[CoatLaid]:
        """Every coat that is done."""
        found = []
        for job in self.desk.as_written.jobs.values():
            for task in job.tasks:
                placed = self.plan.placed.get(task.id)
                if task.lay and not task.board and placed and placed.done:
                    found.append(self._coat(job, task, placed))
        return found

    def _coat(self, job: Job, task: Task, placed: Placed) -> CoatLaid:
        lay = task.lay
        assert lay is not None
        facts, wood = self.desk.facts, self.desk.facts.woods.get(job.wood)
        can = next((e.can for e in self.told if e.task == task.id and e.can), "")
        before = [t for t in _done_on(job, self.plan, task.faces) if self.plan.placed[t.id].start < placed.start]
        under = next((t for t in reversed(before) if t.lay), None)
        between = before[before.index(under) + 1 :] if under else []
        margin, temp, how = self._air(task, placed)
        taken = self.desk.state.used_ml.get(task.id)
        coat = CoatLaid(
            self.desk.piece.name, task.id, task.part, task.faces, facts.materials[lay.material], wood, lay.by,
            placed.start, placed.end, can, self._can_age(task, can, placed.start), margin, temp, how,
            faults=tuple(e.what for e in self.told if e.kind == "fault" and e.task == task.id),
            waxed=_waxed(before, facts), sealed=any(t.do in _SEALS for t in before),
            first=not any(t.lay and t.do == "coat" for t in before),
            dust_h=self._dust(placed),
        )  # fmt: skip
        planned = self._planned_ml(task)
        coat = replace(coat, used=taken / planned) if taken is not None and planned else coat
        return self._over(coat, under, between) if under else coat

    def _over(self, coat: CoatLaid, under: Task, between: list[Task]) -> CoatLaid:
        """The coat with what lay beneath it, how long it waited and how long it should have."""
        lower = self.plan.placed[under.id]
        assert under.lay is not None
        row = self.desk.facts.materials[under.lay.material]
        ready = next((r for r in lower.ready if r.for_ == "next coat"), None)
        asked = None
        if ready and ready.likely and ready.high:
            asked = (hours_between(lower.end, ready.likely), hours_between(lower.end, ready.high))
        return replace(
            coat, beneath=row, waited_h=hours_between(lower.end, coat.start), asked_h=asked,
            scuffed=any(t.do in _ABRADES for t in between),
            verdict=may_go_over(self.desk.facts, row.id, coat.row.id).verdict,
        )  # fmt: skip

    def _planned_ml(self, task: Task) -> float | None:
        from rakelight.schedule.amounts import amounts

        coat = amounts(self.desk.as_written, self.desk.shop, self.desk.facts).of_task(task.id)
        return coat.liquid.likely if coat and coat.liquid.likely > 0 else None

    def _air(self, task: Task, placed: Placed) -> tuple[float | None, float | None, str]:
        """Least margin over the dew point, temperature as it was laid, and how that is known."""
        assert task.lay is not None
        row = self.desk.facts.materials[task.lay.material]
        read = [e for e in self.told if e.kind == "reading" and "temp_c" in e.values and "rh" in e.values
                and _NEAR_H[0] <= hours_between(e.happened, placed.start) <= -_NEAR_H[0] + _NEAR_H[1]]  # fmt: skip
        near = [e for e in read if _NEAR_H[0] <= hours_between(placed.start, e.happened) <= -_NEAR_H[0]]
        if near:
            chill = chill_figure(self.desk.facts, row, task.lay.by).value.likely
            margins = [
                e.values["temp_c"] - chill - float(dew_point_c(e.values["temp_c"], e.values["rh"])) for e in near
            ]
            nearest = min(near, key=lambda e: abs(hours_between(placed.start, e.happened)))
            return min(margins), nearest.values["temp_c"], "by the air read then"
        if not self.desk.shop.places[placed.place].air:
            return None, None, ""
        waits, origin = self.desk.problem.waits, self.desk.problem.hours.origin
        begin = int(hours_between(origin, placed.start))
        wet = next((r for r in placed.ready if r.for_ == "dust-free" and r.high), None)
        ends = wet.high if wet and wet.high else placed.end + timedelta(hours=1)
        last = max(begin + 1, int(hours_between(origin, ends)) + 1)
        if begin < 0:
            return None, None, ""
        hours = hourly_margins(waits, self.desk.facts, task.lay, placed.place, origin, (begin, last))
        if not hours:
            return None, None, ""
        return min(h.margin_k for h in hours), hours[0].temp_c, f"by the air of {placed.place}"

    def _can_age(self, task: Task, can: str, day: datetime) -> tuple[float, float, float] | None:
        assert task.lay is not None
        row = self.desk.facts.materials[task.lay.material]
        step = task.scheduled
        begun = step.opened if step else None
        kept = self.stock.can(can) if self.stock and can else None
        if kept is None and self.stock:
            mine = [c for c in self.stock.cans if c.material == row.id and c.form in ("finish", "mixed")]
            kept = mine[0] if len(mine) == 1 else None
        begun = kept.begun if kept and kept.begun else begun
        life = keeps_months(row, self.desk.facts, self.desk.shop)
        if begun is None or life is None:
            return None
        return (day.date() - begun).days / DAYS_PER_MONTH, life.low, life.likely

    def _dust(self, placed: Placed) -> float | None:
        """Hours since dusty work ended in that place that day; 0 where it went on while the coat was wet."""
        wet = next((r.likely for r in placed.ready if r.for_ == "dust-free" and r.likely), placed.end)
        least: float | None = None
        for key, other in self.plan.placed.items():
            task = self.tasks.get(key)
            if task is None or task.work != "dusty" or other.place != placed.place or not other.done:
                continue
            for start, end in other.spans:
                if start < wet and end > placed.start:
                    return 0.0
                if end <= placed.start and end.date() == placed.start.date():
                    gap = hours_between(end, placed.start)
                    least = gap if least is None else min(least, gap)
        return least

    def with_film(self, coat: CoatLaid, step: str) -> CoatLaid:
        """The coat with its film, and with what was taken by the step a cut was seen at."""
        faces = stacks_of_work(self.desk.work, self.desk.facts)[coat.part]
        stacks = [s for name in coat.faces for s in faces.get(name, ())]
        takes: list[Take] = [t for s in stacks for t in s.takes if t.task == step]
        film = max((s.film_um for s in stacks), default=None)
        if not takes:
            return replace(coat, film_um=film)
        take = takes[0]
        return replace(coat, film_um=take.film_um, took_um=take.removes_um, last_um=take.last_um)

    def times(self, task: Task) -> Times:
        """What the plan says of a coat."""
        placed = self.plan.placed[task.id]
        ready = next((r for name in ("sand", "next coat", "handle") for r in placed.ready if r.for_ == name), None)
        due = next((d for d in self.plan.due if d.part in ("", task.part)), None)
        rest = due.likely - placed.start if due and due.likely else None
        return Times(
            self.desk.now, ready.likely if ready else None, ready.high if ready else None, due.by if due else None, rest
        )  # fmt: skip

    def next_after(self, job: Job, step: str) -> str:
        """The next step of the part that is not done."""
        return next(
            (t.id for t in job.tasks if not t.board and not t.drop and t.id in self.plan.placed
             and not self.plan.placed[t.id].done), "",
        )  # fmt: skip


def _done_on(job: Job, plan: Plan, faces: tuple[str, ...]) -> Iterator[Task] | list[Task]:
    """Steps of a part that are done on any of some faces, in the order they were done."""
    done = [t for t in job.tasks if not t.board and t.id in plan.placed and plan.placed[t.id].done
            and (not faces or not t.faces or set(t.faces) & set(faces))]  # fmt: skip
    return sorted(done, key=lambda t: plan.placed[t.id].start)


def _waxed(before: list[Task], facts: object) -> str:
    """What wax or rubbing oil was laid or rubbed with, that nothing has washed off since."""
    found = ""
    for task in before:
        step = task.scheduled
        if task.do == "wax" or (step and step.wet_material.startswith("wax")):
            found = "paste wax"
        elif step and step.wet and "oil" in step.wet:
            found = step.wet
        elif step and task.do == "own" and any(w in step.own for w in ("clean", "wash", "wipe", "degrease")):
            found = ""
    return found


def rework_of(help_: FaultHelp, now: datetime, at: datetime) -> Event | None:
    """The steps to do again, as an entry of the log; None where there are none."""
    if not help_.remedy.again:
        return None
    return Event(
        "rework", at, now, task=help_.before, also=list(help_.remedy.again), faces=list(help_.coat.faces),
        words=f"{help_.fault.name}: {help_.remedy.doing}", did=help_.remedy.doing,
    )  # fmt: skip
