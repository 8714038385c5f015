"""Moist air: saturation pressure, dew point, wet bulb and humidity ratio, for single numbers and for arrays.

PsychroLib, which is one state at a time, gives the saturation pressure; it is tabulated once at every 0.05
C and read between by its logarithm (1e-6 of the value), so that a year of hours takes milliseconds.
"""

from __future__ import annotations

from functools import lru_cache
from typing import Any, TypeVar, cast

import numpy as np
from numpy.typing import NDArray

from rakelight.units.factors import KELVIN_AT_0_C

Floats = NDArray[np.float64]
Air = TypeVar("Air", float, Floats)

#: standard atmosphere at sea level, exact by definition
SEA_LEVEL_PA = 101_325.0
#: molar gas constant, J/(mol K), exact by definition (SI, 2019)
GAS_CONSTANT = 8.314462618
#: molar mass of water over that of dry air. Source: ASHRAE Handbook, Fundamentals (2017), ch. 1, eq. 20
WATER_TO_AIR = 0.621945

#: molar masses, g/mol. Source: IUPAC (2021), abridged
_WATER_G, _CARBON_G, _HYDROGEN_G = 18.015, 12.011, 1.008
#: air 1.2 kg/m3 at 1.005 kJ/(kg K); gas constant of water vapour; a room at 20 C. Source: any handbook, from memory
_AIR_MJ_PER_M3_K, _VAPOUR_J_PER_KG_K, _ROOM_K = 1.2 * 1.005e-3, 461.5, 293.15

_STEP_C = 0.05
_TRIPLE_C = 0.01  # the curve over ice meets the curve over water here: a knot of the table
_COLDEST_C, _WARMEST_C = -60.0, 100.0
_BISECTIONS = 11  # halves a gap of 40 K to 0.02 K, and straight across it: 1e-4 K; PsychroLib stops at 1e-3 K


def saturation_pa(temp_c: Air) -> Air:
    """Pressure of water vapour over water, or over ice below 0.01 C, when it can take up no more.

    Parameters: temp_c, -60 to 100 C. Returns Pa. Raises ValueError outside that range.
    Source: PsychroLib 2.5, GetSatVapPres (ASHRAE Handbook, Fundamentals 2017, ch. 1, eq. 5 and 6).

    >>> round(saturation_pa(25.0))
    3169
    """
    return _same(temp_c, np.exp(_log_saturation(_in_range(temp_c))))


def vapour_pa(temp_c: Air, rh: Air) -> Air:
    """Pressure of the water vapour in air.

    Parameters: temp_c, -60 to 100 C; rh, 0 to 1. Returns Pa. Raises ValueError outside those ranges.
    """
    return _same(temp_c, np.exp(_log_saturation(_in_range(temp_c))) * _humidity(rh))


def rh_of(temp_c: Air, vapour_pressure_pa: Air) -> Air:
    """Relative humidity of air that holds vapour of a given pressure, never above 1.

    Parameters: temp_c, -60 to 100 C; vapour_pressure_pa, 0 and up. Returns 0 to 1.
    """
    return _same(temp_c, np.minimum(1.0, vapour_pressure_pa / np.exp(_log_saturation(_in_range(temp_c)))))


def dew_point_c(temp_c: Air, rh: Air) -> Air:
    """Temperature at which water begins to settle out of air as it cools.

    Parameters: temp_c, -60 to 100 C; rh, 0 to 1. Returns C, never above temp_c; a dew point under -60 C is
    given as -60. Raises ValueError outside those ranges. Below 0 C it is the point over ice.
    Source: inverse of `saturation_pa`, as PsychroLib GetTDewPointFromRelHum (within 0.001 C).

    >>> round(dew_point_c(20.0, 0.65), 1)
    13.2
    """
    dry = _in_range(temp_c)
    return _same(temp_c, _dew_point(dry, np.exp(_log_saturation(dry)) * _humidity(rh)))


def wet_bulb_c(temp_c: Air, rh: Air, pressure_pa: float = SEA_LEVEL_PA) -> Air:
    """Temperature a wet surface comes to in moving air: that of a water-borne film while it is wet.

    Parameters: temp_c, -60 to 60 C; rh, 0 to 1; pressure_pa of the air. Returns C, between dew point and
    temp_c.
    Raises ValueError outside those ranges. Below 0 C the bulb is iced.
    Source: ASHRAE Handbook, Fundamentals (2017), ch. 1, eq. 33 and 35, halved between dew point and air as
    PsychroLib GetTWetBulbFromRelHum does, straight across the last of it (within 0.002 C).

    >>> round(wet_bulb_c(20.0, 0.5), 1)
    13.8
    """
    dry, humid = np.broadcast_arrays(_in_range(temp_c), _humidity(rh))
    if np.any(dry > 60.0):
        raise ValueError("a wet bulb is worked out up to 60 C")
    water = np.exp(_log_saturation(dry)) * humid
    ratio = _mixing_ratio(water, pressure_pa)
    low, high = _dew_point(dry, water), dry.copy()
    for _ in range(_BISECTIONS):
        middle = (low + high) / 2
        above = _ratio_at_wet_bulb(dry, middle, pressure_pa) > ratio
        high = np.where(above, middle, high)
        low = np.where(above, low, middle)
    least, most = (_ratio_at_wet_bulb(dry, end, pressure_pa) for end in (low, high))
    step = np.where(most > least, (ratio - least) / np.where(most > least, most - least, 1.0), 0.5)
    return _same(temp_c, low + np.clip(step, 0.0, 1.0) * (high - low))


def antoine_pa(a: float, b: float, c: float, temp_c: Air) -> Air:
    """Vapour pressure of a liquid by its Antoine constants, log10(P/Pa) = A - B/(T/K + C).

    Parameters: a, b, c of the solvent's row; temp_c within the row's range. Returns Pa.
    Validity: the constants say it; outside their range the figure is a guess.

    >>> round(antoine_pa(10.33675, 1648.22, -42.232, 20.0), -1)
    5860.0
    """
    kelvin = np.asarray(temp_c, dtype=np.float64) + KELVIN_AT_0_C
    return _same(temp_c, 10.0 ** (a - b / (kelvin + c)))


@lru_cache(maxsize=1)
def _table() -> tuple[Floats, Floats]:
    """Temperature and natural logarithm of the saturation pressure, at every step, by PsychroLib."""
    import psychrolib  # type: ignore[import-untyped]

    psychrolib.SetUnitSystem(psychrolib.SI)
    first = int(np.floor((_COLDEST_C - _TRIPLE_C) / _STEP_C))
    last = int(np.ceil((_WARMEST_C - _TRIPLE_C) / _STEP_C))
    temps = _TRIPLE_C + _STEP_C * np.arange(first, last + 1)
    pressures = np.array([psychrolib.GetSatVapPres(float(t)) for t in temps], dtype=np.float64)
    return temps.astype(np.float64), np.log(pressures)


def _log_saturation(temp_c: Floats) -> Floats:
    temps, logs = _table()
    return np.interp(temp_c, temps, logs)


def _dew_point(temp_c: Floats, water_pa: Floats) -> Floats:
    temps, logs = _table()
    found = np.interp(np.log(np.maximum(water_pa, 1e-9)), logs, temps)
    return np.minimum(np.maximum(found, _COLDEST_C), temp_c)


def _mixing_ratio(water_pa: Any, pressure_pa: float) -> Floats:
    return np.asarray(WATER_TO_AIR * water_pa / (pressure_pa - water_pa))


def _ratio_at_wet_bulb(dry_c: Floats, wet_c: Floats, pressure_pa: float) -> Floats:
    """Humidity ratio of air by its wet bulb. Source: ASHRAE Fundamentals (2017), ch. 1, eq. 33 and 35."""
    full = _mixing_ratio(np.exp(_log_saturation(wet_c)), pressure_pa)
    chill = 1.006 * (dry_c - wet_c)
    wet = ((2501.0 - 2.326 * wet_c) * full - chill) / (2501.0 + 1.86 * dry_c - 4.186 * wet_c)
    iced = ((2830.0 - 0.24 * wet_c) * full - chill) / (2830.0 + 1.86 * dry_c - 2.1 * wet_c)
    return np.where(wet_c >= 0.0, wet, iced)


def _in_range(temp_c: Any) -> Floats:
    found = np.asarray(temp_c, dtype=np.float64)
    if not np.all((found >= _COLDEST_C) & (found <= _WARMEST_C)):
        raise ValueError(f"air is worked out from {_COLDEST_C:g} to {_WARMEST_C:g} C, got {temp_c!r}")
    return found


def _humidity(rh: Any) -> Floats:
    found = np.asarray(rh, dtype=np.float64)
    if not np.all((found >= 0.0) & (found <= 1.0)):
        raise ValueError(f"relative humidity goes from 0 to 1, got {rh!r}")
    return found


def _same(asked: Air, found: Any) -> Air:
    """A plain number where plain numbers were asked, else the array."""
    return cast(Air, float(found) if np.ndim(found) == 0 else found)


def burner_pa_per_k(carbon: float, hydrogen: float, mj_per_kg: float, walls_times: float) -> float:
    """Vapour pressure (Pa) that a burner without a flue adds to a room for each degree it holds it above the outdoors.

    Parameters: carbon and hydrogen, atoms of the fuel, as 3 and 8 of propane; mj_per_kg, its net heat of burning (its
    water stays vapour); walls_times, heat lost through the walls against what the fresh air takes up, 0 and up.
    Fuel is burnt for the air that comes in and for the walls; its water is all in that air.
    Source: balance of burning; air 1.2 kg/m3 and 1.005 kJ/(kg K), vapour 461.5 J/(kg K), from any handbook.

    >>> round(burner_pa_per_k(3, 8, 46.35, 0.0), 1)
    5.8
    """
    water_kg_per_kg = hydrogen / 2.0 * _WATER_G / (_CARBON_G * carbon + _HYDROGEN_G * hydrogen)
    heat_mj_per_m3_k = _AIR_MJ_PER_M3_K * (1.0 + walls_times)
    return heat_mj_per_m3_k / mj_per_kg * water_kg_per_kg * _VAPOUR_J_PER_KG_K * _ROOM_K
