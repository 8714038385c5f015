"""The steps of the moisture core: implicit finite volumes, each face solved with its own isotherm.

Two loops for the same scheme. One run alone goes through a small inverse kept for some steps, the faces as
plain numbers; many runs at once go cell by cell through arrays. They agree where nothing is kept.
"""

from __future__ import annotations

from typing import Any, NamedTuple, Protocol

import numpy as np
from numpy.typing import NDArray

from rakelight.physics.emc import Isotherm, at_humidity, slope_at

Floats = NDArray[np.float64]

_CLOSE = 1e-6  # the last step of a face, in humidity: quadratic, so what is left is 1e-11
_MOST_TRIES = 40
_TRIES_OF_MANY = 3  # from the humidity of the step before; the rest is taken in the step itself
#: and no longer than so many steps: the air may have warmed
_KEPT_STEPS = 12
_LEAST_RH, _MOST_RH = 1e-6, 0.999


class Face(NamedTuple):
    """One face at each step."""

    water_pa: Floats  # vapour in the air, (steps,) or (steps, runs)
    full_pa: Floats  # vapour when saturated, (steps,)
    passes: Floats  # 1 / resistance, (steps,) or (steps, runs); 0 where sealed
    curve: Isotherm  # each of its figures (steps,)


class Made(NamedTuple):
    """Moisture as fraction at the end of each step: mean, tilt by metre, uptake, and the last cells."""

    mean: Floats
    tilt: Floats
    taken: Floats
    last: Floats
    uneven: Floats | None = None  # dampest cell less driest, of one run


class Inside(Protocol):
    """What the stepping asks of the board."""

    sizes: Floats
    step_s: float
    density: float
    mean_weights: Floats
    tilt_weights: Floats

    def diffusivity(self, moisture: Floats, temp_c: Any) -> Floats:
        """Of each cell (and run), m2/s."""


def _conductances(inside: Inside, spread: Floats) -> Floats:
    """Between neighbours, m/s, as two half cells in a row."""
    sizes = inside.sizes if spread.ndim == 1 else inside.sizes[:, None]
    half = sizes / (2.0 * spread)
    return np.asarray(1.0 / (half[:-1] + half[1:]))


class _Kept(NamedTuple):
    """What one run keeps for some steps."""

    inverse: Floats
    of_under: Floats  # change of each cell for a flow of 1 kg/m2 s through the underside
    of_top: Floats
    surface: tuple[float, float]  # conductance from the middle of the outer cell to the face, kg/m2 s


def _keep(inside: Inside, moisture: Floats, temp_c: float) -> _Kept:
    spread = inside.diffusivity(moisture, temp_c)
    flows = _conductances(inside, spread)
    cells = len(moisture)
    share = inside.step_s / inside.sizes
    matrix = np.zeros((cells, cells))
    own, above, below = (matrix.reshape(-1)[first :: cells + 1] for first in (0, 1, cells))
    own[:] = 1.0
    own[:-1] += share[:-1] * flows
    own[1:] += share[1:] * flows
    above[:] = -share[:-1] * flows
    below[:] = -share[1:] * flows
    inverse = np.linalg.inv(matrix)
    by_flow = share / inside.density
    surface = 2.0 * inside.density * spread[[0, -1]] / inside.sizes[[0, -1]]
    ends = (float(surface[0]), float(surface[1]))
    return _Kept(np.asarray(inverse), inverse[:, 0] * by_flow[0], inverse[:, -1] * by_flow[-1], ends)


def one_run(start: Floats, faces: list[Face], temp_c: Floats, inside: Inside, kept_while: float) -> Made:
    """One run; start, shape (cells,); faces: underside, top; the inverse is kept while no face moved further."""
    steps = len(temp_c)
    under, top = (_rows(face) for face in faces)
    cells = np.empty((steps, len(start)))
    taken = np.empty(steps)
    moisture, rh_under, rh_top, total = start, 0.5, 0.5, 0.0
    kept, kept_at = _keep(inside, moisture, float(temp_c[0])), (float(start[0]), float(start[-1]), 0)
    for n in range(steps):
        at_under, at_top = float(moisture[0]), float(moisture[-1])
        moved = max(abs(at_under - kept_at[0]), abs(at_top - kept_at[1]))
        if moved > kept_while or n - kept_at[2] >= _KEPT_STEPS:
            kept, kept_at = _keep(inside, moisture, float(temp_c[n])), (at_under, at_top, n)
        flow_u, give_u, rh_under = _meet(under[n], kept.surface[0], at_under, rh_under)
        flow_t, give_t, rh_top = _meet(top[n], kept.surface[1], at_top, rh_top)
        inner = kept.inverse @ moisture
        # both flows fall as their cell fills: two equations, solved as they stand
        a, b = 1.0 + give_u * kept.of_under[0], give_u * kept.of_top[0]
        c, d = give_t * kept.of_under[-1], 1.0 + give_t * kept.of_top[-1]
        u = flow_u - give_u * (float(inner[0]) - at_under)
        t = flow_t - give_t * (float(inner[-1]) - at_top)
        whole = a * d - b * c
        into_u, into_t = (u * d - b * t) / whole, (a * t - c * u) / whole
        moisture = inner + into_u * kept.of_under + into_t * kept.of_top
        cells[n] = moisture
        total += inside.step_s * (into_u + into_t)
        taken[n] = total
    uneven = np.asarray(np.ptp(cells, axis=1))
    return Made(cells @ inside.mean_weights, cells @ inside.tilt_weights, taken, moisture, uneven)


def _rows(face: Face) -> list[tuple[float, ...]]:
    columns = [face.water_pa, face.full_pa, face.passes, *face.curve]
    return list(zip(*(np.broadcast_to(c, face.full_pa.shape).tolist() for c in columns), strict=True))


def _meet(row: tuple[float, ...], surface: float, moisture: float, rh: float) -> tuple[float, float, float]:
    """Flow into one face, how it falls as the outer cell fills, and the humidity at the face."""
    water, full, passes, scale, k, k1, k2 = row
    if passes == 0.0:
        return 0.0, 0.0, rh
    slope, through = 0.0, passes * full
    for _ in range(_MOST_TRIES):
        x = k * rh
        y = k2 * x
        bound = 1.0 + k1 * x * (1.0 + y)
        dry = 1.0 - x
        held = scale * (x / dry + k1 * x * (1.0 + 2.0 * y) / bound) / 100.0
        slope = scale * k * (1.0 / (dry * dry) + k1 * (1.0 + y * (4.0 + k1 * x)) / (bound * bound)) / 100.0
        off = passes * water - through * rh - surface * (held - moisture)
        step = off / (through + surface * slope)
        rh += step
        if -_CLOSE < step < _CLOSE:
            break
        rh = _LEAST_RH if rh < _LEAST_RH else _MOST_RH if rh > _MOST_RH else rh
    return passes * water - through * rh, through * surface / (through + surface * slope), rh


def many_runs(start: Floats, faces: list[Face], temp_c: Floats, inside: Inside) -> Made:
    """Many runs at once; start, shape (cells, runs); faces: underside, top."""
    steps, runs = len(temp_c), start.shape[1]
    mean, tilt, taken = (np.empty((steps, runs)) for _ in range(3))
    moisture = start
    humid = [np.full(runs, 0.5), np.full(runs, 0.5)]
    total = np.zeros(runs)
    for n in range(steps):
        spread = inside.diffusivity(moisture, temp_c[n])
        flows = _conductances(inside, spread)
        met = []
        for side, (face, end) in enumerate(zip(faces, (0, -1), strict=True)):
            surface = 2.0 * inside.density * spread[end] / inside.sizes[end]
            flow, give, humid[side] = _meet_many(face, n, surface, moisture[end], humid[side])
            met.append((flow, give))
        after = _solved(inside, flows, moisture, met)
        for (flow, give), end in zip(met, (0, -1), strict=True):
            total = total + inside.step_s * (flow - give * (after[end] - moisture[end]))
        moisture = after
        mean[n], tilt[n], taken[n] = inside.mean_weights @ after, inside.tilt_weights @ after, total
    return Made(mean, tilt, taken, moisture)


def _meet_many(face: Face, n: int, surface: Floats, moisture: Floats, rh: Floats) -> tuple[Any, Any, Floats]:
    curve = Isotherm(*(figure[n] for figure in face.curve))
    passes = np.broadcast_to(face.passes[n], moisture.shape)
    into, through = passes * face.water_pa[n], passes * face.full_pa[n]
    slope = np.zeros_like(moisture)
    for _ in range(_TRIES_OF_MANY if n else _MOST_TRIES):
        slope = slope_at(curve, rh) / 100.0
        off = into - through * rh - surface * (at_humidity(curve, rh) / 100.0 - moisture)
        rh = np.clip(rh + off / (through + surface * slope), _LEAST_RH, _MOST_RH)
    return into - through * rh, through * surface / (through + surface * slope), rh


def _solved(inside: Inside, flows: Floats, moisture: Floats, met: list[tuple[Any, Any]]) -> Floats:
    """One implicit step of every run: the three-diagonal system, swept forth and back."""
    cells = len(moisture)
    share = inside.step_s / inside.sizes
    right = moisture.copy()
    own = np.ones_like(moisture)
    own[:-1] += share[:-1, None] * flows
    own[1:] += share[1:, None] * flows
    for (flow, give), end in zip(met, (0, -1), strict=True):
        by_flow = share[end] / inside.density
        own[end] += by_flow * give
        right[end] += by_flow * (flow + give * moisture[end])
    above = np.empty_like(flows)
    for i in range(cells):
        if i:
            left = share[i] * flows[i - 1]
            own[i] -= left * above[i - 1]
            right[i] += left * right[i - 1]
        if i < cells - 1:
            above[i] = share[i] * flows[i] / own[i]
        right[i] /= own[i]
    for i in range(cells - 2, -1, -1):
        right[i] += above[i] * right[i + 1]
    return right
