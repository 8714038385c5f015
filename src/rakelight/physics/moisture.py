"""Damp on its way through a board: one dimension through the thickness, each face with its own film and air.

Sign of a tilt and of a cup: positive where the top is the damper face (the top goes round), negative where the
underside is (the top goes hollow, its edges rise).
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from rakelight.physics import stepping
from rakelight.physics.air import GAS_CONSTANT, saturation_pa
from rakelight.physics.emc import isotherm
from rakelight.units.factors import KELVIN_AT_0_C, MM_PER_M, S_PER_H

Floats = NDArray[np.float64]

#: density of water, kg/m3: dry wood weighs this times its specific gravity
WATER_KG_PER_M3 = 1000.0
#: cells through the thickness, each this much larger than the one before it, from either face to the middle.
#: Against 120 even cells and quarter hours: 7.00 instead of 7.09 mm of cup, 0.02 % moisture
CELLS, GROWTH = 20, 1.27
#: moisture, as fraction, by which a face may move before the diffusivity is worked out anew
_KEPT_WHILE = 0.004
_DAMPEST = 0.98
_LEAST_PORES = 0.02


@dataclass(frozen=True)
class Board:
    """Solid wood: thickness, weight, and how much faster than the equation it passes damp (1 to 2)."""

    thick_mm: float
    specific_gravity: float
    multiplier: Any = 1.5  # a number, or one a run


@dataclass(frozen=True)
class Side:
    """One face over time: air before it, and resistance to damp (film and air, m2 s Pa/kg; inf: sealed)."""

    temp_c: Floats  # shape (steps,)
    rh: Floats  # shape (steps,) or (steps, runs)
    resistance: Any  # a number, (steps,), (runs,) as (1, runs), or (steps, runs)


@dataclass(frozen=True, eq=False)
class Course:
    """What happened in a board, at the end of every step; shapes (steps,) or (steps, runs)."""

    hours: Floats
    mean_pct: Floats
    tilt_pct_per_mm: Floats  # first moment of the moisture through the thickness, 12/h^3
    taken_kg_per_m2: Floats  # taken up through both faces since the start
    last_pct: Floats  # moisture of each cell at the end, from the underside up
    uneven_pct: Floats | None = None  # dampest cell less driest, of one run


def diffusivity_m2_per_s(mc_fraction: Any, temp_c: Any, specific_gravity: float, multiplier: Any = 1.0) -> Any:
    """How fast damp spreads across the grain, m2/s.

    Parameters: mc_fraction, kg water a kg of dry wood, 0 to 0.35; temp_c, 0 to 45 C; specific_gravity, 0.3 to
    1; multiplier, 1 to 2, default of the facts 1.5.
    Source: Siau, Transport Processes in Wood (1984), from memory; porosity as fitted, docs/decisions.md, "Wood".

    >>> f"{diffusivity_m2_per_s(0.08, 20.0, 0.55):.1e}"
    '2.7e-11'
    """
    m = np.clip(mc_fraction, 0.0, 0.35)
    wall = 7e-6 * np.exp(-(38500.0 - 29000.0 * m) / (GAS_CONSTANT * (temp_c + KELVIN_AT_0_C)))
    pores = np.maximum(1.0 - specific_gravity * (0.653 + m), _LEAST_PORES)
    return multiplier * wall / ((1.0 - pores) * (1.0 - np.sqrt(pores)))


def grid_m(thick_mm: float, cells: int = CELLS, growth: float = GROWTH) -> Floats:
    """Thickness of each cell, m, from one face to the other: even number of cells, fine at the faces."""
    half = growth ** np.arange(cells // 2, dtype=np.float64)
    sizes = np.concatenate([half, half[::-1]])
    return np.asarray(sizes / sizes.sum() * thick_mm / MM_PER_M)


def simulate(
    board: Board,
    top: Side,
    under: Side,
    start_pct: Any,
    step_h: float = 1.0,
    cells: int = CELLS,
    growth: float = GROWTH,
) -> Course:
    """Moisture through a board, step by step, from a start to the end of the air given.

    One run where all is single numbers or one column; many runs at once where the humidity, the resistance or
    the multiplier has one a run. Implicit in time: any step holds, an hour is wanted for bare faces, a day
    does for width and for finished faces.

    Parameters: start_pct, moisture at the start: a number, one a run, or (cells,) from the underside up.
    Returns Course. Raises ValueError where the two sides are not equally long.
    Validity: same temperature through the board (that of the air); no hysteresis.
    Source: docs/decisions.md, "Damp in wood"; Crank (1975); Siau (1984).
    """
    steps = len(top.temp_c)
    if len(under.temp_c) != steps:
        raise ValueError(f"the top has {steps} steps of air, the underside {len(under.temp_c)}")
    sizes = grid_m(board.thick_mm, cells, growth)
    density = WATER_KG_PER_M3 * board.specific_gravity
    temp_c = (np.asarray(top.temp_c) + np.asarray(under.temp_c)) / 2.0
    faces = [_face(side, steps) for side in (under, top)]
    runs = _runs(board, top, under, start_pct)
    spread = _Spread(board, sizes, step_h * S_PER_H, density)
    if runs is None:
        start = np.broadcast_to(np.asarray(start_pct, dtype=np.float64) / 100.0, (cells,)).copy()
        made = stepping.one_run(start, faces, temp_c, spread, _KEPT_WHILE)
    else:
        many = np.asarray(start_pct, dtype=np.float64) / 100.0
        start = np.broadcast_to(many[:, None] if many.shape == (cells,) else many, (cells, runs)).copy()
        made = stepping.many_runs(start, faces, temp_c, spread)
    hours = step_h * np.arange(1, steps + 1, dtype=np.float64)
    uneven = None if made.uneven is None else 100.0 * made.uneven
    return Course(hours, 100.0 * made.mean, 100.0 / MM_PER_M * made.tilt, made.taken, 100.0 * made.last, uneven)


class _Spread:
    """The inside of the board for the stepping: sizes, weight, and conductance between cells."""

    def __init__(self, board: Board, sizes: Floats, step_s: float, density: float) -> None:
        self.board, self.sizes, self.step_s, self.density = board, sizes, step_s, density
        self.thick = float(sizes.sum())
        middles = np.cumsum(sizes) - sizes / 2.0 - self.thick / 2.0
        self.mean_weights = sizes / self.thick
        self.tilt_weights = 12.0 / self.thick**3 * middles * sizes

    def diffusivity(self, moisture: Floats, temp_c: Any) -> Floats:
        """Of each cell (and run), m2/s."""
        b = self.board
        return np.asarray(diffusivity_m2_per_s(moisture, temp_c, b.specific_gravity, b.multiplier))


def _face(side: Side, steps: int) -> stepping.Face:
    temp_c = np.asarray(side.temp_c, dtype=np.float64)
    rh = np.asarray(side.rh, dtype=np.float64)
    if not np.all((rh >= 0.0) & (rh <= 1.0)):
        raise ValueError("relative humidity goes from 0 to 1")
    shape = (-1, 1) if rh.ndim == 2 else (-1,)
    full = np.asarray(saturation_pa(temp_c), dtype=np.float64)
    water = np.minimum(rh, _DAMPEST) * full.reshape(shape)
    held = np.asarray(side.resistance, dtype=np.float64)
    if held.ndim == 0:
        held = np.full(steps, float(held))
    elif held.ndim == 2 and held.shape[0] == 1:
        held = np.broadcast_to(held, (steps, held.shape[1]))
    with np.errstate(divide="ignore"):
        passes = 1.0 / held
    return stepping.Face(water, full, passes, isotherm(temp_c))


def _runs(board: Board, top: Side, under: Side, start_pct: Any) -> int | None:
    """How many runs at once; None for one."""
    sizes = [np.shape(side.rh)[1] for side in (top, under) if np.ndim(side.rh) == 2]
    sizes += [np.shape(side.resistance)[1] for side in (top, under) if np.ndim(side.resistance) == 2]
    sizes += [np.size(board.multiplier)] if np.ndim(board.multiplier) == 1 else []
    return max(sizes) if sizes else None
