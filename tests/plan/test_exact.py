"""The exact solver on pieces: sound, never worse, never past a bound, and as good as trying every order."""

from __future__ import annotations

from itertools import permutations
from pathlib import Path

import pytest

from rakelight.errors import Misread
from rakelight.plan.bounds import bound
from rakelight.plan.exact.links import Reader, event_minute
from rakelight.plan.exact.replay import replay
from rakelight.plan.exact.solve import rank, solve
from rakelight.plan.greedy import best_draft
from rakelight.plan.problem import nodes_of
from rakelight.plan.solving import Ask
from rakelight.plan.verify import verify

from .pieces import EFFORT, example, greedy, two_boards


@pytest.mark.parametrize(("piece", "shop"), (("eight-stools", "shop-evenings"), ("one-board", "shop-winter")))
def test_it_is_sound_never_worse_and_never_past_the_bound(piece: str, shop: str) -> None:
    problem, draft = example(piece, shop), greedy(piece, shop)
    found, proof = solve(problem, draft, EFFORT)
    assert verify(problem, found) == []
    assert set(nodes_of(problem.work)) <= set(found.laid)
    assert rank(found) <= rank(draft)
    assert bound(problem, found).minute <= found.finish
    assert proof.rounds >= 1


def test_waits_read_off_a_plan_are_the_waits_of_that_plan() -> None:
    problem, draft = example("music-cabinet", "shop-winter"), greedy("music-cabinet", "shop-winter")
    nodes = nodes_of(problem.work)
    links = Reader(problem, nodes, draft).read()
    for key, laid in draft.laid.items():
        waits = [event_minute(draft.laid[w.before]) + w.minutes for w in links.waits if w.after == key]
        assert all(w <= laid.start + 1 for w in waits)
    for n, rows in links.dates.items():
        reached = max(event_minute(draft.laid[w.before]) + w.minutes for w in rows)
        assert reached == pytest.approx(draft.reached[n], abs=1)
    assert sum(bool(w.minutes > 24 * 60) for w in links.waits) > 5


@pytest.mark.parametrize("keep", (True, False))
def test_a_plan_laid_out_again_is_sound(keep: bool) -> None:
    problem, draft = example("music-cabinet", "shop-winter"), greedy("music-cabinet", "shop-winter")
    spans = {key: laid.spans for key, laid in draft.laid.items()}
    again = replay(problem, nodes_of(problem.work), spans, draft.floors, keep)
    assert verify(problem, again) == []
    assert again.finish <= draft.finish


def test_laid_out_elsewhere_it_keeps_the_planned_starts_it_may() -> None:
    problem, draft = example("one-board", "shop-winter"), greedy("one-board", "shop-winter")
    week = 7 * 1440
    spans = {key: tuple((a + week, b + week) for a, b in laid.spans) for key, laid in draft.laid.items()}
    kept = replay(problem, nodes_of(problem.work), spans, {}, True)
    assert kept.laid["board/sand"].start == week
    assert all(kept.laid[key].start >= spans[key][0][0] for key in spans)
    assert replay(problem, nodes_of(problem.work), spans, {}, False).finish == draft.finish


def test_it_is_as_good_as_every_order_tried() -> None:
    problem, draft = example("one-board", "shop-winter"), greedy("one-board", "shop-winter")
    nodes = nodes_of(problem.work)
    best = min(
        replay(problem, nodes, {k: ((n, n),) for n, k in enumerate(order)}, {}, False).finish
        for order in permutations(nodes)
    )
    assert solve(problem, draft, EFFORT)[0].finish == best


@pytest.mark.parametrize(("long_", "other"), ((60, 50), (90, 30), (30, 150), (110, 70)))
def test_of_four_steps_every_order_tried_is_no_better(tmp_path: Path, long_: int, other: int) -> None:
    problem = two_boards(tmp_path, long_, other)
    nodes = nodes_of(problem.work)
    assert len(nodes) == 4
    orders = [{k: ((n, n),) for n, k in enumerate(order)} for order in permutations(nodes)]
    tried = [replay(problem, nodes, order, {}, False) for order in orders]
    found, _ = solve(problem, best_draft(problem)[0], EFFORT)
    assert verify(problem, found) == []
    assert found.finish <= min(d.finish for d in tried)
    assert bound(problem, found).minute <= found.finish


def test_a_poor_plan_is_made_better(tmp_path: Path) -> None:
    problem = two_boards(tmp_path, 110, 70)
    nodes = nodes_of(problem.work)
    week = 7 * 1440
    late = {key: tuple((a + week, b + week) for a, b in x.spans) for key, x in best_draft(problem)[0].laid.items()}
    poor = replay(problem, nodes, late, {}, True)
    found, proof = solve(problem, poor, EFFORT)
    assert proof.improved
    assert verify(problem, found) == []
    assert found.finish < poor.finish - 5 * 1440


@pytest.mark.parametrize(
    ("solver", "seconds"), (("best", None), ("greedy", 3.0), ("exact", 0.0), ("exact", -1.0), ("exact", float("nan")))
)
def test_a_solver_or_time_that_makes_no_sense_is_said(solver: str, seconds: float | None) -> None:
    with pytest.raises(Misread):
        Ask(solver, seconds)


def test_auto_asks_the_exact_solver_only_where_seconds_are_given() -> None:
    problem = example("one-board", "shop-winter")
    assert [Ask(s, t).wants_exact(problem) for s, t in (("auto", None), ("auto", 2.0), ("greedy", None))] == [
        False,
        True,
        False,
    ]
    assert Ask("exact").wants_exact(problem)
