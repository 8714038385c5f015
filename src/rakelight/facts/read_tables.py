"""Reading of the tables as they stand on disk: rows of words, numbers and spreads."""

from __future__ import annotations

import csv
from collections.abc import Mapping
from pathlib import Path

from rakelight.errors import SourceKind
from rakelight.facts.sources import Origin, Sources
from rakelight.spread import Spread

#: folder of the tables
TABLES = Path(__file__).with_name("tables")

Row = Mapping[str, str]


def rows(name: str) -> list[dict[str, str]]:
    """Rows of one table, every cell a string.

    >>> rows("labour.csv")[0]["work"]
    'sand one grit'
    """
    with (TABLES / name).open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


def number(cell: str) -> float | None:
    """A cell as a number; None where it is empty."""
    return float(cell) if cell else None


def triple(row: Row, low: str, likely: str, high: str) -> Spread | None:
    """Three cells as a spread; None where the likely one is empty."""
    if not row[likely]:
        return None
    return Spread(float(row[low] or row[likely]), float(row[likely]), float(row[high] or row[likely]))


def listed(cell: str) -> tuple[str, ...]:
    """Words of a cell parted by semicolons."""
    return tuple(word.strip() for word in cell.split(";") if word.strip())


def read_sources() -> Sources:
    """The list of sources."""
    return Sources(
        {
            row["code"]: Origin(row["code"], row["what"], SourceKind(row["kind"]), row["read"])
            for row in rows("sources.csv")
        }
    )
