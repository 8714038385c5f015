"""A plan of several pieces made better in the time given, and what the greedy planner leans on."""

from __future__ import annotations

import random

import pytest

from rakelight.plan.doing import Doing
from rakelight.plan.greedy import best_draft, run_pass
from rakelight.plan.polish import polish
from rakelight.plan.problem import nodes_of
from rakelight.plan.rooms import Room, Spans
from rakelight.plan.timeline import minus
from rakelight.plan.verify import verify

from .pieces import KEYS, problem_of


def test_polishing_never_makes_a_plan_worse_and_it_passes_the_check() -> None:
    problem = problem_of(*KEYS)
    draft = run_pass(problem, best_draft(problem)[1])
    told: list[str] = []
    better = polish(problem, draft, 60.0, told.append, tries=24)
    assert better.score < draft.score
    assert verify(problem, better) == []
    assert set(better.laid) >= set(draft.laid) - {k for k in draft.laid if k.endswith("/scuff-late")}


def test_polishing_draws_the_same_tries_each_time() -> None:
    problem = problem_of("one-board", "eight-stools")
    draft, _ = best_draft(problem)
    first, again = (polish(problem, draft, 60.0, tries=4) for _ in range(2))
    assert first.score == again.score <= draft.score


@pytest.mark.parametrize("seed", range(20))
def test_spans_found_by_halving_are_those_found_by_looking_at_each(seed: int) -> None:
    rng = random.Random(seed)
    spans = Spans()
    for _ in range(60):
        start = rng.randrange(1000)
        spans.add((start, start + rng.choice((5, 20, 400))))
    for _ in range(30):
        start = rng.randrange(1000)
        end = start + rng.randrange(1, 300)
        touching = [s for s in spans.rows if s[0] < end and s[1] > start]
        assert [s for s in spans.near(start, end) if s[1] > start] == touching
        assert list(minus((start, end), spans.near(start, end))) == list(minus((start, end), spans.rows))


@pytest.mark.parametrize("seed", range(20))
def test_a_room_is_full_when_counting_says_so(seed: int) -> None:
    """Against a plain count, minute by minute, after lots came, went and were taken away."""
    rng = random.Random(seed)
    room = Room("shop", 3, 60)
    plain: list[list[object]] = []
    for n in range(25):
        chain, start = f"lot {n % 7}", rng.randrange(300)
        for row in plain:
            if row[0] == chain and row[2] > start:  # type: ignore[operator]
                row[2] = max(start, row[1])  # type: ignore[call-overload]
        room.leave(chain, start)
        until = start + rng.randrange(1, 80)
        plain.append([chain, start, until])
        room.stand(chain, start, until, 1)
        at, end = start + rng.randrange(40), start + 60
        most = max(sum(a <= m < b for c, a, b in plain if c != "new") for m in range(at, end))  # type: ignore[operator]
        assert (room.full(at, end, 1, "new") is not None) == (most + 1 > 3)


def test_room_for_cleaning_is_the_last_way_tried() -> None:
    """A coat that found no other way was laid past closing where the whole came first in the list."""
    problem = problem_of("music-cabinet")
    nodes = nodes_of(problem.work)
    clean = round(problem.facts.figure("brush_clean_min").value.likely)
    fitting = Doing(problem, nodes, 0.05, 14.4, {}, {}).fitting
    brushed = [n.task for n in nodes.values() if n.task.lay and n.task.lay.by == "brush" and n.task.do == "coat"]
    assert brushed
    for task in brushed:
        assert fitting.sessions_to_try(task, problem.start)[-1].after == clean > 0
