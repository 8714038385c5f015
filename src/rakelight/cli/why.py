"""Why a step, or the date, is where it is, on the command line."""

from __future__ import annotations

from rakelight.as_json import plan_json
from rakelight.cli import telling
from rakelight.cli.plain import data, width
from rakelight.desk import Answer, Desk
from rakelight.papers.why_text import why_date, why_step

#: the word for the date itself
DATE = "date"


def show(answer: Answer, desk: Desk, step: str, as_json: bool) -> None:
    """Tell it. Raises NotFound, with the nearest, where the piece has no such step."""
    if step.strip().casefold() == DATE:
        if as_json:
            data({"schema": 1, "step": None, "says": why_date(answer.plan, 10_000)})
        else:
            print("\n".join(why_date(answer.plan, width())))
        return
    key = step if step in answer.plan.placed else telling.task_of(desk, step)
    if as_json:
        row = next(step for step in plan_json(answer)["steps"] if step["id"] == key)
        data({"schema": 1, "step": row, "says": why_step(answer.plan, key, 10_000)})
    else:
        print("\n".join(why_step(answer.plan, key, width())))
