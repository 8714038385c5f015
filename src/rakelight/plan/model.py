"""A plan: tasks on the calendar of a shop, with the waits between them and the reasons."""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import datetime

from rakelight.errors import Finding, SourceKind
from rakelight.schedule.tasks import Task
from rakelight.shop.hours import hours_later

#: by which figures odds are said: the tables', or this shop's own
BOOK, YOURS = "book figures", "yours"


@dataclass(frozen=True)
class Because:
    """The figure that drives a wait."""

    says: str  # "dewaxed shellac ready to rub: 336 h at 21 C, 68 um film, in house"
    material: str = ""
    figure: str = ""  # time_h.rub_out_ready, pair:a>b, practice P81 ...
    dose_h: tuple[float, float, float] = (0.0, 0.0, 0.0)  # reference hours low, likely, high
    source: str = ""
    kind: SourceKind | None = None


@dataclass(frozen=True)
class Ready:
    """When something is ready: low, likely, high, on the clock; None where it never comes within 400 days."""

    for_: str
    low: datetime | None
    likely: datetime | None
    high: datetime | None
    because: Because | None = None


@dataclass(frozen=True)
class Odds:
    """The odds of a date, by following the plan in many drawn scenarios."""

    chance: float  # 0-1
    in_tenths: int  # 0-10 as plan/tenths.py has it: 0 less than one, 10 better than nine
    basis: str  # "book figures" until this shop has finished three jobs, then "yours"
    p10: datetime | None  # None: not in the days whose air is known (horizon_days)
    p50: datetime | None
    p90: datetime | None
    curve: tuple[tuple[datetime, float], ...] = ()  # midnight after a day, chance of being ready by then


@dataclass(frozen=True)
class Driver:
    """A wait whose doubt makes the date late, and what it costs."""

    wait: str  # "case: dewaxed shellac ready to rub"
    p90_gain_days: float | None  # by which the late end comes nearer where this wait is as planned; None: from never
    figure: str = ""
    source: str = ""
    kind: SourceKind | None = None
    mend: str = ""
    piece: str = ""  # key of the piece, where several are planned together
    p90_then: datetime | None = None  # the late end with this wait as planned, where else there is none


@dataclass(frozen=True)
class Why:
    """Why a step is where it is."""

    kind: str  # drying, order, hours, dust, settling, maker, cold, put off, test, written, start
    says: str
    frees: str = ""  # what would let it begin earlier
    after: str = ""  # the step it hangs on: whose coat dries, which it follows, which makes dust or keeps the maker


@dataclass(frozen=True)
class Placed:
    """One task on the calendar."""

    task: str
    spans: tuple[tuple[datetime, datetime], ...]  # more than one where dry work was put down and taken up
    place: str
    ready: tuple[Ready, ...] = ()  # named readinesses that follow from it
    waited_for: Ready | None = None  # what it waited for
    done: bool = False
    hollow: bool = False  # counted as done as planned, not logged
    scuff_added: bool = False  # recoat window missed: abrade before it
    why: Why | None = None
    after_min: int = 0  # cleaning at the end, once the coat is on
    who: str = ""  # "helper"; "" the maker

    @property
    def start(self) -> datetime:
        """First minute of work."""
        return self.spans[0][0]

    @property
    def end(self) -> datetime:
        """Last minute of work."""
        return self.spans[-1][1]


def rags_span(task: Task | None, placed: Placed) -> tuple[datetime, datetime] | None:
    """The minutes for rags at the end of a session; None where none are left or it is done.

    Counted back in elapsed time from the end of its last stretch.
    """
    if task is None or not task.rags_min or placed.done:
        return None
    return hours_later(placed.end, -task.rags_min / 60), placed.end


@dataclass(frozen=True)
class Due:
    """A wanted date: what, by when, and when it will be so."""

    for_: str
    by: datetime
    part: str = ""
    low: datetime | None = None
    likely: datetime | None = None
    high: datetime | None = None
    late_h: float = 0.0  # likely hours past the date, 0 when met
    latest_start: datetime | None = None  # latest start that would have met it, where it is missed
    odds: Odds | None = None
    piece: str = ""  # key of the piece, where several are planned together


@dataclass(frozen=True)
class Best:
    """How near to the best possible a plan is: no plan of these steps ends before."""

    value: datetime
    which: str  # what forces it: waits, maker's hours
    gap: float  # share of the time from the start that might still be saved; 0 where the plan is proven
    gap_h: float
    solver: str = "greedy"  # whose plan it is: greedy, exact
    proven: bool = False


@dataclass(frozen=True)
class Plan:
    """The tasks of a piece laid on the calendar."""

    placed: dict[str, Placed]  # by task id, in order of start
    due: tuple[Due, ...] = ()
    finish: Ready | None = None  # the whole piece ready for what is wanted
    findings: tuple[Finding, ...] = ()
    start: datetime | None = None
    now: datetime | None = None
    notes: dict[str, str] = field(default_factory=dict)
    drivers: tuple[Driver, ...] = ()
    keeps_90: datetime | None = None  # latest start that keeps nine in ten for all dates
    best: Best | None = None
    best_of: dict[str, Best] = field(default_factory=dict)  # by piece, where several are planned together
    pieces: tuple[str, ...] = ()  # their keys; empty for a piece by itself
