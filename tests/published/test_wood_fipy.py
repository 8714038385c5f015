"""The moisture core against FiPy, a general package for such equations (test only): same cells, same steps."""

from __future__ import annotations

import numpy as np
import pytest
from bench import wood

DAYS = 20


def test_core_and_fipy_agree_at_the_same_step(monkeypatch: pytest.MonkeyPatch) -> None:
    """A board of 24 even cells behind films, diffusivity rising with moisture, implicit steps of a day.

    FiPy takes each day's diffusivity from the day before, as the core does: the daily means agree to a hundredth of
    what the days move the board.
    """
    pytest.importorskip("fipy")
    monkeypatch.setattr(wood, "DAYS", DAYS)
    ours, theirs = wood.core(1)[:DAYS], wood.with_fipy()
    moved = float(np.ptp(theirs))
    assert moved > 1e-4
    assert np.abs(ours - theirs).max() < 0.01 * moved


def test_a_wrong_diffusivity_would_be_seen(monkeypatch: pytest.MonkeyPatch) -> None:
    """The twin: with another diffusivity in the core alone the two part."""
    pytest.importorskip("fipy")
    monkeypatch.setattr(wood, "DAYS", DAYS)
    theirs = wood.with_fipy()
    monkeypatch.setattr(wood, "D0", 3 * wood.D0)
    assert np.abs(wood.core(1)[:DAYS] - theirs).max() > 0.01 * float(np.ptp(theirs))
