"""Drying against published figures. The source stands beside each number."""

import numpy as np
import pytest

from rakelight.facts import load
from rakelight.physics.air import antoine_pa, saturation_pa
from rakelight.physics.drying import water_rate
from rakelight.plan.waits import Happened, Stay, Waits
from rakelight.schedule.tasks import Lay
from rakelight.shop.climate import HourlyAir

DAYS_H = 24 * 400


def shop_at(temp_c: float, rh: float = 0.5) -> Waits:
    """A shop of one room whose air never changes."""
    return Waits(load(), {"room": HourlyAir(np.full(DAYS_H, temp_c), np.full(DAYS_H, rh))})


def wait_h(temp_c: float, material: str, readiness: str) -> float:
    events = [Happened(0.0, "lay", Lay(material, "wipe"))]
    return shop_at(temp_c).ready(events, [Stay("room", 0.0)], readiness)


def test_vapour_pressure_of_ethanol() -> None:
    """5861 Pa at 20 C within 1 % (two fits differ by 0.7 %): Poling, Prausnitz, O'Connell, tables."""
    abc = load().solvents["ethanol"].antoine
    assert abc is not None
    assert antoine_pa(*abc, 20.0) == pytest.approx(5861, rel=0.01)


def test_vapour_pressure_of_water() -> None:
    """2339 Pa at 20 C, 4247 Pa at 30 C: steam tables (IAPWS)."""
    assert saturation_pa(20.0) == pytest.approx(2339, abs=5)
    assert saturation_pa(30.0) == pytest.approx(4247, rel=0.002)


def test_boiled_linseed_oil_is_tack_free_within_20_h_at_70_f() -> None:
    """Ohio law on boiled linseed oil: a film on glass dries free of tack within 20 hours at 70 F."""
    at_70_f = (70.0 - 32.0) / 1.8
    assert 6.0 <= wait_h(at_70_f, "linseed_boiled", "dust-free") <= 20.0


@pytest.mark.parametrize("material", ["linseed_boiled", "omu_brush", "alkyd_varnish", "wb_2k_pu"])
@pytest.mark.parametrize(("temp_c", "low", "high"), [(10.0, 1.6, 2.4), (30.0, 0.4, 0.6)])
def test_chemical_cure_halves_or_doubles_for_ten_kelvin(
    material: str, temp_c: float, low: float, high: float
) -> None:
    """Coatings that cure by chemistry: twice the time at 10 C, half at 30 C, of 20 C (two articles)."""
    assert low <= wait_h(temp_c, material, "use") / wait_h(20.0, material, "use") <= high


def test_water_borne_is_extremely_slow_above_90_percent_humidity() -> None:
    """Exterior acrylics: drying all but stops above 90 % RH, slows markedly below 60 F (article)."""
    assert water_rate(21.0, 0.9) < 1 / 4
    assert water_rate(21.0, 0.97) < 1 / 15
    assert water_rate(12.0, 0.65) < 2 / 3 < water_rate(21.0, 0.65)


def test_oil_does_not_dry_below_ten_c() -> None:
    """Sheets of oil finishes: do not apply below 10 C (50 F)."""
    assert wait_h(9.5, "linseed_boiled", "dust-free") == np.inf
    assert wait_h(10.5, "linseed_boiled", "dust-free") < 100
