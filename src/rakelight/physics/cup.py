"""How far a free panel cups when its two faces differ in moisture."""

from __future__ import annotations

from typing import Any


def cup_mm(moisture_gap_pct: float, movement_per_pct: float, wide_mm: float, thick_mm: float) -> float:
    """Rise of the edges over the middle, mm, of a panel that nothing holds flat.

    `moisture_gap_pct` between the faces; `movement_per_pct` of width a per cent (0.001-0.005);
    the panel's width across the grain and its thickness, mm.
    Validity: small bends; a panel held by its fixings cups less.
    Source: bending of a two-face strip, d = strain W^2 / (8 t). A 48 in oak top an inch thick cups about 8 mm
    (0.32 in) for 0.3 %:

    >>> round(cup_mm(0.3, 0.0037, 1219, 25.4), 1)
    8.1
    """
    return moisture_gap_pct * movement_per_pct * wide_mm**2 / (8.0 * thick_mm)


def cup_of_tilt_mm(tilt_pct_per_mm: Any, movement_per_pct: Any, wide_mm: float) -> Any:
    """Bow of a free strip over its width, mm, from the tilt of the moisture through it; number or array.

    Positive where the top goes round, negative where the top goes hollow and its edges rise.
    Parameters: tilt_pct_per_mm, as `moisture.Course.tilt_pct_per_mm`; movement_per_pct; wide_mm.
    Validity: elastic and free: a held top, or one that has crept, moves less and may end the other way.
    Source: curvature of an elastic strip is the first moment of the free strain, 12/h^3; sagitta w^2/8.
    """
    return tilt_pct_per_mm * movement_per_pct * wide_mm**2 / 8.0
