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


_LAID = {"spray": "spray", "brush": "brush", "wip": "wipe", "pad": "pad"}


def method_of(words: str) -> str:
    """A way of laying as it is said: "sprayed", "by brush", "wiping"; what is none of them as it stands.

    >>> method_of("sprayed"), method_of("wiped on"), method_of("trowel")
    ('spray', 'wipe', 'trowel')
    """
    said = words.strip().lower().removeprefix("by ")
    return next((way for stem, way in _LAID.items() if said.startswith(stem)), words)


_HEATERS = {
    "woodstove": "wood stove", "wood-stove": "wood stove", "wood burner": "wood stove", "kerosene": "unvented",
    "kerosene heater": "unvented", "no": "none", "electric heater": "electric",
}  # fmt: skip


def heater_of(words: str) -> str:
    """A heater as it is said; a kerosene heater is one without a flue.

    >>> heater_of("woodstove"), heater_of("kerosene"), heater_of("vented")
    ('wood stove', 'unvented', 'vented')
    """
    return _HEATERS.get(words.strip().lower(), words)


_AIRED = {"window open": 1.0, "windows open": 1.0, "a window open": 1.0, "door open": 1.0}
_SHUT = ("shut", "closed", "all shut", "windows shut", "window shut")


def changes(words: str) -> float:
    """Air changes an hour; nan where they are said not to be known.

    An open window counts as the least of its 1 to 4.

    >>> changes("2"), changes("unknown"), changes("window open")
    (2.0, nan, 1.0)
    """
    said = str(words).strip().lower()
    if said in _AIRED:
        return _AIRED[said]
    if said in (*_NOT_KNOWN, *_SHUT):
        return float("nan")
    try:
        return float(said.removesuffix("an hour").removesuffix("/h").strip().replace(",", "."))
    except ValueError as bad:
        mend = "Write 0.5 with all shut, 1 to 4 with a window open, or leave it out."
        raise typer.BadParameter(f"{words!r} is no number of air changes an hour. {mend}") from bad
