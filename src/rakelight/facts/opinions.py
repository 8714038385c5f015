"""Where makers disagree about one material over another: the other opinion."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import lru_cache

from rakelight.facts.load import Facts
from rakelight.facts.read_tables import rows
from rakelight.facts.records import Material, Source

#: words of the table that mean a kind of material; any other word is the id of one
KINDS: dict[str, Callable[[Material], bool]] = {
    "water-borne": lambda row: row.is_water_borne,
    "oxidising": lambda row: row.mechanism == "oxidative",
    "oil": lambda row: row.mechanism == "oxidative" and row.coats_join in ("absorbed", "keyed"),
    "varnish": lambda row: row.mechanism == "oxidative" and row.coats_join == "witness",
}
#: over: the same material again
ITSELF = "itself"


@dataclass(frozen=True)
class Opinion:
    """The other opinion about a pair."""

    under: str  # a word of `KINDS`, or a material's id
    over: str  # the same, or "itself"
    says: str
    source: Source


@lru_cache(maxsize=4)
def opinions(facts: Facts) -> tuple[Opinion, ...]:
    """Every row of the table."""
    return tuple(
        Opinion(row["under"], row["over"], row["says"], facts.sources.read(row["source"]))
        for row in rows("opinions.csv")
    )


def opinion(facts: Facts, under: str, over: str) -> Opinion | None:
    """The other opinion about one material over another; None where makers agree.

    >>> from rakelight.facts import load
    >>> opinion(load(), "omu_brush", "omu_brush").says[:32]
    'Labels say no sanding is needed '
    """
    for one in opinions(facts):
        again = one.over == ITSELF
        if _is(facts, under, one.under) and (under == over if again else _is(facts, over, one.over)):
            return one
    return None


def _is(facts: Facts, id: str, word: str) -> bool:
    return KINDS[word](facts.materials[id]) if word in KINDS else id == word
