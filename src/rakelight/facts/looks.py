"""What a finish looks like as it is laid: its warmth, the sheens it comes in, and how it is mended."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

from rakelight.facts.load import load
from rakelight.facts.read_tables import listed, rows
from rakelight.facts.records import Source

#: from the coolest to the warmest
WARMTHS = ("clear", "slight", "warm")
#: from what a maker mends in a corner to what must come off first
REPAIRS = ("easy", "whole", "hard")


@dataclass(frozen=True)
class LookRow:
    """One material: warmth it gives, sheens it leaves unrubbed, how it is mended."""

    material: str
    warmth: str
    as_laid: tuple[str, ...]
    repair: str  # easy: a spot by itself; whole: the whole face again, abraded; hard: it must come off
    source: Source


@lru_cache(maxsize=1)
def look_rows() -> dict[str, LookRow]:
    """Every finish that gives a look, by id of the material.

    >>> look_rows()["shellac_dewaxed"].repair
    'easy'
    """
    sources = load().sources
    return {
        row["material"]: LookRow(
            row["material"], row["warmth"], listed(row["as_laid"]), row["repair"], sources.read(row["source"])
        )
        for row in rows("looks.csv")
    }
