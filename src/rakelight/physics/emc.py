"""Moisture that wood comes to in air of a given temperature and humidity, and the way back.

Two-hydrate sorption of Hailwood and Horrobin, the equation behind the table of the Wood Handbook. It knows no
species and no past: wood that comes down from damp lies a little over it, wood that comes up a little under.
"""

from __future__ import annotations

from typing import Any, NamedTuple, TypeVar, cast

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]
Air = TypeVar("Air", float, Floats)

#: the table behind the equation spans -1 to 132 C; wood in a shop or a house needs less
COLDEST_C, WARMEST_C = -20.0, 70.0
#: fibre saturation: above it wood holds free water and no longer swells. Source: docs/decisions.md, "Wood"
FIBRE_SATURATION_PCT = 30.0
#: humidity above which the equation rises too steeply to trust
TRUSTED_RH = 0.98
_BISECTIONS = 50


class Isotherm(NamedTuple):
    """The equation at one temperature: a number each, or an array each."""

    scale: Any
    k: Any
    k1: Any
    k2: Any


def isotherm(temp_c: Any) -> Isotherm:
    """The four figures of the equation at a temperature (C), number or array.

    Source: coefficients in Celsius read in a public source file that cites Simpson, FPL-RN-0268 (1998);
    same form as Wood Handbook (FPL-GTR-190, 2010), eq. 4-5.
    """
    t = temp_c
    return Isotherm(
        1800.0 / (349.0 + 1.29 * t + 0.0135 * t * t),
        0.805 + 0.000736 * t - 2.73e-6 * t * t,
        6.27 - 0.00938 * t - 3.03e-4 * t * t,
        1.91 + 0.0407 * t - 2.93e-4 * t * t,
    )


def at_humidity(curve: Isotherm, rh: Any) -> Any:
    """Moisture (%) on a curve at a relative humidity (0 to 1); plain arithmetic, nothing is checked."""
    x = curve.k * rh
    held = curve.k1 * x * (1.0 + 2.0 * curve.k2 * x) / (1.0 + curve.k1 * x * (1.0 + curve.k2 * x))
    return curve.scale * (x / (1.0 - x) + held)


def slope_at(curve: Isotherm, rh: Any) -> Any:
    """Rise of the moisture (%) on a curve for a rise of relative humidity from 0 to 1."""
    x = curve.k * rh
    bound = 1.0 + curve.k1 * x * (1.0 + curve.k2 * x)
    free = 1.0 / ((1.0 - x) * (1.0 - x))
    held = curve.k1 * (1.0 + curve.k2 * x * (4.0 + curve.k1 * x)) / (bound * bound)
    return curve.scale * curve.k * (free + held)


def emc_pct(temp_c: Air, rh: Air) -> Air:
    """Moisture, in per cent of the dry wood, at which wood stays as it is in this air.

    Parameters: temp_c, -20 to 70 C; rh, 0 to 1. Returns %. Raises ValueError outside those ranges.
    Validity: within 0.1 of Wood Handbook Table 4-2 from 5 to 95 %; above 98 % it rises too steeply to trust.
    Source: Wood Handbook (FPL-GTR-190, 2010), eq. 4-5, as `isotherm` says.

    >>> round(emc_pct(20.0, 0.5), 2), round(emc_pct(20.0, 0.65), 2)
    (9.27, 12.0)
    """
    t, h = _checked(temp_c, rh, "relative humidity goes from 0 to 1", 0.0, 1.0)
    return _same(temp_c, at_humidity(isotherm(t), h))


def rh_of_emc(temp_c: Air, mc_pct: Air) -> Air:
    """Relative humidity of the air in which wood of this moisture stays as it is.

    Parameters: temp_c, -20 to 70 C; mc_pct, 0 to 40 %. Returns 0 to 1; wood wetter than saturated air
    would make it gives 1. Raises ValueError outside those ranges.

    >>> round(rh_of_emc(20.0, 8.0), 3)
    0.418
    """
    t, m = _checked(temp_c, mc_pct, "moisture goes from 0 to 40 per cent", 0.0, 40.0)
    t, m = np.broadcast_arrays(t, m)
    curve = isotherm(t)
    low, high = np.zeros(np.shape(m)), np.ones(np.shape(m))
    for _ in range(_BISECTIONS):
        middle = (low + high) / 2.0
        over = at_humidity(curve, middle) > m
        low, high = np.where(over, low, middle), np.where(over, middle, high)
    return _same(temp_c, (low + high) / 2.0)


def _checked(temp_c: Any, value: Any, says: str, least: float, most: float) -> tuple[Floats, Floats]:
    t, v = np.asarray(temp_c, dtype=np.float64), np.asarray(value, dtype=np.float64)
    if not np.all((t >= COLDEST_C) & (t <= WARMEST_C)):
        raise ValueError(f"wood is reckoned from {COLDEST_C:g} to {WARMEST_C:g} C, got {temp_c!r}")
    if not np.all((v >= least) & (v <= most)):
        raise ValueError(f"{says}, got {value!r}")
    return t, v


def _same(asked: Air, found: Any) -> Air:
    """A plain number where plain numbers were asked, else the array."""
    return cast(Air, float(found) if np.ndim(found) == 0 else found)
