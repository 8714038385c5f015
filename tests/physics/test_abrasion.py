"""Abrasion: ladders of grits."""

from itertools import combinations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rakelight.errors import RakelightError
from rakelight.physics import abrasion

PAPERS = [162.0, 125.0, 100.0, 82.0, 68.0, 58.5, 52.2, 46.2, 40.5, 35.0]


def test_the_ladder_of_the_trade_on_wood():
    """sanding.md: P80 to P120, P120 to P180, P180 to P240 are steps of 1.61, 1.52 and 1.40."""
    assert abrasion.ladder([201.0, *PAPERS], 201.0, 58.5, 1.61) == [201.0, 125.0, 82.0, 58.5]


@given(st.floats(1.3, 2.5), st.integers(0, 4), st.integers(5, 9))
def test_no_shorter_ladder_exists(step, first, last):
    coarse, fine = PAPERS[first], PAPERS[last]
    found = abrasion.ladder(PAPERS, coarse, fine, step)
    assert found[0] == coarse and found[-1] == fine and found == sorted(found, reverse=True)
    assert not abrasion.steps_too_wide(found, step)
    between = [g for g in PAPERS if fine < g < coarse]
    for fewer in range(len(found) - 2):
        for chosen in combinations(between, fewer):
            assert abrasion.steps_too_wide([coarse, *chosen, fine], step)


def test_of_ladders_as_short_the_most_even_is_taken():
    """sanding.md: makers go 180, 240, 320; by 280 the step is near the limit, though as short."""
    assert abrasion.ladder(PAPERS, 82.0, 46.2, 1.61) == [82.0, 58.5, 46.2]
    widest = min(max(82.0 / g, g / 46.2) for g in PAPERS if 46.2 < g < 82.0)
    assert max(82.0 / 58.5, 58.5 / 46.2) == widest


def test_a_gap_in_the_papers_is_stepped_over_with_the_next_finer():
    assert abrasion.ladder([200.0, 50.0], 200.0, 50.0, 1.6) == [200.0, 50.0]


def test_back_to_a_coarser_paper_is_no_ladder():
    assert abrasion.steps_too_wide([82.0, 100.0, 68.0], 1.6) == [0]


def test_no_ladder_goes_from_fine_to_coarse():
    with pytest.raises(RakelightError):
        abrasion.ladder(PAPERS, 35.0, 162.0, 1.6)
