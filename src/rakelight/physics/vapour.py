"""Solvent in the air of a room: how much vapour, how rich the room becomes, how long until it has gone.

The room is taken as well mixed and its air change is divided by a mixing factor. Near the floor, at the piece
and at the gun it is far richer than the mean, so a mean is never leave to have a flame.
Source: ventilation.md, sections 1 to 3.
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from rakelight.physics.air import GAS_CONSTANT, SEA_LEVEL_PA
from rakelight.units.factors import KELVIN_AT_0_C, L_PER_M3

Floats = NDArray[np.float64]

#: parts in a million
MILLION = 1e6


@dataclass(frozen=True)
class Release:
    """Vapour that goes into a room evenly over a time."""

    start_h: float
    hours: float  # over which it goes; 0 all at once
    vapour_m3: float


def molar_l(temp_c: float, pressure_pa: float = SEA_LEVEL_PA) -> float:
    """Litres of a mole of vapour.

    Parameters: temp_c; pressure_pa. Source: ideal gas.

    >>> round(molar_l(20.0), 3)
    24.055
    """
    return GAS_CONSTANT * (temp_c + KELVIN_AT_0_C) / pressure_pa * L_PER_M3


def vapour_m3(mass_g: float, molar_g: float, temp_c: float = 20.0) -> float:
    """Vapour of a mass of solvent once it has all gone into the air.

    Parameters: mass_g of solvent alone, without solids and water; molar_g, g/mol; temp_c. Returns m3.

    >>> round(vapour_m3(789.4, 46.07) * 1000)  # a litre of ethanol makes 412 litres
    412
    """
    return mass_g / molar_g * molar_l(temp_c) / L_PER_M3


def purge_h(from_: float, to: float, changes_per_h: float) -> float:
    """Hours until a room that nothing more goes into has come down; inf without a change of air.

    Parameters: from_ and to in one unit; changes_per_h, effective.

    >>> round(purge_h(1.0, 0.01, 6) * 60)
    46
    """
    if from_ <= to:
        return 0.0
    return math.log(from_ / to) / changes_per_h if changes_per_h > 0 and to > 0 else math.inf


def ppm_at(hours: Any, releases: Iterable[Release], room_m3: float, changes_per_h: float) -> Floats:
    """How rich a room is at some hours, in parts in a million, from all that goes into it.

    Parameters: hours, array; releases; room_m3 over 0; changes_per_h, effective (divided by the mixing factor).
    Returns array as hours.
    """
    at = np.asarray(hours, dtype=np.float64)
    total = np.zeros_like(at)
    for one in releases:
        total += one.vapour_m3 * _unit(at - one.start_h, one.hours, changes_per_h)
    return total * (MILLION / room_m3)


def mean_ppm(
    start_h: Any, span_h: float, releases: Iterable[Release], room_m3: float, changes_per_h: float
) -> Floats:
    """Mean over a span from some hours on, exact. Parameters as `ppm_at`; span_h over 0."""
    at = np.asarray(start_h, dtype=np.float64)
    total = np.zeros_like(at)
    for one in releases:
        begin = at - one.start_h
        upto = _added(begin + span_h, one.hours, changes_per_h)
        total += one.vapour_m3 * (upto - _added(begin, one.hours, changes_per_h))
    return total * (MILLION / room_m3 / span_h)


def _unit(since: Floats, over_h: float, rate: float) -> Floats:
    """What is left in the room of one unit let go evenly from hour 0 over some hours."""
    if over_h <= 0:
        return np.where(since >= 0, np.exp(-rate * np.maximum(since, 0.0)), 0.0)
    going = np.clip(since, 0.0, over_h)
    gone = np.maximum(since - over_h, 0.0)
    if rate <= 0:
        return np.asarray(going / over_h)
    return np.asarray(-np.expm1(-rate * going) / (rate * over_h) * np.exp(-rate * gone))


def _added(since: Floats, over_h: float, rate: float) -> Floats:
    """Integral of `_unit` up to a time."""
    t = np.maximum(since, 0.0)
    going = np.clip(t, 0.0, over_h)
    if rate <= 0:
        first = going * going / (2 * over_h) if over_h > 0 else np.zeros_like(t)
        return np.asarray(first + (t - going))
    if over_h <= 0:
        return np.asarray(-np.expm1(-rate * t) / rate)
    fall = -np.expm1(-rate * going) / rate
    first = (going - fall) / (rate * over_h)
    full = -math.expm1(-rate * over_h) / (rate * over_h)
    return np.asarray(first + full * -np.expm1(-rate * np.maximum(t - over_h, 0.0)) / rate)
