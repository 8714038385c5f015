"""May one material go over another, and after how long: the answer to `over`."""

from __future__ import annotations

from dataclasses import dataclass

from rakelight.errors import SourceKind
from rakelight.facts.load import Facts
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
    window_h: Spread | None = None  # abrade where it is laid later than this


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
    window = lower.time_h.get("recoat_max_without_abrading") if pair.verdict == "ok" else None
    source, kind = pair.source.text, pair.source.kind
    disagree = opinions(facts, under, over)
    if pair.verdict != "needs-barrier":
        return Over(pair.verdict, wait, None, pair.reason, source, kind, disagree, None, window)
    first, then = _through_barrier(facts, pair, wait)
    return Over("needs-barrier", first, BARRIER, pair.reason, source, kind, disagree, then, None)


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


def is_water_borne(material: Material) -> bool:
    """A coalescing or two-part finish with water in it."""
    return material.mechanism in ("coalescence", "two_part_after_coalescence")


def opinions(facts: Facts, under: str, over: str) -> str | None:
    """The other opinion, where makers disagree about a pair; None where they do not."""
    lower, upper = facts.materials[under], facts.materials[over]
    if under == "shellac_waxy" and (is_water_borne(upper) or upper.mechanism == "oxidative"):
        return (
            "Labels forbid it and most makers use dewaxed; a few have laid varnish over waxy shellac for "
            "years, "
            "and the one test known held after three weeks."
        )
    if lower.mechanism == "oxidative" and lower.coats_join in ("absorbed", "keyed") and is_water_borne(upper):
        return (
            "Some makers only wait three full days and go straight over it; others have lost the piece that "
            "way "
            "after a test board had passed, and always lay dewaxed shellac between."
        )
    if under == over and lower.coats_join == "witness" and lower.mechanism == "oxidative":
        return (
            "Labels say no sanding is needed inside the recoat time; makers whose coats peeled say "
            "to scuff between all of them."
        )
    return None
