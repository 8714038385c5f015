"""Which schedule lies on which face: a face beats a role, a role beats `all`.

Source: language of the files, sections 2 and 3.
"""

from __future__ import annotations

from collections.abc import Collection, Mapping
from dataclasses import dataclass

from rakelight.errors import Finding, Severity, Where
from rakelight.piece.model import Face, FinishUse, Part
from rakelight.schedule.book import Book
from rakelight.schedule.ops import Op, cut_to, expand
from rakelight.schedule.steps import Schedule, Step

ROLES = ("show", "hidden", "inside", "sliding", "bare", "glue", "fitting")
#: every face a part of any kind may have (section 3); a schedule may name one that this part lacks
KNOWN_FACES = frozenset(
    {
        "top", "underside", "front", "back", "inside", "outside", "edges", "ends", "left", "right", "rims",
        "sides", "foot", "face", "inner edges", "outer edges",
    }
)  # fmt: skip


@dataclass(frozen=True)
class Group:
    """Faces of a part on which the same stretch of the same schedule lies."""

    use: FinishUse
    schedule: Schedule
    faces: tuple[Face, ...]

    @property
    def names(self) -> tuple[str, ...]:
        """Names of its faces."""
        return tuple(f.name for f in self.faces)


def use_for(part: Part, face: Face, finished: Collection[str]) -> FinishUse | None:
    """What a face is finished with; None where nothing is named for it.

    A face finished by the members of a joined part goes on only where it is named itself.
    """
    if not face.coated or (face.name in finished and face.name not in part.finish):
        return None
    finish = part.finish
    named = finish.get(face.name) or finish.get(face.role)
    if named or face.role == "inside":
        return named
    return (finish.get("outside") if part.kind == "box" else None) or finish.get("all")


def groups_of(
    part: Part, book: Book, finished: Collection[str], file: str = ""
) -> tuple[list[Group], list[Finding]]:
    """The schedules of a part with their faces, in order of the faces; faults of a schedule are findings."""
    found: list[Finding] = []
    by_use: dict[FinishUse, list[Face]] = {}
    for face in part.faces:
        use = use_for(part, face, finished)
        if use:
            by_use.setdefault(use, []).append(face)
    for use in part.finish.values():
        by_use.setdefault(use, [])
    groups = []
    for use, faces in by_use.items():
        where = Where(file=file, line=use.line or part.line, part=part.name)
        schedule = book.find(use.schedule)
        if schedule is None:
            found += book.why(use.schedule, where)
        elif faces:
            groups.append(Group(use, schedule, tuple(faces)))
    return groups, found


def ops_of(
    group: Group, part: Part, coats_taken: Mapping[str, int], file: str = ""
) -> tuple[list[Op], list[Finding]]:
    """The steps of a group, coat by coat, on the faces each is for."""
    where = Where(file=file, line=group.use.line or part.line, part=part.name)
    steps = group.schedule.steps
    found: list[Finding] = []
    faces_for = {}
    for index, step in enumerate(steps):
        if not known_on(step, part):
            found.append(unknown_face(step, part, Where(file=group.schedule.file, line=step.line)))
        faces_for[index] = faces_on(step, group.faces)
    ops = expand(steps, faces_for, coats_taken, group.schedule.name)
    ops, wrong = cut_to(ops, steps, group.use.from_step, group.use.to_step, where, group.schedule.name)
    return ops, found + wrong


def faces_on(step: Step, faces: tuple[Face, ...]) -> tuple[str, ...]:
    """Those of some faces a step is for: `show` also an inside that is finished at all; else face or role."""
    if step.on == "all":
        return tuple(f.name for f in faces)
    if step.on == "show":
        return tuple(f.name for f in faces if f.role in ("show", "inside"))
    named = tuple(f.name for f in faces if f.name == step.on)
    return named or tuple(f.name for f in faces if f.role == step.on)


def known_on(step: Step, part: Part) -> bool:
    """Whether `on` names a face or role at all."""
    names = {f.name for f in part.faces}
    return step.on in {"all", *ROLES, *KNOWN_FACES, *names} or "." in step.on


def unknown_face(step: Step, part: Part, where: Where) -> Finding:
    """A step on a face that no part has."""
    names = ", ".join(dict.fromkeys(f.name for f in part.faces))
    says = f'on = "{step.on}" is no face or role.'
    mend = f"{part.shown} has: {names}; roles: show, hidden, all."
    return Finding("unknown-face", Severity.ERROR, where, says, mend)
