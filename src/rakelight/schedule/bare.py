"""Which wood a coat lands on: the cut faces beneath a joined face, and whether anything lies on them yet.

Bare means no layer but colour, bleach or raised grain; oiled wood counts as sealed.
Source: docs/decisions.md, "Bare wood".
"""

from __future__ import annotations

from dataclasses import dataclass, field

from rakelight.facts.records import Material
from rakelight.piece.model import Face, Part
from rakelight.schedule.tasks import Task, Work

#: kinds of part the fan of a gun mostly misses
SLENDER = frozenset({"leg", "stick"})
#: roles of what leaves wood bare
_LEAVES_BARE = frozenset({"colour", "colour_removal"})


@dataclass(frozen=True)
class Patch:
    """One face as it was cut, inside the face of a part that may have been joined since."""

    part: str
    face: str
    area_m2: float  # of one of the part that is laid
    end_grain: bool = False
    slender: bool = False
    stands: bool = False


def patches(work: Work, part: str, face: str, tall_mm: float = 0.0) -> list[Patch]:
    """What a face of one part is made of; areas add up to the face's own, masked spots taken off.

    Parameters: face, or one of a member as ``drawer-front.inside``; tall_mm, parts over this stand tall.
    A face the part does not have gives nothing.
    """
    job = work.jobs.get(part)
    if job is None:
        return []
    own = next((f for f in job.part.faces if f.name == face), None)
    if own is None and "." in face:
        member, _, inner = face.partition(".")
        return [_times(p, job.part.of.get(member, 1)) for p in patches(work, member, inner, tall_mm)]
    if own is None:
        return []
    stands = _stands(own, job.part, tall_mm)
    found = [
        _times(p, job.part.of.get(member, 1), stands)
        for member, inner in own.members or job.faces_from.get(face, ())
        for p in patches(work, member, inner)
    ]
    whole = sum(p.area_m2 for p in found)
    if whole <= 0:
        return [Patch(part, face, own.area_m2, own.end_grain, job.part.kind in SLENDER, stands)]
    return [_times(p, own.area_m2 / whole, p.stands) for p in found]


def _stands(face: Face, part: Part, tall_mm: float) -> bool:
    """Whether a face is upright while it is coated, on a part tall enough to run."""
    sizes = part.sizes
    given = [v for v in (sizes.long_mm, sizes.wide_mm, sizes.round_mm) if v]
    high = sizes.high_mm or max(given, default=float("inf"))
    return (face.stands or (part.both_faces == "hung" and face.broad)) and high > tall_mm


def _times(patch: Patch, number: float, stands: bool = False) -> Patch:
    return Patch(patch.part, patch.face, patch.area_m2 * number, patch.end_grain, patch.slender, stands)


def leaves_bare(material: Material) -> bool:
    """Whether wood still drinks as bare wood after this was laid: stain, dye, bleach."""
    return material.roles <= _LEAVES_BARE


@dataclass
class LaidSoFar:
    """What has been laid where, as the tasks of a piece are walked in order."""

    _sealed: set[tuple[str, str, int, bool]] = field(default_factory=set)
    _laid: set[tuple[str, str, int, bool, str]] = field(default_factory=set)
    _old: frozenset[tuple[str, str]] = frozenset()  # faces an earlier finish stays on

    @classmethod
    def of(cls, work: Work) -> LaidSoFar:
        """What lies there before the first task."""
        parts = [job.part for job in work.jobs.values() if job.part.old]
        return cls(_old=frozenset((p.name, f.name) for p in parts for f in p.faces if p.old_on(f.name)))

    def first(self, patch: Patch, task: Task, material: str) -> bool:
        """Whether this is the first coat of a material, on bare wood."""
        at = self._at(patch, task)
        if (patch.part, patch.face) in self._old and not task.board:
            return False
        return at not in self._sealed and (*at, material) not in self._laid

    def lay(self, patch: Patch, task: Task, material: Material) -> None:
        """Note that something was laid."""
        at = self._at(patch, task)
        self._laid.add((*at, material.id))
        if not leaves_bare(material):
            self._sealed.add(at)

    def _at(self, patch: Patch, task: Task) -> tuple[str, str, int, bool]:
        # a member may have been laid in lots of its own: on the joined part, sealed if any was
        lot = task.lot[0] if patch.part == task.part else 0
        return (patch.part, patch.face, lot, task.board)

    def join(self) -> None:
        """Forget lots of what was laid so far, so that joined parts see it (call after each part)."""
        self._sealed |= {(part, face, 0, board) for part, face, _, board in self._sealed}
        self._laid |= {(part, face, 0, board, what) for part, face, _, board, what in self._laid}
