"""Vapour, ventilation and evaporation against figures other people have printed.

V01 to V22: the rows of the table of ventilation cases, every one marked read and sound, but V19 (the richest still
air), which nothing asks.
"""

from __future__ import annotations

import math
from itertools import pairwise

import pytest

from rakelight.facts import load
from rakelight.physics import evaporation, vapour
from rakelight.plan.room_air import Let, Room, exposure

FT3_M3 = 0.3048**3


# V05 to V08. Purge: air changes an hour, share removed, minutes printed. Source: MMWR 28 October 1994, Table S3-1
@pytest.mark.parametrize(
    ("changes", "removed", "minutes"), [(6, 0.99, 46), (1, 0.9, 138), (12, 0.999, 35), (20, 0.99, 14)]
)
def test_purge_times_of_the_public_health_table(changes: float, removed: float, minutes: float) -> None:
    assert vapour.purge_h(1.0, 1.0 - removed, changes) * 60 == pytest.approx(minutes, abs=0.5)


def _rich(m3_per_h: float, room_m3: float, changes_per_h: float, hours: float) -> float:
    """Share of a room that is vapour, so much of it let go evenly for some hours into clean air."""
    going = vapour.Release(0.0, hours, m3_per_h * hours)
    return float(vapour.ppm_at([hours], [going], room_m3, changes_per_h)[0]) / vapour.MILLION


# V09 to V12. Build-up with a source of one and a room of one: air changes, minutes, printed share. Source: an
# engineering reference's table of pollution concentration in rooms
@pytest.mark.parametrize(
    ("changes", "minutes", "share"), [(1, 20, 0.2835), (4, 40, 0.2326), (0.5, 160, 1.4728), (8, 10, 0.0921)]
)
def test_build_up_stands_in_the_table(changes: float, minutes: float, share: float) -> None:
    assert _rich(1, 1, changes, minutes / 60) == pytest.approx(share, abs=1e-4)


def _in_the_end(vapour_per_min: float, air_per_min: float, mixing: float = 1.0) -> float:
    """What a room comes to that has one change of air an hour, after days; both flows in one unit."""
    room = Room(air_per_min * 60, 1.0, mixing)
    return _rich(vapour_per_min * 60, room.volume_m3, room.effective, 200.0)


def test_air_that_keeps_a_limit() -> None:
    """V04: 2.4 ft3 of vapour an hour at 50 ppm: 48,000 ft3/h. Source: industrial safety textbook, ch. 11, part (b).
    V03: 250 ng/min at 35 ng/m3 with 10 in the supply: 10 m3/min. Source: Abulencia and Theodore, example 20.7."""
    assert _in_the_end(2.4 / 60, 48_000 / 60) == pytest.approx(50e-6)
    assert 10 + _in_the_end(250, 10) == pytest.approx(35)


def test_dilution_of_a_thinner_for_breath() -> None:
    """V01: toluene, 0.375 gal/h of a liquid 40 % toluene, 80 ppm, K 5, 293 K: 134,375 L/min. Source: Abulencia and
    Theodore, Fluid Flow for the Practicing Chemical Engineer, example 20.2 (its 8.34 lb/gal and 454 g/lb)."""
    grams_per_min = 0.375 * 0.4 * 8.34 * 0.87 * 454 / 60
    litres = vapour.vapour_m3(grams_per_min, 92, 293 - 273.15) * 1000
    assert litres == pytest.approx(2.15, abs=0.02)
    assert _in_the_end(litres, 134_375, mixing=5) == pytest.approx(80e-6, rel=0.005)


def test_dilution_of_ten_grams_a_minute() -> None:
    """V02: 10 g/min, molar mass 78, 298 K, 1 ppm, K 10: 1,107,000 ft3/min. Source: the same, example 20.4."""
    found = _in_the_end(vapour.vapour_m3(10, 78, 25.0), 1_107_000 * FT3_M3, mixing=10)
    assert found == pytest.approx(1e-6, rel=0.002)


def test_a_room_that_also_eats_its_vapour() -> None:
    """V14, V15: 500 m3, 1,000 m3/h, decay 0.4 an hour, 140 mg/h: 0.117 mg/m3 in the end, 0.067 after 0.36 h. Source: a
    worked answer on formaldehyde."""
    rate = 1000 / 500 + 0.4
    assert _rich(140, 500, rate, 100) == pytest.approx(0.117, abs=0.0005)
    assert _rich(140, 500, rate, 0.36) == pytest.approx(0.067, abs=0.001)


def test_air_change_from_a_tracer() -> None:
    """V13: half gone in 1.4 h, 20 m3: 9.9 m3/h. Source: Jayjock, tracer-gas note, July 2013."""
    assert vapour.purge_h(1.0, 0.5, 9.9 / 20) == pytest.approx(1.4, abs=0.05)


def test_one_air_change_of_a_tank() -> None:
    """V16: 668 ft3 at 1,000 cfm: 40 s to one change. Source: a tank ventilation table."""
    assert vapour.purge_h(math.e, 1.0, 1000 * 60 / 668) * 3600 == pytest.approx(40, abs=0.5)


def test_a_mass_let_go_at_once_into_a_shut_room_up_to_a_limit() -> None:
    """V17: 0.5 mg/L in 380,578 L is reached by 190 g. Source: a printed example on a spill in a room."""
    ppm = float(vapour.ppm_at([0.0], [vapour.Release(0.0, 0.0, 190 * vapour.vapour_m3(1, 92))], 380.578, 0.0)[0])
    assert ppm / 1e6 * 92 / vapour.molar_l(20.0) == pytest.approx(0.5e-3, rel=0.003)


def test_mean_over_a_day() -> None:
    """V18: hours and ppm of a worked exercise: 169.69 ppm. In a shut room, richer or poorer at once."""
    ppm, begins = [0, 150, 175, 80, 350, 180], [0.0, 1.5, 3.0, 5.0, 6.0]
    steps = [vapour.Release(h, 0.0, (b - a) / 1e6) for h, (a, b) in zip(begins, pairwise(ppm), strict=True)]
    assert float(vapour.mean_ppm([0.0], 8.0, steps, 1.0, 0.0)[0]) == pytest.approx(169.69, abs=0.01)


# V20 to V22. mg/m3 of one ppm. Source: NIOSH Pocket Guide: isopropanol, toluene, turpentine (24.45 L, ours 24.47)
@pytest.mark.parametrize(("molar", "printed"), [(60.1, 2.46), (92.1, 3.77), (136, 5.56)])
def test_ppm_as_the_pocket_guide_prints_it(molar: float, printed: float) -> None:
    mg = 1e-6 / vapour.vapour_m3(0.001, molar, 25.0)
    assert mg == pytest.approx(printed, abs=0.006)


def test_mixed_vapours_burn_between_their_limits() -> None:
    """Le Chatelier of 1.1 and 2.0, half and half: 1.419 %. Source: process safety formula sheet."""
    facts, pair = load(), ("2-butoxyethanol", "isopropanol")
    assert [facts.solvents[n].figures["lel_pct_low"] for n in pair] == [1.1, 2.0]
    half_m3 = 100 * 0.01419 / 2
    grams = {n: half_m3 / vapour.vapour_m3(1.0, facts.solvents[n].molar_mass_g_mol) for n in pair}
    seen = exposure(facts, [Let(0.0, 0.0, grams)], Room(100.0, 0.0, 5.0))
    assert seen.share_of_lel == pytest.approx(1.0, abs=0.001)


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


def test_still_air_evaporation_as_printed() -> None:
    """1464 micrograms times pressure and molar mass is a mass-transfer coefficient of 1.0 mm/s at 25 C. Source: S5 of
    the materials' sources, worked out in drying_models.md."""
    per_k = 3600 / (vapour.GAS_CONSTANT * 298.15)
    assert evaporation.still_air_g_m2_h(1.0, 1.0) / per_k * 1000 == pytest.approx(1.0, abs=0.02)
