"""Moisture and movement worked out with the equations themselves, apart from this code: pinned, not truth.

Source: methods of the moisture core; coefficients of the Celsius set as read.
"""

from __future__ import annotations

import pytest

from rakelight.facts import load
from rakelight.physics.cup import cup_mm
from rakelight.physics.emc import emc_pct, rh_of_emc
from rakelight.schedule.wood_known import wood_known
from rakelight.schedule.wood_moves import moves
from rakelight.units import MM_PER_IN

FACTS = load()
HAND = [
    (20, 0.10, 2.4926), (20, 0.30, 6.1882), (20, 0.50, 9.2711), (20, 0.65, 11.9963), (20, 0.80, 16.0371),
    (20, 0.90, 20.5311), (0, 0.50, 9.5194), (10, 0.50, 9.4663), (30, 0.50, 8.9689), (40, 0.50, 8.5872),
    (25, 0.35, 6.8606), (15, 0.75, 14.6314),
]  # fmt: skip


@pytest.mark.parametrize(("temp_c", "rh", "pct"), HAND)
def test_numbers_of_the_equation(temp_c: float, rh: float, pct: float) -> None:
    assert emc_pct(float(temp_c), rh) == pytest.approx(pct, abs=0.001)


@pytest.mark.parametrize(("temp_c", "pct", "rh"), [(20, 6, 0.2881), (20, 8, 0.4183), (20, 12, 0.6502), (25, 8, 0.4262)])
def test_the_way_back_by_halving(temp_c: float, pct: float, rh: float) -> None:
    assert rh_of_emc(float(temp_c), float(pct)) == pytest.approx(rh, abs=1e-4)


@pytest.mark.parametrize(("cut", "told_mm"), [("flat", 4.68), ("quarter", 3.25)])
def test_walnut_of_400_mm_from_40_to_65_per_cent(cut: str, told_mm: float) -> None:
    """At 20 C: 4.27 % moisture."""
    change = moves(wood_known(FACTS, "black walnut"), 400, cut, 7.722, 11.996).change_mm
    assert change.likely == pytest.approx(told_mm, abs=0.01)


@pytest.mark.parametrize(
    ("gap_pct", "wide_in", "thick_in", "told_in"), [(0.46, 40, 1, 0.25), (3, 20, 2, 0.21)]
)
def test_walnut_cups_by_the_bend_of_two_strips(gap_pct: float, wide_in: float, thick_in: float, told_in: float) -> None:
    """Gaps set so that d = e W2 / 8t gives what cases C47 and C59 tell: the bow there is not so proved."""
    per_pct = wood_known(FACTS, "black walnut").moves("flat")
    found = cup_mm(gap_pct, per_pct, wide_in * MM_PER_IN, thick_in * MM_PER_IN)
    assert found / MM_PER_IN == pytest.approx(told_in, abs=0.01)
