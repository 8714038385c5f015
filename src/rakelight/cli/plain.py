"""Plain data on the way out, and how wide text may be."""

from __future__ import annotations

import json
import re
import shutil
from typing import Any

import typer


def data(value: dict[str, Any]) -> None:
    """Print an answer as JSON."""
    print(json.dumps(value, ensure_ascii=False, indent=2, allow_nan=False))


def width() -> int:
    """Columns to write in: the terminal's, 100 where there is none."""
    return min(max(shutil.get_terminal_size((100, 24)).columns, 50), 120)


_PER_CENT = re.compile(r"(-?(?:\d+(?:[.,]\d*)?|[.,]\d+)|nan)\s*(?:%|per ?cent|percent|pct)?$", re.ASCII)
_NOT_KNOWN = ("", "unknown", "not known", "?", "none given")


def per_cent(words: str) -> float:
    """A number of per cent as people write it: 45, "45 %", "45,5%".

    >>> per_cent("45"), per_cent("45 %"), per_cent("45,5%")
    (45.0, 45.0, 45.5)
    """
    found = _PER_CENT.match(str(words).strip().lower())
    if found is None:
        raise typer.BadParameter(f"{words!r} is no number of per cent. Write it as 45.")
    return float(found[1].replace(",", "."))


def changes(words: str) -> float:
    """Air changes an hour; nan where they are said not to be known.

    >>> changes("2"), changes("unknown")
    (2.0, nan)
    """
    said = str(words).strip().lower()
    if said in _NOT_KNOWN:
        return float("nan")
    try:
        return float(said.removesuffix("an hour").removesuffix("/h").strip().replace(",", "."))
    except ValueError as bad:
        mend = "Write 0.5 with all shut, 1 to 4 with a window open, or leave it out."
        raise typer.BadParameter(f"{words!r} is no number of air changes an hour. {mend}") from bad
