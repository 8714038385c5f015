"""Several pieces on one calendar: every plan passes the check, and each piece reads its own in its own names."""

from __future__ import annotations

from dataclasses import fields, replace
from datetime import timedelta

import numpy as np
import pytest

from rakelight.plan.bounds import unhindered
from rakelight.plan.chances import full_course
from rakelight.plan.greedy import MANNERS, best_draft, run_pass
from rakelight.plan.ground import Ground
from rakelight.plan.planning import build_problem, make_plan
from rakelight.plan.problem import nodes_of
from rakelight.plan.scenarios import Doubts, draw
from rakelight.plan.together import apart, own_name, piece_of, together, together_state, together_wishes
from rakelight.plan.verify import verify
from rakelight.schedule.tasks import Work
from rakelight.state.model import Again, Fact, Pores, State, Trial

from .pieces import KEYS, desk_of, plan_of, problem_of


def test_one_piece_alone_keeps_its_names() -> None:
    work = desk_of("one-board").work
    assert together({"one-board": work}) is work
    plan = plan_of("one-board")
    assert apart(plan, "one-board") is plan
    with pytest.raises(ValueError):
        together({})


def test_the_plan_of_three_passes_the_check_in_every_manner() -> None:
    problem = problem_of(*KEYS)
    nodes = nodes_of(problem.work)
    assert len(nodes) == sum(len(nodes_of(desk_of(k).work)) for k in KEYS)
    for manner in MANNERS[:3]:
        draft = run_pass(problem, manner)
        assert verify(problem, draft) == []
        assert set(nodes) <= set(draft.laid)


def test_each_piece_has_its_own_steps_in_its_own_names() -> None:
    plan = plan_of(*KEYS)
    assert [f for f in plan.findings if f.id != "against-the-date"] == []  # the stools are late whoever plans
    for key in KEYS:
        own = apart(plan, key)
        known = set(nodes_of(desk_of(key).work))
        assert known <= set(own.placed) and not any(":" in k for k in own.placed)
        assert {k for k in own.placed if k not in known} <= {f"{k}/scuff-late" for k in known}
        assert all(own.placed[k].start == plan.placed[f"{key}:{k}"].start for k in own.placed)
        assert len(own.due) == 1 and own.due[0].likely == own.finish.likely  # type: ignore[union-attr]
    with pytest.raises(KeyError):
        apart(plan, "bench")


def test_reasons_name_a_step_of_another_piece_with_that_piece() -> None:
    plan = plan_of(*KEYS)
    names = {key: desk_of(key).piece.name for key in KEYS}
    said = {key: " ".join(p.why.says for p in apart(plan, key).placed.values() if p.why) for key in KEYS}
    assert not any(":" in w and w.split(":")[0] in KEYS for text in said.values() for w in text.split())
    assert any(names[other] in said[key] for key in KEYS for other in KEYS if other != key)
    assert not any(f"{names[key]}," in said[key] for key in KEYS)


def test_no_work_on_a_piece_before_its_own_start() -> None:
    problem = problem_of(*KEYS)
    draft, _ = best_draft(problem)
    first = {key: min(x.start for k, x in draft.laid.items() if piece_of(k) == key) for key in KEYS}
    assert first["music-cabinet"] >= 10 * 1440 > first["eight-stools"]
    early = replace(problem, begins={part: 20 * 1440 for part in problem.begins})
    assert any("before the work may begin" in says for says in verify(early, draft))


def test_the_odds_of_a_piece_begun_later_know_nothing_sooner_than_its_start() -> None:
    """Followed in every scenario, no piece is ready before it may be begun."""
    problem = problem_of("one-board", "eight-stools")
    late = replace(problem, begins={part: 60 * 1440 for part in problem.begins})
    now = desk_of("one-board").now
    due = {d.piece: d for d in make_plan(late, now, odds="dates").due}["one-board"]
    assert due.odds and due.odds.p10 and due.odds.p10 >= now + timedelta(days=60)


def test_together_no_piece_is_ready_before_it_could_be_alone() -> None:
    """What no plan of one piece can beat, no plan of several can beat either."""
    problem = problem_of(*KEYS)
    draft, _ = best_draft(problem)
    for key in KEYS[1:]:
        alone = unhindered(problem_of(key)).finish
        assert draft.finishes[key] >= alone - 1


def test_what_has_happened_to_each_piece_is_told_under_its_key() -> None:
    now = desk_of("one-board").now
    board = State(
        done={"board/sand": Fact("board/sand", now, now + timedelta(hours=1))},
        trials=(Trial("board/oil-2", "next coat", now + timedelta(days=2), False, 6.0),),
        kept={"board/oil-1": now + timedelta(days=3)},
    )
    stools = State(coats_taken={"leg/coat": 2}, factors={"drying:shellac_dewaxed": 1.2})
    both = together_state({"one-board": board, "eight-stools": stools})
    assert both.done["one-board:board/sand"].task == "one-board:board/sand"
    assert both.trials[0].task == "one-board:board/oil-2" and list(both.kept) == ["one-board:board/oil-1"]
    assert both.coats_taken == {"eight-stools:leg/coat": 2}
    assert both.factors == {"drying:shellac_dewaxed": 1.2}
    assert together_state({"one-board": board}) is board


def test_facts_of_one_piece_hold_among_others() -> None:
    """A board sanded and oiled, and a hand test that failed: the other piece is planned around it."""
    now = desk_of("one-board").now
    day = timedelta(days=1)
    done = {k: Fact(k, now - 3 * day, now - 3 * day + timedelta(minutes=30)) for k in ("board/sand", "board/oil-1")}
    trial = Trial("board/oil-2", "next coat", now, False, 48.0)
    works: dict[str, Work] = {k: desk_of(k).work for k in ("one-board", "music-cabinet")}
    states = {"one-board": State(done=done, trials=(trial,)), "music-cabinet": State()}
    wishes = together_wishes({k: desk_of(k).wishes for k in works})
    desk = desk_of("one-board")
    problem = build_problem(together(works), desk.shop, desk.facts, now, wishes, together_state(states))
    draft, _ = best_draft(problem)
    assert verify(problem, draft) == []
    own = apart(make_plan(problem, now), "one-board")
    assert own.placed["board/oil-1"].done and own.placed["board/sand"].start == now - 3 * day
    assert own.placed["board/oil-2"].start >= now + 2 * day


def test_names_come_back() -> None:
    assert own_name("bench:top/oil-1") == "top/oil-1" and piece_of("top/oil-1") == ""


def test_all_that_happened_to_each_piece_is_kept_under_its_own_key() -> None:
    """Every kind of thing the log tells, for two pieces whose steps have the same names."""
    at = desk_of("one-board").now
    full = State(
        {"top/oil-1": Fact("top/oil-1", at, at)}, (Trial("top/oil-2", "sand", at, False),), {"top/oil": 3},
        {"drying:shellac_dewaxed": 1.2}, ("dull day",), {"top/oil-1": at}, {"top/wax": at}, frozenset({"top/fill"}),
        (Again(("top/sand",), "top/wax", at),), {"top/oil-1": 80.0}, {"top/wax": 12.0}, {"top/oil-1": 25.0},
        {"top/fill": Pores(2, True, at)}, 2,
    )  # fmt: skip
    assert all(getattr(full, one.name) != getattr(State(), one.name) for one in fields(State))
    both = together_state({"a": full, "b": full})
    for name in ("done", "coats_taken", "kept", "started", "skipped", "used_ml", "used_g", "took_min", "pores"):
        one, found = getattr(full, name), getattr(both, name)
        assert set(found) == {f"{key}:{k}" for key in ("a", "b") for k in one}, name
    assert [(*a.tasks, a.before) for a in both.again] == [(f"{k}:top/sand", f"{k}:top/wax") for k in ("a", "b")]
    assert [t.task for t in both.trials] == ["a:top/oil-2", "b:top/oil-2"]
    assert both.factors == full.factors and both.finished_jobs == 2


def test_each_piece_may_have_a_part_done_again_of_its_own() -> None:
    """Of two pieces, both have one in about a sixteenth of the draws; never two parts of one piece."""
    problem = problem_of(*KEYS[:2])
    course = full_course(problem, best_draft(problem)[0])
    drawn = draw(course, 4000, 1, Doubts(redo=0.25))
    again = drawn.redo >= 0
    assert again.shape == (4000, 2)
    assert abs(again.mean() - 0.25) < 0.02 and abs(again.all(axis=1).mean() - 0.0625) < 0.015
    for column, key in enumerate(dict.fromkeys(piece_of(p) for p in course.redo_parts)):
        assert {piece_of(course.redo_parts[n]) for n in set(drawn.redo[:, column]) - {-1}} == {key}
    gone = Ground(course, 10**6).absent(drawn)
    for n, move in enumerate(course.moves):
        if move.redo:
            part = course.redo_parts.index(move.redo)
            assert np.array_equal(~gone[:, n], (drawn.redo == part).any(axis=1))
