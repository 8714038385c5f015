"""What the rules look at: a piece, its work, the shop, what lies on each face, and a plan if there is one."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import datetime
from functools import cached_property

from rakelight.errors import Where
from rakelight.facts.load import Facts
from rakelight.facts.records import Material, Wood
from rakelight.piece.model import Face, Part, Piece
from rakelight.plan.model import Plan
from rakelight.plan.waits import Stay, Waits
from rakelight.rules.words import Shown
from rakelight.schedule.layers import Faces, Layer, Stack, stacks_of_work
from rakelight.schedule.pores_of import woods_of
from rakelight.schedule.tasks import Job, Task, Work
from rakelight.shop.climate import hourly
from rakelight.shop.hours import by_moment, hours_between
from rakelight.shop.model import Shop

#: air looked ahead for the wait between two coats
_HORIZON_H = 24 * 120


@dataclass(frozen=True)
class OnFace:
    """What lies on one face of one part when its own steps are done."""

    job: Job
    face: Face
    stack: Stack

    @property
    def part(self) -> str:
        """Name of the part."""
        return self.job.part.name

    @property
    def own(self) -> tuple[Layer, ...]:
        """Layers laid by this part's own steps, not by a member's."""
        return tuple(layer for layer in self.stack.layers if layer.part == self.part)


@dataclass(frozen=True, eq=False)
class Case:
    """One piece in one shop, with what follows from its schedules."""

    piece: Piece
    work: Work
    shop: Shop
    facts: Facts
    plan: Plan | None = None
    planned_waits: Waits | None = None  # those the plan was made with
    planned_origin: datetime | None = None  # the whole hour they count from

    @cached_property
    def stacks(self) -> dict[str, Faces]:
        """What lies on every face of every part."""
        return stacks_of_work(self.work, self.facts)

    @property
    def shown(self) -> Shown:
        """Quantities as the maker of this piece reads them; figures of a finding stay in SI."""
        return Shown(self.piece.unit)

    @cached_property
    def start(self) -> datetime | None:
        """When work begins, as planned or as the piece says; None where neither does."""
        if self.plan is not None and self.plan.start is not None:
            return self.plan.start
        return by_moment(self.shop, self.piece.start) if self.piece.start else None

    @cached_property
    def origin(self) -> datetime | None:
        """The whole hour the waits count from; None where no start is known."""
        if self.planned_waits is not None:
            return self.planned_origin
        return self.start.replace(minute=0, second=0, microsecond=0) if self.start else None

    @cached_property
    def waits(self) -> Waits | None:
        """The waits in this shop's air: the plan's own, else from the start; None where no start is known."""
        if self.planned_waits is not None:
            return self.planned_waits
        places = [p.name for p in self.shop.places.values() if p.air]
        if self.origin is None or not places:
            return None
        origin = self.origin
        return Waits(self.facts, {name: hourly(self.shop, name, origin, _HORIZON_H) for name in places})

    def hour(self, moment: datetime) -> float:
        """Elapsed hours from the origin of the waits to a moment; 0 where none is known."""
        return hours_between(self.origin, moment) if self.origin else 0.0

    def stays(self, *parts: str) -> tuple[Stay, ...]:
        """Where the first lot of parts stands, as planned; a member goes on as what it is joined into."""
        placed = self.plan.placed if self.plan else {}
        tasks = [t for p in parts for t in self.work.jobs[p].tasks if not t.board and t.lot[0] == 1 and t.id in placed]
        found: list[Stay] = []
        for task in sorted(tasks, key=lambda t: placed[t.id].start.timestamp()):
            at = placed[task.id]
            if not found:
                found.append(Stay(at.place, min(0.0, self.hour(at.start))))
            place, since = (task.move_to, at.end) if task.move_to else (at.place, at.start)
            if place != found[-1].place:
                found.append(Stay(place, self.hour(since)))
        return tuple(found)

    @cached_property
    def tasks(self) -> dict[str, Task]:
        """Every task by id, boards left out."""
        return {t.id: t for job in self.work.jobs.values() for t in job.tasks if not t.board}

    @cached_property
    def faces(self) -> tuple[OnFace, ...]:
        """Every face of every part; one that members brought different layers to comes several times."""
        return tuple(self._faces())

    def _faces(self) -> Iterator[OnFace]:
        for name, job in self.work.jobs.items():
            for face in job.part.faces:
                for stack in self.stacks[name].get(face.name, ()):
                    yield OnFace(job, face, stack)

    @cached_property
    def finals(self) -> dict[tuple[str, str], tuple[Stack, ...]]:
        """What lies on each face of each part cut from wood when the whole piece is done."""
        found: dict[tuple[str, str], tuple[Stack, ...]] = {}
        for name, job in reversed(self.work.jobs.items()):
            for face in job.part.faces:
                stacks = found.get((name, face.name)) or self.stacks[name].get(face.name, ())
                found[name, face.name] = stacks
                for source in job.faces_from.get(face.name, ()):
                    found[source] = self._of_member(source, stacks)
        return found

    def _of_member(self, source: tuple[str, str], stacks: tuple[Stack, ...]) -> tuple[Stack, ...]:
        """Of several stacks on a joined face, the ones that began as this member's."""
        part, face = source
        began = self.stacks.get(part, {}).get(face, ())
        mine = [s for s in stacks for b in began if _begins(s, b)]
        return tuple(mine) or stacks

    def material(self, layer: Layer) -> Material:
        """The row of what was laid."""
        return self.facts.materials[layer.material]

    def woods(self, part: str, face: str = "") -> list[Wood]:
        """Woods of a face: of the part, or of the members that brought it to a joined part."""
        return woods_of(self.work, part, face, self.facts)

    def solid(self, part: Part) -> bool:
        """Solid wood cut for this part."""
        return part.solid and bool(part.woods)

    def must_stand(self, part: Part) -> tuple[str, ...]:
        """What a part must stand: its own list, else the piece's."""
        return part.must_stand or self.piece.must_stand

    def where(self, part: str, faces: Sequence[str], task: str) -> Where:
        """The place of a finding: the line of the step where it is known, else of the part."""
        known = self.tasks.get(task)
        joined = ", ".join(faces)
        step = known.scheduled if known else None
        if known is None or step is None or not step.line:
            line = self.work.jobs[part].part.line if part in self.work.jobs else 0
            return Where(self.piece.file, line, part, joined, known.step if known else "")
        for schedule in self.work.jobs[known.part].uses.values():
            if step in schedule.steps:
                return Where(schedule.file, step.line, part, joined, known.step)
        return Where(self.piece.file, step.line, part, joined, known.step)


def _begins(stack: Stack, other: Stack) -> bool:
    ids = [layer.task for layer in stack.layers[: len(other.layers)]]
    return ids == [layer.task for layer in other.layers]
