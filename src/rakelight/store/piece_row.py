"""A piece as the shop's file has it."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime


@dataclass(frozen=True)
class PieceRow:
    """A piece of the shop's file."""

    key: str
    name: str
    text: str  # its file, as TOML
    file: str  # name of the file it came from
    text_hash: str
    added: datetime
    finished: datetime | None = None
    put_away: bool = False

    @property
    def at_hand(self) -> bool:
        """Neither finished nor put away."""
        return self.finished is None and not self.put_away


def hash_of(text: str) -> str:
    """SHA-256 of a text, in hex."""
    from hashlib import sha256

    return sha256(text.encode("utf-8")).hexdigest()
