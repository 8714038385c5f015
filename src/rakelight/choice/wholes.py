"""Finishes of all parts put together, those nearest to what is wanted first, each laid on the calendar once."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from heapq import heappop, heappush
from math import isfinite, prod

from rakelight.choice.model import Alone, Make, Slot
from rakelight.choice.near import SCALES
from rakelight.choice.trying import Trying

#: what a finish that is late by itself costs in nearness: wholes with it come after all others
_LATE = 100.0
#: what a day in hand is worth against a step of the look: by nearness alone, and twice with an eye on time
_DAY_WEIGHTS = (0.0, 0.2, 1.0)


@dataclass(frozen=True)
class Whole:
    """A finish for every slot, laid on the calendar once."""

    alone: Mapping[str, Alone]
    margin_min: float = (
        0.0  # past the worst date where its materials dry late; less than 0 in hand, inf never
    )

    @property
    def makes(self) -> dict[str, Make]:
        """The finishes by slot."""
        return {name: one.make for name, one in self.alone.items()}

    @property
    def apart(self) -> float:
        """How far from what is wanted, all slots together."""
        return sum(one.apart for one in self.alone.values())

    @property
    def rank(self) -> float:
        """The same with what orders those that are as near."""
        return sum(one.rank for one in self.alone.values())

    @property
    def key(self) -> tuple[str, ...]:
        """Its schedules."""
        return tuple(one.make.name for one in self.alone.values())


def possible(by_slot: Mapping[str, Sequence[Alone]]) -> int:
    """Wholes that can be put together."""
    return prod(len(ones) for ones in by_slot.values())


def nearest_first(
    by_slot: Mapping[str, Sequence[Alone]], rank: Callable[[Alone], float] = lambda one: one.rank
) -> Iterator[dict[str, Alone]]:
    """Every whole once, the least sum of ranks first."""
    names = list(by_slot)
    rows = [sorted(by_slot[name], key=rank) for name in names]
    if not all(rows):
        return
    start = (0,) * len(rows)
    heap = [(sum(rank(row[0]) for row in rows), start)]
    seen = {start}
    while heap:
        total, at = heappop(heap)
        yield {name: row[n] for name, row, n in zip(names, rows, at, strict=True)}
        for k, row in enumerate(rows):
            more = (*at[:k], at[k] + 1, *at[k + 1 :])
            if at[k] + 1 < len(row) and more not in seen:
                seen.add(more)
                heappush(heap, (total - rank(row[at[k]]) + rank(row[at[k] + 1]), more))


def laid(
    trying: Trying,
    by_slot: Mapping[str, Sequence[Alone]],
    most: int,
    enough: int,
    offset_min: float = 0.0,
    tell: Callable[[int], None] | None = None,
) -> list[Whole]:
    """Wholes laid on the calendar once each: those of makes that are in time by themselves first, the nearest first.

    Parameters: most, how many at most; enough, of those that seem to be in time: then no more are laid; offset_min,
    from a late pass to a plan at the wanted odds.
    """
    found: dict[tuple[str, ...], Whole] = {}
    hopeful = 0
    turns = [nearest_first(by_slot, _rank(weight, offset_min)) for weight in _DAY_WEIGHTS]
    for whole in _in_turn(turns):
        if len(found) >= most or hopeful >= enough:
            break
        key = tuple(one.make.name for one in whole.values())
        if key in found or not matching(trying, whole):
            continue
        found[key] = _laid(trying, whole)
        hopeful += found[key].margin_min + offset_min <= 0
        if tell:
            tell(len(found))
    return list(found.values())


def _rank(weight: float, offset_min: float) -> Callable[[Alone], float]:
    """Nearness with so much for each day in hand; what is late by itself comes after all others."""

    def rank(one: Alone) -> float:
        days = (one.margin_min + offset_min) / 1440 if isfinite(one.margin_min) else _LATE
        return one.rank + weight * max(days, -_LATE) + (_LATE + days if days > 0 else 0.0)

    return rank


def _in_turn(turns: list[Iterator[dict[str, Alone]]]) -> Iterator[dict[str, Alone]]:
    """One of each in turn, until all have run out."""
    while turns:
        for one in list(turns):
            whole = next(one, None)
            if whole is None:
                turns.remove(one)
            else:
                yield whole


def _laid(trying: Trying, whole: Mapping[str, Alone]) -> Whole:
    problem = trying.asked(trying.dressed({name: one.make for name, one in whole.items()})[1])
    return Whole(whole, trying.margin(problem, trying.quick(problem, late=True)))


def matching(trying: Trying, whole: Mapping[str, Alone]) -> bool:
    """Whether parts that are to have the sheen of another part have it."""
    return not unmatched(trying, {name: one.look.sheen for name, one in whole.items()})


def unmatched(trying: Trying, sheens: Mapping[str, str]) -> list[tuple[Slot, Slot, int]]:
    """Slots that are to have the sheen of another and do not, and by how many steps of sheen."""
    of_part = {part: slot for slot in trying.slots for part in slot.parts}
    scale = SCALES["sheen"]
    found = []
    for slot in trying.slots:
        other = of_part.get(trying.want(slot).match)
        if other is None or other is slot:
            continue
        here, there = sheens[slot.name], sheens[other.name]
        if here != there:
            steps = abs(scale.index(here) - scale.index(there)) if here in scale and there in scale else 1
            found.append((slot, other, steps))
    return found
