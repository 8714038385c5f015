"""A change of mind: a part goes back to a step, on all its faces or some; what that does again, and to the dates."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from difflib import get_close_matches

from rakelight.desk.one_piece import Answer, Desk
from rakelight.errors import Misread
from rakelight.papers.moved_text import moved_lines
from rakelight.papers.odds_text import changes
from rakelight.schedule.tasks import Job, Task
from rakelight.state.model import Again

#: steps that are not done a second time: what is joined stays joined, and nothing is carried anew
_ONCE = ("join", "judge", "move")


@dataclass(frozen=True)
class Mind:
    """What going back comes to, before it is decided."""

    part: str
    faces: tuple[str, ...]  # those asked for; none: every face of the steps
    back_to: str  # the step
    before: Answer
    after: Answer
    again: tuple[Task, ...]  # what is done a second time, in order
    moved: tuple[str, ...]  # in words

    @property
    def shifted(self) -> tuple[tuple[str, str, str], ...]:
        """Steps not done that begin at another moment: id, was, now; in the order of the new plan."""
        found = []
        for key, placed in self.after.plan.placed.items():
            old = self.before.plan.placed.get(key)
            if old and not placed.done and old.start != placed.start:
                found.append((key, old.start.isoformat(timespec="minutes"), placed.start.isoformat(timespec="minutes")))
        return tuple(found)


def mind(desk: Desk, part: str, back_to: str, faces: Sequence[str] = ()) -> Mind:
    """What it does to the plan when a part goes back to a step. Nothing is written.

    Parameters: back_to, a step by its name or id; faces, those that go back, none for all. Raises Misread where
    the part, step or face is not there, or the part is joined into another; Refused where nothing can be planned.
    """
    job = _job(desk, part)
    task = _step(job, back_to)
    on = _faces(job, task, faces)
    before = desk.plan(odds="dates")
    ids = _to_do_again(desk, job, task, on)
    if not ids:
        return Mind(part, on, task.step, before, before, (), ())
    first = next((t.id for t in job.tasks if t.id not in desk.state.done and not t.board), "")
    more = Again(tuple(ids), first, desk.now, on)
    other = replace(desk)
    other.__dict__["state"] = replace(desk.state, again=(*desk.state.again, more))
    after = other.plan(odds="dates")
    known = {t.id for t in job.tasks}
    again = tuple(t for t in other.work.jobs[part].tasks if t.id not in known)
    starts = {key: placed.start for key, placed in before.plan.placed.items() if not placed.done}
    dues = {due.for_: due.likely for due in before.plan.due if due.likely}
    odds = {due.for_: due.odds.chance for due in before.plan.due if due.odds}
    said = moved_lines(starts, dues, after.plan, after.work, after.state, changes(after.plan, odds))
    return Mind(part, on, task.step, before, after, again, tuple(said))


def _job(desk: Desk, part: str) -> Job:
    jobs = desk.work.jobs
    if part not in jobs:
        near = get_close_matches(part, list(jobs), 1, 0.5)
        mend = f"Did you mean {near[0]}?" if near else f"Parts: {', '.join(jobs)}."
        raise Misread(f"{part!r} is not a part of this piece.", mend)
    users = [name for name, job in jobs.items() if part in job.begins_after]
    for user in users:
        joined = next((t for t in jobs[user].tasks if t.do == "join"), None)
        if joined and joined.id in desk.state.done:
            shown = desk.piece.parts[user].shown
            raise Misread(f"{desk.piece.parts[part].shown} is joined into {shown} already.", f"Name --part {user}.")
    return jobs[part]


def _step(job: Job, said: str) -> Task:
    tasks = [t for t in job.tasks if not t.board and t.do not in _ONCE]
    words = " ".join(said.lower().split())
    for task in tasks:
        if words in (task.id, task.id.partition("/")[2], task.step.lower()):
            return task
    for task in tasks:  # "oil" is the first of "oil 1", "oil 2"
        if task.do == words or task.step.lower().rstrip("0123456789 ") == words:
            return task
    names = list(dict.fromkeys(t.step for t in tasks))
    near = get_close_matches(words, names, 1, 0.5)
    mend = f"Did you mean {near[0]}?" if near else f"Its steps: {', '.join(names)}."
    raise Misread(f"{said!r} is not a step of {job.part.shown.lower()}.", mend)


def _faces(job: Job, task: Task, said: Sequence[str]) -> tuple[str, ...]:
    for face in said:
        if face not in task.faces:
            says = f"{task.step} is not done on {face!r} of {job.part.shown.lower()}."
            raise Misread(says, f"It is done on: {', '.join(task.faces)}.")
    return tuple(dict.fromkeys(said))


def _to_do_again(desk: Desk, job: Job, task: Task, faces: Iterable[str]) -> list[str]:
    """Ids of what is done of a part from a step on, on these faces."""
    on = set(faces)
    at = next(n for n, t in enumerate(job.tasks) if t.id == task.id)
    return [
        t.id
        for t in job.tasks[at:]
        if t.id in desk.state.done
        and not t.board
        and t.do not in _ONCE
        and t.work != "none"
        and (not on or on & set(t.faces))
    ]
