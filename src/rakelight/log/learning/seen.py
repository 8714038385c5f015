"""What one job showed of this shop's own figures: plain data between its past and what is learned of it."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime
from typing import Any


@dataclass(frozen=True)
class Seen:
    """One thing seen: that the log of this shop's figure over the book's lies above `low` and not above `high`.

    Both alike is a reading. Of a chill they are degrees (K) and not a logarithm; of coats only `more` counts.
    """

    key: str  # of the factor, as `facts/this_shop.py` has them
    written: datetime
    low: float = -math.inf
    high: float = math.inf
    doubt: float = 0.0  # the book's own of this figure, as the standard deviation of its logarithm
    figure: str = ""  # of the tables: time_h.sandable ...
    more: int = 0  # coats over the least of an open number
    expected: float = 0.0  # and what the book expects of them

    def as_plain(self) -> dict[str, Any]:
        """As plain data, without what is open or as it mostly is."""
        row: dict[str, Any] = {"key": self.key, "written": self.written.isoformat()}
        row |= {k: v for k in ("low", "high") if math.isfinite(v := getattr(self, k))}
        return row | {k: v for k in ("doubt", "figure", "more", "expected") if (v := getattr(self, k))}

    @classmethod
    def from_plain(cls, row: Mapping[str, Any]) -> Seen:
        """The way back. Raises KeyError, TypeError or ValueError where it is none."""
        return cls(**{**row, "written": datetime.fromisoformat(row["written"])})


@dataclass(frozen=True)
class Taught:
    """All that one job showed."""

    job: str  # key of the piece
    seen: tuple[Seen, ...] = ()
    odd: tuple[str, ...] = ()  # what was told and is too far off to be counted, as sentences

    def as_plain(self) -> dict[str, Any]:
        """As plain data."""
        return {"job": self.job, "seen": [s.as_plain() for s in self.seen], "odd": list(self.odd)}

    @classmethod
    def from_plain(cls, row: Mapping[str, Any]) -> Taught:
        """The way back. Raises KeyError, TypeError or ValueError where it is none."""
        return cls(row["job"], tuple(Seen.from_plain(s) for s in row["seen"]), tuple(row["odd"]))
