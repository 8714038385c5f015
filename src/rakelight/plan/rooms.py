"""The places of the shop while a plan is laid out: wet surfaces keep dust out, dust must settle before a
coat, and parts stand somewhere until they may be handled.

Spans are kept in order of their start, with the longest of them: what may touch a moment is found by halving.
"""

from __future__ import annotations

from bisect import bisect_left, insort
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from math import inf
from typing import NamedTuple

from rakelight.plan.timeline import Hours, Span, minus


@dataclass
class Spans:
    """Spans in order of their start; some may overlap."""

    rows: list[Span] = field(default_factory=list)
    longest: int = 0

    def add(self, span: Span) -> None:
        """One more."""
        insort(self.rows, span)
        self.longest = max(self.longest, span[1] - span[0])

    def near(self, start: float, end: float) -> Sequence[Span]:
        """Those that may touch the time from `start` to `end`, in order."""
        first = bisect_left(self.rows, (start - self.longest,))  # one number stands before all its pairs
        return self.rows[first : bisect_left(self.rows, (end,), lo=first)]


class _Stands(NamedTuple):
    """One lot that stands here."""

    start: int
    until: int
    chain: str
    takes: float


@dataclass
class Room:
    """One place: spans in which something is wet, in which dust is made, and what stands there."""

    name: str
    places: float  # drying places
    settle: int  # minutes for dust to settle before a coat
    dusty_work: bool = True
    wet: Spans = field(default_factory=Spans)
    shut: Spans = field(default_factory=Spans)  # to dust: wet surfaces, and the time for it to settle before
    dust: Spans = field(default_factory=Spans)
    standing: list[_Stands] = field(default_factory=list)  # in order of start
    of_chain: dict[str, list[_Stands]] = field(default_factory=dict)
    longest: int = 0  # minutes that anything stands here

    def dust_in_the_way(self, start: int, dry: float) -> int | None:
        """Minute to try next for a coat wet from `start` to `dry`; None where no dust is in the way."""
        ends = [b + self.settle for _, b in self.dust.near(start - self.settle, dry) if b + self.settle > start]
        return max(ends, default=None)

    def open_to_dust(self, gap: Span) -> Iterator[Span]:
        """The parts of a gap in which dust may be made."""
        return minus(gap, self.shut.near(*gap))

    def full(self, start: int, until: float, takes: float, chain: str) -> int | None:
        """Minute to try next where a part finds no drying place; None where it does.

        A part that asks for more than all places is taken to stand alone.
        """
        first = bisect_left(self.standing, (start - self.longest,))
        last = bisect_left(self.standing, (until,), lo=first)
        others = [s for s in self.standing[first:last] if s.chain != chain and s.until > start]
        takes = min(takes, self.places)
        if sum(s.takes for s in others) + takes <= self.places + 1e-9:
            return None
        for moment in sorted({start, *(s.start for s in others if s.start > start)}):
            here = [s for s in others if s.start <= moment < s.until]
            if here and sum(s.takes for s in here) + takes > self.places + 1e-9:
                return min(s.until for s in here)
        return None

    def stand(self, chain: str, start: int, until: int, takes: float) -> None:
        """A part stands here from then on, until it may be handled."""
        self._add(_Stands(start, until, chain, min(takes, self.places)))

    def _add(self, one: _Stands) -> None:
        insort(self.standing, one)
        self.of_chain.setdefault(one.chain, []).append(one)
        self.longest = max(self.longest, one.until - one.start)

    def leave(self, chain: str, minute: int) -> None:
        """The part is taken from where it stood."""
        for one in [s for s in self.of_chain.get(chain, ()) if s.until > minute]:
            self.of_chain[chain].remove(one)
            del self.standing[bisect_left(self.standing, one)]
            if one.start < minute:
                self._add(_Stands(one.start, minute, chain, one.takes))

    def lay(self, start: int, dry: int) -> None:
        """Something is wet here."""
        self.wet.add((start, dry))
        self.shut.add((start - self.settle, dry))

    def raise_dust(self, span: Span) -> None:
        """Dusty work was done here."""
        self.dust.add(span)

    def newly_blocked(self, start: int, dry: float, hours: Hours) -> float:
        """Open minutes that a coat would take from dusty work beyond what wet surfaces take already.

        Parameters: dry, the minute it no longer takes dust; inf in air in which it never does: inf then.
        """
        if not self.dusty_work:
            return 0.0
        if dry == inf:
            return inf
        span = (start, int(dry))
        return sum(hours.open_minutes(a, b) for a, b in minus(span, self.wet.near(*span)))

