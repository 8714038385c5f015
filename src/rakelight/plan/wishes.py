"""A wanted date on the clock, before anything is planned."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime


@dataclass(frozen=True)
class Wish:
    """A wanted date on the clock."""

    for_: str
    by: datetime
    part: str = ""
    piece: str = ""  # key of the piece, where several are planned together
    matters: float = 1.0  # an hour late here against an hour late elsewhere
