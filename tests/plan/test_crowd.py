"""What several pieces cost one another: no plan may beat the bound, and it is never below each piece alone."""

from __future__ import annotations

from dataclasses import replace

import pytest

from rakelight.plan.bounds import unhindered
from rakelight.plan.crowd import crowded
from rakelight.plan.greedy import best_draft
from rakelight.plan.planning import build_problem, make_plan
from rakelight.plan.polish import polish
from rakelight.plan.problem import Problem
from rakelight.plan.together import apart, together, together_wishes

from .pieces import KEYS, desk_of, problem_of


def alike(count: int) -> Problem:
    """So many of the same board, all wanted the same day."""
    desk = desk_of("one-board")
    names = [f"board-{n}" for n in range(count)]
    work, wishes = together(dict.fromkeys(names, desk.work)), together_wishes(dict.fromkeys(names, desk.wishes))
    return build_problem(work, desk.shop, desk.facts, desk.now, wishes)


@pytest.mark.parametrize("keys", (KEYS, KEYS[:2], KEYS[1:]))
def test_no_plan_beats_the_sum_of_what_each_costs_the_others(keys: tuple[str, ...]) -> None:
    problem = problem_of(*keys)
    draft, _ = best_draft(problem)
    better = polish(problem, draft, 30.0, tries=5)
    least, _ = crowded(problem, unhindered(problem))
    alone = sum(unhindered(problem).finishes[k] for k in keys)
    assert alone - 1e-6 <= least <= better.total <= draft.total


def test_endless_drying_places_do_not_beat_it_either() -> None:
    """Much room and air of no dust to settle: nearer to the bound, never below."""
    problem = alike(4)
    places = {n: replace(p, drying_places=1000) for n, p in problem.shop.places.items()}
    wide = replace(problem, shop=replace(problem.shop, places=places), settle=0)
    least, which = crowded(wide, unhindered(wide))
    draft, _ = best_draft(wide)
    draft = polish(wide, draft, 30.0, tries=5)
    alone = sum(unhindered(wide).finishes.values())
    assert alone < least <= draft.total and which == "maker's hours"


def test_two_boards_cost_by_hand_what_sanding_the_first_takes() -> None:
    """Two alike boards: the second is sanded after the first, and the rest of its way is the same waits."""
    problem = alike(2)
    free = unhindered(problem)
    least, _ = crowded(problem, free)
    alone = next(iter(free.finishes.values()))
    sand = problem.work.task("board-0:board/sand").minutes.likely
    assert least >= 2 * alone
    assert sand < 480 and least - 2 * alone <= 3 * 1440  # minutes of sanding put the other off by days at the most


def test_the_gap_of_several_is_said_for_all_and_for_each() -> None:
    problem = problem_of(*KEYS)
    plan = make_plan(problem, desk_of(KEYS[0]).now)
    assert plan.best is not None and 0 <= plan.best.gap < 1 and set(plan.best_of) == set(KEYS)
    for key in KEYS:
        own = apart(plan, key)
        assert own.best is plan.best_of[key] and own.best.value <= own.due[0].likely  # type: ignore[operator, union-attr]
