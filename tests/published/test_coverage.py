"""Film and coverage against printed worked examples; numbers are those of reference/surface/film_build.md.

The plan takes litres from a row's coverage and transfer, and film from its wet coat and solids: the examples go
through both. Number 5 (two coats and a scuff between) is case C11, by the ledger; number 12 (two shops, 235 and
102 ft2/gal) compares hands, and asks nothing of it.
"""

from __future__ import annotations

from dataclasses import replace

import pytest

from rakelight.facts import load
from rakelight.facts.records import Material
from rakelight.physics import film
from rakelight.schedule.coats import book_coverage
from rakelight.spread import Spread
from rakelight.units import L_PER_US_GALLON, M2_PER_FT2, UM_PER_MIL

FACTS = load()
FT2_PER_GALLON = L_PER_US_GALLON / M2_PER_FT2  # of one m2 to the litre
M2_UM_PER_L = 1000.0  # a litre spread one um thick, by definition


def row_of(wet_um: float, transfer: float = 1.0) -> Material:
    """A lacquer laid so thick."""
    return replace(
        FACTS.materials["lacquer_nc"],
        coverage_m2_per_l=Spread.exact(M2_UM_PER_L / wet_um),
        transfer=Spread.exact(transfer),
    )


def covers(wet_um: float, transfer: float = 1.0) -> float:
    """Square metres a litre of it covers, sprayed."""
    return book_coverage(row_of(wet_um, transfer), "spray", FACTS).likely


def wet_of(dry_um: float, solids: float) -> float:
    """The wet coat that leaves a film."""
    wet_um = dry_um / solids
    assert film.dry_um(wet_um, solids) == pytest.approx(dry_um)
    return wet_um


def ft2_per_gallon(dry_mil: float, solids: float, transfer: float = 1.0) -> float:
    return covers(wet_of(dry_mil * UM_PER_MIL, solids), transfer) * FT2_PER_GALLON


def test_1_a_sprayed_coat() -> None:
    """Printed 194.5. R. Joseph, finishing questions and answers, May 2004."""
    assert ft2_per_gallon(1.5, 0.52, 0.35) == pytest.approx(194.5, abs=0.15)


def test_2_and_3_a_spreading_rate_sheet() -> None:
    """Spreading-rate data sheet: 65 % solids at 5.0 mil cover 208.52 ft2/gal; at 125 um 5.2 m2/l."""
    assert ft2_per_gallon(5.0, 0.65) == pytest.approx(208.52, abs=0.03)
    assert covers(wet_of(125.0, 0.65)) == pytest.approx(5.2)


def test_4_and_8_wet_film() -> None:
    """Wet-film formula page: 10 mil wet cover 160.417 ft2/gal. Estimating page: a litre at 100 um, 10 m2."""
    assert covers(10 * UM_PER_MIL) * FT2_PER_GALLON == pytest.approx(160.417, abs=0.001)
    assert covers(100.0) == pytest.approx(10.0)


def test_6_thinned_a_tenth() -> None:
    """The finishing forum of 2013 answers 0.27 (30 less 3); exactly it is 0.2727, within its rounding."""
    assert film.thinned_solids(0.30, 0.10) == pytest.approx(0.2727, abs=0.0001)
    assert film.thinned_solids(0.30, 0.10) == pytest.approx(0.27, abs=0.005)


def test_7_and_11_what_a_wet_coat_leaves() -> None:
    """A maker's estimating page asks 100 um dry at 65 %, 153.8 um wet; wood-coating glossary: 100 um at 50 %, 50 um."""
    assert film.dry_um(153.8, 0.65) == pytest.approx(100.0, abs=0.05)
    assert film.dry_um(100.0, 0.50) == pytest.approx(50.0)


def test_9_loss() -> None:
    """Coverage dictionary page: 100 ft2/gal in theory, 30 % lost, 70 ft2/gal."""
    in_theory = M2_UM_PER_L * FT2_PER_GALLON / 100.0
    assert covers(in_theory, 0.7) * FT2_PER_GALLON == pytest.approx(70.0)


def test_10_use_factor() -> None:
    """Calculation page: 9.310489 l in theory at a use factor of 0.7 are 13.3 l."""
    assert 9.310489 * covers(100.0) / covers(100.0, 0.7) == pytest.approx(13.3, abs=0.05)


@pytest.mark.parametrize(
    ("id", "solids", "mil", "printed"),
    [("lacquer_nc", 0.17, 1.0, 270), ("lacquer_cab", 0.19, 1.0, 310), ("lacquer_cab", 0.19, 17.8 / 25.4, 443)],
)
def test_trade_sheets_of_lacquers(id: str, solids: float, mil: float, printed: float) -> None:
    """K17 and K18, trade sheet T1: 1604 ft2 of a solid gallon at one mil, three per cent over and under; and the row
    itself covers so much, by its own wet coat."""
    assert ft2_per_gallon(mil, solids) == pytest.approx(printed, rel=0.035)
    row = FACTS.materials[id]
    assert row.solids_volume.likely == solids
    laid_mil = film.dry_um(row.wet_film_um["spray"].likely, solids) / UM_PER_MIL
    assert row.coverage_m2_per_l.likely * FT2_PER_GALLON * laid_mil == pytest.approx(printed * mil, rel=0.1)


def test_a_solid_gallon_at_one_mil() -> None:
    """1604 ft2: printed by several coating calculators; K19 rests on it, at 25.87 % 414.92 ft2/gal."""
    assert ft2_per_gallon(1.0, 1.0) == pytest.approx(1604.17, abs=0.01)
    assert ft2_per_gallon(1.0, 0.2587) == pytest.approx(414.92, abs=0.5)
