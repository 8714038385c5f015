"""How much a film holds damp back: resistance of a face from the permeance of its film and the air before it."""

from __future__ import annotations

import math
from collections.abc import Mapping

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]

#: kg/(m2 s Pa) from ng/(m2 s Pa)
_KG_PER_NG = 1e-12
#: vapour passed on by the air of a room to a face. Source: memory, heat passed by still air at 3 W/m2K and the
#: Lewis relation give 1.8e-8; docs/decisions.md, "Wood", 2e-8
ROOM_AIR = 2e-8
#: the same where a face stands close to a wall. Assumption
NEAR_WALL = 5e-9


def face_resistance(permeance_ng: float | None, air_side: float = ROOM_AIR) -> float:
    """Resistance of a face to damp, m2 s Pa/kg: its film and the air before it; infinite where sealed.

    Parameters: permeance_ng of the film, ng/(m2 s Pa); None for bare wood, 0 for a face nothing gets
    through; air_side, kg/(m2 s Pa).

    >>> round(face_resistance(None) / 1e7)
    5
    >>> face_resistance(0.0)
    inf
    """
    if air_side <= 0.0 or permeance_ng == 0.0:
        return math.inf
    film = 0.0 if permeance_ng is None else 1.0 / (permeance_ng * _KG_PER_NG)
    return film + 1.0 / air_side


def permeance_of_coats(tested: Mapping[int, float | None], coats: float) -> float | None:
    """Permeance of a number of coats, ng/(m2 s Pa), from the numbers tested; None as good as bare.

    Between and beyond the tested numbers the resistance goes in straight lines, from the first coat on: the
    first coat soaks in and has pinholes, so films count from the second.

    Parameters: tested, coats to permeance, None where the test could see no film (a first coat that was not
    tested is taken so); coats, 0 and up.
    Source: Feist, Little, Wennesheimer, FPL Research Paper 462 (1985), as fitted in docs/decisions.md, "Wood".

    >>> round(permeance_of_coats({1: 1000.0, 2: 500.0}, 3), 1)
    333.3
    """
    if coats <= 0 or not tested:
        return None
    known = {n: (0.0 if p is None else 1.0 / p) for n, p in tested.items()}
    known.setdefault(1, 0.0)
    ordered = sorted(known)
    last = ordered[-1]
    if coats > last:
        rise = (known[last] - known[1]) / (last - 1) if last > 1 else 0.0
        resistance = known[last] + max(rise, 0.0) * (coats - last)
    elif coats < 1:
        resistance = known[1] * coats
    else:
        resistance = float(np.interp(coats, ordered, [known[n] for n in ordered]))
    return 1.0 / resistance if resistance > 0.0 else None
