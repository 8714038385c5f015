"""A change of mind as text: what is done again, on which faces, and what it does to the dates."""

from __future__ import annotations

from collections.abc import Sequence

from rakelight.papers.plan_text import due_lines
from rakelight.papers.wrapping import WIDTH, upper_first, wrapped
from rakelight.plan.model import Plan
from rakelight.schedule.tasks import Task
from rakelight.units import show_work


def mind_lines(
    part: str,
    back_to: str,
    faces: Sequence[str],
    again: Sequence[Task],
    before: Plan,
    after: Plan,
    moved: Sequence[str],
    width: int = WIDTH,
) -> list[str]:
    """What going back comes to. Parameters: part, as it is shown; again, what is done a second time."""
    where = f"{part}{f' ({chr(44).join(faces)})' if faces else ''}".replace(",", ", ")
    if not again:
        return wrapped(f"{where}: nothing of it from {back_to} on is done yet, so nothing is done twice.", width)
    hours = sum(t.minutes.likely for t in again) / 60
    steps = ", ".join(dict.fromkeys(f"{t.step} on {_faces(t)}" for t in again))
    lines = wrapped(f"{where} goes back to {back_to}: {steps} again, {show_work(hours)} of work.", width, "", "  ")
    lines += ["", "As planned now", *due_lines(before, width), "", "Gone back", *due_lines(after, width)]
    if moved:
        lines += ["", "What moves", *(line for m in moved for line in wrapped(upper_first(m), width, "  ", "    "))]
    return lines


def _faces(task: Task) -> str:
    return ", ".join(task.faces) if len(task.faces) <= 3 else f"{len(task.faces)} faces"
