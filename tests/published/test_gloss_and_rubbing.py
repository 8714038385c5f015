"""Gloss, sheen words, grits, reliability and filler against what is published."""

from __future__ import annotations

import math

import pytest
from scipy import stats

from rakelight.facts import load
from rakelight.physics import cutting, gloss
from rakelight.schedule.sheen_of import sheen_word
from rakelight.units import G_PER_LB, M2_PER_FT2

FACTS = load()


@pytest.mark.parametrize("angle", [20, 60, 85])
def test_the_reference_glass_reads_100(angle: float) -> None:
    # ISO 2813 / ASTM D523: polished glass of index 1.567 reads 100 at each of the three angles
    assert gloss.most_gu(1.567, angle) == pytest.approx(100.0)


@pytest.mark.parametrize(("angle", "gu"), [(20, 57.0), (60, 71.9), (85, 96.6)])
def test_gloss_of_index_1_400(angle: float, gu: float) -> None:
    # ISO 2813 table of gloss against index, as remembered (the table itself was not read)
    assert gloss.most_gu(1.400, angle) == pytest.approx(gu, abs=0.1)


def test_fresnel_at_grazing_and_upright_light() -> None:
    # ((n - 1) / (n + 1)) squared upright, any optics text; all light is thrown back at grazing
    assert gloss.reflectance(1.5, 0) == pytest.approx(0.04)
    assert gloss.reflectance(1.5, 89.9999) == pytest.approx(1.0, abs=1e-4)


@pytest.mark.parametrize(
    ("low", "high", "ours"), [(0, 10, "flat"), (20, 35, "satin"), (35, 70, "semi-gloss"), (70, 85, "gloss")]
)
def test_sheen_words_are_those_of_the_painters(low: float, high: float, ours: str) -> None:
    """MPI G1-G2 (to 10), G4, G5, G6 at 60 degrees; G3 eggshell runs 10 to 25 there, 10 to 20 here."""
    assert {sheen_word(gu, FACTS) for gu in (low, (low + high) / 2, high - 0.01)} == {ours}
    assert sheen_word(high, FACTS) != ours


def test_high_gloss_begins_above_85() -> None:
    assert sheen_word(85.01, FACTS) == "high gloss"  # MPI G7: over 85


@pytest.mark.parametrize(
    ("name", "um"), [("FEPA_P P80", 201), ("FEPA_P P120", 125), ("FEPA_P P320", 46.2), ("FEPA_P P800", 21.8),
                     ("FEPA_P P2500", 8.4), ("CAMI 100", 141)],
)  # fmt: skip
def test_grains_of_papers(name: str, um: float) -> None:
    # sandpaper grade table (P80, P120, 100), ISO 25300 summary (P320), grit chart summary (P800, P2500)
    assert FACTS.abrasives[name].size_um == pytest.approx(um)


@pytest.mark.parametrize(("film", "removal"), [(50, 26), (75, 20), (40, 40), (120, 15)])
def test_chance_is_that_of_two_lognormals(film: float, removal: float) -> None:
    """By numbers: the integral of the film's density over the removal's survival, with scipy.stats."""
    sf, sr = (math.sqrt(math.log1p(cv**2)) for cv in (0.25, 0.30))
    film_odds = stats.lognorm(sf, scale=film / math.exp(sf**2 / 2))
    removal_odds = stats.lognorm(sr, scale=removal / math.exp(sr**2 / 2))
    assert film_odds.mean() == pytest.approx(film) and removal_odds.std() == pytest.approx(0.3 * removal)
    by_numbers = film_odds.expect(removal_odds.sf, epsabs=1e-12)
    assert cutting.chance(film, removal, 0.25, 0.30) == pytest.approx(by_numbers, rel=1e-4)
    normal = stats.norm.cdf(0, film - removal, math.hypot(0.25 * film, 0.30 * removal))
    assert cutting.chance_normal(film, 0.25 * film, removal, 0.30 * removal) == pytest.approx(normal)


@pytest.mark.parametrize(("one", "spots"), [(0.03, 20), (0.2, 5)])
def test_any_of_many_spots_is_the_binomial(one: float, spots: int) -> None:
    """By scipy.stats: one less the chance that none of them goes."""
    assert cutting.anywhere(one, spots) == pytest.approx(stats.binom.sf(0, spots, one))


def _fills(open_share: float, depth_um: float, solids: float, fill: float, wasted: float) -> float:
    """Filler of a square metre, ml: the open pores' room over what stays in them, and what is wiped off."""
    return open_share * depth_um / (solids * fill) * (1.0 + wasted)


def test_paste_filler_on_oak() -> None:
    """Government handbook: 5 lb of paste filler to 250 square feet of oak, 98 g to the square metre.

    From red oak's open share and pore depth, wiped off with a fifth to a half lost.
    """
    told = 5 * G_PER_LB / (250 * M2_PER_FT2)
    assert told == pytest.approx(98, abs=1)
    oak, paste = FACTS.woods["red oak"], FACTS.materials["filler_oil_paste"]
    assert oak.pore_area and oak.pore_depth_um
    area, depth, solids, density = oak.pore_area, oak.pore_depth_um, paste.solids_volume, paste.density_kg_per_l
    least = _fills(area.low, depth.low, solids.high, 0.95, 0.2) * density.low
    most = _fills(area.high, depth.high, solids.low, 0.7, 0.5) * density.high
    assert least <= told <= most
