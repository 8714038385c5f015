"""Lengths, rooms and volumes as people write them."""

from __future__ import annotations

import math
import re

from rakelight.errors import Misread
from rakelight.units.factors import (
    IN_PER_FT,
    L_PER_M3,
    M2_PER_FT2,
    M3_PER_FT3,
    MM_PER_CM,
    MM_PER_FT,
    MM_PER_IN,
    MM_PER_M,
)
from rakelight.units.numbers import (
    NUMBER,
    as_float,
    decimal_comma,
    is_number,
    number_of,
    plain,
    refuse_comma,
    said,
)

#: language of the files, section 8: a length over 6 m is not meant
LONGEST_MM = 6000.0
#: thinner than any veneer, finer than any arris: a slip of the unit
LEAST_MM = 0.05

_EXAMPLE = "1 3/8 in, 5' 2 1/2\" or 35 mm"
_IN = r"(?:\"|inches|inch|in)"
_FT = r"(?:'|feet|foot|ft)"
_METRIC = {"mm": 1.0, "cm": MM_PER_CM, "m": MM_PER_M}
_METRIC_WORDS = re.compile(r"(milli|centi|)met(?:re|er)s?$")
_FEET_INCHES = re.compile(rf"(?P<ft>{NUMBER})\s*{_FT}(?:\s*[-,]?\s*(?P<in>{NUMBER})\s*{_IN}?)?$", re.ASCII)
_INCHES = re.compile(rf"(?P<in>{NUMBER})\s*{_IN}$", re.ASCII)
_METRES = re.compile(rf"(?P<n>{NUMBER})\s*(?P<unit>mm|cm|m)$", re.ASCII)
_BARE = re.compile(rf"{NUMBER}$", re.ASCII)


def read_length(value: object, unit: str = "", *, signed: bool = False) -> float:
    """A length in mm.

    `unit` ("in", "mm" or "") is what a bare number means; `signed` lets zero and negatives through (points).
    Raises Misread for what is no length, has no unit, is zero or negative, or over 6 m.

    >>> read_length("5' 2-1/2\\""), read_length("1 3/8", "in")
    (1587.5, 34.925)
    """
    mm = round(_in_mm(value, unit), 9)  # 9 places: no trace of binary fractions
    if signed and abs(mm) <= LONGEST_MM:
        return mm
    if mm == 0:
        raise Misread(f"{said(value)} is zero.", f"Write a length, as {_EXAMPLE}.")
    if mm < 0:
        raise Misread(f"{said(value)} is negative.", f"Write a length above zero, as {_EXAMPLE}.")
    if mm > LONGEST_MM:
        raise Misread(
            f"{said(value)} is over 6 m ({mm / MM_PER_M:.3g} m).",
            "Look at the unit; write for example 60 mm.",
        )
    if mm < LEAST_MM:
        raise Misread(
            f"{said(value)} is too small to be meant.", f"Look at the unit; write for example {_EXAMPLE}."
        )
    return mm


def _in_mm(value: object, unit: str) -> float:
    if is_number(value):
        number = as_float(value)
        if not math.isfinite(number):
            raise Misread(f"{said(value)} is not a length.", f"Write it as {_EXAMPLE}.")
        return number * _bare_unit(value, unit)
    if not isinstance(value, str):
        raise Misread(f"{said(value)} is not a length.", f"Write it in quotes, as {_EXAMPLE}.")
    words = _METRIC_WORDS.sub(lambda m: {"milli": "mm", "centi": "cm", "": "m"}[m[1]], plain(value))
    refuse_comma(words, _EXAMPLE)
    sign = -1.0 if words.startswith("-") else 1.0
    return sign * _positive_mm(value, words.lstrip("-").strip(), unit)


def _positive_mm(value: str, words: str, unit: str) -> float:
    if _BARE.match(words):
        return number_of(words) * _bare_unit(value, unit)
    if found := _METRES.match(words):
        return number_of(found["n"]) * _METRIC[found["unit"]]
    if found := _INCHES.match(words):
        return number_of(found["in"]) * MM_PER_IN
    if found := _FEET_INCHES.match(words):
        inches = number_of(found["in"]) if found["in"] else 0.0
        if inches >= IN_PER_FT:
            raise Misread(
                f"{said(value)} has {inches:g} inches after the feet.", "Write inches below 12 after feet."
            )
        return number_of(found["ft"]) * MM_PER_FT + inches * MM_PER_IN
    raise Misread(f"{said(value)} cannot be read as a length.", f"Write it as {_EXAMPLE}.")


def _bare_unit(value: object, unit: str) -> float:
    if unit == "in":
        return MM_PER_IN
    if unit == "mm":
        return 1.0
    number = said(value).strip("'")
    raise Misread(
        f"{said(value)} has no unit.",
        f'Write "{number} in" or "{number} mm", or unit = "in" at the top of the file.',
    )


_SIZE_MOST_MM = 100_000.0
_CUBIC = re.compile(
    rf"({NUMBER})\s*(m3|m\^3|cubic met(?:re|er)s?|cu m|ft3|ft\^3|cubic f(?:ee|oo)t|cu ft|l|lit(?:re|er)s?)$",
    re.ASCII,
)


def read_room(value: object) -> float:
    """Volume in m3 of a room written long x wide x high; a unit said once at the end is that of all three.

    >>> round(read_room("22 ft x 16 ft x 8 ft"), 2), round(read_room("22 x 16 x 8 ft"), 2)
    (79.74, 79.74)
    """
    mend = 'Write it as 22 ft x 16 ft x 8 ft, or as "80 m3".'
    if not isinstance(value, str):
        raise Misread(f"{said(value)} is not the size of a room.", mend)
    words = decimal_comma(plain(value))
    sides = [side.strip() for side in re.split(r"x| by ", words)]
    if len(sides) != 3:
        raise Misread(f"{said(value)} is not three measures, long x wide x high.", mend)
    if all(_BARE.match(side) for side in sides):
        three = " x ".join(sides)
        raise Misread(f"{said(value)} does not say feet or metres.", f'Write "{three} ft" or "{three} m".')
    shared = "" if _BARE.match(sides[-1]) else re.sub(rf"^{NUMBER}", "", sides[-1], flags=re.ASCII)
    volume = 1.0
    for side in sides:
        mm = _in_mm(f"{side}{shared}" if _BARE.match(side) else side, "")
        if not 0 < mm <= _SIZE_MOST_MM:
            raise Misread(f"{said(side)} is no side of a room.", mend)
        volume *= mm / MM_PER_M
    return _checked_volume(value, volume)


_SQUARE = re.compile(
    rf"({NUMBER})\s*(m2|m\^2|m²|square met(?:re|er)s?|sq m|ft2|ft\^2|square f(?:ee|oo)t|sq ft)$", re.ASCII
)
_AREA_MOST_M2 = 1e4


def read_area(value: object) -> float:
    """An area in m2.

    >>> round(read_area("12 ft2"), 3), read_area("2 m2")
    (1.115, 2.0)
    """
    mend = 'Write it as "12 ft2" or "1.1 m2".'
    if not isinstance(value, str):
        raise Misread(f"{said(value)} is not an area with its unit.", mend)
    words = plain(value)
    refuse_comma(words, "1.1 m2")
    found = _SQUARE.match(words)
    if not found:
        raise Misread(f"{said(value)} cannot be read as an area.", mend)
    area = number_of(found[1]) * (1.0 if found[2].startswith(("m", "square m", "sq m")) else M2_PER_FT2)
    if not 0 < area <= _AREA_MOST_M2:
        raise Misread(f"{said(value)} is no area of a piece.", mend)
    return area


def read_volume(value: object) -> float:
    """Volume of a room or box in m3, written as a volume or as long x wide x high.

    >>> read_volume("80 m3")
    80.0
    """
    mend = 'Write it as "80 m3" or "2800 ft3".'
    if not isinstance(value, str):
        raise Misread(f"{said(value)} is not a volume with its unit.", mend)
    words = decimal_comma(plain(value))
    refuse_comma(words, "2800 ft3")
    found = _CUBIC.match(words)
    if not found:
        if re.search(r"\dx|x ?\d| x ", words):
            return read_room(value)
        raise Misread(f"{said(value)} cannot be read as a volume.", mend)
    number, unit = number_of(found[1]), found[2]
    if unit.startswith("l"):
        return _checked_volume(value, number / L_PER_M3)
    metric = unit.startswith(("m", "cubic m", "cu m"))
    return _checked_volume(value, number if metric else number * M3_PER_FT3)


def _checked_volume(value: object, volume_m3: float) -> float:
    if not 0.01 <= volume_m3 <= 1e5:
        raise Misread(
            f"{said(value)} is no volume of a room or a box ({volume_m3:.3g} m3).", "Look at the unit."
        )
    return volume_m3
