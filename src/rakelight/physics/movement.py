"""How far wood moves across the grain as its moisture changes, and what that leaves for slots and gaps."""

from __future__ import annotations

import math
from typing import Any

import numpy as np

from rakelight.physics.emc import FIBRE_SATURATION_PCT
from rakelight.units.factors import MM_PER_IN

#: moisture between which the printed coefficients hold. Source: Wood Handbook (2010), p. 13-15
VALID_PCT = (6.0, 14.0)
#: moisture on which the printed coefficients are based. Source: Wood Handbook (2010), Table 13-5, footnote
_BASE_PCT = 10.0
_SLOT_MM, _SLOT_PARTS = 0.5, 32


def coefficient(cut: str, radial: float | None, tangential: float | None) -> float | None:
    """Share of the width a board moves for a per cent of moisture, by how it was sawn; None where not known.

    Parameters: cut, flat, rift or quarter; radial and tangential, 0.0005 to 0.006.
    Rings of a rift board stand near 45 degrees: the two mean (cos2 and sin2 of 45 degrees).

    >>> round(coefficient("rift", 0.0019, 0.00274), 5)
    0.00232
    """
    if cut == "rift":
        return None if radial is None or tangential is None else (radial + tangential) / 2.0
    return {"flat": tangential, "quarter": radial}[cut]


def from_shrinkage(shrinkage_pct: float, fibre_saturation_pct: float = FIBRE_SATURATION_PCT) -> float:
    """Coefficient per per cent of moisture from the shrinkage, green to oven-dry.

    Parameters: shrinkage_pct, 1 to 15 %; fibre_saturation_pct, 20 to 32 %.
    Source: Wood Handbook (2010), p. 13-17, eq. 13-3 based on 10 %; it gives the printed ones to 0.00003.

    >>> round(from_shrinkage(7.8), 5)
    0.00274
    """
    return 1.0 / (100.0 * fibre_saturation_pct / shrinkage_pct - fibre_saturation_pct + _BASE_PCT)


def change_mm(wide_mm: Any, per_pct: Any, from_pct: Any, to_pct: Any) -> Any:
    """Change of a width across the grain, mm; negative where it shrinks. Above fibre saturation none.

    Parameters: wide_mm at from_pct; per_pct, share of the width a per cent; from_pct and to_pct, moisture.
    Validity: 6 to 14 % moisture; `runs_off_share` says how far it is off beyond.
    Source: Wood Handbook (2010), p. 13-15, eq. 13-2; white fir 232 mm, 8 to 11 %, on p. 13-17.

    >>> round(float(change_mm(232, 0.00245, 8, 11)), 1)
    1.7
    """
    most = FIBRE_SATURATION_PCT
    return wide_mm * per_pct * (np.minimum(to_pct, most) - np.minimum(from_pct, most))


def runs_off_share(per_pct: float, from_pct: float) -> float:
    """Share by which `change_mm` runs high (positive) or low, against the change straight from the shrinkage.

    Parameters: per_pct, share of the width a per cent; from_pct, moisture it starts at: only that counts.
    Source: Wood Handbook (2010), p. 13-17: eq. 13-2 divided by eq. 13-3, the coefficient being that of 10 %.

    >>> round(runs_off_share(0.00274, 6.0), 3), round(runs_off_share(0.00274, 28.0), 3)
    (-0.011, 0.049)
    """
    return per_pct * (min(from_pct, FIBRE_SATURATION_PCT) - _BASE_PCT)


def held_strain_pct(per_pct: float, from_pct: float, to_pct: float) -> float:
    """Strain of wood that is held rigidly while it should move, per cent: what tears or crushes it.

    >>> round(held_strain_pct(0.00369, 8, 5), 1)
    -1.1
    """
    return float(100.0 * change_mm(1.0, per_pct, from_pct, to_pct))


def room_mm(travel_mm: float, unit: str) -> float:
    """Room to leave for a travel: rounded up to 1/32 in, or to half a millimetre.

    >>> room_mm(3.1, "mm"), round(room_mm(3.1, "in") / 25.4 * 32)
    (3.5, 4)
    """
    step = MM_PER_IN / _SLOT_PARTS if unit == "in" else _SLOT_MM
    return math.ceil(abs(travel_mm) / step - 1e-9) * step


def ring_cup_mm(difference: float, moisture_change_pct: float, wide_mm: float, pith_mm: float) -> float:
    """Cup of a flat-sawn board from its rings alone, mm: positive where the bark face goes hollow (drying).

    Parameters: difference, tangential less radial coefficient; moisture_change_pct, negative when drying;
    wide_mm; pith_mm, distance from the board to the pith of its tree.
    Source: derived: a flat line at distance d from the pith under shrinkage that is uniform round the pith
    falls by (C_T - C_R) dM x atan(x/d).

    >>> round(ring_cup_mm(0.00084, -3.7, 400, 200), 2)
    0.49
    """
    half = wide_mm / 2.0
    return -difference * moisture_change_pct * half * math.atan2(half, pith_mm)
