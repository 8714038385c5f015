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
class Again:
    """Steps put in a second time before a step, as after a fault."""

    tasks: tuple[str, ...]  # ids of the steps to do again
    before: str  # id of the step they go before; "" after all others
    at: datetime
    faces: tuple[str, ...] = ()  # none: the faces those steps were on
    off: str = ""  # how what they laid is taken off first: wash off, strip, cut back; "" it stays


@dataclass(frozen=True)
class Pores:
    """A dust test of filled pores: after which coat of filler, and whether dust lay white in open ones."""

    coat: int
    open: bool
    at: datetime


@dataclass(frozen=True)
class State:
    """What the log folds to."""

    done: dict[str, Fact] = field(default_factory=dict)
    trials: tuple[Trial, ...] = ()
    coats_taken: dict[str, int] = field(default_factory=dict)  # "part/step" -> coats it took in fact
    factors: dict[str, float] = field(default_factory=dict)  # this shop's own; keys as `facts/this_shop.py` has them
    notes: tuple[str, ...] = ()
    kept: dict[str, datetime] = field(default_factory=dict)  # starts of the plan kept last, by task
    started: dict[str, datetime] = field(default_factory=dict)  # told as begun, not yet as done
    skipped: frozenset[str] = frozenset()  # told as left out for good
    again: tuple[Again, ...] = ()  # what is put in a second time, in the order told
    used_ml: dict[str, float] = field(default_factory=dict)  # by task, all that was told of it
    used_g: dict[str, float] = field(default_factory=dict)
    took_min: dict[str, float] = field(default_factory=dict)
    pores: dict[str, Pores] = field(default_factory=dict)  # the last dust test, by "part/step"
    finished_jobs: int = 0  # of this shop, that taught it something
