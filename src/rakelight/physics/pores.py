"""Pores under a film: the dip each coat leaves, and how many filler coats a sheen asks.

A coat that is level when wet keeps only its solids: over a pore of depth d the dip left is d (1 - phi eta),
phi its solids by volume, eta how well it fills; film sanded off the flat takes the dip down with it.

Source: worked out from volumes (reference note on pore filling); fill efficiencies are assumptions.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from rakelight.spread import Spread

#: more coats than this is not filling any more: say so instead
MOST_FILLER_COATS = 15


@dataclass(frozen=True)
class Filling:
    """What one act does to a pore: a coat keeps a share of the dip, sanding takes film off beside it."""

    keeps: float = 1.0  # share of the dip left by a coat, 1 - phi eta
    cuts_um: float = 0.0  # film taken off the flat


@dataclass(frozen=True)
class FillerCoats:
    """Least number of filler coats: shallow pores and soft light, likely, deep pores and a lamp edge."""

    low: int
    likely: int
    high: int


def kept(solids_volume: float, fill: float) -> float:
    """Share of a pore's dip that one coat leaves.

    `solids_volume` and `fill` (how well it fills), both 0-1.

    >>> round(kept(0.33, 0.9), 2)
    0.7
    """
    return 1.0 - solids_volume * fill


def dip_um(depth_um: float, acts: Iterable[Filling]) -> float:
    """Dip left over a pore, um, after coats and cuttings in order; never below 0.

    Source: d_next = d (1 - phi eta) - s. Three coats of clear filler over 120 um leave about 42:

    >>> round(dip_um(120, [Filling(kept(0.33, 0.9))] * 3))
    42
    """
    dip = depth_um
    for act in acts:
        dip = max(0.0, dip * act.keeps - act.cuts_um)
    return dip


def coats_to(limit_um: float, depth_um: float, keeps: float, after: Iterable[Filling] = ()) -> int:
    """Least number of alike coats so that the dip, after what follows them, is within a limit.

    `keeps` is the share one coat leaves (0-1). Returns at most `MOST_FILLER_COATS`: then not this way.

    >>> coats_to(10, 100, kept(0.33, 0.9), [Filling(kept(0.167, 0.95))] * 6)
    4
    """
    follows = tuple(after)
    for number in range(MOST_FILLER_COATS):
        if dip_um(depth_um, [*[Filling(keeps)] * number, *follows]) <= limit_um:
            return number
    return MOST_FILLER_COATS


def least_filler_coats(
    depth_um: Spread,
    keeps: float,
    after: Iterable[Filling],
    strict_um: float,
    likely_um: float,
    lenient_um: float | None,
) -> FillerCoats:
    """Filler coats a sheen asks: low is shallow pores and a lenient eye, high deep pores and a strict one.

    `lenient_um` None: an open pore is accepted, so low is 0.
    """
    follows = tuple(after)
    low = 0 if lenient_um is None else coats_to(lenient_um, depth_um.low, keeps, follows)
    likely = coats_to(likely_um, depth_um.likely, keeps, follows)
    high = coats_to(strict_um, depth_um.high, keeps, follows)
    return FillerCoats(min(low, likely), likely, max(likely, high))
