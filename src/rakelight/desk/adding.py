"""Putting a piece into the shop's file: its key, the schedules it uses, and what is wrong with it."""

from __future__ import annotations

import json
import re
from collections.abc import Iterable
from dataclasses import dataclass, field
from pathlib import Path

from rakelight.errors import RakelightError
from rakelight.piece.model import Piece
from rakelight.schedule.book import Book


@dataclass
class Brought:
    """Schedules a piece brings with it: its own, and those of the maker's book."""

    own: dict[str, str] = field(default_factory=dict)
    book: dict[str, str] = field(default_factory=dict)


def key_of(name: str, taken: Iterable[str] = ()) -> str:
    """A key for a piece from its name: small letters and hyphens, numbered where it is taken.

    >>> key_of("Music cabinet"), key_of("Bench", ["bench"])
    ('music-cabinet', 'bench-2')
    """
    word = re.sub(r"[^\w]+", "-", name.casefold().replace("_", "-")).strip("-")[:80] or "piece"
    used = set(taken)
    return next(k for n in range(1, 10**6) if (k := f"{word}{f'-{n}' * (n > 1)}") not in used)


def brought_by(piece: Piece, book: Book) -> Brought:
    """The schedules a piece names that neither stand in it nor come with the tool, as text."""
    found = Brought()
    for name in schedule_names(piece):
        try:
            stands = book.text_of(name)
        except (OSError, UnicodeDecodeError) as bad:
            raise RakelightError(f"The schedule {name} cannot be read: {bad}.") from bad
        if stands:
            called, text = stands
            (found.own if called == "piece" else found.book)[name] = text
    return found


def schedule_names(piece: Piece) -> list[str]:
    """Names of all schedules a piece uses."""
    return sorted({use.schedule for part in piece.parts.values() for use in part.finish.values()})


def read_text(path: Path) -> str:
    """The text of a file, with the line ends as they are. Raises RakelightError where it is no text."""
    try:
        return path.read_bytes().decode("utf-8")
    except UnicodeDecodeError as bad:
        raise RakelightError(f"{path} is not a text file (UTF-8).") from bad


def renamed(text: str, name: str) -> str:
    """A piece's text with another name in its `piece` line.

    >>> renamed('unit = "in"\\npiece = "Shelf"  # oak', "Second shelf")
    'unit = "in"\\npiece = "Second shelf"'
    """
    line = re.compile(r"^(\s*piece\s*=\s*).*$", re.MULTILINE)
    return line.sub(lambda found: found[1] + json.dumps(name, ensure_ascii=False), text, count=1)
