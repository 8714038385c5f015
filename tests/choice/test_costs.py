"""What a finish costs: plain sums that come out for whoever works them again."""

from __future__ import annotations

import re
from collections.abc import Callable

import pytest

from rakelight.choice.costs import Rates, cost_of
from rakelight.choice.judging import once
from rakelight.desk import Desk
from rakelight.errors import Finding, Severity, Where

STOOL = """
piece = "Two frames"
unit = "mm"
start = "8 Feb 2027"
wanted = [{ by = "10 May 2027" }]
[part.post]
wood = "cherry"
count = 4
long = 1000
wide = 100
thick = 20
finish = "oil-and-wax"
both_faces = "on points"
[part.frame]
count = 2
of = { post = 2 }
join = "glue"
"""


def test_a_redo_sands_each_face_of_a_joined_piece_once(on_desk: Callable[..., Desk]) -> None:
    """Four posts of 2 x (1000 x 100 + 1000 x 20 + 100 x 20) mm, whatever they are joined to."""
    desk = on_desk(STOOL)
    cost, _ = cost_of(desk.work, None, desk.shop, desk.facts, Rates())
    minutes = desk.facts.labour["sand one grit"].minutes_per_m2.likely * desk.facts.likely("redo_papers")
    area_m2 = 4 * 2 * (1.0 * 0.1 + 1.0 * 0.02 + 0.1 * 0.02)
    assert cost.redo_hours is not None
    sanding_h = cost.redo_hours.likely - cost.all_hours.likely
    assert sanding_h == pytest.approx(minutes * area_m2 / 60, rel=0.02)


def test_the_sums_shown_come_out_as_shown(on_desk: Callable[..., Desk]) -> None:
    desk = on_desk(STOOL)
    cost, _ = cost_of(desk.work, None, desk.shop, desk.facts, Rates(hour=47.0, overhead_hour=13.0))
    shown = [re.findall(r"[\d.]+", says) for says in cost.sums if " x " in says]
    assert len(shown) == 2
    for hours, rate, money in shown:
        assert float(hours) * float(rate) == pytest.approx(float(money), abs=0.5)


def _haze(step: str, margin_k: float, part: str = "top") -> Finding:
    says = f"Lacquer laid for {step} comes to {margin_k} K above the dew point."
    where = Where("book.toml", 4, part, "top", step)
    return Finding("may-haze", Severity.WARNING, where, says, "Warm it.", figures={"margin_k": margin_k})


def test_one_haze_over_several_coats_is_said_once_of_the_worst_with_the_coats_counted() -> None:
    found = once([_haze("coat 1", 1.2), _haze("coat 2", 0.4), _haze("coat 3", 0.9), _haze("coat 1", 1.0, "base")])
    assert [f.where.part for f in found] == ["top", "base"]
    assert "0.4 K" in found[0].says and "3 coats" in found[0].says
    assert found[1].says == _haze("coat 1", 1.0).says
    assert len(once([_haze("coat 1", 1.2), _haze("seal", 1.1)])) == 2, "another step is said by itself"
