"""What finished jobs took, as plain data, schema 1: keys are only ever added."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from rakelight.log.again import Beside, JobDone, Scaled, StepDone
from rakelight.log.events import as_plain


def job_json(job: JobDone) -> dict[str, Any]:
    """A finished part."""
    told, of = job.told
    return {
        "schema": 1,
        "piece": job.piece,
        "part": job.part,
        "wood": job.wood,
        "area_m2": round(job.area_m2, 4),
        "schedule": job.schedule,
        "faces": list(job.faces),
        "begun": job.begun.isoformat(timespec="minutes"),
        "ended": job.ended.isoformat(timespec="minutes"),
        "told": told,
        "of": of,
        "times_planned": _tidy(job.times_planned, 2),
        "steps": [_step(s) for s in job.steps],
    }


def _step(step: StepDone) -> dict[str, Any]:
    planned = step.planned_ml
    return {
        "name": step.name,
        "do": step.do,
        "with": step.material,
        "coats": step.coats,
        "area_m2": round(step.area_m2, 4),
        "begun": step.begun.isoformat(timespec="minutes"),
        "ended": step.ended.isoformat(timespec="minutes"),
        "waited_h": _tidy(step.waited_h, 1),
        "planned_min": _tidy(step.planned_min, 1),
        "took_min": _tidy(step.took_min, 1),
        "planned_ml": {"low": _tidy(planned.low, 1), "likely": _tidy(planned.likely, 1),
                       "high": _tidy(planned.high, 1)} if planned else None,
        "used_ml": _tidy(step.used_ml, 1),
        "told": step.told,
        "of": step.of,
        "seen": [as_plain(e) for e in step.seen],
    }  # fmt: skip


def scaled_json(job: JobDone, area_m2: float, rows: Sequence[Scaled]) -> dict[str, Any]:
    """A finished part for another area."""
    steps = [
        {"name": row.name, "minutes": _tidy(row.minutes, 1), "ml": _tidy(row.ml, 1),
         **{name: _tidy(amount, 2) for name, amount in row.parts.items()}, "thinner": row.thinner}
        for row in rows
    ]  # fmt: skip
    return {"schema": 1, "piece": job.piece, "part": job.part, "area_m2": round(area_m2, 4), "steps": steps}


def compared_json(one: JobDone, other: JobDone, rows: Sequence[Beside]) -> dict[str, Any]:
    """Two finished parts side by side."""
    steps = [
        {"name": r.name, "min_per_m2": [_tidy(v, 2) for v in r.minutes], "ml_per_m2": [_tidy(v, 1) for v in r.ml],
         "waited_h": [_tidy(v, 1) for v in r.waited_h], "coats": list(r.coats)}
        for r in rows
    ]  # fmt: skip
    jobs = [{k: v for k, v in job_json(j).items() if k not in ("schema", "steps")} for j in (one, other)]
    return {"schema": 1, "jobs": jobs, "steps": steps}


def _tidy(value: float | None, digits: int) -> float | None:
    return None if value is None else round(value, digits)
