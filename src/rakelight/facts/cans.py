"""Sizes finish is sold in, and what thins what: two small tables that only amounts need."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from functools import lru_cache

from rakelight.facts.load import load
from rakelight.facts.read_tables import rows
from rakelight.facts.records import Source
from rakelight.units import Amount, read_amount


@dataclass(frozen=True)
class CanSize:
    """A size it is sold in, as it is called in the shop, with its content."""

    system: str  # us, metric
    kind: str  # liquid, flakes
    words: str  # "1/2 pint"
    holds: Amount
    source: Source


@dataclass(frozen=True)
class Thinner:
    """What thins a material, by a word of its carrier."""

    carrier: str
    name: str
    bought: bool
    source: Source


@lru_cache(maxsize=1)
def can_sizes() -> tuple[CanSize, ...]:
    """Every size, smallest first within a system and kind."""
    return tuple(
        CanSize(row["system"], row["kind"], row["size"], read_amount(row["size"]), source)
        for row, source in _rows("can_sizes.csv")
    )


@lru_cache(maxsize=1)
def thinners() -> tuple[Thinner, ...]:
    """What thins what; the first row whose word stands in a carrier is the one."""
    return tuple(
        Thinner(row["carrier"], row["thinner"], row["bought"] == "yes", source)
        for row, source in _rows("thinners.csv")
    )


def thinner_of(carrier: str) -> Thinner | None:
    """What thins a material with this carrier; None where the table does not say.

    >>> thinner_of("mineral spirits or turpentine").name
    'mineral spirits'
    """
    return next((t for t in thinners() if t.carrier in carrier), None)


def _rows(name: str) -> Iterator[tuple[dict[str, str], Source]]:
    sources = load().sources
    return ((row, sources.read(row["source"])) for row in rows(name))
