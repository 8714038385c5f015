"""Vapour, ventilation and evaporation against figures other people have printed.

V01 to V22: the rows of the table of ventilation cases, every one marked read and sound.
"""

from __future__ import annotations

import math

import pytest

from rakelight.facts import load
from rakelight.physics import evaporation, vapour
from rakelight.physics.air import antoine_pa

FT3_M3 = 0.3048**3


# V05 to V08. Purge: air changes an hour, share removed, minutes printed. Source: MMWR 28 October 1994, Table S3-1
@pytest.mark.parametrize(
    ("changes", "removed", "minutes"), [(6, 0.99, 46), (1, 0.9, 138), (12, 0.999, 35), (20, 0.99, 14)]
)
def test_purge_times_of_the_public_health_table(changes: float, removed: float, minutes: float) -> None:
    assert vapour.purge_h(1.0, 1.0 - removed, changes) * 60 == pytest.approx(minutes, abs=0.5)


# V09 to V12. Build-up with a source of one and a room of one: air changes, minutes, printed share. Source: an
# engineering reference's table of pollution concentration in rooms
@pytest.mark.parametrize(
    ("changes", "minutes", "share"), [(1, 20, 0.2835), (4, 40, 0.2326), (0.5, 160, 1.4728), (8, 10, 0.0921)]
)
def test_build_up_stands_in_the_table(changes: float, minutes: float, share: float) -> None:
    assert vapour.build_up(1, 1, changes, minutes / 60) == pytest.approx(share, abs=1e-4)


def test_air_that_keeps_a_limit() -> None:
    """V04: 2.4 ft3 of vapour an hour at 50 ppm: 48,000 ft3/h. Source: industrial safety textbook, ch. 11, part (b).
    V03: 250 ng/min at 35 ng/m3 with 10 in the supply: 10 m3/min. Source: Abulencia and Theodore, example 20.7."""
    assert vapour.flow_needed(2.4, 50e-6) == pytest.approx(48_000)
    assert vapour.flow_needed(250, 35, supply=10) == pytest.approx(10.0)


def test_dilution_of_a_thinner_for_breath() -> None:
    """V01: toluene, 0.375 gal/h of a liquid 40 % toluene, 80 ppm, K 5, 293 K: 134,375 L/min. Source: Abulencia and
    Theodore, Fluid Flow for the Practicing Chemical Engineer, example 20.2 (its 8.34 lb/gal and 454 g/lb)."""
    grams_per_min = 0.375 * 0.4 * 8.34 * 0.87 * 454 / 60
    litres = vapour.vapour_m3(grams_per_min, 92, 293 - 273.15) * 1000
    assert litres == pytest.approx(2.15, abs=0.02)
    assert vapour.flow_needed(litres, 80e-6, mixing=5) == pytest.approx(134_375, rel=0.005)


def test_dilution_of_ten_grams_a_minute() -> None:
    """V02: 10 g/min, molar mass 78, 298 K, 1 ppm, K 10: 1,107,000 ft3/min. Source: the same, example 20.4."""
    found = vapour.flow_needed(vapour.vapour_m3(10, 78, 25.0), 1e-6, mixing=10) / FT3_M3
    assert found == pytest.approx(1_107_000, rel=0.002)


def test_a_room_that_also_eats_its_vapour() -> None:
    """V14, V15: 500 m3, 1,000 m3/h, decay 0.4 an hour, 140 mg/h: 0.117 mg/m3 in the end, 0.067 after 0.36 h. Source: a
    worked answer on formaldehyde."""
    rate = 1000 / 500 + 0.4
    assert vapour.build_up(140, 500, rate, 100) == pytest.approx(0.117, abs=0.0005)
    assert vapour.build_up_h(140, 500, rate, 0.067) == pytest.approx(0.36, abs=0.01)


def test_air_change_from_a_tracer() -> None:
    """V13: half gone in 1.4 h, 20 m3: 9.9 m3/h. Source: Jayjock, tracer-gas note, July 2013."""
    assert vapour.changes_from_half(1.4) * 20 == pytest.approx(9.9, abs=0.05)


def test_one_air_change_of_a_tank() -> None:
    """V16: 668 ft3 at 1,000 cfm: 40 s to one change. Source: a tank ventilation table."""
    assert vapour.purge_h(math.e, 1.0, 1000 * 60 / 668) * 3600 == pytest.approx(40, abs=0.5)


def test_a_mass_let_go_at_once_into_a_shut_room_up_to_a_limit() -> None:
    """V17: 0.5 mg/L in 380,578 L is reached by 190 g. Source: a printed example on a spill in a room."""
    per_g = vapour.build_up(1.0, 380_578, 0.0, 1.0)  # g/L of each gram, nothing drawn out
    assert 0.5e-3 / per_g == pytest.approx(190, abs=0.5)
    ppm = float(vapour.ppm_at([0.0], [vapour.Release(0.0, 0.0, 190 * vapour.vapour_m3(1, 92))], 380.578, 0.0)[0])
    assert ppm / 1e6 * 92 / vapour.molar_l(20.0) == pytest.approx(0.5e-3, rel=0.003)  # the same room by ppm


def test_mean_over_a_day() -> None:
    """V18: hours and ppm of a worked exercise: 169.69 ppm."""
    assert vapour.weighted_mean([150, 175, 80, 350, 180], [1.5, 1.5, 2, 1, 2]) == pytest.approx(
        169.69, abs=0.01
    )


def test_richest_still_air() -> None:
    """V19: 10 mmHg is 13,160 ppm. Source: a public data page on butyl acetate."""
    assert vapour.saturation_ppm(10 * 133.322) == pytest.approx(13_160, abs=5)


# V20 to V22. mg/m3 of one ppm. Source: NIOSH Pocket Guide: isopropanol, toluene, turpentine
@pytest.mark.parametrize(("molar", "printed"), [(60.1, 2.46), (92.1, 3.77), (136, 5.56)])
def test_ppm_as_the_pocket_guide_prints_it(molar: float, printed: float) -> None:
    assert vapour.mg_m3_per_ppm(molar) == pytest.approx(printed, abs=0.005)


def test_mixed_vapours_burn_between_their_limits() -> None:
    """Le Chatelier of 1.1 and 2.0, half and half: 1.419 %. Source: process safety formula sheet."""
    assert vapour.mixture_lel_pct([0.5, 0.5], [1.1, 2.0]) == pytest.approx(1.419, abs=0.001)


# Vapour of a US gallon, ft3 at 70 F. Source: 29 CFR 1910.94, Table G-11
@pytest.mark.parametrize(
    ("solvent", "printed"),
    [("acetone", 44.0), ("n-butyl acetate", 24.8), ("ethanol", 55.2), ("methanol", 80.8), ("toluene", 30.4),
     ("turpentine", 20.8)],
)  # fmt: skip
def test_a_gallon_makes_as_much_vapour_as_the_rule_says(solvent: str, printed: float) -> None:
    row = load().solvents[solvent]
    found = vapour.vapour_m3(row.density_kg_m3 * 3.785411784, row.molar_mass_g_mol, 21.1) / FT3_M3
    assert found == pytest.approx(printed, rel=0.02)


def test_a_spill_of_lacquer_thinner_needs_its_cfm() -> None:
    """C62: a litre an hour of a toluene-like thinner is 226 L of vapour and wants 82 m3/h to stay at a quarter of
    1.1 %. Source: cases.md, worked from ideal gas."""
    litres = vapour.vapour_m3(867, 92.14) * 1000
    assert litres == pytest.approx(226, abs=1)
    assert vapour.flow_needed(litres / 1000, 0.25 * 0.011) == pytest.approx(82, abs=1)


def test_still_air_evaporation_as_printed() -> None:
    """1464 micrograms times pressure and molar mass is a mass-transfer coefficient of 1.0 mm/s at 25 C; ethanol at
    70 F loses 423 g/(m2 h). Source: S5 of the materials' sources, worked out in drying_models.md."""
    row = load().solvents["ethanol"]
    assert row.antoine
    lost = evaporation.still_air_g_m2_h(antoine_pa(*row.antoine, 21.1), row.molar_mass_g_mol)
    assert lost == pytest.approx(423, abs=3)
    k_mm_s = evaporation.STILL_AIR / 3600 * vapour.GAS_CONSTANT * 298.15 * 1000
    assert k_mm_s == pytest.approx(1.0, abs=0.02)


# Water over one metre: wind m/s, coefficient mm/s. Source: drying_models.md, from S6
@pytest.mark.parametrize(("wind", "k_mm_s"), [(0.05, 0.7), (0.1, 1.1), (0.2, 1.9), (0.5, 3.9), (1.0, 6.8)])
def test_moving_air_takes_water_as_printed(wind: float, k_mm_s: float) -> None:
    lost = evaporation.moving_air_g_m2_h(1000.0, 18.015, wind, 1.0, 0.6, 25.0)
    per_k = 18.015 * 1000.0 / (vapour.GAS_CONSTANT * 298.15) * 3600
    assert lost / per_k * 1000 == pytest.approx(k_mm_s, abs=0.06)
