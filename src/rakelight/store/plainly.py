"""What the database says when it cannot, as one sentence a maker can act on."""

from __future__ import annotations

import sqlite3
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from rakelight.errors import RakelightError

#: how long one who writes is waited for, in seconds
PATIENCE_S = 10.0

_SAYS = (
    ("locked", "{path} is held by another program that writes to it; try again when that is done"),
    ("busy", "{path} is held by another program that writes to it; try again when that is done"),
    ("readonly", "{path} cannot be written: the file or its folder is only to be read"),
    ("unable to open", "{path} cannot be opened: the file or its folder is not there, or only to be read"),
    ("full", "There is no room left on the disk of {path}: make room, then tell it again"),
    ("disk i/o", "The disk of {path} cannot be written (full, or failing): mend that, then tell it again"),
    ("not a database", "{path} is not a shop's file"),
    ("malformed", "{path} is damaged: `rakelight restore BACKUP` brings a backup in its place"),
    ("never changed", "That is written already, and what was told is never changed: tell a correction"),
    ("foreign key", "That speaks of a piece that is not in {path}"),
)


@contextmanager
def told_plainly(path: Path) -> Iterator[None]:
    """Raises RakelightError, one sentence, for anything the database or the disk refuses."""
    try:
        yield
    except sqlite3.Error as bad:
        raise RakelightError(plain(str(bad), path)) from bad
    except Exception as bad:
        if type(bad).__module__.startswith("sqlalchemy"):
            raise RakelightError(plain(str(getattr(bad, "orig", None) or bad), path)) from bad
        raise


def plain(says: str, path: Path) -> str:
    """The sentence for what the database says."""
    for word, told in _SAYS:
        if word in says.lower():
            return f"{told.format(path=path)}. Nothing was changed."
    return f"{path} cannot be used ({says.splitlines()[0]}). Nothing was changed."
