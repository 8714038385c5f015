"""Air and vapour worked out with the relations themselves: pinned, not truth."""

from __future__ import annotations

import pytest

from rakelight.facts import load
from rakelight.physics import evaporation, vapour
from rakelight.physics.air import antoine_pa, dew_point_c
from rakelight.physics.blush import dew_doubt_k
from rakelight.plan.room_air import Room


# The 65 % rule as a gap at 15, 20, 25, 30 C. Source: dew_point_and_blush.md, section 4
@pytest.mark.parametrize(("temp_c", "gap_k"), [(15, 6.5), (20, 6.8), (25, 7.0), (30, 7.3)])
def test_the_65_per_cent_rule_as_a_gap(temp_c: float, gap_k: float) -> None:
    assert temp_c - dew_point_c(temp_c, 0.65) == pytest.approx(gap_k, abs=0.06)


def test_a_hygrometer_three_per_cent_out_is_0_7_k() -> None:
    """Source: dew_point_and_blush.md, section 6."""
    assert dew_doubt_k(20.0, 0.65, 0.03) == pytest.approx(0.7, abs=0.05)


def test_a_litre_of_lacquer_thinner_an_hour() -> None:
    """C62: toluene-like, 226 L of vapour; 82 m3/h keep a quarter of 1.1 %. Source: cases.md, from ideal gas."""
    m3 = vapour.vapour_m3(867, 92.14)
    assert m3 * 1000 == pytest.approx(226, abs=1)
    room, hours = Room(41.0, 2.0, 1.0), 100.0
    ppm = vapour.ppm_at([hours], [vapour.Release(0.0, hours, m3 * hours)], room.volume_m3, room.effective)
    assert ppm[0] == pytest.approx(0.25 * 11_000, rel=0.01)


def test_ethanol_in_still_air() -> None:
    """423 g/(m2 h) at 70 F. Source: drying_models.md."""
    row = load().solvents["ethanol"]
    assert row.antoine
    lost = evaporation.still_air_g_m2_h(antoine_pa(*row.antoine, 21.1), row.molar_mass_g_mol)
    assert lost == pytest.approx(423, abs=3)
