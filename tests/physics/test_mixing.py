"""Mixing: the balance must close whichever way it is worked, and nonsense is refused."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rakelight.errors import RakelightError
from rakelight.physics import mixing
from rakelight.spread import Spread

cuts = st.floats(0.1, 10)
volumes = st.floats(1, 20_000)
densities = st.floats(1.0, 1.4)


@given(cuts, volumes, densities)
def test_what_goes_in_the_jar_is_what_is_in_it(cut: float, alcohol_ml: float, resin: float) -> None:
    """Volume of resin and of alcohol add to what is made; the share of solids is the resin's share of it."""
    flakes_g = mixing.flakes_g(cut, alcohol_ml)
    made_ml = mixing.made_ml(cut, alcohol_ml, resin)
    assert made_ml == pytest.approx(alcohol_ml + flakes_g / resin)
    assert mixing.solids_volume(cut, resin) * made_ml == pytest.approx(flakes_g / resin)
    assert mixing.alcohol_ml(cut, made_ml, resin) == pytest.approx(alcohol_ml)
    assert mixing.cut_of(flakes_g, alcohol_ml) == pytest.approx(cut)


@given(cuts, cuts, volumes, densities)
def test_thinning_and_the_way_back_are_one(one: float, other: float, of_ml: float, resin: float) -> None:
    strong, weak = max(one, other), min(one, other)
    add_ml = of_ml * mixing.thin_parts(strong, weak, resin)
    assert mixing.cut_after(strong, of_ml, add_ml, resin) == pytest.approx(weak)
    assert mixing.part_of_stock(strong, weak, resin) == pytest.approx(of_ml / (of_ml + add_ml))


@given(cuts, volumes, densities)
def test_weight_and_density_agree(cut: float, alcohol_ml: float, resin: float) -> None:
    """Mass of the jar is that of its two contents."""
    mass_g = mixing.made_ml(cut, alcohol_ml, resin) * mixing.density_kg_per_l(cut, resin, 0.80)
    assert mass_g == pytest.approx(mixing.flakes_g(cut, alcohol_ml) + 0.80 * alcohol_ml)
    assert mixing.solids_weight(cut, 0.80) * mass_g == pytest.approx(mixing.flakes_g(cut, alcohol_ml))


def test_dense_resin_takes_less_room() -> None:
    resin = Spread(1.14, 1.20, 1.21)
    solids = mixing.solids_volume_spread(2, resin)
    assert solids.low == pytest.approx(mixing.solids_volume(2, 1.21))
    assert solids.high == pytest.approx(mixing.solids_volume(2, 1.14))


def test_no_flakes_is_plain_alcohol() -> None:
    assert mixing.flakes_g(0, 500) == 0
    assert mixing.made_ml(0, 500, 1.2) == 500
    assert mixing.solids_volume(0, 1.2) == 0


def test_nothing_added_changes_nothing() -> None:
    assert mixing.thin_parts(2, 2, 1.2) == 0
    assert mixing.cut_after(2, 300, 0, 1.2) == pytest.approx(2)
    assert mixing.neat_ml(300, 0) == 300


def test_a_cut_is_not_made_stronger_by_alcohol() -> None:
    with pytest.raises(RakelightError, match="flakes"):
        mixing.thin_parts(1, 2, 1.2)


@pytest.mark.parametrize("cut", [-1.0, float("nan"), float("inf")])
def test_no_such_cut(cut: float) -> None:
    with pytest.raises(RakelightError):
        mixing.grams_per_ml(cut)


def test_an_empty_jar_has_no_cut() -> None:
    with pytest.raises(RakelightError):
        mixing.cut_of(50, 0)
    with pytest.raises(RakelightError):
        mixing.cut_after(2, 0, 0, 1.2)
    with pytest.raises(RakelightError):
        mixing.thinned_ml(100, -0.1)
    with pytest.raises(RakelightError):
        mixing.swelling(2, 0)
    with pytest.raises(RakelightError):
        mixing.cut_of_solids(1.0, 1.2)
