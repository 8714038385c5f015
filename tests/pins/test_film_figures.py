"""Film worked out with the relations themselves: pinned, not truth. Source: film_build.md, derived cases."""

from __future__ import annotations

import pytest

from rakelight.physics import film, mixing


def test_shellac_of_two_pounds() -> None:
    """From the resin's density: 0.1665 of the volume stays; 3 mil wet leave 0.50 mil."""
    solids = mixing.solids_volume(2, 1.20)
    assert solids == pytest.approx(0.1665, abs=5e-5)
    assert film.dry_um(3.0, solids) == pytest.approx(0.50, abs=0.005)
