"""Amounts, cuts, percentages and air as people write them."""

from __future__ import annotations

import re
from dataclasses import dataclass

from rakelight.errors import Misread
from rakelight.units import factors
from rakelight.units.factors import f_to_c
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


@dataclass(frozen=True)
class Amount:
    """An amount of something: `unit` is "ml" or "g"."""

    value: float
    unit: str


_ML = {
    "ml": 1.0, "cl": 10.0, "dl": 100.0, "l": factors.ML_PER_L, "fl oz": factors.ML_PER_FL_OZ,
    "cup": factors.ML_PER_CUP, "pint": factors.ML_PER_PINT, "quart": factors.ML_PER_QUART,
    "gallon": factors.ML_PER_US_GALLON, "tablespoon": factors.ML_PER_TABLESPOON,
    "teaspoon": factors.ML_PER_TEASPOON,
}  # fmt: skip
_IMPERIAL_ML = {
    "fl oz": factors.ML_PER_IMPERIAL_FL_OZ, "pint": factors.ML_PER_IMPERIAL_PINT,
    "quart": factors.ML_PER_IMPERIAL_QUART, "gallon": factors.ML_PER_IMPERIAL_GALLON,
}  # fmt: skip
_G = {"g": 1.0, "kg": factors.G_PER_KG, "oz": factors.G_PER_OZ, "lb": factors.G_PER_LB}
_SAME_UNIT = {
    "millilitre": "ml", "milliliter": "ml", "litre": "l", "liter": "l", "fluid ounce": "fl oz",
    "fl ounce": "fl oz", "pt": "pint", "qt": "quart", "gal": "gallon", "gram": "g", "gramme": "g",
    "kilogram": "kg", "kilo": "kg", "ounce": "oz", "pound": "lb", "tbsp": "tablespoon", "tsp": "teaspoon",
    "cc": "ml", "cm3": "ml", "floz": "fl oz",
}  # fmt: skip
_SYSTEM = r"(imperial |imp |us |u\.s\.? )?"
_AMOUNT = re.compile(rf"{_SYSTEM}({NUMBER})\s*{_SYSTEM}([a-z][a-z .3]*)$", re.ASCII)
_HALF, _ONE = re.compile(r"^half an? "), re.compile(r"^(an?|one) (?=[a-z])")
_MOST = 1e6  # a cubic metre, a tonne


def read_amount(value: object) -> Amount:
    """An amount in ml or g; US measures unless "imperial" stands before the unit; "oz" alone is a weight.

    Raises Misread for no unit, an unknown one, zero, a negative or more than 1000 l or kg.

    >>> read_amount("6 fl oz").unit, read_amount("1 imperial pint")
    ('ml', Amount(value=568.26125, unit='ml'))
    >>> read_amount("a quart") == read_amount("1 quart"), read_amount("half a pint") == read_amount("1/2 pint")
    (True, True)
    """
    mend = "Write it as 100 ml, 6 fl oz, 1 quart or 50 g."
    if is_number(value):
        raise Misread(f"{said(value)} has no unit.", 'Write for example "100 ml", "6 fl oz" or "50 g".')
    if not isinstance(value, str):
        raise Misread(f"{said(value)} is not an amount.", mend)
    words = _ONE.sub("1 ", _HALF.sub("1/2 ", decimal_comma(plain(value))))
    refuse_comma(words, "1.5 l")
    found = _AMOUNT.match(words)
    if not found:
        bare = re.fullmatch(NUMBER, words)
        says = (
            "has no unit"
            if bare
            else "is negative"
            if words.startswith("-")
            else "cannot be read as an amount"
        )
        raise Misread(f"{said(value)} {says}.", f'Write "{words} ml" or "{words} fl oz".' if bare else mend)
    imperial = (found[1] or found[3] or "").startswith("imp")
    amount = number_of(found[2])
    made = _measured(amount, found[4].strip().replace(".", ""), imperial)
    if made is None:
        raise Misread(f"{said(value)}: {found[4].strip()} is no unit of amount.", mend)
    if not 0 < made.value <= _MOST:
        raise Misread(f"{said(value)} is not an amount a shop uses.", mend)
    return made


def _measured(amount: float, unit: str, imperial: bool) -> Amount | None:
    volumes = _IMPERIAL_ML if imperial else _ML
    for name in (unit, unit.removesuffix("s"), unit.removesuffix("es")):
        known = _SAME_UNIT.get(name, name)
        if known in volumes:
            return Amount(amount * volumes[known], "ml")
        if known in _G and not imperial:
            return Amount(amount * _G[known], "g")
    return None


def read_percent(value: object, most_pct: float = 400.0) -> float:
    """A share of one from words as "25 %"; over 100 % where more may be added than there is.

    >>> read_percent("25 %")
    0.25
    """
    if is_number(value):
        number = as_float(value)
        meant = number * 100 if 0 < number <= 1 else number
        raise Misread(f"{said(value)} is not said to be a percentage.", f'Write "{meant:g} %".')
    words = decimal_comma(plain(value)) if isinstance(value, str) else ""
    found = re.fullmatch(rf"({NUMBER})\s*(%|percent|per cent|pct)?", words, re.ASCII)
    if not found:
        raise Misread(f"{said(value)} cannot be read as a percentage.", "Write it as 25 %.")
    number = number_of(found[1])
    if not found[2]:
        meant = number * 100 if 0 < number <= 1 else number
        raise Misread(f"{said(value)} is not said to be a percentage.", f"Write {meant:g} %.")
    if number > most_pct:
        raise Misread(f"{said(value)} is over {most_pct:g} %.", "Write it as 25 %.")
    return number / 100


_TEMP = re.compile(rf"(-?\s*{NUMBER})\s*°?\s*(f|c|fahrenheit|celsius)?$", re.ASCII)


def read_temp(value: object) -> float:
    """A temperature of air or room in C, from words as "64 F"; -40 to 60 C.

    >>> read_temp("18 C")
    18.0
    """
    mend = "Write it as 64 F or 18 C."
    if is_number(value):
        raise Misread(f"{said(value)} has no unit.", 'Write for example "64 F" or "18 C".')
    if not isinstance(value, str):
        raise Misread(f"{said(value)} is not a temperature.", mend)
    words = decimal_comma(plain(value)).replace("degrees", "").replace("deg", "")
    found = _TEMP.match(" ".join(words.split()))
    if not found:
        raise Misread(f"{said(value)} cannot be read as a temperature.", mend)
    if found[2] is None:
        raise Misread(f"{said(value)} has no unit.", f'Write "{words} F" or "{words} C".')
    sign = -1.0 if found[1].startswith("-") else 1.0
    number = sign * number_of(found[1].lstrip("- "))
    temp_c = f_to_c(number) if found[2].startswith("f") else number
    if not -40 <= temp_c <= 60:
        raise Misread(f"{said(value)} is {temp_c:.0f} C, no air of a shop.", mend)
    return temp_c


_AIR = re.compile(
    r"(?P<temp>[^,;/%]*?[fc](?:ahrenheit|elsius)?)\s*[,;/]?\s*(?P<rh>[^a-z,;/]*?)\s*(?P<sign>%)?\s*(?:rh)?$"
)


def read_air(value: object) -> tuple[float, float]:
    """Temperature in C and relative humidity 0-1 of air written as "64 F, 45 %".

    >>> read_air("50 F, 45 %")
    (10.0, 0.45)
    """
    mend = "Write it as 64 F, 45 %."
    if not isinstance(value, str):
        raise Misread(f"{said(value)} is not air.", mend)
    found = _AIR.match(decimal_comma(plain(value)))
    if not found or not found["rh"]:
        raise Misread(f"{said(value)} cannot be read as temperature and humidity.", mend)
    temp_c = read_temp(found["temp"])
    rh = read_percent(f"{found['rh']} {found['sign'] or ''}", 100)
    if rh < 0.01:
        raise Misread(f"{said(value)}: air of {rh * 100:g} % is never met with.", mend)
    return temp_c, rh


def read_cut(value: object) -> float:
    """A cut of shellac, pounds of flake to a US gallon of alcohol: a number, or words as "2 lb".

    >>> read_cut("1 1/2 lb")
    1.5
    """
    mend = "Write cut = 2, pounds of flake to a gallon of alcohol; 1/4 to 10."
    if isinstance(value, str):
        found = re.fullmatch(rf"({NUMBER})\s*-?\s*(?:lb|lbs|pounds?)?(?: cut)?", decimal_comma(plain(value)), re.ASCII)
        if not found:
            raise Misread(f"{said(value)} cannot be read as a cut.", mend)
        cut = number_of(found[1])
    elif is_number(value):
        cut = as_float(value)
    else:
        raise Misread(f"{said(value)} is not a cut.", mend)
    if not 0.25 <= cut <= 10:
        raise Misread(f"{said(value)} is no cut a maker mixes.", mend)
    return cut


def read_strength(value: object) -> float:
    """Strength of a dye in g per l, from words as "8 g/l" or "1 oz/gallon".

    >>> read_strength("8 g/l")
    8.0
    """
    mend = "Write it as 8 g/l or 1 oz/gallon."
    words = plain(value) if isinstance(value, str) else ""
    mass, _, volume = re.sub(r"\s+(per|to a|to the)\s+", "/", words).rpartition("/")
    if not mass or not volume:
        raise Misread(f"{said(value)} cannot be read as a strength.", mend)
    weighed, into = read_amount(mass), read_amount(volume if volume[:1].isdigit() else f"1 {volume}")
    if weighed.unit != "g" or into.unit != "ml":
        raise Misread(f"{said(value)} is not a weight to a volume.", mend)
    strength = weighed.value / into.value * factors.ML_PER_L
    if not 0.01 <= strength <= 500:
        raise Misread(f"{said(value)} is no strength a dye is mixed at.", mend)
    return strength
