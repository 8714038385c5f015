"""Gloss: finer is never duller, and the way back."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rakelight.errors import RakelightError
from rakelight.physics.gloss import (
    FLOOR_GU,
    GRAIN_UM,
    most_gu,
    reflectance,
    rubbed_gu,
    rubbed_range_gu,
    scale_from_reading,
)

index = st.floats(1.4, 1.6)
grain = st.floats(0, 120)


@given(grain, grain, index)
def test_finer_is_never_duller(a, b, n):
    fine, coarse = sorted((a, b))
    assert rubbed_gu(coarse, n) <= rubbed_gu(fine, n) <= most_gu(n)


@given(grain, index)
def test_the_range_holds_the_likely_and_stays_between_floor_and_ceiling(d, n):
    low, likely, high = rubbed_range_gu(d, n)
    assert FLOOR_GU <= low <= likely <= high <= most_gu(n)


@given(st.floats(6, 22), st.floats(GRAIN_UM.low, GRAIN_UM.high), index)
def test_one_reading_gives_the_scale_back(d, scale, n):
    gu = rubbed_gu(d, n, scale_um=scale)
    found = scale_from_reading(gu, d, n)
    assert found is None or found == pytest.approx(scale, rel=1e-6)


def test_a_reading_at_the_ends_fixes_nothing():
    assert scale_from_reading(91.5, 15, 1.516) is None and scale_from_reading(2.1, 15, 1.516) is None


def test_steep_light_tells_bright_films_apart():
    """20 degrees falls faster with roughness than 60, 85 slower."""
    twenty, sixty, eighty_five = (rubbed_gu(8.4, 1.516, angle) for angle in (20, 60, 85))
    assert twenty < sixty < eighty_five


@pytest.mark.parametrize("call", [lambda: reflectance(1.0), lambda: reflectance(1.5, 90)])
def test_what_cannot_be_is_refused(call):
    with pytest.raises(RakelightError):
        call()
