"""Film relations: what they refuse, and that thinner adds no film."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from rakelight.errors import RakelightError
from rakelight.physics import film

shares = st.floats(0.01, 1.0)
thick = st.floats(1.0, 500.0)


@given(thick, shares, st.floats(0.0, 3.0))
def test_thinning_never_leaves_more_film(wet: float, solids: float, thin: float) -> None:
    thinned = film.dry_um(wet, film.thinned_solids(solids, thin))
    assert thinned <= film.dry_um(wet, solids)
    assert thinned * (1 + thin) == pytest.approx(film.dry_um(wet, solids))


def test_arrays_go_through() -> None:
    got = film.dry_um(np.array([50.0, 70.0]), np.array([0.2, 0.2]))
    assert got.tolist() == pytest.approx([10.0, 14.0])


@pytest.mark.parametrize(
    "call",
    [
        lambda: film.dry_um(70.0, 1.2),
        lambda: film.thinned_solids(0.3, -0.1),
        lambda: film.thinned_solids(0.3, float("nan")),
    ],
)
def test_what_cannot_be_is_refused(call: object) -> None:
    with pytest.raises(RakelightError):
        call()  # type: ignore[operator]
