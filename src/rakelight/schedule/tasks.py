"""What a piece and its schedules come to: tasks in order for each part, ready to be laid on a calendar.

A task is one session at one lot of one part. The plan decides when; nothing here knows a clock or the air.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import datetime
from typing import Protocol

from rakelight.errors import Finding
from rakelight.piece.model import Part, Piece
from rakelight.schedule.steps import Duration, Schedule, Step
from rakelight.spread import Spread

#: minutes where nothing is left wet with drying oil
NO_RAGS = Spread.exact(0.0)


@dataclass(frozen=True)
class Lay:
    """What one task lays on each of its faces."""

    material: str
    by: str
    cut_lb: float | None = None
    thin: float | None = None
    warm: bool = False
    flood: bool = False
    solids_volume: Spread | None = None  # after cut and thinning
    wet_um: Spread | None = None  # of the liquid as laid
    dry_um: float = 0.0  # likely film left; 0 for oil, colour, filler scraped flush, thin wash coats
    coat: int = 1  # number of this coat within its step
    of: int = 1


@dataclass(frozen=True)
class Asks:
    """What must be true before a task starts."""

    readiness: str = ""  # next coat, sand, rub, handle ... of everything on `faces`; "" nothing
    faces: tuple[str, ...] = ()  # face names of this part
    at_least: Duration | None = None  # clock time since the task before
    at_most: Duration | None = None
    abraded: bool = False  # abraded since the last coat (pair wait still runs from that coat)
    a_day: int | None = None  # most coats of this step in a day
    clamps: bool = False  # clamps will bear on these faces
    over: Lay | None = None  # what is to come over it, where the task that asks lays nothing itself (a move)


@dataclass(frozen=True)
class Task:
    """One session of work (or a bare wait) on one lot of one part."""

    id: str  # "case/coat-3", "shelf/coat-2/underside", "leg/coat-1/lot-2": stable between plannings
    part: str
    step: str  # name others call it: "coat 3", "sand", own words
    do: str  # verb, or: turn, points, move, join, judge, own
    says: str  # one line a maker reads: "Coat 3 of 6: dewaxed shellac, 2 lb cut, brushed"
    faces: tuple[str, ...]
    work: str  # wet, dusty, dirty, quiet, none
    minutes: Spread  # maker's work for the whole lot
    asks: Asks = Asks()
    also: tuple[Asks, ...] = ()  # further readinesses, all of which must be met
    lay: Lay | None = None
    removes_um: float = 0.0  # taken off the flat by this task
    takes: tuple[tuple[str, float], ...] = ()  # the same by figure: id of the table, how many times
    grit: int = 0  # last grit, FEPA P
    block_min: float = 0.0  # time inside the block without work: soak before wiping, haze before buffing
    wait_after: Duration | None = None  # clock time before anything else on this part
    place: str = ""  # where it is done: "" where the part stands
    move_to: str = ""  # of a move
    follows: tuple[str, ...] = ()  # ids that must be done before
    lot: tuple[int, int] = (1, 1)  # number, of how many
    pieces: tuple[int, int] = (1, 1)  # first and last of the parts in it
    gun: bool = False
    splittable: bool = False  # may be put down and taken up
    test: str = ""  # hand test that settles the wait before it
    board: bool = False  # on the test board, not on the piece
    gates: str = ""  # on a judge task: id of the task of the piece that waits for its pass
    drop: str = ""  # material of a can tried with a drop on glass: it is done beside the part, not on it
    by_date: str = ""
    tools: tuple[str, ...] = ()
    rags_min: float = 0.0  # its last minutes: for what is wet with drying oil, before the next step
    area_m2: float = 0.0  # of the faces worked, all parts of the lot
    scheduled: Step | None = None  # the step it comes from


@dataclass(frozen=True)
class Job:
    """Tasks of one part in order, and what stands at its start and its end."""

    part: Part
    tasks: tuple[Task, ...]
    wood: str  # the wood that governs
    begins_after: tuple[str, ...] = ()  # parts that are joined into it
    faces_from: dict[str, tuple[tuple[str, str], ...]] = field(default_factory=dict)
    # face of a joined part -> (member part, its face) that became it
    cures_in: str = ""  # where it dries after its last step
    uses: dict[str, Schedule] = field(default_factory=dict)  # face -> schedule that lies on it


class DustTest(Protocol):
    """A dust test of filled pores; a `Pores` of the state is one."""

    @property
    def coat(self) -> int:
        """After which coat of filler."""

    @property
    def open(self) -> bool:
        """Whether dust lay white in open pores."""

    @property
    def at(self) -> datetime:
        """When."""


@dataclass(frozen=True)
class Work:
    """The whole piece unrolled."""

    piece: Piece
    jobs: dict[str, Job]  # by part, members before what they are joined into
    findings: tuple[Finding, ...] = ()
    pieces: dict[str, Piece] = field(default_factory=dict)  # by key, where several are planned together
    dust: Mapping[str, DustTest] = field(default_factory=dict)  # tests of filled pores, by "part/step"

    def task(self, id: str) -> Task:
        """A task by id; raises KeyError."""
        return next(t for job in self.jobs.values() for t in job.tasks if t.id == id)
