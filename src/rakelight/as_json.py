"""Answers as plain data, schema 1: keys are only ever added. Times are ISO 8601 with offset."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import datetime
from math import isfinite
from typing import Any

from rakelight.desk import Answer
from rakelight.errors import Finding
from rakelight.facts import load
from rakelight.plan.full_use import full_use
from rakelight.plan.model import Best, Driver, Due, Odds, Placed, Ready, rags_span
from rakelight.schedule.after_delivery import after_delivery
from rakelight.schedule.cautions import cautions_of
from rakelight.schedule.rags import RAGS
from rakelight.schedule.tasks import Job, Task

SCHEMA = 1


def _when(moment: datetime | None) -> str | None:
    return moment.isoformat(timespec="minutes") if moment else None


def _range(ready: Ready | Due | None) -> dict[str, str | None] | None:
    if ready is None:
        return None
    return {"low": _when(ready.low), "likely": _when(ready.likely), "high": _when(ready.high)}


def finding_json(found: Finding) -> dict[str, Any]:
    """One warning."""
    return {
        "id": found.id,
        "severity": found.severity.value,
        "where": str(found.where),
        "says": found.says,
        "mend": found.mend,
        "source": found.source,
        "kind": found.kind.value if found.kind else "",
        "figures": {name: value for name, value in found.figures.items() if isfinite(value)},
    }


def findings_json(found: Iterable[Finding]) -> dict[str, Any]:
    """A list of warnings by itself."""
    return {"schema": SCHEMA, "findings": [finding_json(f) for f in found]}


def _ready_json(ready: Ready) -> dict[str, Any]:
    row: dict[str, Any] = {"for": ready.for_, **(_range(ready) or {})}
    if ready.because:
        row["because"] = ready.because.says
        row["source"] = ready.because.source
        row["kind"] = ready.because.kind.value if ready.because.kind else ""
        row["reference_h"] = list(ready.because.dose_h)
    return row


def step_json(answer: Answer, task: Task, placed: Placed) -> dict[str, Any]:
    """One step on the calendar."""
    amount = answer.amounts.of_task(task.id)
    return {
        "id": task.id,
        "part": task.part,
        "name": task.step,
        "do": task.do,
        "says": task.says,
        "with": task.lay.material if task.lay else (task.scheduled.abrasive if task.scheduled else ""),
        "faces": list(task.faces),
        "lot": _lot_json(task),
        "place": placed.place,
        "who": placed.who or "maker",
        "start": _when(placed.start),
        "end": _when(placed.end),
        "spans": [[_when(a), _when(b)] for a, b in placed.spans],
        "minutes": {"low": task.minutes.low, "likely": task.minutes.likely, "high": task.minutes.high},
        "waited_for": _ready_json(placed.waited_for) if placed.waited_for else None,
        "test": task.test,
        "ready": [_ready_json(r) for r in placed.ready],
        "amount": amount.as_json() if amount else None,
        "done": placed.done,
        "as_planned": placed.hollow,
        "why": _why_json(placed),
        "rags": _rags_json(task, placed),
        "cautions": [c.as_json() for c in cautions_of(answer.work, task, load())],
    }


def _rags_json(task: Task, placed: Placed) -> dict[str, str | None] | None:
    """What is wet with drying oil, at once at the end of the session."""
    rags = rags_span(task, placed)
    return {"start": _when(rags[0]), "end": _when(rags[1]), "says": RAGS} if rags else None


def plan_json(answer: Answer) -> dict[str, Any]:
    """A whole plan."""
    plan = answer.plan
    tasks = {t.id: t for job in answer.work.jobs.values() for t in job.tasks}
    rows = {k: step_json(answer, tasks[k], p) for k, p in plan.placed.items() if k in tasks}
    rows |= {k: _added_json(k, tasks.get(k.rpartition("/")[0]), p) for k, p in plan.placed.items() if k not in tasks}
    order = list(plan.placed)
    return {
        "schema": SCHEMA,
        "piece": answer.piece.name,
        "shop": answer.shop.name,
        "now": _when(plan.now),
        "start": _when(plan.start),
        "due": [due_json(d) for d in plan.due],
        "finish": _range(plan.finish),
        "latest_start": _when(plan.keeps_90),
        "drivers": [_driver_json(d) for d in plan.drivers],
        "bound": _bound_json(plan.best),
        "solver": plan.best.solver if plan.best else "greedy",
        "steps": [rows[k] for k in order],
        "parts": [_part_json(job, [rows[k] for k in order if rows[k]["part"] == name])
                  for name, job in answer.work.jobs.items()],
        "buy": [line.as_json() for line in answer.amounts.buy],
        "after_delivery": _after_json(answer),
        "findings": [finding_json(f) for f in answer.findings],
    }  # fmt: skip


def _after_json(answer: Answer) -> dict[str, Any]:
    after = after_delivery(answer.work, load())
    use = full_use(answer.work.jobs.values(), answer.plan)
    return {"full_use": _range(use), **(after.as_json() if after else {})}


def _lot_json(task: Task) -> dict[str, int]:
    return {"number": task.lot[0], "of": task.lot[1], "first": task.pieces[0], "last": task.pieces[1]}


def _bound_json(best: Best | None) -> dict[str, Any] | None:
    """What no plan of these steps beats, what forces it, and the share of the time that might still be saved."""
    if best is None:
        return None
    return {
        "value": _when(best.value),
        "which": best.which,
        "gap": round(best.gap, 4),
        "gap_h": round(best.gap_h, 1),
        "proven": best.proven,
    }


def _added_json(key: str, before: Task | None, placed: Placed) -> dict[str, Any]:
    """A scuff the planner put in before a coat."""
    part = key.split("/")[0]
    return {
        "id": key, "part": part, "name": "scuff", "do": "scuff",
        "says": "Scuff: the coat beneath is past its recoat time", "with": "",
        "faces": list(before.faces) if before else [], "lot": _lot_json(before) if before else None,
        "place": placed.place, "who": placed.who or "maker", "start": _when(placed.start), "end": _when(placed.end),
        "spans": [[_when(a), _when(b)] for a, b in placed.spans], "waited_for": None, "test": "", "ready": [],
        "amount": None, "done": placed.done, "as_planned": placed.hollow,
    }  # fmt: skip


def due_json(due: Due) -> dict[str, Any]:
    """A wanted date: when it is reached, and its odds."""
    return {
        "for": due.for_,
        "part": due.part,
        "when": _when(due.by),
        **(_range(due) or {}),
        "late_h": round(due.late_h, 1) if isfinite(due.late_h) else None,
        "latest_start": _when(due.latest_start),
        "odds": _odds_json(due.odds),
    }


def _odds_json(odds: Odds | None) -> dict[str, Any] | None:
    """The odds of a date; two digits are all that is known of a chance."""
    if odds is None:
        return None
    return {
        "chance": round(odds.chance, 2),
        "in_tenths": odds.in_tenths,
        "basis": odds.basis,
        "p10": _when(odds.p10),
        "p50": _when(odds.p50),
        "p90": _when(odds.p90),
    }


def _driver_json(driver: Driver) -> dict[str, Any]:
    return {
        "wait": driver.wait,
        "p90_gain_days": driver.p90_gain_days,
        "p90_then": _when(driver.p90_then),
        "figure": driver.figure,
        "source": driver.source,
        "kind": driver.kind.value if driver.kind else "",
        "mend": driver.mend,
    }


def _why_json(placed: Placed) -> dict[str, str | None] | None:
    why = placed.why
    return {"kind": why.kind, "says": why.says, "frees": why.frees, "after": why.after or None} if why else None


def _part_json(job: Job, steps: list[dict[str, Any]]) -> dict[str, Any]:
    part = job.part
    return {
        "name": part.name,
        "count": part.count,
        "wood": list(part.woods),
        "joined_of": part.of,
        "faces": [{"name": f.name, "role": f.role, "area_m2": round(f.area_m2, 5)} for f in part.faces],
        "steps": steps,
    }
