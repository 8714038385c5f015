"""What went otherwise than the schedule has it: sessions left out for good, and sessions done a second time."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from datetime import datetime
from typing import Protocol

from rakelight.schedule.tasks import Task


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


def as_it_went(
    tasks: Sequence[Task],
    skipped: frozenset[str],
    again: Sequence[DoneAgain],
    done: Mapping[str, Happened],
) -> list[Task]:
    """The sessions of one part without those left out, and with those done again put in.

    A session done again is called by its id and "/again", then "/again-2" and so on. It never goes before one
    that was told as done when the doing again was said.
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
        found[at:at] = copies
    return [t for t in found if t.id not in skipped]


def _copy(task: Task, faces: Sequence[str], ids: set[str]) -> Task:
    key = next(k for n in range(1, 1000) if (k := f"{task.id}/again{f'-{n}' * (n > 1)}") not in ids)
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
