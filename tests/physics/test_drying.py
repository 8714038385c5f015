"""Rates against the reference air: what must hold whatever the figures."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from rakelight.physics import drying

ETHANOL = (1.0, (10.33675, 1648.22, -42.232))
SPIRITS = (1.0, (9.06853, 1495.17, -79.292))
warm = st.floats(10.0, 35.0)
humid = st.floats(0.2, 0.97)


def test_every_rate_is_one_in_the_air_of_the_tables() -> None:
    assert drying.heat_rate(21.0, 80.0) == pytest.approx(1.0)
    assert drying.oxidative_rate(21.0, 0.5, 51.2, 10.0) == pytest.approx(1.0)
    assert drying.stopped_rate(21.0, 51.2, 10.0) == pytest.approx(1.0)
    assert drying.vapour_rate(21.0, [ETHANOL, SPIRITS]) == pytest.approx(1.0)
    assert drying.water_rate(21.0, 0.5) == pytest.approx(1.0)


@given(warm, st.floats(0.1, 5.0), humid)
def test_warmer_is_never_slower(temp_c: float, more: float, rh: float) -> None:
    warmer = temp_c + more
    assert drying.heat_rate(warmer, 80.0) > drying.heat_rate(temp_c, 80.0)
    assert drying.oxidative_rate(warmer, rh, 51.2, 10.0) > drying.oxidative_rate(temp_c, rh, 51.2, 10.0)
    assert drying.vapour_rate(warmer, [SPIRITS]) > drying.vapour_rate(temp_c, [SPIRITS])
    assert drying.water_rate(warmer, rh) > drying.water_rate(temp_c, rh)


@given(warm, humid, st.floats(0.01, 0.03))
def test_damper_is_never_faster(temp_c: float, rh: float, more: float) -> None:
    assert drying.water_rate(temp_c, rh + more) < drying.water_rate(temp_c, rh)
    damper = drying.oxidative_rate(temp_c, rh + more, 51.2, 10.0)
    assert damper <= drying.oxidative_rate(temp_c, rh, 51.2, 10.0)


def test_damp_air_slows_oil_by_half_at_the_most_and_dry_air_never_hurries_it() -> None:
    assert drying.oxidative_rate(21.0, 1.0, 51.2, 10.0) == pytest.approx(1 / 1.5)
    assert drying.oxidative_rate(21.0, 0.2, 51.2, 10.0) == pytest.approx(1.0)


def test_nothing_cures_below_the_stop() -> None:
    temps = np.array([5.0, 9.99, 10.0, 15.0])
    assert (drying.stopped_rate(temps, 51.2, 10.0) > 0).tolist() == [False, False, True, True]
    assert (drying.oxidative_rate(temps, 0.5, 51.2, 10.0) > 0).tolist() == [False, False, True, True]


def test_saturated_air_takes_no_water() -> None:
    assert drying.water_rate(21.0, 1.0) == pytest.approx(0.0, abs=1e-4)


def test_a_blend_lies_between_its_solvents() -> None:
    slow, fast = sorted((drying.vapour_rate(10.0, [ETHANOL]), drying.vapour_rate(10.0, [SPIRITS])))
    blend = drying.vapour_rate(10.0, [(0.3, ETHANOL[1]), (0.7, SPIRITS[1])])
    assert slow < blend < fast


def test_arrays_and_numbers_agree() -> None:
    temps, rh = np.array([[8.0, 12.0], [18.0, 25.0]]), np.array([[0.4, 0.5], [0.8, 0.9]])
    many = drying.water_rate(temps, rh)
    assert many.shape == (2, 2)
    assert many[1, 0] == pytest.approx(drying.water_rate(18.0, 0.8))
    assert drying.vapour_rate(temps, [ETHANOL])[0, 1] == pytest.approx(drying.vapour_rate(12.0, [ETHANOL]))


def test_cold_widens_by_the_knots_and_straight_between() -> None:
    widths = drying.cold_width(np.array([5.0, 13.0, 15.5, 18.0, 19.5, 21.0, 30.0]), 1.5, 3.0)
    assert widths == pytest.approx([3.0, 3.0, 2.25, 1.5, 1.25, 1.0, 1.0])


def test_cold_joins_as_an_independent_error() -> None:
    """A wait without doubt of its own is as wide as the cold; one with much doubt hardly feels it."""
    assert drying.cold_slowing(3.0, 1.0) == pytest.approx(3.0)
    assert drying.cold_slowing(1.0, 2.0) == pytest.approx(1.0)
    assert 1.0 < drying.cold_slowing(1.5, 4.0) < 1.07
    assert drying.cold_slowing(3.0, 2.0, 0.5) == pytest.approx(drying.cold_slowing(3.0, 2.0) ** 0.5)


@given(st.floats(0.0, 300.0), st.floats(0.1, 50.0))
def test_thicker_is_never_faster(film_um: float, more: float) -> None:
    assert drying.film_factor(film_um + more, 75.0) > drying.film_factor(film_um, 75.0)
    assert drying.thick_coat_factor(film_um + more, 32.0, 50.0) > drying.thick_coat_factor(
        film_um, 32.0, 50.0
    )
