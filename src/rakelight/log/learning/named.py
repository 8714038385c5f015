"""Figures of a shop by the words a maker says, and values as they are written."""

from __future__ import annotations

import math
import re
from collections.abc import Iterator
from difflib import get_close_matches

from rakelight.errors import Misread, NotFound
from rakelight.facts.load import Facts
from rakelight.log.learning.books import BookFigure, book_figure
from rakelight.log.learning.learned import Learned
from rakelight.units import L_PER_US_GALLON, M2_PER_FT2, read_duration

#: a figure is never pinned further from the book than this, either way
_MOST = 20.0
_VALUE = re.compile(r"^(?:x\s*)?(\d+(?:\.\d*)?|\.\d+)\s*(.*)$")
#: what a value may be written in, and how many of the figure's own unit that is
_UNITS = {
    "h": {}, "K": {"k": 1.0, "c": 1.0, "f": 5 / 9}, "um": {"um": 1.0}, "coats": {"coat": 1.0, "coats": 1.0},
    "m2/l": {"m2/l": 1.0, "ft2/gal": M2_PER_FT2 / L_PER_US_GALLON, "sq ft/gal": M2_PER_FT2 / L_PER_US_GALLON},
    "min/m2": {"min/m2": 1.0, "min/ft2": 1 / M2_PER_FT2, "min/sq ft": 1 / M2_PER_FT2},
}  # fmt: skip
_EXAMPLE = {"h": "30 h", "K": "5 K", "um": "12 um", "coats": "2 coats", "m2/l": "10 m2/l", "min/m2": "9 min/m2"}


def named(words: str, facts: Facts, learned: Learned) -> str:
    """The key of a figure by its key or by words of it. Raises NotFound or Misread."""
    said = words.strip()
    every = {row.what: row.says for row in learned.rows}
    every |= {key: says for key, says in _every(facts) if key not in every}
    if said in every:
        return said
    asked = set(re.findall(r"[a-z0-9]+", said.lower()))
    for among in ([row.what for row in learned.rows], list(every)):
        found = [key for key in among if asked and asked <= _words(key, every[key])]
        if len(found) == 1:
            return found[0]
        if found:
            more = f" or {len(found) - 5} more" if len(found) > 5 else ""
            raise NotFound(f"{words!r} can mean more than one figure: {', '.join(found[:5])}{more}.")
    near = get_close_matches(said, list(every), 3, 0.4)
    tell = f"Nearest: {', '.join(near)}." if near else "`rakelight learned` shows those there are."
    raise NotFound(f"No figure of a shop is called {words!r}. {tell}")


def _words(key: str, says: str) -> set[str]:
    return set(re.findall(r"[a-z0-9]+", f"{key} {says}".lower()))


def _every(facts: Facts) -> Iterator[tuple[str, str]]:
    """Every figure a shop may have of its own."""
    keys = [f"minutes:{work}" for work in facts.labour]
    for id, row in facts.materials.items():
        keys += [f"drying:{id}", *(f"coverage:{id}:{by}" for by in dict.fromkeys((*row.wet_film_um, "spray")))]
        keys += [f"chill:{id}:{way}" for way in ("hand", "spray")]
    keys += [f"{kind}:{wood}" for kind in ("coats", "filler coats") for wood in facts.woods]
    keys += [f"gloss:{id}" for id in facts.abrasives]
    for key in keys:
        try:
            yield key, book_figure(key, facts).says
        except Misread:
            continue


def times_of(value: str, key: str, facts: Facts, learned: Learned) -> float:
    """How many times the book a written value is: "1.2 times", "1.2", "120 %", or in the figure's own unit.

    Raises Misread.
    """
    row = learned.row(key)
    book = book_figure(key, facts)
    if row:
        book = BookFigure(key, row.says, row.unit, row.book)
    found = _times(value.strip().lower(), book)
    mend = f'Write "1.2 times" (the book), or as {_EXAMPLE[book.unit]!r}.'
    if found is None:
        raise Misread(f"{value!r} is no value of {key}.", mend)
    if not (math.isfinite(found) and 1 / _MOST <= found <= _MOST):
        raise Misread(f"{value!r} is {found:.3g} times the book, too far from it to be meant.", mend)
    return round(found, 6)


def _times(value: str, book: BookFigure) -> float | None:
    found = _VALUE.match(value)
    if not found:
        return None
    number, unit = float(found[1]), found[2].strip()
    if unit in ("", "times", "x", "times the book"):
        return number
    if unit == "%":
        return number / 100
    if book.unit == "h":
        try:
            hours, overnight = read_duration(value)
        except Misread:
            return None
        return None if overnight else hours / book.value.likely
    per = _UNITS[book.unit].get(unit)
    return number * per / book.value.likely if per else None
