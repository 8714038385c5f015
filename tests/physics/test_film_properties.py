"""Of any film: more solids never thinner, more coats never likelier through."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st

from rakelight.physics import cutting, film

solids = st.floats(0.02, 1.0)
um = st.floats(0.5, 300.0)
cvs = st.floats(0.05, 0.6)


@given(um, solids, solids)
def test_more_solids_never_thinner(wet: float, one: float, other: float) -> None:
    less, more = sorted((one, other))
    assert film.dry_um(wet, less) <= film.dry_um(wet, more)


@given(um, st.integers(1, 12), st.floats(0.0, 60.0), cvs, cvs)
def test_more_coats_never_likelier_to_go_through(coat: float, n: int, off: float, cv: float, hand: float) -> None:
    """Of coats that melt into one film."""
    chances = [cutting.chance(coat * k, off, cv, hand) for k in (n, n + 1)]
    assert chances[1] <= chances[0]


@given(um, st.floats(0.0, 60.0), st.floats(0.0, 60.0), cvs, cvs)
def test_taking_more_is_never_less_likely_through(
    there: float, off: float, more: float, cv: float, hand: float
) -> None:
    assert cutting.chance(there, off, cv, hand) <= cutting.chance(there, off + more, cv, hand)
