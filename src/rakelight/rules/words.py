"""Figures as a maker reads them, in the maker's unit, for the sentences of the rules."""

from __future__ import annotations

from dataclasses import dataclass

from rakelight.spread import Spread
from rakelight.units import (
    MM_PER_IN,
    UM_PER_MIL,
    UM_PER_MM,
    show_delta_temp,
    show_film,
    show_length,
    show_temp,
    show_volume,
)

_DAY_H = 24.0
#: film thinner than this is told in um beside mil: a tenth of a mil is too coarse for it
_COARSE_UM = 10.0


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


@dataclass(frozen=True)
class Shown:
    """Quantities in the unit the maker of a piece writes: "in", else metric."""

    unit: str

    def temp(self, *temps_c: float) -> str:
        """A temperature, or the least and the most of several.

        >>> Shown("in").temp(13), Shown("").temp(8.9, 11.2)
        ('55 F', '9 to 11 C')
        """
        return _ends(show_temp(min(temps_c), self.unit), show_temp(max(temps_c), self.unit))

    def degrees(self, difference_k: float) -> str:
        """A difference of temperature.

        >>> Shown("in").degrees(8), Shown("mm").degrees(8)
        ('14 F', '8 C')
        """
        return show_delta_temp(difference_k, self.unit)

    def film(self, *films_um: float) -> str:
        """A thickness of film, or the least and the most of several; with um beside where mil is coarse.

        >>> Shown("mm").film(67.6), Shown("in").film(67.6), Shown("in").film(3.4), Shown("in").film(75, 125)
        ('68 um', '2.7 mil', '0.1 mil (3.4 um)', '3.0 to 4.9 mil')
        """
        low, high = min(films_um), max(films_um)
        if self.unit == "in":
            shown = _ends(show_film(low, "in"), show_film(high, "in"))
            return f"{shown} ({number(high)} um)" if low == high and 0 < high < _COARSE_UM else shown
        return _ends(*(f"{number(um)} um" if um < _COARSE_UM else show_film(um, "mm") for um in (low, high)))

    def length(self, length_mm: float) -> str:
        """A length; in thousandths where it is less than a thirty-second of an inch.

        >>> Shown("in").length(10), Shown("in").length(0.1), Shown("mm").length(0.1)
        ('3/8 in', '4 thousandths of an inch', '0.1 mm')
        """
        if self.unit == "in" and 0 < length_mm < MM_PER_IN / 32:
            count = max(1, round(length_mm * UM_PER_MM / UM_PER_MIL))
            return f"{count} thousandth{'s' * (count != 1)} of an inch"
        return show_length(length_mm, self.unit)

    def volume(self, volume_ml: float) -> str:
        """A volume of liquid.

        >>> Shown("in").volume(50), Shown("mm").volume(50)
        ('1 3/4 fl oz', '50 ml')
        """
        return show_volume(volume_ml, self.unit)


def _ends(low: str, high: str) -> str:
    """Two ends of a range with their unit once."""
    if low == high:
        return low
    return f"{low.rpartition(' ')[0] if low.split()[-1] == high.split()[-1] else low} to {high}"
