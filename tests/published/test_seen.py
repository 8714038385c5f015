"""Bands of the structure spectrum against the limits of the eye.

Bands: dullness under 0.1 mm, Wa 0.1 to 0.3, Wb 0.3 to 1, Wc 1 to 3, Wd 3 to 10, We 10 to 30 mm (encyclopaedia
article on orange peel, section on measurement). Structures of about 0.1 to 10 mm are seen directly, finer ones blur
(article on visual appearance). The eye: best near 5 cycles a degree, none beyond about 60 (National Research Council
1985, appendix A, after Campbell and Robson 1968).
"""

from __future__ import annotations

from itertools import pairwise

import pytest

from rakelight.facts import load
from rakelight.physics.seen import BANDS, EYE_LIMIT, cycles_per_degree, resolved, seen_as


def test_the_bands_are_those_published() -> None:
    assert [(letter, most) for most, letter, _ in BANDS] == [
        ("", 0.1), ("Wa", 0.3), ("Wb", 1.0), ("Wc", 3.0), ("Wd", 10.0), ("We", 30.0),
    ]  # fmt: skip
    assert len({seen_as((a + b) / 2) for (a, *_), (b, *_) in pairwise(BANDS)}) == len(BANDS) - 1


@pytest.mark.parametrize(
    ("width_mm", "distance_m", "cycles"), [(0.1, 0.4, 69.8), (1, 0.4, 7.0), (3, 0.4, 2.3), (3, 3, 17.5)]
)
def test_cycles_as_worked_out(width_mm: float, distance_m: float, cycles: float) -> None:
    assert cycles_per_degree(width_mm, distance_m) == pytest.approx(cycles, abs=0.05)


def test_the_finest_band_is_where_an_eye_close_up_resolves_no_more() -> None:
    assert not resolved(0.1, 0.4) and resolved(0.12, 0.4) and EYE_LIMIT == 60
    assert resolved(1.0, 3.0) and resolved(0.3, 3.0) is not resolved(0.3, 0.4)


def test_pores_lie_in_the_bands_of_blur_and_fine_texture() -> None:
    """Pores are 0.05 to 0.4 mm wide (wood anatomy, from memory): none of them is orange peel."""
    found = {seen_as(um / 1000) for w in load().woods.values() for um in (w.pore_width_um or ())}
    assert found <= {"dulls the shine", "blurs what is mirrored, close up", "shows as fine texture"} and len(found) == 3


@pytest.mark.parametrize("call", [(0, 1), (1, 0), (-1, 1)])
def test_no_width_is_refused(call: tuple[float, float]) -> None:
    with pytest.raises(ValueError):
        cycles_per_degree(*call)
