"""Figures as a maker reads them, for the sentences of the rules."""

from __future__ import annotations

from rakelight.spread import Spread

_DAY_H = 24.0


def capital(words: str) -> str:
    """The same words with the first letter large; CAB stays CAB."""
    return words[:1].upper() + words[1:]


def number(value: float) -> str:
    """A figure without false precision: two digits, whole from ten on.

    >>> number(3.04), number(0.333), number(67.6)
    ('3', '0.3', '68')
    """
    if abs(value) >= 10:
        return f"{value:.0f}"
    return f"{value:.1f}".removesuffix(".0")


def days(hours: float) -> str:
    """Hours as hours up to two days, then as days.

    >>> days(6), days(72), days(84)
    ('6 h', '3 days', '3.5 days')
    """
    if hours < 2 * _DAY_H:
        return f"{number(hours)} h"
    return f"{number(round(hours / _DAY_H * 2) / 2)} days"


def spread_words(spread: Spread) -> str:
    """Likely first, then the range.

    >>> spread_words(Spread(24, 72, 168))
    '3 days (24 h to 7 days)'
    """
    if spread.certain:
        return days(spread.likely)
    low, high = days(spread.low), days(spread.high)
    if low.split()[-1] == high.split()[-1]:
        low = low.split()[0]
    return f"{days(spread.likely)} ({low} to {high})"


def microns(um: float) -> str:
    """Film thickness.

    >>> microns(67.6)
    '68 um'
    """
    return f"{number(um)} um"
