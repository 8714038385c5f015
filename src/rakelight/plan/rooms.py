"""The places of the shop while a plan is laid out: wet surfaces keep dust out, dust must settle before a
coat, and parts stand somewhere until they may be handled."""

from __future__ import annotations

from bisect import insort
from collections.abc import Iterator
from dataclasses import dataclass, field

from rakelight.plan.timeline import Hours, Span, minus


@dataclass
class Room:
    """One place: spans in which something is wet, in which dust is made, and what stands there."""

    name: str
    places: float  # drying places
    settle: int  # minutes for dust to settle before a coat
    dusty_work: bool = True
    wet: list[Span] = field(default_factory=list)
    dust: list[Span] = field(default_factory=list)
    standing: list[tuple[str, int, int, float]] = field(default_factory=list)  # chain, from, until, takes

    def dust_in_the_way(self, start: int, dry: float) -> int | None:
        """Minute to try next for a coat wet from `start` to `dry`; None where no dust is in the way."""
        latest = None
        for a, b in self.dust:
            if a < dry and b + self.settle > start:
                latest = b + self.settle
        return latest

    def shut_to_dust(self) -> Iterator[Span]:
        """Spans in which no dust may be made: wet surfaces, and the time for dust to settle before them."""
        for a, b in self.wet:
            yield a - self.settle, b

    def full(self, start: int, until: float, takes: float, chain: str) -> int | None:
        """Minute to try next where a part finds no drying place; None where it does.

        A part that asks for more than all places is taken to stand alone.
        """
        others = [s for s in self.standing if s[0] != chain and s[1] < until and s[2] > start]
        takes = min(takes, self.places)
        if sum(s[3] for s in others) + takes <= self.places + 1e-9:
            return None
        for moment in sorted({start, *(s[1] for s in others if s[1] > start)}):
            here = [s for s in others if s[1] <= moment < s[2]]
            if here and sum(s[3] for s in here) + takes > self.places + 1e-9:
                return min(s[2] for s in here)
        return None

    def stand(self, chain: str, start: int, until: int, takes: float) -> None:
        """A part stands here from then on, until it may be handled."""
        self.standing.append((chain, start, until, min(takes, self.places)))

    def leave(self, chain: str, minute: int) -> None:
        """The part is taken from where it stood."""
        self.standing = [
            (c, a, min(b, max(a, minute)), n) if c == chain and b > minute else (c, a, b, n)
            for c, a, b, n in self.standing
        ]

    def lay(self, start: int, dry: int) -> None:
        """Something is wet here."""
        insort(self.wet, (start, dry))

    def raise_dust(self, span: Span) -> None:
        """Dusty work was done here."""
        insort(self.dust, span)

    def newly_blocked(self, start: int, dry: float, hours: Hours) -> float:
        """Open minutes that a coat would take from dusty work beyond what wet surfaces take already."""
        if not self.dusty_work:
            return 0.0
        fresh = minus((start, int(dry)), self.wet)
        return sum(hours.open_minutes(a, b) for a, b in fresh)
