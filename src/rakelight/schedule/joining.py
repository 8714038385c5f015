"""Parts joined from parts: which faces go on, the joining itself, and bringing the members together."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace

from rakelight.piece.model import Face, Part
from rakelight.schedule.bench import Ground
from rakelight.schedule.film_of import Skin
from rakelight.schedule.says import join_says
from rakelight.schedule.sessions import Sessions
from rakelight.schedule.steps import Duration
from rakelight.schedule.tasks import Asks, Job, Task
from rakelight.spread import Spread

#: end of the id of a member's carrying to where it is joined
FOR_JOIN = "for-join"


def faces_from(part: Part) -> dict[str, tuple[tuple[str, str], ...]]:
    """For each face of a joined part: the members and their faces that became it."""
    return {face.name: face.members for face in part.faces if face.members}


def joined_skins(part: Part, skins: Mapping[str, Mapping[str, Skin]]) -> dict[str, Skin]:
    """What lies on each face of a joined part when its work begins: what its members bring, the fullest."""
    found = {}
    for face in part.faces:
        brought = [skins.get(m, {}).get(f, Skin()) for m, f in face.members]
        if brought:
            found[face.name] = max(brought, key=lambda s: (s.last is not None, s.coats))
    return found


def finished_faces(part: Part, uses: Mapping[str, Mapping[str, object]]) -> frozenset[str]:
    """Faces of a joined part that a member has finished."""
    return frozenset(f.name for f in part.faces if any(own in uses.get(m, {}) for m, own in f.members))


def add_join(sessions: Sessions, part: Part, ground: Ground) -> None:
    """The joining: asks all that lies on the members to be ready to assemble; clamps are its wait.

    Clamps are taken to bear on every outer face with finish, so that those ask more.
    """
    laid = sessions.laid_faces()
    inner = {f.name for f in part.faces if f.role == "inside" or f.name.split(".")[-1] == "inside"}
    pressed = tuple(f for f in laid if f not in inner) if clamped(part) else ()
    asks = Asks("assemble", pressed, clamps=True) if pressed else Asks("assemble", laid) if laid else Asks()
    free = tuple(f for f in laid if f not in pressed)
    task = sessions.add(
        "join",
        "join",
        "join",
        join_says(part, part.count, list(part.of)),
        (),
        "quiet",
        Spread.exact(part.join_minutes),
        asks,
        also=(Asks("assemble", free),) if pressed and free else (),
        wait_after=clamped(part),
        splittable=part.count > 1 or clamped(part) is None,
    )
    sessions.here = ground.shop.place_for("quiet", ground.shop.first_place.name)
    sessions.rows[-1] = replace(sessions.rows[-1], task=task)


def clamped(part: Part) -> Duration | None:
    """Time in clamps."""
    if part.clamped is None:
        return None
    if isinstance(part.clamped, str):
        return Duration(overnight=True)
    return Duration(part.clamped) if part.clamped > 0 else None


def bring_to_join(sessions: Sessions, ground: Ground) -> None:
    """Carry a member from where it cures to where it is joined, once it is ready to assemble."""
    place = ground.shop.place_for("quiet", ground.shop.first_place.name)
    if sessions.here == place or not sessions.rows:
        return
    laid = sessions.laid_faces()
    sessions.carry(place, FOR_JOIN, asks=(Asks("assemble", laid) if laid else Asks(),))


def is_for_join(task: Task) -> bool:
    """Whether a task only brings a member to where it is joined."""
    return task.do == "move" and task.id.split("/lot-")[0].endswith(FOR_JOIN)


def wait_for_fellows(jobs: Mapping[str, Job]) -> dict[str, Job]:
    """The work with members carried to the joining only when the others are done too.

    Till then they cure where it is warm.
    """
    found = dict(jobs)
    for job in jobs.values():
        members = [m for m in job.begins_after if m in jobs]
        for name in members:
            others = [id for m in members if m != name for id in last_work(m, jobs)]
            own = found[name]
            tasks = tuple(
                replace(t, follows=(*t.follows, *others)) if is_for_join(t) else t for t in own.tasks
            )
            found[name] = replace(own, tasks=tasks)
    return found


def last_work(name: str, jobs: Mapping[str, Job]) -> list[str]:
    """Ids of the last work on a part, being carried to a joining aside; of its members where it has none."""
    job = jobs[name]
    rows = [t for t in job.tasks if not t.board and not is_for_join(t)]
    if not rows:
        return [id for m in job.begins_after if m in jobs for id in last_work(m, jobs)]
    last = rows[-1]
    base = last.id.split("/lot-")[0]
    return [t.id for t in rows if t.id.split("/lot-")[0] == base]


def coated(faces: Sequence[Face]) -> tuple[str, ...]:
    """Names of faces that may be finished."""
    return tuple(f.name for f in faces if f.coated)
