"""Film relations: what they refuse, and that one undoes the other."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from rakelight.errors import RakelightError
from rakelight.physics import film

shares = st.floats(0.01, 1.0)
thick = st.floats(1.0, 500.0)


@given(thick, shares)
def test_wet_and_dry_undo_each_other(um: float, solids: float) -> None:
    assert film.dry_um(film.wet_for_um(um, solids), solids) == pytest.approx(um)


@given(thick, shares, st.floats(0.0, 3.0))
def test_thinning_never_leaves_more_film(wet: float, solids: float, thin: float) -> None:
    thinned = film.dry_um(wet, film.thinned_solids(solids, thin))
    assert thinned <= film.dry_um(wet, solids)
    assert thinned * (1 + thin) == pytest.approx(film.dry_um(wet, solids))


@given(st.floats(0.1, 50.0), thick, shares, st.floats(0.1, 1.0))
def test_volume_and_coverage_agree(area: float, um: float, solids: float, transfer: float) -> None:
    litres = film.volume_l(area, um, solids, transfer)
    assert film.thickness_um(litres * transfer, area) * solids == pytest.approx(um)


def test_arrays_go_through() -> None:
    got = film.dry_um(np.array([50.0, 70.0]), np.array([0.2, 0.2]))
    assert got.tolist() == pytest.approx([10.0, 14.0])


@pytest.mark.parametrize(
    "call",
    [
        lambda: film.dry_um(70.0, 1.2),
        lambda: film.thinned_solids(0.3, -0.1),
        lambda: film.thinned_solids(0.3, float("nan")),
        lambda: film.coverage_m2_per_l(0.0, 0.3),
        lambda: film.coverage_m2_per_l(10.0, 0.3, 1.5),
        lambda: film.needed(9.0, 0.0),
        lambda: film.dimple_um(80.0, 0.3, -1),
        lambda: film.wet_for_um(80.0, 0.0),
        lambda: film.thickness_um(1.0, 0.0),
    ],
)
def test_what_cannot_be_is_refused(call: object) -> None:
    with pytest.raises(RakelightError):
        call()  # type: ignore[operator]
