"""Rows of the tables against figures printed elsewhere. The source stands beside each."""

from __future__ import annotations

import pytest

from rakelight.facts import load
from rakelight.units import G_PER_LB, L_PER_US_GALLON, M2_PER_FT2, UM_PER_MIL

FACTS = load()
KG_PER_LB = G_PER_LB / 1000


def _ft2_per_gal(solids: float, dry_um: float) -> float:
    """Square feet to the US gallon with no loss: 1 L at 1 um covers 1000 m2."""
    return 1000 * solids / dry_um * L_PER_US_GALLON / M2_PER_FT2


def test_boiled_linseed_oil_is_dry_within_twenty_hours() -> None:
    """Ohio Revised Code 3741.09: a film on glass is free from tackiness in not over 20 hours at 70 F."""
    dry = FACTS.materials["linseed_boiled"].time_h["touch_dry"]
    assert dry.likely <= 20
    assert dry.low < dry.likely


def test_specific_gravity_of_boiled_linseed_oil() -> None:
    """Ohio Revised Code 3741.09: 0.935 to 0.945 at 60 F (water there 0.999 kg/L)."""
    assert 0.935 <= FACTS.materials["linseed_boiled"].density_kg_per_l.likely <= 0.945


def test_specific_gravity_of_raw_tung_oil() -> None:
    """ASTM D12-88 (1998), Table 1: 0.933 to 0.938 at 25/25 C; flash at least 95 C."""
    tung = FACTS.materials["tung_pure"]
    assert 0.933 <= tung.density_kg_per_l.likely <= 0.938
    assert tung.flash_point_c is not None and tung.flash_point_c.low >= 95


def test_a_two_pound_cut_holds_about_sixteen_percent_solids() -> None:
    """"How to Prevent Blotching Using a Washcoat": 16, 10 and 5 percent by volume for 2, 1 and 1/2 lb."""
    for id in ("shellac_dewaxed", "shellac_waxy"):
        assert 0.15 <= FACTS.materials[id].solids_volume.likely <= 0.17


def test_two_pounds_of_flake_in_a_gallon_make_one_and_a_fifth() -> None:
    """"Shellac Conversion Ratios", note under the chart: 2 lb in 1 gal makes 1.2 gal, 4 lb 1.4."""
    resin = FACTS.figure("resin_density_kg_per_l").value.likely
    gallon_per_lb = KG_PER_LB / resin / L_PER_US_GALLON
    assert 1 + 2 * gallon_per_lb == pytest.approx(1.2, abs=0.005)
    assert 1 + 4 * gallon_per_lb == pytest.approx(1.4, abs=0.005)


def test_density_of_resin_by_the_government_formula() -> None:
    """US Government formula for shellac varnish: 31 lb and 69 lb of alcohol (10.25 gal) make 13 1/3 gal."""
    from_formula = 31 * KG_PER_LB / ((13 + 1 / 3 - 10.25) * L_PER_US_GALLON)
    resin = FACTS.figure("resin_density_kg_per_l").value
    assert resin.likely == pytest.approx(from_formula, abs=0.01)
    assert resin.low < from_formula < resin.high


def test_the_resin_lies_within_the_printed_range() -> None:
    """"Properties of Shellac", lac trade: specific gravity 1.14 to 1.21."""
    resin = FACTS.figure("resin_density_kg_per_l").value
    assert resin.low >= 1.14 and resin.high <= 1.21


def test_coverage_of_nitrocellulose_lacquer() -> None:
    """A maker's technical sheet: 17 % solids by volume, 270 ft2/gal (265 - 275) at 1 mil dry, no loss."""
    solids = FACTS.materials["lacquer_nc"].solids_volume.likely
    assert 265 <= _ft2_per_gal(solids, UM_PER_MIL) <= 275


def test_coverage_of_cab_acrylic_lacquer() -> None:
    """A maker's technical sheet: 310 to 443 ft2/gal at 1 to 0.7 mil dry, no loss (agrees within 3 %)."""
    solids = FACTS.materials["lacquer_cab"].solids_volume.likely
    assert _ft2_per_gal(solids, UM_PER_MIL) == pytest.approx(310, rel=0.03)
    assert _ft2_per_gal(solids, 0.7 * UM_PER_MIL) == pytest.approx(443, rel=0.03)


@pytest.mark.parametrize(("p", "us"), [("P1200", 600), ("P800", 400)])
def test_papers_of_the_two_scales(p: str, us: int) -> None:
    """Grit comparison charts set US 600 beside P1200 and US 400 beside P800."""
    fine, coarse = FACTS.abrasives[f"FEPA_P {p}"].size_um, FACTS.abrasives[f"CAMI {us}"].size_um
    assert fine is not None and coarse is not None and fine == pytest.approx(coarse, rel=0.05)


@pytest.mark.parametrize(
    ("name", "printed"), [("ethanol", 44), ("isopropanol", 33), ("toluene", 21), ("methanol", 96)]
)
def test_vapour_pressure_from_the_constants(name: str, printed: float) -> None:
    """NIOSH Pocket Guide (methanol: National Academies summary), mmHg at 20 C."""
    antoine = FACTS.solvents[name].antoine
    assert antoine is not None
    a, b, c = antoine
    mmhg = 10 ** (a - b / (293.15 + c)) / 133.322
    assert mmhg == pytest.approx(printed, rel=0.05)
