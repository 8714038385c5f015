"""May one material go over another, and after how long: the answer to `over`."""

from __future__ import annotations

from dataclasses import dataclass

from rakelight.errors import SourceKind
from rakelight.facts.load import Facts
from rakelight.facts.opinions import opinion
from rakelight.facts.records import Material, Pair
from rakelight.spread import Spread

BARRIER = "shellac_dewaxed"


@dataclass(frozen=True)
class Over:
    """The answer. Hours are at 21 C and 50 % humidity."""

    verdict: str  # ok, ok-after-cure, needs-barrier, needs-abrading, never, unknown
    wait_h: Spread | None  # under to over; where a barrier is needed: under to barrier
    barrier: str | None  # material between, where one is needed and helps
    reason: str
    source: str
    kind: SourceKind | None
    disagree: str | None = None  # where makers disagree: the other opinion
    then_h: Spread | None = None  # barrier to over


def may_go_over(facts: Facts, under: str, over: str, method: str = "any") -> Over:
    """Whether `over` may be laid over `under` by a method (brush, wipe, pad, spray, trowel, any).

    Ids of the materials table. A pair that no table holds is `unknown`: try it on an offcut.
    """
    pair = facts.pair(under, over, method)
    lower, upper = facts.materials[under], facts.materials[over]
    if pair is None:
        reason = (
            f"nothing is known of {upper.name} over {lower.name}: try it on an offcut and look after a week"
        )
        return Over("unknown", None, None, reason, "", None)
    wait = _not_before(lower, facts.pair_wait(pair))
    source, kind = pair.source.text, pair.source.kind
    other = opinion(facts, under, over)
    disagree = other.says if other else None
    if pair.verdict != "needs-barrier":
        return Over(pair.verdict, wait, None, pair.reason, source, kind, disagree)
    first, then = _through_barrier(facts, pair, wait)
    return Over("needs-barrier", first, BARRIER, pair.reason, source, kind, disagree, then)


def _not_before(lower: Material, wait: Spread | None) -> Spread | None:
    recoat = lower.time_h.get("recoat_min")
    if wait is None or recoat is None:
        return wait
    return larger(wait, recoat)


def larger(one: Spread, other: Spread) -> Spread:
    """The larger of two waits, quantile by quantile."""
    return Spread(max(one.low, other.low), max(one.likely, other.likely), max(one.high, other.high))


def _through_barrier(facts: Facts, pair: Pair, wait: Spread | None) -> tuple[Spread | None, Spread | None]:
    """Under to barrier (the larger of its own pair and the needs-barrier row), then barrier to over."""
    below = facts.pair(pair.under, BARRIER, "any")
    own = facts.pair_wait(below) if below else None
    first = larger(wait, own) if wait and own else wait or own
    above = facts.pair(BARRIER, pair.over, "any")
    then = _not_before(facts.materials[BARRIER], facts.pair_wait(above)) if above else None
    return first, then
