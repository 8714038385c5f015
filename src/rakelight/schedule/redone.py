"""What went otherwise than the schedule has it: sessions left out for good, and sessions done a second time."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from datetime import datetime
from typing import Protocol

from rakelight.facts.load import Facts
from rakelight.schedule.steps import Duration
from rakelight.schedule.tasks import Asks, Task, Work

#: ways to take off what was laid: work of the labour table, what a maker reads, what kind of work it is
WASH, STRIP, CUT_BACK = "wash off", "strip", "cut back"
OFF = {
    WASH: ("wash off", "Wash off with its thinner and clean cloths, until a white rag stays clean", "dirty"),
    STRIP: ("strip", "Strip to the wood", "dirty"),
    CUT_BACK: ("level one grit", "Sand flat what was laid, once it powders", "dusty"),
}


class Happened(Protocol):
    """When a session was done, and whether that was told; a `Fact` is one."""

    @property
    def start(self) -> datetime:
        """When it was begun."""

    @property
    def logged(self) -> bool:
        """Whether it was told, and not only counted."""


class DoneAgain(Protocol):
    """Sessions put in a second time; an `Again` is one."""

    @property
    def tasks(self) -> Sequence[str]:
        """Ids of the sessions."""

    @property
    def before(self) -> str:
        """Id of the session they go before; "" after all others."""

    @property
    def at(self) -> datetime:
        """When that was said."""

    @property
    def faces(self) -> Sequence[str]:
        """The faces it is for; none: all those of the sessions."""

    @property
    def off(self) -> str:
        """How what they laid is taken off first; "" where it stays."""


def as_it_went(
    tasks: Sequence[Task],
    skipped: frozenset[str],
    again: Sequence[DoneAgain],
    done: Mapping[str, Happened],
    facts: Facts,
) -> list[Task]:
    """The sessions of one part without those left out, and with those done again put in.

    A session done again is called by its id and "/again", then "/again-2" and so on. It never goes before one
    that was told as done when the doing again was said. What must come off first has a session of its own.
    """
    found = list(tasks)
    for more in again:
        ids = {t.id for t in found}
        copies = [_copy(t, more.faces, ids) for t in found if t.id in more.tasks]
        if not copies:
            continue
        at = next((n for n, t in enumerate(found) if t.id == more.before), len(found))
        told = [
            n + 1
            for n, t in enumerate(found)
            if (fact := done.get(t.id)) and fact.logged and fact.start <= more.at and not t.board
        ]
        at = max([at, *told])
        found[at:at] = [*_taken_off(copies, more.off, ids, facts), *copies]
    return [t for t in found if t.id not in skipped]


def _new_id(stem: str, ids: set[str]) -> str:
    return next(k for n in range(1, 1000) if (k := f"{stem}{f'-{n}' * (n > 1)}") not in ids)


def _copy(task: Task, faces: Sequence[str], ids: set[str]) -> Task:
    key = _new_id(f"{task.id}/again", ids)
    on = tuple(f for f in task.faces if not faces or f in faces) or task.faces
    share = len(on) / len(task.faces) if task.faces else 1.0
    return replace(
        task,
        id=key,
        says=f"Again: {task.says}",
        faces=on,
        follows=(),
        gates="",
        by_date="",
        minutes=task.minutes * share if share < 1 else task.minutes,
        area_m2=task.area_m2 * share,
    )


def _taken_off(copies: Sequence[Task], off: str, ids: set[str], facts: Facts) -> list[Task]:
    """A session for each lot that takes off what was laid: washed off, stripped, or cut back flat once it is hard."""
    if off not in OFF:
        return []
    work, says, kind = OFF[off]
    lots: dict[tuple[int, int], list[Task]] = {}
    for task in copies:
        lots.setdefault(task.pieces, []).append(task)
    found = []
    for tasks in lots.values():
        area, faces = _area_of(tasks)
        cut = off == CUT_BACK
        key = _new_id(f"{tasks[0].part}/{off.replace(' ', '-')}", ids)
        ids.add(key)
        rest = None if cut else Duration(facts.likely("taken_off_rest_h"))
        found.append(
            Task(
                key, tasks[0].part, off, "scuff" if cut else "own", f"{says}: {', '.join(faces)}", faces, kind,
                facts.labour[work].minutes_per_m2 * area, Asks("sand", faces) if cut else Asks(), wait_after=rest,
                lot=tasks[0].lot, pieces=tasks[0].pieces, splittable=True, area_m2=area,
            )
        )  # fmt: skip
    return found


def _area_of(tasks: Sequence[Task]) -> tuple[float, tuple[str, ...]]:
    """The area of all faces some sessions work, each once, and the faces."""
    area, faces = 0.0, dict.fromkeys(tasks[0].faces[:0])
    for task in tasks:
        new = [f for f in task.faces if f not in faces]
        area += task.area_m2 * len(new) / max(1, len(task.faces))
        faces |= dict.fromkeys(new)
    return area, tuple(faces)


def came_off(work: Work, again: Sequence[DoneAgain]) -> Work:
    """The same work, with nothing laid by sessions that are done again after it was washed off or stripped.

    What was taken off of some of a session's faces alone counts as lying there still: waits are rather too long.
    """
    off = [more for more in again if more.off in (WASH, STRIP)]
    if not off:
        return work

    def gone(task: Task) -> bool:
        return any(task.id in more.tasks and (not more.faces or set(task.faces) <= set(more.faces)) for more in off)

    jobs = {
        name: replace(job, tasks=tuple(replace(t, lay=None) if t.lay and gone(t) else t for t in job.tasks))
        for name, job in work.jobs.items()
    }
    return replace(work, jobs=jobs)
