"""How fast a coat dries in a given air, against the rate at 21 C and 50 % relative humidity.

Every rate is 1 at the reference air. Numbers or arrays in, the same shape out; nothing here knows a material.
"""

from __future__ import annotations

from collections.abc import Sequence
from functools import lru_cache
from typing import cast

import numpy as np

from rakelight.physics.air import GAS_CONSTANT, Air, Floats, antoine_pa, saturation_pa, wet_bulb_c
from rakelight.units.factors import KELVIN_AT_0_C

#: air all times of the tables are given for. Source: materials.toml, "at 21 C, 50 % RH"
REFERENCE_C = 21.0
REFERENCE_RH = 0.5
#: temperatures between which cold widens the high end. Source: docs/decisions.md, "Cold"
COLD_KNOTS_C = (13.0, 18.0, 21.0)

#: one solvent of a blend: its share of the mass, and its Antoine constants
Share = tuple[float, tuple[float, float, float]]


def heat_rate(temp_c: Air, ea_kj: float) -> Air:
    """Rate of a change that is only a matter of warmth (Arrhenius).

    Parameters: temp_c; ea_kj, activation energy in kJ/mol (51.2 doubles the rate each 10 K, 80 is solvent
    left in a film). Returns 1 at 21 C. Validity: 0 to 50 C.
    Source: drying_models.md b, `t(T) = t21 exp[(Ea/R)(1/T - 1/294.15)]`.

    >>> round(1 / heat_rate(13.0, 51.2), 1), round(1 / heat_rate(10.0, 80.0), 2)
    (1.8, 3.56)
    """
    kelvin = np.asarray(temp_c, dtype=np.float64) + KELVIN_AT_0_C
    found = np.exp(-ea_kj * 1000.0 / GAS_CONSTANT * (1.0 / kelvin - 1.0 / (REFERENCE_C + KELVIN_AT_0_C)))
    return _same(temp_c, found)


def oxidative_rate(
    temp_c: Air, rh: Air, ea_kj: float, stop_c: float, step_per_rh: float = 1.0, most: float = 1.5
) -> Air:
    """Rate of oil and varnish that dry by oxygen: slower in the cold and in the damp, nothing below a limit.

    Parameters: temp_c; rh, 0 to 1; ea_kj in kJ/mol; stop_c, below which nothing moves; step_per_rh, how much
    longer for each unit of RH above 0.5, and most times longer. Returns 1 at 21 C and up to 50 %.
    Source: drying_models.md b; damp and stop are assumptions of that page.

    >>> round(oxidative_rate(21.0, 0.8, 51.2, 10.0), 3), oxidative_rate(9.9, 0.5, 51.2, 10.0)
    (0.769, 0.0)
    """
    humid = np.clip(1.0 + step_per_rh * (np.asarray(rh, dtype=np.float64) - REFERENCE_RH), 1.0, most)
    found = np.asarray(stopped_rate(temp_c, ea_kj, stop_c)) / humid
    return _same(temp_c, found)


def stopped_rate(temp_c: Air, ea_kj: float, stop_c: float) -> Air:
    """Rate of a two-part cure: by warmth, and nothing below a limit.

    Parameters: temp_c; ea_kj in kJ/mol; stop_c. Returns 1 at 21 C, 0 below stop_c.
    Source: docs/decisions.md, "Laws".
    """
    return _same(temp_c, np.where(np.asarray(temp_c) < stop_c, 0.0, heat_rate(temp_c, ea_kj)))


def vapour_rate(temp_c: Air, blend: Sequence[Share]) -> Air:
    """Rate at which the solvents of a wet film leave: their vapour pressure, weighted by mass.

    Parameters: temp_c; blend, share of mass and Antoine constants of each solvent. Returns 1 at 21 C.
    Validity: humidity never slows it; the constants are guesses a few K outside their range.
    Source: drying_models.md a, stage 1; docs/decisions.md, "Laws".

    >>> round(vapour_rate(10.0, [(1.0, (10.33675, 1648.22, -42.232))]), 2)
    0.5
    """
    total = sum(share for share, _ in blend)
    found = np.zeros(np.shape(temp_c))
    for share, abc in blend:
        found = found + share / total * np.asarray(antoine_pa(*abc, temp_c)) / antoine_pa(*abc, REFERENCE_C)
    return _same(temp_c, found)


def water_rate(temp_c: Air, rh: Air) -> Air:
    """Rate at which water leaves a wet film that has come to its wet bulb.

    Parameters: temp_c, -60 to 60 C; rh, 0 to 1. Returns 1 at 21 C and 50 %, 0 in saturated air.
    Source: drying_models.md c, Psat(wet bulb) - RH Psat(air); saturation by PsychroLib.

    >>> round(1 / water_rate(10.0, 0.5), 1)
    1.4
    """
    drive = _water_drive(np.asarray(temp_c, dtype=np.float64), np.asarray(rh, dtype=np.float64))
    return _same(temp_c, np.maximum(0.0, drive / _reference_drive()))


def cold_width(temp_c: Air, at_18: float, at_13: float) -> Air:
    """How many times longer than likely the cold alone may make a wait (at the high end).

    Parameters: temp_c; at_18 and at_13, the width at 18 C and at 13 C and below. Returns 1 from 21 C up,
    straight between. Source: docs/decisions.md, "Cold" (assumption: makers wait longer than the
    doubling rule says).
    """
    return _same(temp_c, np.interp(np.asarray(temp_c, dtype=np.float64), COLD_KNOTS_C, (at_13, at_18, 1.0)))


def cold_slowing(width: Air, high_over_likely: float, share: float = 1.0) -> Air:
    """What the rate is divided by so that cold joins a wait's own doubt as an independent error.

    Parameters: width, of `cold_width`; high_over_likely, the wait's own high over its likely, 1 and up;
    share, how far out toward the high end (1 is the high end itself). Returns 1 and up.
    Source: docs/decisions.md, "Cold": exp(sqrt(ln2 h + ln2 w) - ln h).

    >>> round(cold_slowing(3.0, 1.5), 2), cold_slowing(1.0, 2.0)
    (2.15, 1.0)
    """
    own = float(np.log(high_over_likely))
    both = np.sqrt(own * own + np.log(np.asarray(width, dtype=np.float64)) ** 2)
    return _same(width, np.exp(share * (both - own)))


def film_factor(film_um: float, normal_um: float) -> float:
    """How much longer solvent stays in a film than in the normal one: by the square of its thickness.

    Parameters: film_um, 0 and up, the whole fused film; normal_um, the film the times are for.
    Source: drying_models.md a, stage 2 (diffusion out of one side); normal film by
    docs/decisions.md, "Film factor".

    >>> round(336 * film_factor(68, 75))
    276
    """
    return (film_um / normal_um) ** 2


def thick_coat_factor(coat_um: float, rows_um: float, scale_um: float) -> float:
    """How much longer a thick coat of varnish takes than the coat its times are for.

    Parameters: coat_um and rows_um, dry, 0 and up; scale_um, where oxygen begins to be short.
    Returns (1 + (coat/scale)^2) / (1 + (row/scale)^2). Source: drying_models.md b, thickness (assumption).

    >>> round(thick_coat_factor(64, 32, 50), 2)
    1.87
    """
    return (1.0 + (coat_um / scale_um) ** 2) / (1.0 + (rows_um / scale_um) ** 2)


def _water_drive(temp_c: Floats, rh: Floats) -> Floats:
    return saturation_pa(wet_bulb_c(temp_c, rh)) - rh * saturation_pa(temp_c)


@lru_cache(maxsize=1)
def _reference_drive() -> float:
    return float(_water_drive(np.array(REFERENCE_C), np.array(REFERENCE_RH)))


def _same(asked: Air, found: Floats) -> Air:
    """A plain number where a plain number was asked."""
    return cast(Air, float(found) if np.ndim(found) == 0 else found)
