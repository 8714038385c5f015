"""The moisture core against figures of hamopy 0.4.0, a finite-element package for damp in walls by S. Rouchier.

It is not among the dependencies: its answers stand as data, made by `python -m bench.slab_by_hamopy`. Its published
wall exercises (HAMSTAD 3 to 5) carry heat and liquid water together and come without figures, so a slab is compared:
walnut's weight, 22 mm, 20 C, from 40 to 65 % humidity at once. Its finite elements, its own saturation pressure (0.05 %
off ours) and a cubic through four points of the isotherm (0.003 % moisture off) are other than this core's.
"""

from __future__ import annotations

import csv
from functools import lru_cache
from pathlib import Path

import numpy as np
import pytest
from bench import slab_by_hamopy as slab

from rakelight.physics.emc import emc_pct
from rakelight.physics.film_damp import face_resistance
from rakelight.physics.moisture import Board, Course, Side, simulate

ROWS = list(csv.DictReader((Path(__file__).parent / "wood" / "slab_by_hamopy.csv").read_text("utf-8").splitlines()))


@lru_cache(maxsize=4)
def course(case: str, cells: int, growth: float, step_h: float, film: float = 1.0) -> Course:
    """The same slab by the core; film, times as leaky."""
    steps = round(24 * slab.DAYS[-1] / step_h)
    air = (np.full(steps, slab.TEMP_C), np.full(steps, slab.TO_RH))
    sides = [Side(*air, face_resistance(None if p is None else p * film)) for p in slab.CASES[case]]
    start = emc_pct(slab.TEMP_C, slab.FROM_RH)
    return simulate(Board(slab.THICK_MM, slab.GRAVITY, slab.TIMES), *sides, start, step_h, cells, growth)


@pytest.mark.parametrize("row", ROWS, ids=[f"{r['case']}-{r['day']}" for r in ROWS])
def test_a_slab_of_wood_comes_out_as_hamopy_has_it(row: dict[str, str]) -> None:
    """On a fine grid within 0.006 % moisture and half a per cent of the bow; as used within 0.03 % and 3 %."""
    mean, tilt, day = float(row["mean_pct"]), float(row["tilt_pct_per_mm"]), int(row["day"])
    for cells, growth, step_h, off, share in ((96, 1.05, 0.25, 0.006, 0.005), (20, 1.27, 1.0, 0.03, 0.03)):
        ours = course(row["case"], cells, growth, step_h)
        at = round(24 * day / step_h) - 1
        assert ours.mean_pct[at] == pytest.approx(mean, abs=off)
        assert ours.tilt_pct_per_mm[at] == pytest.approx(tilt, abs=share * abs(tilt) + 1e-6)


def test_a_film_half_as_leaky_would_be_seen() -> None:
    """The twin: with another film the same figures are missed by far more."""
    row = ROWS[2]
    ours = course(row["case"], 20, 1.27, 1.0, 0.5)
    at = 24 * int(row["day"]) - 1
    assert abs(ours.mean_pct[at] - float(row["mean_pct"])) > 0.1
    assert abs(ours.tilt_pct_per_mm[at] / float(row["tilt_pct_per_mm"]) - 1) > 0.05
