"""State: plain data that says what is done and running, and what this shop has taught. Planning reads it."""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import datetime


@dataclass(frozen=True)
class Fact:
    """A task that happened (or is under way, where `end` is None), with how it is known."""

    task: str
    start: datetime
    end: datetime | None
    logged: bool = True  # False: not logged, counted as done as planned


@dataclass(frozen=True)
class Trial:
    """A hand test at a task's wait: what was asked, when, and whether it passed."""

    task: str  # the task whose start waits for this readiness
    readiness: str
    at: datetime
    passed: bool
    retry_h: float | None = None  # look again after this many hours, where the maker said so


@dataclass(frozen=True)
class State:
    """What the log folds to."""

    done: dict[str, Fact] = field(default_factory=dict)
    trials: tuple[Trial, ...] = ()
    coats_taken: dict[str, int] = field(default_factory=dict)  # "part/step" -> coats it took in fact
    factors: dict[str, float] = field(default_factory=dict)  # "drying:<material>" -> times the book
    notes: tuple[str, ...] = ()
    kept: dict[str, datetime] = field(default_factory=dict)  # starts of the plan kept last, by task
