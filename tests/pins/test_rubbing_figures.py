"""Figures worked out with the equations themselves: they hold the code to them, and prove nothing beyond."""

import math

import pytest

from rakelight.facts import load
from rakelight.physics import cutting, gloss
from rakelight.physics.film import dimple_um
from rakelight.schedule.rub_answers import sheen_answer


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


def test_70_at_60_degrees_is_35_at_20():
    loss = -math.log(70 / gloss.most_gu(1.50))
    assert gloss.most_gu(1.50, 20) * math.exp(-loss * 3.532) == pytest.approx(34.9, abs=0.1)


def test_dimple_of_ten_coats():
    assert dimple_um(80, 0.30, 10) == pytest.approx(80 * 0.7**10)


@pytest.mark.parametrize(
    ("last", "low", "mid", "high"),
    [("P600", 2, 3, 12), ("P1000", 3, 13, 32), ("pumice FFF", 8, 24, 45), ("0000 wool", 11, 30, 52),
     ("P1500", 15, 35, 56), ("pumice FFFF", 17, 38, 58), ("P2000", 26, 48, 66), ("P2500", 40, 60, 73),
     ("P3000", 55, 71, 80), ("rottenstone", 76, 83, 87), ("polishing compound", 89, 91, 91)],
)  # fmt: skip
def test_table_of_last_abrasives_on_shellac(last, low, mid, high):
    gu = sheen_answer(load(), "dewaxed shellac", last).sheen.gu
    assert [round(v) for v in gu] == pytest.approx([low, mid, high], abs=1)
