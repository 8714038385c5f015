"""What a pass comes to, in minutes since the origin: plain data between the planner and the page."""

from __future__ import annotations

from dataclasses import dataclass, field

from rakelight.errors import Finding
from rakelight.plan.history import Chain, Hist
from rakelight.plan.timeline import Span
from rakelight.schedule.tasks import Task


@dataclass
class Laid:
    """What a pass made of one task."""

    spans: tuple[Span, ...]
    place: str
    ready: float  # minute at which the wait before it was over
    asked: str = ""  # the readiness that ruled
    task: Task | None = None
    before_min: int = 0  # setting up, within the spans
    after_min: int = 0  # cleaning, within the spans
    scuff_added: bool = False
    done: bool = False
    who: str = ""  # "helper"; "" the maker

    @property
    def start(self) -> int:
        """First minute of work."""
        return self.spans[0][0]

    @property
    def end(self) -> int:
        """Last minute of work."""
        return self.spans[-1][1]

    @property
    def laid_end(self) -> int:
        """Minute at which the coat is on: before the gun or brush is cleaned."""
        return self.end - self.after_min


@dataclass
class Draft:
    """The result of a pass: tasks in minutes, and what it comes to."""

    laid: dict[str, Laid]
    reached: dict[int, float]  # target number -> minute
    late: float  # minutes past the dates, all targets
    added: int  # scuffs put in because a window was missed
    finish: float
    visits: int
    stuck: tuple[Finding, ...] = ()
    floors: dict[str, float] = field(default_factory=dict)  # material -> share of the odds a failed test took
    pasts: dict[str, Chain] = field(default_factory=dict)  # each lot as the pass left it
    waited: dict[str, tuple[Hist, ...]] = field(default_factory=dict)  # task -> pasts its wait read

    finishes: dict[str, float] = field(default_factory=dict)  # of each piece, where several are planned together

    @property
    def total(self) -> float:
        """Sum of the minutes at which the pieces are ready; of one piece, its finish."""
        return sum(self.finishes.values()) if len(self.finishes) > 1 else self.finish

    @property
    def score(self) -> tuple[float, float, float]:
        """Dates first, then scuffs added, then an early finish with few visits."""
        return (len(self.stuck) * 1e9 + self.late, self.added, self.total + 240 * self.visits)
