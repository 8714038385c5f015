"""This shop's own figures: of the book, of its jobs alone, and what is used; each may be pinned or begun anew."""

from __future__ import annotations

import math
from collections.abc import Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime

from rakelight.errors import Misread
from rakelight.facts.load import Facts
from rakelight.facts.this_shop import DOUBT
from rakelight.log.events import Event, in_force
from rakelight.log.learning import weighing
from rakelight.log.learning.books import BookFigure, book_figure
from rakelight.log.learning.seen import Seen, Taught
from rakelight.log.learning.shares import Shares
from rakelight.log.learning.weighing import Weighed
from rakelight.spread import Spread

#: of an event "learned": times the book that a figure is held at; without it the figure is begun anew
PINNED = "times"


_ONE = Spread.exact(1.0)


@dataclass(frozen=True)
class Row:
    """One figure of the shop."""

    what: str  # key of the factor
    says: str
    unit: str
    book: Spread
    yours: Spread | None  # of this shop's jobs alone; None where they bound it on one side only, or there are none
    jobs: int
    used: Spread
    pinned: bool = False
    factor: Spread = _ONE  # what is believed of the shop's own, times the book
    times: float = 1.0  # what the plan takes, times the book
    doubt: float = 1.0  # share of the book's doubt that is left; of coats the coefficient of variation
    weight: float = 0.0  # 0 to 1: how far the jobs have moved it from the book toward their own
    seen: int = 0
    held: bool = False  # within the range of the book, until more jobs are in


@dataclass(frozen=True)
class Learned:
    """All that this shop's jobs have taught."""

    rows: tuple[Row, ...] = ()
    finished_jobs: int = 0  # finished, and teaching something
    odd: tuple[str, ...] = ()  # what was told and is too far off to be counted

    def factors(self) -> dict[str, float]:
        """What `State.factors` carries (keys: `facts/this_shop.py`)."""
        found: dict[str, float] = {}
        for row in self.rows:
            found |= {row.what: row.times, row.what + DOUBT: row.doubt}
        return found

    def row(self, what: str) -> Row | None:
        """One figure by its key."""
        return next((row for row in self.rows if row.what == what), None)


def learn(
    jobs: Sequence[Taught], facts: Facts, told: Iterable[Event] = (), finished: Collection[str] = ()
) -> Learned:
    """What the jobs of a shop have taught.

    Parameters: jobs, in any order; facts, the tables without the shop's own; told, events in which a figure was
    pinned or begun anew; finished, keys of the pieces that are done.
    """
    pins, resets = _said(told)
    shares = Shares.of(facts)
    by_key: dict[str, dict[str, list[Seen]]] = {}
    for job in jobs:
        for seen in job.seen:
            begun = resets.get(seen.key) or resets.get("")
            if begun is None or seen.written > begun:
                by_key.setdefault(seen.key, {}).setdefault(job.job, []).append(seen)
    tests = [s for jobs_ in by_key.values() for seen in jobs_.values() for s in seen if s.key.startswith("drying:")]
    tells_failed = any(math.isfinite(s.low) for s in tests)
    rows = []
    for key in sorted({*by_key, *pins}, key=_order):
        found = by_key.get(key, {})
        try:
            book = book_figure(key, facts, [s for seen in found.values() for s in seen])
        except Misread:  # of a table of another time
            continue
        rows.append(_row(book, found, pins.get(key), shares, tells_failed))
    taught = {job.job for job in jobs if job.seen}
    return Learned(tuple(rows), len(taught & set(finished)), tuple(says for job in jobs for says in job.odd))


def _said(told: Iterable[Event]) -> tuple[dict[str, float], dict[str, datetime]]:
    """Figures pinned, times the book, and when others were begun anew ("" all)."""
    pins: dict[str, float] = {}
    resets: dict[str, datetime] = {}
    for event in in_force(list(told)):
        if event.kind != "learned":
            continue
        if event.values.get(PINNED, 0.0) > 0:
            pins[event.what] = event.values[PINNED]
        elif event.what:
            pins.pop(event.what, None)
            resets[event.what] = event.written
        else:
            pins.clear()
            resets = {"": event.written}
    return pins, resets


_KINDS = ("drying", "coverage", "minutes", "coats", "filler coats", "chill", "gloss")


def _order(key: str) -> tuple[int, str]:
    kind = key.split(":", 1)[0]
    return (_KINDS.index(kind) if kind in _KINDS else len(_KINDS), key)


def _row(
    book: BookFigure, jobs: Mapping[str, list[Seen]], pin: float | None, shares: Shares, tells_failed: bool
) -> Row:
    found = weighing.weigh(book, jobs, shares, tells_failed)
    value = weighing.shown(book, found, shares)
    if pin is not None:
        kept = Weighed(pin, weighing.pinned_doubt(book, shares), Spread.exact(pin), found.yours, found.weight)
        used = weighing.used(book, kept, shares)
        return Row(
            book.key, book.says, book.unit, value, found.yours, len(jobs), used, True, kept.factor, pin, kept.doubt,
            found.weight, sum(map(len, jobs.values())),
        )  # fmt: skip
    return Row(
        book.key, book.says, book.unit, value, found.yours, len(jobs), weighing.used(book, found, shares), False,
        found.factor, found.times, found.doubt, found.weight, sum(map(len, jobs.values())), found.held,
    )  # fmt: skip


