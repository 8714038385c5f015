"""What was told since a plan was reckoned, laid over it until the next plan is there."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from datetime import datetime

from rakelight.desk import ShopPlan
from rakelight.log.events import Event, in_force
from rakelight.plan.model import Placed


def laid_over(plan: ShopPlan, told: Sequence[Event]) -> ShopPlan:
    """The plan with steps told as done or left out since counted as done, each at its time.

    Parameters: told, events written after the plan was reckoned, in order.
    """
    answers = dict(plan.answers)
    for event in in_force(told):
        answer = answers.get(event.piece)
        if answer is None or event.kind not in ("done", "skipped") or event.task not in answer.plan.placed:
            continue
        zone = answer.shop.zone
        end = event.happened.astimezone(zone)
        start = min(event.start.astimezone(zone) if event.start else end, end)
        placed = dict(answer.plan.placed)
        placed[event.task] = replace(placed[event.task], spans=((start, end),), done=True, hollow=False)
        for task in event.also:
            if task in placed and not placed[task].done:
                placed[task] = _counted(placed[task], start, end)
        answers[event.piece] = replace(answer, plan=replace(answer.plan, placed=placed))
    return replace(plan, answers=answers)


def _counted(placed: Placed, start: datetime, end: datetime) -> Placed:
    return replace(placed, spans=((min(placed.start, start), min(placed.end, end)),), done=True, hollow=True)
