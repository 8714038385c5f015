"""Figures worked out with the equations themselves: they hold the code to them, and prove nothing beyond."""

import pytest

from rakelight.facts import load
from rakelight.physics import cutting, gloss
from rakelight.schedule.rub_answers import sheen_answer
from rakelight.schedule.sheen_of import acts_like_um, rubbed_sheen


def test_one_spot_and_any_of_twelve():
    # normal margin, film 50 +- 12.5, removal 26 +- 7.8 um
    one = cutting.chance_normal(50, 12.5, 26, 7.8)
    assert one == pytest.approx(0.0517, abs=5e-5)
    assert cutting.anywhere(one, 12) == pytest.approx(0.471, abs=5e-4)
    assert cutting.chance(50, 26, 0.25, 0.30) == pytest.approx(0.0409, abs=5e-5)


@pytest.mark.parametrize(
    ("film", "arris", "removal", "told"),
    [(75, 0.8, 26, 0.022), (75, 0.6, 26, 0.083), (75, 1 / 3, 26, 0.54), (100, 0.6, 26, 0.022), (125, 1 / 3, 26, 0.11)],
)
def test_table_of_films_and_arrises(film, arris, removal, told):
    found = cutting.chance_normal(film * arris, 0.25 * film * arris, removal, 0.3 * removal)
    assert found == pytest.approx(told, rel=0.06)


def test_70_at_60_degrees_is_35_at_20_and_95_at_85():
    """Visual class 9 of ISO 2813:2014, clause 5, at an index of 1.50 chosen so that it comes out; 85 is 3 high."""
    scale = gloss.scale_from_reading(70, 10.0, 1.50)
    found = [gloss.rubbed_gu(10.0, 1.50, angle, scale) for angle in (20, 60, 85)]
    assert found == [pytest.approx(35, abs=1), pytest.approx(70), pytest.approx(95, abs=3.5)]


@pytest.mark.parametrize(
    ("last", "low", "mid", "high"),
    [("P600", 2, 3, 12), ("P1000", 3, 13, 32), ("pumice FFF", 8, 24, 45), ("0000 wool", 11, 30, 52),
     ("P1500", 15, 35, 56), ("pumice FFFF", 17, 38, 58), ("P2000", 26, 48, 66), ("P2500", 40, 60, 73),
     ("P3000", 55, 71, 80), ("rottenstone", 76, 83, 87), ("polishing compound", 89, 91, 91)],
)  # fmt: skip
def test_table_of_last_abrasives_on_shellac(last, low, mid, high):
    gu = sheen_answer(load(), "dewaxed shellac", last).sheen.gu
    assert [round(v) for v in gu] == pytest.approx([low, mid, high], abs=1)


def test_trade_order_of_last_abrasives():
    """The sizes that pads and powders act like are fitted to this order.

    Workshop magazine 25: P1000 dull, pumice satin, rottenstone gloss, compound mirror-like; magazine of 2001:
    P600 before wool or pumice, pumice about 0000 wool, grey pad about 000.
    """
    facts = load()
    names = ["FEPA_P P600", "FEPA_P P1000", "powder pumice FFF", "powder rottenstone", "powder polishing compound"]
    found = [rubbed_sheen(facts.abrasives[n], 1.516, facts) for n in names]
    assert all(found)
    gu = [s.gu.likely for s in found if s]
    assert gu == sorted(gu)
    assert [s.word for s in found if s][2:] == ["satin", "gloss", "high gloss"]
    like = {n: acts_like_um(facts.abrasives[n]) or 0.0 for n in ("steel_wool 0000", "steel_wool 000", "pad light grey")}
    assert like["pad light grey"] == pytest.approx(like["steel_wool 000"], rel=0.1)
    assert like["steel_wool 0000"] == pytest.approx(acts_like_um(facts.abrasives["powder pumice FFF"]), rel=0.15)
