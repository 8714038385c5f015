"""Lines that fit the paper: text broken at words, with what follows set in below it."""

from __future__ import annotations

import re
import textwrap
from collections.abc import Sequence

WIDTH = 100

#: the blank in "1 3/4", "2 fl oz", "5 g": a number stays with its fraction and its unit
_TOGETHER = re.compile(
    r"(?<=\d) (?=\d+/\d|(?:fl|oz|ml|l|g|kg|lb|h|min|um|mm|in|days?|hours?|F|C|pints?|quarts?)\b|%)|(?<=\d fl) (?=oz)"
    r"|(?<=\d x) (?=\d)|(?<=\d) (?=x \d)"
)


def wrapped(text: str, width: int = WIDTH, first: str = "", after: str | None = None) -> list[str]:
    """Text as lines no wider than `width` where its words allow.

    Parameters: first, what stands before the first line; after, before the others (else blanks as wide).

    >>> wrapped("a coat of shellac laid by brush", 24, "1. ")
    ['1. a coat of shellac', '   laid by brush']
    """
    rest = " " * len(first) if after is None else after
    lines = textwrap.wrap(
        _TOGETHER.sub("\u00a0", text), max(width, len(first) + 20), initial_indent=first, subsequent_indent=rest,
        break_long_words=False, break_on_hyphens=False,
    )  # fmt: skip
    return [line.replace("\u00a0", " ") for line in lines] or [first.rstrip()]


def together(text: str) -> str:
    """Text in which a number never parts from its fraction and its unit.

    >>> together("lay 2 fl oz")
    'lay 2\\xa0fl\\xa0oz'
    """
    return _TOGETHER.sub("\u00a0", text)


def lower_first(words: str) -> str:
    """Words as they stand within a sentence: "Carry to the house" becomes "carry to the house"."""
    return words[:1].lower() + words[1:]


def and_words(words: Sequence[str]) -> str:
    """Several in a sentence.

    >>> and_words([]), and_words(["case"]), and_words(["case", "shelf", "plinth"])
    ('', 'case', 'case, shelf and plinth')
    """
    return f"{', '.join(words[:-1])} and {words[-1]}" if len(words) > 1 else "".join(words)


def upper_first(words: str) -> str:
    """Words as they begin a sentence."""
    return words[:1].upper() + words[1:]
