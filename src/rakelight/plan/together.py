"""Several pieces on one calendar: their parts and steps under the key of each piece, and each piece's plan taken out.

With one piece alone nothing is renamed. With more, a part is "music-cabinet:case" and a step
"music-cabinet:case/oil-1"; `apart` gives the names back.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import fields, replace
from datetime import datetime
from typing import Any, TypeVar

from rakelight.errors import Finding
from rakelight.piece.model import Face, Part, Piece
from rakelight.plan.model import Due, Placed, Plan, Ready
from rakelight.plan.wishes import Wish
from rakelight.schedule.tasks import Job, Task, Work
from rakelight.state.model import State

#: between the key of a piece and the name of a part
MARK = ":"

_Value = TypeVar("_Value")


def under(key: str, name: str) -> str:
    """A part's name or a step's id with the key of its piece before it.

    >>> under("bench", "top/oil-1"), under("", "top")
    ('bench:top/oil-1', 'top')
    """
    return f"{key}{MARK}{name}" if key and name else name


def own_name(name: str) -> str:
    """The name as the piece itself has it.

    >>> own_name("bench:top/oil-1"), own_name("top")
    ('top/oil-1', 'top')
    """
    return name.split(MARK, 1)[1] if MARK in name else name


def piece_of(name: str) -> str:
    """The key of the piece that a part or step belongs to; "" where one piece stands alone.

    >>> piece_of("bench:top/oil-1")
    'bench'
    """
    return name.split(MARK, 1)[0] if MARK in name else ""


# -- together ---------------------------------------------------------------------------------------


def together(works: Mapping[str, Work]) -> Work:
    """The work of several pieces as one; that of a single piece as it is.

    Parameters: works, by key of the piece, the one that matters most first. Raises ValueError for none.
    """
    if not works:
        raise ValueError("no piece is given")
    if len(works) == 1:
        return next(iter(works.values()))
    jobs: dict[str, Job] = {}
    parts: dict[str, Part] = {}
    findings: list[Finding] = []
    for key, work in works.items():
        for name, part in work.piece.parts.items():
            parts[under(key, name)] = _part(key, part)
        for name, job in work.jobs.items():
            jobs[under(key, name)] = _job(key, job, parts.get(under(key, name)) or _part(key, job.part))
        findings += [replace(f, where=replace(f.where, part=under(key, f.where.part))) for f in work.findings]
    pieces = {key: work.piece for key, work in works.items()}
    first = next(iter(pieces.values()))
    all_ = Piece(" and ".join(p.name for p in pieces.values()), first.unit, parts)
    return Work(all_, jobs, tuple(findings), pieces)


def _part(key: str, part: Part) -> Part:
    return replace(
        part,
        name=under(key, part.name),
        of={under(key, member): count for member, count in part.of.items()},
        faces=tuple(_face(key, face) for face in part.faces),
    )


def _face(key: str, face: Face) -> Face:
    if not face.members:
        return face
    return replace(face, members=tuple((under(key, member), name) for member, name in face.members))


def _job(key: str, job: Job, part: Part) -> Job:
    return replace(
        job,
        part=part,
        tasks=tuple(_task(key, task) for task in job.tasks),
        begins_after=tuple(under(key, member) for member in job.begins_after),
        faces_from={
            face: tuple((under(key, member), name) for member, name in sources)
            for face, sources in job.faces_from.items()
        },
    )


def _task(key: str, task: Task) -> Task:
    return replace(
        task,
        id=under(key, task.id),
        part=under(key, task.part),
        follows=tuple(under(key, id) for id in task.follows),
        gates=under(key, task.gates),
    )


def together_state(states: Mapping[str, State]) -> State:
    """What has happened to several pieces as one; this shop's factors are the same for all."""
    if len(states) == 1:
        return next(iter(states.values()))
    renamed = [_state(key, state) for key, state in states.items()]
    joined: dict[str, Any] = {}
    for one in fields(State):
        values = [getattr(state, one.name) for state in renamed]
        if isinstance(values[0], dict):
            joined[one.name] = {k: v for value in values for k, v in value.items()}
        elif isinstance(values[0], tuple):
            joined[one.name] = tuple(v for value in values for v in value)
        elif isinstance(values[0], frozenset):
            joined[one.name] = frozenset().union(*values)
        else:
            joined[one.name] = max(values)  # jobs finished in this shop
    return State(**joined)


def _state(key: str, state: State) -> State:
    def renamed(by_task: Mapping[str, _Value]) -> dict[str, _Value]:
        return {under(key, k): v for k, v in by_task.items()}

    return replace(
        state,
        done={under(key, k): replace(f, task=under(key, f.task)) for k, f in state.done.items()},
        trials=tuple(replace(t, task=under(key, t.task)) for t in state.trials),
        coats_taken=renamed(state.coats_taken),
        kept=renamed(state.kept),
        started=renamed(state.started),
        skipped=frozenset(under(key, k) for k in state.skipped),
        again=tuple(
            replace(a, tasks=tuple(under(key, k) for k in a.tasks), before=under(key, a.before)) for a in state.again
        ),
        used_ml=renamed(state.used_ml),
        used_g=renamed(state.used_g),
        took_min=renamed(state.took_min),
        pores=renamed(state.pores),
    )


def together_wishes(wishes: Mapping[str, Sequence[Wish]]) -> list[Wish]:
    """The wanted dates of several pieces, each of its piece; that which matters most first."""
    if len(wishes) == 1:
        return list(next(iter(wishes.values())))
    return [replace(w, part=under(key, w.part), piece=key) for key, ws in wishes.items() for w in ws]


# -- apart ------------------------------------------------------------------------------------------


def apart(plan: Plan, key: str) -> Plan:
    """One piece's own plan, in its own names; the plan itself where it is of one piece alone.

    Raises KeyError where the plan has no such piece.
    """
    if not plan.pieces:
        return plan
    if key not in plan.pieces:
        raise KeyError(key)
    placed = {own_name(k): _own_placed(p, key) for k, p in plan.placed.items() if piece_of(k) == key}
    due = tuple(replace(d, part=own_name(d.part), piece="") for d in plan.due if d.piece == key)
    return replace(
        plan,
        placed=placed,
        due=due,
        finish=finish_of(due),
        findings=tuple(f for f in (_own_finding(f, key) for f in plan.findings) if f),
        start=_start(placed, plan.start),
        notes={own_name(k): says for k, says in plan.notes.items() if piece_of(k) in ("", key)},
        drivers=tuple(d for d in plan.drivers if d.piece == key),
        best=plan.best_of.get(key),
        best_of={},
        pieces=(),
    )


def _own_placed(placed: Placed, key: str) -> Placed:
    """In its own names; what hangs on a step of another piece keeps that piece's key."""
    why = placed.why
    if why and piece_of(why.after) == key:
        why = replace(why, after=own_name(why.after))
    return replace(placed, task=own_name(placed.task), why=why)


def finish_of(dues: Sequence[Due]) -> Ready | None:
    """The last of the dates wanted, as a range; None where one of them is never reached."""
    known = [d for d in dues if d.likely]
    if not known or len(known) < len(dues):
        return None
    last = max(known, key=lambda d: d.likely or d.by)
    return Ready(last.for_, last.low, last.likely, last.high)


def _start(placed: Mapping[str, Placed], start: datetime | None) -> datetime | None:
    return min((p.start for p in placed.values()), default=start)


def _own_finding(found: Finding, key: str) -> Finding | None:
    """A finding of this piece or of all of them, in its own names."""
    whose = piece_of(found.where.part)
    if whose not in ("", key):
        return None
    return replace(found, where=replace(found.where, part=own_name(found.where.part))) if whose else found

