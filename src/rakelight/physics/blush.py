"""Blush: how far a wet film stands above the dew point, for single numbers and for arrays.

A film that loses solvent is colder than the piece it lies on. Where it falls below the dew point, water settles
in it and it turns white.
"""

from __future__ import annotations

import math
from typing import TypeVar

import numpy as np
from numpy.typing import NDArray

from rakelight.physics.air import dew_point_c, rh_of, saturation_pa, vapour_pa

Floats = NDArray[np.float64]
Air = TypeVar("Air", float, Floats)


def margin_k(surface_c: Air, chill_k: float, dew_c: Air) -> Air:
    """Wet film less dew point: below 0 water settles in it.

    Parameters: surface_c of the piece; chill_k, how far the film cools below it; dew_c of the air.
    Source: dew_point_and_blush.md, section 5.

    >>> margin_k(20.0, 7.0, 13.2)
    -0.1999999999999993
    """
    return surface_c - chill_k - dew_c


def rh_at_gap(temp_c: Air, gap_k: float) -> Air:
    """Humidity at which the dew point lies so far below the air.

    Parameters: temp_c, -60 to 100 C; gap_k, 0 and up. Returns 0 to 1.

    >>> round(rh_at_gap(20.0, 3.0), 3)
    0.829
    """
    return rh_of(temp_c, saturation_pa(temp_c - gap_k))


def dew_doubt_k(temp_c: float, rh: float, rh_doubt: float) -> float:
    """How far the dew point may be out where the hygrometer is out by so much.

    Parameters: temp_c; rh, 0 to 1; rh_doubt, half width, 0 to 1. Returns K, the larger of both ways.

    >>> round(dew_doubt_k(20.0, 0.65, 0.03), 1)
    0.7
    """
    at = dew_point_c(temp_c, rh)
    up = dew_point_c(temp_c, min(1.0, rh + rh_doubt)) - at
    down = at - dew_point_c(temp_c, max(0.0, rh - rh_doubt))
    return max(up, down)


def warmed_rh(from_c: float, from_rh: float, to_c: float) -> float:
    """Humidity of air brought to another temperature with the water it holds, as outdoor air in a heated shop.

    Parameters: from_c and to_c, -60 to 100 C; from_rh, 0 to 1. Returns 0 to 1.

    >>> round(warmed_rh(0.0, 0.9, 18.0), 2)
    0.27
    """
    return rh_of(to_c, vapour_pa(from_c, from_rh))


def in_square(*distances: float) -> float:
    """Distance of several errors that know nothing of each other."""
    return math.sqrt(sum(d * d for d in distances))
