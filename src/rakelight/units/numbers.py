"""Numbers as people write them: whole, decimal, mixed fractions, with the signs keyboards and phones give."""

from __future__ import annotations

import re
import unicodedata

from rakelight.errors import Misread

#: longest words that can be a quantity; anything longer is not one
LONGEST = 120

_FRACTION = r"\d{1,4}\s*/\s*\d{1,4}"
NUMBER = rf"(?:\d{{1,3}}(?:\s*-\s*|\s+){_FRACTION}|{_FRACTION}|\d{{1,9}}\.\d{{0,9}}|\.\d{{1,9}}|\d{{1,9}})"

_MIXED = re.compile(r"(?:(\d+)(?:\s*-\s*|\s+))?(\d+)\s*/\s*(\d+)$", re.ASCII)
_SAME = str.maketrans("⁄∕′‘’ʹ“”„–—‑−×µ", "//''''" + '"""----xu')


def said(value: object) -> str:
    """A value as it was written, short enough for a sentence."""
    if isinstance(value, int) and abs(value) >= 10**30:
        return "a number of more than 30 digits"
    if isinstance(value, dict | list):
        return "a table" if isinstance(value, dict) else "a list"
    shown = value if isinstance(value, str) else str(value)
    shown = "".join(c if c.isprintable() else "?" for c in shown[:41])
    return f"'{shown[:38]}...'" if len(shown) > 40 else f"'{shown}'"


def plain(value: str) -> str:
    """Words with fractions, quotes and dashes in their plain form, spaces single, small letters.

    >>> plain("5′ 2½″")
    '5\\' 2 1/2"'
    """
    if len(value) > LONGEST:
        raise Misread(f"{said(value)} is too long to be a quantity.", "Write a number and its unit.")
    spread = "".join(f" {c} " if unicodedata.decomposition(c).startswith("<fraction>") else c for c in value)
    words = unicodedata.normalize("NFKC", spread).translate(_SAME)
    words = words.replace("''", '"').replace(". ", " ").lower()
    words = re.sub(r"(\d)\s+(['\"])", r"\1\2", words)
    return " ".join(words.split()).rstrip(".")


def number_of(words: str) -> float:
    """A number, decimal or with a fraction, from words that match `NUMBER`.

    Raises Misread for a fraction by zero, or one of more than a whole after a whole number.

    >>> number_of("1 3/8"), number_of("7/8"), number_of("2.5")
    (1.375, 0.875, 2.5)
    """
    mixed = _MIXED.match(words.strip())
    if not mixed:
        return float(words)
    whole, top, bottom = mixed.groups()
    if int(bottom) == 0:
        raise Misread(f"{said(words)} is divided by zero.", "Write the fraction as 3/8.")
    if whole is not None and int(top) >= int(bottom):
        raise Misread(
            f"{said(words)} has a fraction of one or more.", "Write the fraction below one, as 1 3/8."
        )
    return int(whole or 0) + int(top) / int(bottom)


def is_number(value: object) -> bool:
    """Whether a value of the file is a plain number (true and false are none)."""
    return isinstance(value, int | float) and not isinstance(value, bool)


def as_float(value: object) -> float:
    """A plain number of the file as a float; one too large for a float is infinite."""
    try:
        return float(value)  # type: ignore[arg-type]
    except OverflowError:
        return float("inf")


def decimal_comma(words: str) -> str:
    """Words with a point for a decimal comma; three digits after it could be a thousand, and stay as they are.

    >>> decimal_comma("21,5 c"), decimal_comma("0,25"), decimal_comma("1,500 ml")
    ('21.5 c', '0.25', '1,500 ml')
    """
    return re.sub(r"(?<=\d),(?=\d{1,2}(?!\d))", ".", words)


def refuse_comma(words: str, example: str) -> None:
    """Raises Misread where a comma stands inside a number: it could be a decimal or a thousand."""
    if re.search(r"\d,\d", words):
        raise Misread(f"{said(words)} has a comma in a number.", f"Write a point, or no comma: {example}.")
