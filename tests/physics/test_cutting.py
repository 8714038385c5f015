"""Cutting through: limits, order, and the inverse."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rakelight.errors import RakelightError
from rakelight.physics.cutting import anywhere, chance, chance_normal, film_for, least_coats

um = st.floats(1, 300)
cv = st.floats(0.02, 0.6)


def test_no_film_is_always_and_no_removal_never_cut():
    assert chance(0, 10, 0.2, 0.3) == 1 and chance(50, 0, 0.2, 0.3) == 0 == chance(0, 0, 0.2, 0.3)
    assert chance(30, 20, 0, 0) == 0 and chance(20, 30, 0, 0) == 1


@given(um, um, cv, cv, st.floats(1.01, 3))
def test_more_film_is_never_likelier_to_be_cut_and_more_removal_never_less(film, removal, a, b, times):
    one = chance(film, removal, a, b)
    assert 0 <= one <= 1
    assert chance(film * times, removal, a, b) <= one <= chance(film, removal * times, a, b)


@given(st.floats(0.001, 0.5), um, cv, cv)
def test_film_for_is_the_inverse(odds, removal, a, b):
    assert chance(film_for(odds, removal, a, b), removal, a, b) == pytest.approx(odds, rel=1e-6)


@given(st.floats(0, 1), st.floats(0, 500))
def test_anywhere_is_never_less_than_one_spot(one, spots):
    assert one - 1e-12 <= anywhere(one, spots) <= 1


def test_anywhere_keeps_tiny_chances():
    assert anywhere(1e-12, 100) == pytest.approx(1e-10, rel=1e-6)


@given(st.lists(st.booleans(), max_size=12))
def test_least_coats_is_the_first_that_is_enough_even_where_more_is_not_better(enough):
    found = least_coats(lambda n: enough[n], len(enough) - 1) if enough else None
    assert found == (enough.index(True) if True in enough else None)


def test_film_and_removal_that_go_together_cut_less_often():
    alone, together = (chance_normal(50, 12.5, 26, 7.8, rho) for rho in (0.0, 0.6))
    assert together < alone and chance_normal(30, 0, 20, 0) == 0


@pytest.mark.parametrize(
    "call",
    [
        lambda: chance(-1, 2, 0.1, 0.1),
        lambda: chance(math.nan, 2, 0.1, 0.1),
        lambda: film_for(1.0, 2, 0.1, 0.1),
        lambda: anywhere(1.2, 3),
        lambda: chance_normal(1, 1, 1, 1, 2),
    ],
)
def test_what_cannot_be_is_refused(call):
    with pytest.raises(RakelightError):
        call()
