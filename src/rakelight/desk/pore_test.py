"""The dust test of filled pores: fine dust rubbed over the face lies white in what is still open.

After the second coat of filler it rules over the book: what it shows settles how many coats there are to be.
"""

from __future__ import annotations

from dataclasses import dataclass

from rakelight.desk.one_piece import Desk
from rakelight.desk.telling import no_step, steps_of
from rakelight.errors import Misread, NotFound, RakelightError
from rakelight.facts.load import Facts
from rakelight.schedule.pores_of import TRUSTED_FROM
from rakelight.schedule.tasks import Task, Work
from rakelight.state.model import State

#: most coats of filler that can be told
_MOST = 20


@dataclass(frozen=True)
class PoreTest:
    """What a dust test comes to."""

    step: str  # "case/fill": the step of the schedule whose coats it settles
    coat: int  # the coat it was made on
    number: int | None  # coats of filler there are to be; None where it settles nothing yet
    planned: int  # as there were to be before
    says: str

    @property
    def values(self) -> dict[str, float]:
        """As an event keeps it, beside whether the pores are open."""
        return {"coat": float(self.coat)}


def pore_test(desk: Desk, task: str, open_: bool) -> PoreTest:
    """What a dust test on a coat of filler means for the coats still to come.

    Parameters: task, the coat it was made on; open_, whether dust lies white. Raises RakelightError where that
    coat is none of filler, or is not laid yet.
    """
    known = next((t for job in desk.work.jobs.values() for t in job.tasks if t.id == task), None)
    if known is None:
        raise NotFound(no_step(task, steps_of(desk)))
    step = known.scheduled
    if known.lay is None or step is None or "filler" not in desk.facts.materials[known.lay.material].roles:
        mend = f"Name the coat of filler the dust was rubbed on{_example(desk, known.part)}."
        raise Misread(f"{task} lays no filler.", mend)
    if task not in desk.state.done:
        raise RakelightError(f"{task} is not told as done: there is nothing to test yet. Tell `done {task}` first.")
    base = f"{known.part}/{step.name or step.do}"
    fills = [t for t in desk.work.jobs[known.part].tasks if t.lay and t.scheduled is step and not t.board]
    planned = max((t.lay.coat for t in fills if t.lay), default=known.lay.coat)
    laid = max((t.lay.coat for t in fills if t.lay and t.id in desk.state.done), default=known.lay.coat)
    coat = known.lay.coat
    number = _number(coat, laid, planned, open_)
    return PoreTest(base, coat, number, planned, _says(coat, number, planned, open_))


@dataclass(frozen=True)
class DustDue:
    """Filler that may be tried with dust now."""

    part: str
    task: str
    coat: int


def dust_due(work: Work, state: State, facts: Facts) -> list[DustDue]:
    """Parts whose last coat of filler is done, from the second on, and neither tried with dust nor coated over."""
    found = []
    for job in work.jobs.values():
        done = [t for t in job.tasks if t.id in state.done and t.lay and not t.board]
        last = done[-1] if done else None
        if last is None or last.lay is None or "filler" not in facts.materials[last.lay.material].roles:
            continue
        tried = state.pores.get(f"{last.part}/{last.scheduled.name or last.scheduled.do}") if last.scheduled else None
        if last.lay.coat >= TRUSTED_FROM and (tried is None or tried.coat < last.lay.coat):
            found.append(DustDue(last.part, last.id, last.lay.coat))
    return found


def _example(desk: Desk, part: str) -> str:
    tasks = [t for job in desk.work.jobs.values() for t in job.tasks if _fills(desk, t)]
    near = next((t for t in tasks if t.part == part), tasks[0] if tasks else None)
    return f", as {near.id}" if near else "; this piece has none"


def _fills(desk: Desk, task: Task) -> bool:
    return bool(task.lay and not task.board and "filler" in desk.facts.materials[task.lay.material].roles)


def _number(coat: int, laid: int, planned: int, open_: bool) -> int | None:
    if open_:
        return min(_MOST, max(planned, laid + 1))
    return max(coat, laid) if coat >= TRUSTED_FROM else None


def _says(coat: int, number: int | None, planned: int, open_: bool) -> str:
    if number is None:
        return "One coat is soon thought to have filled them: rub dust over it again after the second."
    if open_ and number > planned:
        return f"Pores are still open: {number} coats of filler then, not {planned}."
    if open_:
        return f"Pores are still open, as the plan has it: {number} coats of filler in all."
    if number < planned:
        return f"Filled: {number} coats will do, not {planned}."
    return f"Filled, by the {number} coats the plan has."
