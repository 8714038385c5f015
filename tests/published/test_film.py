"""Coverage, wet and dry film against printed worked examples.

Source of every case: reference/surface/film_build.md, "Worked examples to test against" (number in the name);
the printed source of each is named beside it. Gallons and mils are those of the example.
"""

from __future__ import annotations

import pytest

from rakelight.physics import film, mixing
from rakelight.units import L_PER_US_GALLON, M2_PER_FT2, UM_PER_MIL


def _ft2_per_gal(m2_per_l: float) -> float:
    return m2_per_l * L_PER_US_GALLON / M2_PER_FT2


def test_a_gallon_at_one_mil_covers_1604_square_feet() -> None:
    # 231 cubic inches / 0.001 in / 144, printed by several coating calculators
    assert _ft2_per_gal(film.coverage_wet_m2_per_l(UM_PER_MIL)) == pytest.approx(1604.17, abs=0.01)


def test_01_coverage_with_transfer() -> None:
    # finishing Q&A, May 2004: prints 194.5; the arithmetic gives 194.6
    got = _ft2_per_gal(film.coverage_m2_per_l(1.5 * UM_PER_MIL, 0.52, 0.35))
    assert got == pytest.approx(194.6, abs=0.1)


def test_02_spreading_rate_in_feet() -> None:
    # spreading-rate data sheet
    assert _ft2_per_gal(film.coverage_m2_per_l(5.0 * UM_PER_MIL, 0.65)) == pytest.approx(208.52, abs=0.05)


def test_03_spreading_rate_in_metres() -> None:
    # the same sheet
    assert film.coverage_m2_per_l(125.0, 0.65) == pytest.approx(5.2)


def test_04_wet_film() -> None:
    # wet-film formula page
    assert _ft2_per_gal(film.coverage_wet_m2_per_l(10 * UM_PER_MIL)) == pytest.approx(160.417, abs=0.001)


def test_05_two_coats_with_a_scuff_between() -> None:
    # finishing forum, 2013: 0.9 mil, scuffed to 0.6, then 1.5 in all
    first = film.dry_um(3.0, 0.30)
    assert first == pytest.approx(0.9)
    assert 0.6 + film.dry_um(3.0, 0.30) == pytest.approx(1.5)


def test_06_thinned() -> None:
    # the forum says 0.27 (30 less 3); exactly 0.30 / 1.1
    got = film.thinned_solids(0.30, 0.10)
    assert got == pytest.approx(0.2727, abs=5e-5)
    assert got == pytest.approx(0.27, abs=0.005)


def test_07_wet_for_a_film() -> None:
    # a maker's estimating page asks it
    assert film.wet_for_um(100.0, 0.65) == pytest.approx(153.8, abs=0.05)


def test_08_a_litre_wet() -> None:
    # estimating page
    assert film.coverage_wet_m2_per_l(100.0) == pytest.approx(10.0)
    assert film.thickness_um(1.0, 10.0) == pytest.approx(100.0)


def test_09_loss() -> None:
    # coverage dictionary page
    assert film.with_loss(100.0, 0.30) == pytest.approx(70.0)


def test_10_use_factor() -> None:
    # calculation page
    assert film.needed(9.310489, 0.7) == pytest.approx(13.3, abs=0.05)


def test_11_half_solids() -> None:
    # wood-coating glossary
    assert film.dry_um(100.0, 0.50) == pytest.approx(50.0)


@pytest.mark.parametrize(("gallons", "feet2", "printed"), [(1150, 270_000, 235), (3441, 350_000, 102)])
def test_12_two_shops(gallons: float, feet2: float, printed: float) -> None:
    # state pollution-prevention case sheet: skill outweighs the kind of gun
    wet = film.thickness_um(gallons * L_PER_US_GALLON, feet2 * M2_PER_FT2)
    assert _ft2_per_gal(film.coverage_wet_m2_per_l(wet)) == pytest.approx(printed, abs=0.5)


def test_13_a_pore_under_ten_coats() -> None:
    # derived in the same list: 80 x 0.7 ^ 10
    assert film.dimple_um(80.0, 0.30, 10) == pytest.approx(2.26, abs=0.005)


def test_14_shellac_of_two_pounds() -> None:
    # derived in the same list from the resin's density: 0.1665; 3 mil wet leaves 0.50 mil
    solids = mixing.solids_volume(2, 1.20)
    assert solids == pytest.approx(0.1665, abs=5e-5)
    assert film.dry_um(3.0, solids) == pytest.approx(0.50, abs=0.005)
