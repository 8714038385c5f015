"""Abrasion: the ladder of grits, what each step must take, and what levelling and scuffs do to a film."""

from __future__ import annotations

import math
from collections.abc import Sequence
from itertools import pairwise

from rakelight.errors import RakelightError


def ladder(grains_um: Sequence[float], coarse_um: float, fine_um: float, most_step: float) -> list[float]:
    """Fewest grains from a coarse to a fine one so that no step is larger than `most_step`.

    Parameters: grains_um, papers to be had, um; coarse_um and fine_um, first and last, both of them in it.
    Where two papers lie further apart than the step, the next finer one is taken all the same.
    From each paper the finest one within reach is taken: no shorter ladder exists.

    >>> ladder([125, 100, 82, 68, 58.5, 46.2], 125, 58.5, 1.61)
    [125, 82, 58.5]
    """
    if coarse_um < fine_um or fine_um <= 0:
        raise RakelightError("A ladder of grits goes from coarse to fine.")
    here, found = coarse_um, [coarse_um]
    while here > fine_um:
        finer = sorted({g for g in grains_um if fine_um <= g < here})
        if not finer:
            raise RakelightError("The last paper is not among those to be had.")
        here = next((g for g in finer if here / g <= most_step), finer[-1])
        found.append(here)
    return found


def steps_too_wide(grains_um: Sequence[float], most_step: float) -> list[int]:
    """Places (0 is the first step) where a ladder goes to a grain finer than the step allows, or back to a coarser.

    >>> steps_too_wide([162, 82, 68], 1.61)
    [0]
    """
    return [n for n, (a, b) in enumerate(pairwise(grains_um)) if b <= 0 or a / b > most_step * (1 + 1e-9) or b > a]


def scratch_um(grain_um: float, share: float) -> float:
    """Depth of the scratches of a grain, um: a share of its size (0.1 in a hard film on a rigid block).

    >>> scratch_um(35.0, 0.1)
    3.5
    """
    return grain_um * share


def levelling_um(height_um: float, before_um: float, share: float) -> float:
    """What levelling takes from the crests: the unevenness, and a tenth of the grain before it where there was one.

    Parameters: height_um, peak to valley, as measured; before_um, grain of the paper replaced, 0 none.

    >>> levelling_um(12.0, 25.8, 0.1)
    14.58
    """
    return height_um + scratch_um(before_um, share)


def built_um(coats: int, coat_um: float, scuff_um: float) -> float:
    """Film after so many equal coats with a scuff between each two, um; never below 0.

    >>> [round(built_um(n, 0.9, 0.3), 1) for n in (1, 2, 5, 7)]
    [0.9, 1.5, 3.3, 4.5]
    """
    film = 0.0
    for n in range(coats):
        film = max(0.0, film - (scuff_um if n else 0.0)) + coat_um
    return film


def coats_to(wanted_um: float, coat_um: float, scuff_um: float, most: int = 40) -> int | None:
    """Least number of coats to a film; None where each scuff takes what the coat put on, or over `most`.

    >>> coats_to(3.0, 0.9, 0.3), coats_to(4.0, 0.9, 0.3), coats_to(30.0, 5.0, 5.0)
    (5, 7, None)
    """
    return next((n for n in range(most + 1) if built_um(n, coat_um, scuff_um) >= wanted_um * (1 - 1e-9)), None)


def going_round(coat_um: float, scuff_um: float) -> bool:
    """Whether sanding between coats takes (nearly) what each coat puts on: under a third of a coat stays.

    >>> going_round(6.0, 5.0), going_round(12.0, 3.0)
    (True, False)
    """
    return coat_um - scuff_um < coat_um / 3


def passes_to_clear(deep_um: float, a_pass_um: float) -> int:
    """Passes of a finer paper that clear scratches so deep, at what one pass takes.

    >>> passes_to_clear(12.5, 5.0)
    3
    """
    if a_pass_um <= 0:
        raise RakelightError("A pass takes more than nothing.")
    return math.ceil(deep_um / a_pass_um - 1e-9)
