"""Bounds hold against every plan of every manner, and say which rule forces them."""

from __future__ import annotations

from functools import cache
from pathlib import Path

import pytest

from rakelight.desk import open_desk
from rakelight.plan.bounds import bound, unhindered
from rakelight.plan.greedy import MANNERS, best_draft, run_pass
from rakelight.plan.judged import best_possible
from rakelight.plan.problem import Problem
from rakelight.units import read_date

EXAMPLES = Path(__file__).parents[2] / "examples"
PAIRS = (
    ("music-cabinet", "shop-winter", "8 Feb 2027 8:00"),
    ("music-cabinet", "shop-winter", "7 Jun 2027 8:00"),
    ("eight-stools", "shop-evenings", "8 Feb 2027 8:00"),
    ("eight-stools", "shop-evenings", "6 Sep 2027 8:00"),
    ("one-board", "shop-winter", "8 Feb 2027 8:00"),
)


@cache
def problem_of(piece: str, shop: str, now: str) -> Problem:
    """The problem of an example, built once."""
    return open_desk(
        EXAMPLES / f"{piece}.toml",
        EXAMPLES / f"{shop}.toml",
        now=read_date(now),
        by=read_date("20 Dec 2027"),
        log_path=Path("never-written.jsonl"),
    ).problem


@pytest.mark.parametrize("which", PAIRS)
def test_no_plan_does_any_step_or_ends_before_the_bound(which: tuple[str, str, str]) -> None:
    problem = problem_of(*which)
    free = unhindered(problem)
    for manner in MANNERS[:4:3] if len(problem.jobs) > 4 else MANNERS:
        draft = run_pass(problem, manner)
        assert not draft.stuck
        least = bound(problem, draft)
        assert least.minute <= draft.finish
        assert least.late <= draft.late
        early = [k for k, x in draft.laid.items() if k in free.laid and x.start < free.laid[k].start]
        assert early == []
        assert all(free.reached[n] <= draft.reached[n] for n in draft.reached)


def test_a_board_alone_is_planned_as_well_as_can_be() -> None:
    problem = problem_of("one-board", "shop-winter", "8 Feb 2027 8:00")
    draft, _ = best_draft(problem)
    best = best_possible(problem, draft, "greedy")
    assert best is not None
    assert (best.proven, best.which, best.gap) == (True, "waits", 0.0)


def test_the_gap_is_of_the_time_from_the_start() -> None:
    problem = problem_of("music-cabinet", "shop-winter", "8 Feb 2027 8:00")
    draft = run_pass(problem, MANNERS[-1])
    best = best_possible(problem, draft, "greedy")
    least = bound(problem, draft)
    assert best is not None
    assert not best.proven
    assert best.gap_h == pytest.approx((draft.finish - least.minute) / 60)
    assert best.gap == pytest.approx((draft.finish - least.minute) / (draft.finish - problem.start))
    assert 0 < best.gap < 0.5
