"""Abrasion: the ladder of grits, what each step must take, and what levelling and scuffs do to a film."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise

from rakelight.errors import RakelightError


def ladder(grains_um: Sequence[float], coarse_um: float, fine_um: float, most_step: float) -> list[float]:
    """Fewest grains from a coarse to a fine one so that no step is larger than `most_step`, as even as may be.

    Parameters: grains_um, papers to be had, um; coarse_um and fine_um, first and last, both of them in it.
    Where two papers lie further apart than the step, the next finer one is taken all the same.
    Of all ladders as short, the one whose widest step is least: a step at the limit costs more work than two alike.

    >>> ladder([125, 100, 82, 68, 58.5, 52.2, 46.2], 82, 46.2, 1.61)
    [82, 58.5, 46.2]
    """
    if coarse_um < fine_um or fine_um <= 0:
        raise RakelightError("A ladder of grits goes from coarse to fine.")
    grains = sorted({g for g in grains_um if fine_um <= g <= coarse_um} | {coarse_um})
    if grains[0] != fine_um:
        raise RakelightError("The last paper is not among those to be had.")
    best: dict[float, tuple[int, float, list[float]]] = {fine_um: (1, 1.0, [fine_um])}  # papers, widest step, which
    for n, grain in enumerate(grains[1:], 1):
        within = [finer for finer in grains[:n] if grain / finer <= most_step] or [grains[n - 1]]
        best[grain] = min(
            (best[finer][0] + 1, max(best[finer][1], grain / finer), [grain, *best[finer][2]]) for finer in within
        )
    return best[coarse_um][2]


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


def going_round(coat_um: float, scuff_um: float) -> bool:
    """Whether sanding between coats takes (nearly) what each coat puts on: under a third of a coat stays.

    >>> going_round(6.0, 5.0), going_round(12.0, 3.0)
    (True, False)
    """
    return coat_um - scuff_um < coat_um / 3
