"""Rags wet with drying oil are a line of the plan at once, before the next step (fire codes; common practice)."""

from __future__ import annotations

from pathlib import Path

import pytest

from rakelight.desk import open_desk
from rakelight.facts import load
from rakelight.plan.model import rags_span
from rakelight.units import read_date

EXAMPLES = Path(__file__).parents[2] / "examples"


@pytest.mark.parametrize("piece", ["music-cabinet", "eight-stools"])
def test_rags_come_before_the_next_step_and_only_after_oil(piece: str) -> None:
    shop = {"music-cabinet": "shop-winter", "eight-stools": "shop-evenings"}[piece]
    desk = open_desk(EXAMPLES / f"{piece}.toml", EXAMPLES / f"{shop}.toml", now=read_date("8 February 2027 8:00"))
    answer = desk.plan()
    tasks = {t.id: t for job in answer.work.jobs.values() for t in job.tasks}
    starts = sorted(span[0] for p in answer.plan.placed.values() for span in p.spans)
    oily = 0
    for key, placed in answer.plan.placed.items():
        span = rags_span(tasks.get(key), placed)
        if span is None:
            continue
        oily += 1
        assert placed.start < span[0] < span[1] == placed.end
        assert not any(span[0] < begins < span[1] for begins in starts)
    laid = [t for t in tasks.values() if t.lay and load().materials[t.lay.material].mechanism == "oxidative"]
    assert oily >= len(laid) > 0
    shellac = [t for t in tasks.values() if t.lay and t.lay.material == "shellac_dewaxed"]
    assert not any(t.rags_min for t in shellac)
