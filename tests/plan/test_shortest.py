"""What no plan beats, proven over the tables of waits: held against every plan found, and against the older bound."""

from __future__ import annotations

import math
from dataclasses import replace
from datetime import timedelta
from pathlib import Path

import numpy as np
import pytest

from rakelight.plan.draft import Draft
from rakelight.plan.exact.asked import least_of
from rakelight.plan.exact.latest import Room
from rakelight.plan.exact.least import LeastModel
from rakelight.plan.exact.shortest import shortest
from rakelight.plan.exact.solve import solve
from rakelight.plan.greedy import MANNERS, best_draft, run_pass
from rakelight.plan.polish import polish
from rakelight.plan.problem import Problem
from rakelight.plan.timeline import Hours
from rakelight.plan.verify import verify

from .pieces import EFFORT, example, greedy, two_boards

CASES = (
    ("music-cabinet", "shop-winter"),
    ("eight-stools", "shop-evenings"),
    ("rosewood-box", "shop-fair"),
    ("rosewood-box", "shop-evenings"),
    ("one-board", "shop-winter"),
)


def plans(problem: Problem, draft: Draft) -> list[Draft]:
    """Sound plans that came about in many ways, few of them good."""
    found = [draft, *(run_pass(problem, manner) for manner in MANNERS)]
    found += [polish(problem, draft, 20.0, tries=3, seed=s) for s in (1, 2)]
    return [d for d in found if not d.stuck and not verify(problem, d)]


@pytest.mark.parametrize(("piece", "shop"), CASES)
def test_every_sound_plan_keeps_what_the_model_asks(piece: str, shop: str) -> None:
    """Each wait of the tables, each head and each latest start holds in plans the model has no part in."""
    problem, draft = example(piece, shop), greedy(piece, shop)
    least = least_of(problem)
    several = plans(problem, draft)
    assert len(several) > 3
    for plan in several:
        room = Room(problem, least, math.ceil(plan.finish / 5))
        assert not room.hopeless
        for key, laid in plan.laid.items():
            if key in room.nodes:
                wet_from = laid.start + laid.before_min
                assert room.head[key] * 5 <= wet_from + 4
                assert wet_from <= room.late[key] * 5 + 4, key
        for asked in room.least.asked:
            before = plan.laid[asked.before]
            end = before.laid_end if room.nodes[asked.before].task.lay else before.end
            reached = float(np.interp(end / 5, room.tables.ticks, room.tables.of(asked))) * 5
            after = plan.laid[asked.after].start + plan.laid[asked.after].before_min if asked.after else plan.finish
            assert reached <= after + 2, asked


@pytest.mark.parametrize(("piece", "shop"), CASES)
def test_a_sound_plan_is_a_solution_of_the_model(piece: str, shop: str) -> None:
    """Its own starts, fixed in the model, break none of its rules: the model leaves out and puts nothing in."""
    problem, draft = example(piece, shop), greedy(piece, shop)
    model = LeastModel(problem, least_of(problem), draft, math.ceil(draft.finish / 5))
    for key, step in model.steps.items():
        laid = draft.laid[key]
        if not laid.done and len(step.segments) <= 1:
            model.cp.add(step.start == (laid.start + laid.before_min) // 5)
    solver = EFFORT.solver(60.0)
    solver.parameters.max_deterministic_time = 1.0
    assert solver.status_name(solver.solve(model.cp)) in ("OPTIMAL", "FEASIBLE")


@pytest.mark.parametrize(("piece", "shop"), CASES[1:])
def test_what_is_proven_is_never_past_a_plan_and_never_before_the_older_bound(piece: str, shop: str) -> None:
    problem, draft = example(piece, shop), greedy(piece, shop)
    least = least_of(problem)
    found = shortest(problem, least, draft, math.inf, replace(EFFORT, units=0.15))
    assert all(found.least <= plan.finish for plan in plans(problem, draft))
    assert found.least >= least.free.finish - 10


def test_a_plan_that_is_the_best_is_proven_so() -> None:
    problem, draft = example("one-board", "shop-winter"), greedy("one-board", "shop-winter")
    found, proof = solve(problem, draft, EFFORT)
    assert found.finish - proof.least <= 5


@pytest.mark.parametrize(("long_", "other"), ((60, 50), (110, 70)))
def test_of_four_steps_it_proves_what_every_order_tried_comes_to(tmp_path: Path, long_: int, other: int) -> None:
    problem = two_boards(tmp_path, long_, other)
    found, proof = solve(problem, best_draft(problem)[0], replace(EFFORT, units=1.0))
    assert proof.least <= found.finish <= proof.least + 5


def proven(problem: Problem) -> float:
    """The finish of a plan of four steps that is proven the earliest."""
    found, proof = solve(problem, best_draft(problem)[0], replace(EFFORT, units=0.5))
    assert not verify(problem, found) and found.finish - proof.least <= 15
    return found.finish


def test_another_drying_place_never_worsens_the_best(tmp_path: Path) -> None:
    problem = two_boards(tmp_path, 60, 50)
    place = problem.shop.first_place
    shops = [replace(problem.shop, places={place.name: replace(place, drying_places=n)}) for n in (1, 2)]
    one, two = (proven(replace(problem, shop=shop)) for shop in shops)
    assert two <= one + 15


def test_a_shop_always_open_is_as_one_with_no_hours_at_all(tmp_path: Path) -> None:
    """All day every day, in one stretch or in one for each day: the same plan."""
    problem = two_boards(tmp_path, 60, 50)
    origin, zone = problem.hours.origin, problem.hours.zone
    one = Hours(origin, [(origin, origin + timedelta(days=60))], zone)
    days = Hours(origin, [(origin + timedelta(days=n), origin + timedelta(days=n + 1)) for n in range(60)], zone)
    drafts = [best_draft(replace(problem, hours=hours))[0] for hours in (one, days)]
    assert drafts[0].finish == drafts[1].finish
    assert drafts[0].finish < best_draft(problem)[0].finish
