"""Words typed into a field, as the language of the files has them."""

from __future__ import annotations

import re
from datetime import date
from typing import Any

_WHOLE = re.compile(r"\d{1,6}")
_DAY = re.compile(r"(\d{4})-(\d{2})-(\d{2})(?:T(\d{2}):(\d{2}))?")
_LETTERS = re.compile(r"[^a-z0-9]+")


def number_or_words(said: str) -> Any:
    """A whole number as a number, all else as it was typed.

    >>> number_or_words(" 30 "), number_or_words("7 1/4"), number_or_words("35 mm")
    (30, '7 1/4', '35 mm')
    """
    said = said.strip()
    return int(said) if _WHOLE.fullmatch(said) else said


def several(said: str) -> list[Any]:
    """Several of them, with commas or semicolons between.

    >>> several("15 1/2, 16; 15 3/4")
    ['15 1/2', 16, '15 3/4']
    """
    return [number_or_words(word) for word in re.split(r"[,;\n]", said) if word.strip()]


def day_words(said: str) -> str:
    """A day of a date field as a maker writes it; other words as they were typed.

    >>> day_words("2027-03-19"), day_words("19 Mar 2027"), day_words("2027-13-01")
    ('19 March 2027', '19 Mar 2027', '2027-13-01')
    """
    found = _DAY.fullmatch(said.strip())
    if not found:
        return said.strip()
    try:
        day = date(int(found[1]), int(found[2]), int(found[3]))
    except ValueError:
        return said.strip()
    clock = f" {int(found[4])}:{found[5]}" if found[4] else ""
    return f"{day.day} {day:%B} {day.year}{clock}"


def part_key(said: str, taken: tuple[str, ...] | list[str] = (), instead: str = "part") -> str:
    """The name of a part as the file has it: small letters, digits, hyphens, and no name twice.

    >>> part_key("Drawer side"), part_key("", ["top"], "top"), part_key("2nd rail")
    ('drawer-side', 'top-2', 'nd-rail')
    """
    word = _LETTERS.sub("-", said.casefold()).strip("-").lstrip("0123456789-") or instead
    return next(k for n in range(1, 1000) if (k := f"{word}{f'-{n}' * (n > 1)}") not in taken)
