"""Quantities as a maker reads them: rounded as a maker rounds, in the unit the maker writes."""

from __future__ import annotations

import math
from datetime import datetime

from rakelight.units import factors
from rakelight.units.factors import c_to_f


def _fraction(number: float, parts: int) -> str:
    """A number to the nearest of `parts` parts, as 16 3/8."""
    count = round(number * parts)
    whole, rest = divmod(count, parts)
    if not rest:
        return str(whole)
    common = math.gcd(rest, parts)
    return f"{whole} {rest // common}/{parts // common}" if whole else f"{rest // common}/{parts // common}"


def _to(number: float, step: float) -> str:
    return f"{round(number / step) * step + 0.0:g}"  # no minus before a nought


def show_length(length_mm: float, unit: str, parts: int = 16) -> str:
    """A length: inches to the nearest sixteenth (or `parts`), or whole mm; "in" or else metric.

    >>> show_length(415.925, "in"), show_length(415.925, "mm")
    ('16 3/8 in', '416 mm')
    """
    if unit == "in":
        inches = length_mm / factors.MM_PER_IN
        return f"{_fraction(inches, 32 if inches < 1 / 8 else parts)} in"
    return f"{length_mm:.0f} mm" if length_mm >= 10 else f"{length_mm:.1f}".removesuffix(".0") + " mm"


def show_area(area_m2: float, unit: str) -> str:
    """An area in square feet or square metres.

    >>> show_area(1.0, "in"), show_area(1.0, "mm")
    ('11 ft²', '1 m²')
    """
    if unit == "in":
        feet = area_m2 / factors.M2_PER_FT2
        return f"{feet:.0f} ft²" if feet >= 10 else f"{feet:.2g} ft²"
    return f"{area_m2:.2g} m²" if area_m2 < 10 else f"{area_m2:.0f} m²"


def show_jar(volume_ml: float, unit: str) -> str:
    """What is measured into a jar: ml to the full, ounces beside it, finer the less it is; from a quart on quarts.

    >>> show_jar(73, "in"), show_jar(80, "in"), show_jar(8, "in"), show_jar(73, "mm"), show_jar(1000, "in")
    ('73 ml (2 1/2 fl oz)', '80 ml (2 3/4 fl oz)', '8 ml', '73 ml', '1 quart (1000 ml)')
    """
    shown, ounces = f"{volume_ml:.0f} ml", volume_ml / factors.ML_PER_FL_OZ
    if unit != "in" or ounces < 0.375:
        return shown
    if ounces < 31.5:
        parts = 8 if ounces < 2 else 4 if ounces < 8 else 2
        return f"{shown} ({_fraction(ounces, parts)} fl oz)"
    return f"{show_volume(volume_ml, unit)} ({shown})"


def show_volume(volume_ml: float, unit: str) -> str:
    """A volume of liquid: fluid ounces and quarts, or ml and l.

    >>> show_volume(177.4, "in"), show_volume(177.4, "mm"), show_volume(1500, "mm")
    ('6 fl oz', '180 ml', '1.5 l')
    """
    if unit == "in":
        ounces = volume_ml / factors.ML_PER_FL_OZ
        if 0 < ounces < 0.375:  # too little for a fraction of an ounce
            return show_volume(volume_ml, "mm")
        if ounces < 31.5:
            return f"{_fraction(ounces, 4 if ounces < 2 else 2 if ounces < 8 else 1)} fl oz"
        quarts = _fraction(volume_ml / factors.ML_PER_QUART, 4)
        return f"{quarts} quart{'' if quarts == '1' else 's'}"
    if 0 < volume_ml < 0.5:
        return "less than 1 ml"
    if volume_ml >= 975:
        return f"{_to(volume_ml / factors.ML_PER_L, 0.1 if volume_ml < 9950 else 1)} l"
    return f"{_to(volume_ml, 1 if volume_ml < 20 else 5 if volume_ml < 100 else 10)} ml"


def show_mass(mass_g: float, unit: str) -> str:
    """A mass: ounces and pounds, or g and kg.

    >>> show_mass(50, "in"), show_mass(52, "mm"), show_mass(1520, "mm")
    ('1 3/4 oz', '50 g', '1.5 kg')
    """
    if unit == "in":
        ounces = mass_g / factors.G_PER_OZ
        if 0 < ounces < 0.375:
            return show_mass(mass_g, "mm")
        if ounces < 15.5:
            return f"{_fraction(ounces, 4 if ounces < 4 else 2)} oz"
        return f"{_fraction(mass_g / factors.G_PER_LB, 4)} lb"
    if 0 < mass_g < 0.5:
        return "less than 1 g"
    if mass_g >= 975:
        return f"{_to(mass_g / factors.G_PER_KG, 0.1 if mass_g < 9950 else 1)} kg"
    return f"{_to(mass_g, 1 if mass_g < 20 else 5 if mass_g < 500 else 10)} g"


def show_hours(hours: float) -> str:
    """One time: minutes, whole hours, half days.

    >>> show_hours(0.5), show_hours(4.2), show_hours(84), show_hours(24)
    ('30 min', '4 h', '3 1/2 days', '1 day')
    """
    number, unit = _time_in(hours, _time_unit(hours))
    return f"{number} {unit}" if number else unit


def show_wait(*hours: float) -> str:
    """A wait from its ends (two or more times in hours), or one time.

    >>> show_wait(70, 122), show_wait(4, 5.1, 8), show_wait(20, 100)
    ('3 to 5 days', '4 to 8 h', '20 h to 4 days')
    """
    low, high = min(hours), max(hours)
    if math.isinf(high):
        return "never" if math.isinf(low) else f"{show_hours(low)} or longer"
    unit = _time_unit(high)
    if _time_unit(low) != unit and low < _SHARED_FROM_H.get(unit, 0.0):
        first, second = show_hours(low), show_hours(high)
    else:
        (bare, _), (_, name) = _time_in(low, unit), _time_in(high, unit)
        first, second = bare, show_hours(high)
        if second == f"{bare} {name}":
            return second
    return second if first == second else f"{first} to {second}"


def show_work(hours: float) -> str:
    """The work of a day, to the quarter hour; minutes below one hour.

    >>> show_work(0.4), show_work(1.3), show_work(8.1), show_work(3.6)
    ('25 min', '1 1/4 h', '8 h', '3 1/2 h')
    """
    if hours * factors.MIN_PER_H < 57.5:
        return f"{_to(hours * factors.MIN_PER_H, 5 if hours > 0.1 else 1)} min"
    return f"{_fraction(hours, 4)} h"


def show_span(hours: float) -> str:
    """A stretch of time in whole hours or days, as a sentence says it; never less than one.

    >>> show_span(5), show_span(60), show_span(0.2)
    ('5 hours', '2 days', '1 hour')
    """
    if hours < 20:
        count = max(1, round(hours))
        return f"{count} hour{'s' * (count != 1)}"
    days = max(1, round(hours / factors.H_PER_DAY))
    return f"{days} day{'s' * (days != 1)}"


def show_late(by: datetime, likely: datetime) -> str:
    """By how much a date is missed, as every paper says it; empty where it is kept.

    >>> from datetime import UTC
    >>> show_late(datetime(2027, 3, 1, tzinfo=UTC), datetime(2027, 3, 14, 18, tzinfo=UTC))
    '14 days'
    """
    late_h = (likely.timestamp() - by.timestamp()) / factors.S_PER_H
    return show_span(late_h) if late_h > 0 else ""


#: a low end below this many hours is said in its own unit
_SHARED_FROM_H = {"day": 24.0, "h": 1.0}


def _time_unit(hours: float) -> str:
    if hours >= 36 or abs(hours - factors.H_PER_DAY) < 0.5:
        return "day"
    return "h" if hours * factors.MIN_PER_H >= 57.5 else "min"


def _time_in(hours: float, unit: str) -> tuple[str, str]:
    if math.isinf(hours):
        return "", "never"
    if unit == "day":
        days = hours / factors.H_PER_DAY
        shown = _fraction(days, 2 if days < 10 else 1)
        return shown, "day" if shown in ("1", "1/2") else "days"
    if unit == "h":
        return _fraction(hours, 2 if hours < 3 else 1), "h"
    return _to(hours * factors.MIN_PER_H, 1 if hours < 0.25 else 5), "min"


def show_temp(temp_c: float, unit: str) -> str:
    """A temperature, whole degrees: Fahrenheit for "in", else Celsius.

    >>> show_temp(18, "in"), show_temp(18, "mm")
    ('64 F', '18 C')
    """
    return f"{c_to_f(temp_c):.0f} F" if unit == "in" else f"{temp_c:.0f} C"


def show_delta_temp(difference_k: float, unit: str) -> str:
    """A difference of temperature: Fahrenheit degrees for "in", else Celsius degrees; halves below three.

    >>> show_delta_temp(8, "in"), show_delta_temp(8, "mm"), show_delta_temp(1.3, "mm")
    ('14 F', '8 C', '1.5 C')
    """
    degrees = difference_k / factors.K_PER_DEGREE_F if unit == "in" else difference_k
    return f"{_to(degrees, 0.5 if abs(degrees) < 3 else 1)} {'F' if unit == 'in' else 'C'}"


def show_above(difference_k: float, unit: str) -> str:
    """How far something lies above or below something else in temperature; so little that it rounds away: just.

    >>> show_above(8, "in"), show_above(-1.3, "mm"), show_above(-0.1, "in"), show_above(0, "mm")
    ('14 F above', '1.5 C below', 'just below', 'just above')
    """
    side = "above" if difference_k >= 0 else "below"
    said = show_delta_temp(abs(difference_k), unit)
    return f"just {side}" if said.startswith("0 ") else f"{said} {side}"


def show_percent(share: float) -> str:
    """A share of one in whole per cent.

    >>> show_percent(0.45)
    '45 %'
    """
    return f"{share * 100:.0f} %"


def show_film(film_um: float, unit: str) -> str:
    """A thickness of film: thousandths of an inch (mil), or um; what is thinner than one with a figure more.

    >>> show_film(68, "in"), show_film(68, "mm"), show_film(0.9, "in"), show_film(0.9, "mm")
    ('2.7 mil', '68 um', '0.04 mil', '0.9 um')
    """
    if unit == "in":
        mil = film_um / factors.UM_PER_MIL
        return f"{mil:.2f} mil" if 0 < mil < 0.1 else f"{mil:.1f} mil"
    return f"{film_um:.1f} um" if 0 < film_um < 0.95 else f"{film_um:.0f} um"
