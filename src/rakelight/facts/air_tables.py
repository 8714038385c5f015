"""Tables that only questions of air need: published rules against blush, heaters, classes of solvents."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from functools import lru_cache

from rakelight.facts.load import load
from rakelight.facts.read_tables import number, rows
from rakelight.facts.records import Source


@dataclass(frozen=True)
class BlushRule:
    """A rule of the trade against haze; the rules contradict each other and are shown beside the margin."""

    id: str
    says: str
    kinds: frozenset[str]  # shellac, lacquer, any
    least_gap_k: float | None  # above the dew point
    gap_from: str  # what is to be above it: surface or air
    most_rh: float | None  # 0-1
    source: Source

    def allows(self, gap_k: float, rh: float) -> bool:
        """Whether the rule would let a coat be laid."""
        wide = self.least_gap_k is None or gap_k >= self.least_gap_k
        return wide and (self.most_rh is None or rh <= self.most_rh)


@dataclass(frozen=True)
class Heater:
    """A kind of heater: what it does to humidity and to vapour."""

    kind: str
    says: str
    flame: bool
    spark: bool  # flame, glowing wire or switch: out before any can of flammable finish is opened
    fuel: str  # burned into the room, "" none
    carbon: float
    hydrogen: float
    mj_per_kg: float
    humidity: str
    source: Source


@lru_cache(maxsize=1)
def blush_rules() -> tuple[BlushRule, ...]:
    """Every published rule, in table order."""
    return tuple(
        BlushRule(
            row["id"],
            row["says"],
            frozenset(row["for"].split()),
            number(row["least_gap_k"]),
            row["gap_from"],
            number(row["most_rh"]),
            source,
        )
        for row, source in _rows("blush_rules.csv")
    )


@lru_cache(maxsize=1)
def heaters() -> dict[str, Heater]:
    """Every kind of heater, by the word of the shop file."""
    return {
        row["kind"]: Heater(
            row["kind"],
            row["says"],
            row["flame"] == "yes",
            row["spark"] == "yes",
            row["fuel"],
            number(row["carbon"]) or 0.0,
            number(row["hydrogen"]) or 0.0,
            number(row["mj_per_kg"]) or 0.0,
            row["humidity"],
            source,
        )
        for row, source in _rows("heaters.csv")
    }


@dataclass(frozen=True)
class SolventClass:
    """A solvent without figures of its own here: its class, and the solvent of the tables that stands in for it."""

    said: str
    kind: str
    stands_in: str  # "" where none may: its limits of breath are stricter
    source: Source


@lru_cache(maxsize=1)
def solvent_classes() -> dict[str, SolventClass]:
    """Solvents, and whole classes by their word, that are not in the table of solvents; by plain words."""
    from rakelight.facts.names import plain

    return {
        plain(row["say"]): SolventClass(row["say"], row["class"], row["stands_in"], source)
        for row, source in _rows("solvent_classes.csv")
    }


def _rows(name: str) -> Iterator[tuple[dict[str, str], Source]]:
    sources = load().sources
    return ((row, sources.read(row["source"])) for row in rows(name))
