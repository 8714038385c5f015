"""Moist air: the fast way for arrays against the library's slow one, and what must hold of any air."""

from __future__ import annotations

import numpy as np
import psychrolib
import pytest
from hypothesis import given
from hypothesis import strategies as st

from rakelight.physics import air

temps = st.floats(-25, 55)
humidities = st.floats(0.02, 1.0)


@pytest.fixture(autouse=True)
def _metric() -> None:
    psychrolib.SetUnitSystem(psychrolib.SI)


def _ratio(temp_c, rh):
    """Water to dry air by mass, of the vapour pressure: ideal mixing, 0.621945 the ratio of molar masses."""
    water = air.vapour_pa(temp_c, rh)
    return 0.621945 * water / (101_325.0 - water)


def test_arrays_follow_the_library_state_by_state() -> None:
    """Error of the table and the halving: pressure 1e-6, dew point 0.001 C, wet bulb 0.002 C."""
    rng = np.random.default_rng(7)
    temp_c, rh = rng.uniform(-25, 55, 1500), rng.uniform(0.02, 1.0, 1500)
    states = list(zip(temp_c, rh, strict=True))
    pressure = [psychrolib.GetSatVapPres(t) for t in temp_c]
    dew = [psychrolib.GetTDewPointFromRelHum(t, h) for t, h in states]
    wet = [psychrolib.GetTWetBulbFromRelHum(t, h, air.SEA_LEVEL_PA) for t, h in states]
    ratio = [psychrolib.GetHumRatioFromRelHum(t, h, air.SEA_LEVEL_PA) for t, h in states]
    np.testing.assert_allclose(air.saturation_pa(temp_c), pressure, rtol=1e-6)
    np.testing.assert_allclose(air.dew_point_c(temp_c, rh), dew, atol=1e-3)
    np.testing.assert_allclose(air.wet_bulb_c(temp_c, rh), wet, atol=2e-3)
    np.testing.assert_allclose(_ratio(temp_c, rh), ratio, rtol=1e-5)


def test_the_meeting_of_ice_and_water_is_a_knot_of_the_table() -> None:
    for temp_c in (-0.04, -0.01, 0.0, 0.01, 0.02, 0.05):
        assert air.saturation_pa(temp_c) == pytest.approx(psychrolib.GetSatVapPres(temp_c), rel=1e-6)


def test_altitude_lowers_the_wet_bulb() -> None:
    high_pa = psychrolib.GetStandardAtmPressure(1600.0)
    expected = psychrolib.GetTWetBulbFromRelHum(20.0, 0.4, high_pa)
    assert air.wet_bulb_c(20.0, 0.4, high_pa) == pytest.approx(expected, abs=0.002)
    assert air.wet_bulb_c(20.0, 0.4, high_pa) < air.wet_bulb_c(20.0, 0.4)


@given(temps, humidities)
def test_wet_bulb_lies_between_dew_point_and_air(temp_c: float, rh: float) -> None:
    wet_c = air.wet_bulb_c(temp_c, rh)
    assert air.dew_point_c(temp_c, rh) - 1e-4 <= wet_c <= temp_c + 1e-4


@given(temps, humidities)
def test_dew_point_gives_the_humidity_back(temp_c: float, rh: float) -> None:
    dew_c = air.dew_point_c(temp_c, rh)
    assert air.rh_of(temp_c, air.saturation_pa(dew_c)) == pytest.approx(rh, rel=1e-6)


@given(temps, st.tuples(humidities, humidities))
def test_damper_air_dews_and_wets_warmer(temp_c: float, pair: tuple[float, float]) -> None:
    drier, damper = sorted(pair)
    assert air.dew_point_c(temp_c, drier) <= air.dew_point_c(temp_c, damper)


def test_plain_numbers_come_back_plain_and_arrays_keep_their_shape() -> None:
    assert type(air.dew_point_c(20.0, 0.5)) is float
    assert air.wet_bulb_c(np.full((2, 3), 20.0), np.full((2, 3), 0.5)).shape == (2, 3)


def test_bone_dry_air_has_a_dew_point_at_the_end_of_the_scale() -> None:
    assert air.dew_point_c(20.0, 0.0) == -60.0
    assert air.wet_bulb_c(20.0, 0.0) == pytest.approx(5.8, abs=0.1)  # PsychroLib; drying by air alone


@pytest.mark.parametrize(
    ("temp_c", "rh"),
    [(20.0, 1.01), (20.0, -0.01), (20.0, 45.0), (-61.0, 0.5), (101.0, 0.5), (float("nan"), 0.5)],
)
def test_air_that_cannot_be_is_refused(temp_c: float, rh: float) -> None:
    with pytest.raises(ValueError):
        air.dew_point_c(temp_c, rh)
