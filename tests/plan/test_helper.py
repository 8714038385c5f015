"""A helper for some hours: whom a step is given to, and that nothing is worse or wrong for it."""

from __future__ import annotations

import itertools
from dataclasses import replace
from datetime import time, timedelta
from functools import cache
from pathlib import Path

import pytest
from tests.plan.pieces import Week, example, greedy, helped, problem_of, two_boards

from rakelight.plan.bounds import bound
from rakelight.plan.conflict import Against
from rakelight.plan.draft import Draft
from rakelight.plan.greedy import MANNERS, best_draft, run_pass
from rakelight.plan.hands import HELPER, Crew, Helping
from rakelight.plan.planning import make_plan
from rakelight.plan.problem import Problem, nodes_of
from rakelight.plan.solving import Ask
from rakelight.plan.timeline import Hours
from rakelight.plan.verify import verify
from rakelight.shop.model import Helper

#: seven days a week, for so many hours of the day
DAILY: Week = dict.fromkeys(range(7), ((time(8), time(12)), (time(13), time(17))))
SATURDAY: Week = {5: ((time(9), time(13)),)}


def always(problem: Problem) -> Problem:
    """Open day and night, so that nothing but hands counts."""
    origin = problem.hours.origin
    hours = Hours(origin, [(origin, origin + timedelta(days=300))], problem.hours.zone)
    return replace(problem, hours=hours)


@cache
def planned(piece: str, shop: str, daily: bool = True) -> tuple[Problem, Draft]:
    """An example with a helper, and its plan."""
    problem = helped(example(piece, shop), DAILY if daily else SATURDAY)
    return problem, best_draft(problem)[0]


# -- worth ------------------------------------------------------------------------------------------


def test_two_sanding_jobs_of_one_length_take_half_the_time(tmp_path: Path) -> None:
    """Of two hands each sands one board; the wait for the maker's brush comes after."""
    open_ = always(two_boards(tmp_path, 96, 96))
    task = {key: node.task for key, node in nodes_of(open_.work).items()}
    sands = [key for key in task if key.endswith("/sand")]
    same = max((task[key].minutes for key in sands), key=lambda m: m.likely)
    jobs = {
        name: replace(job, tasks=tuple(replace(t, minutes=same) if t.do == "sand" else t for t in job.tasks))
        for name, job in open_.jobs.items()
    }
    open_ = replace(open_, work=replace(open_.work, jobs=jobs))
    both = replace(open_, helper=Helping(open_.hours, frozenset({"sand"})))

    def sanded(draft: Draft) -> int:
        return max(draft.laid[key].end for key in sands) - min(draft.laid[key].start for key in sands)

    one = 5 * -(-same.likely // 5)
    by_both = run_pass(both, MANNERS[0])
    assert sanded(run_pass(open_, MANNERS[0])) == pytest.approx(2 * one, abs=75)  # a coat may come in between
    assert sanded(by_both) == one
    assert {by_both.laid[key].who for key in sands} == {"", HELPER}


@pytest.mark.parametrize(("piece", "shop"), [("one-board", "shop-winter"), ("eight-stools", "shop-evenings")])
def test_no_plan_is_worse_with_a_helper(piece: str, shop: str) -> None:
    alone = greedy(piece, shop).score
    for daily in (True, False):
        _, draft = planned(piece, shop, daily)
        assert draft.score <= alone


def test_a_helper_who_comes_too_seldom_is_not_waited_for() -> None:
    """What the maker ends sooner he does himself: a year without Saturdays is the plan without a helper."""
    problem = helped(example("one-board", "shop-winter"), SATURDAY, ("turn",))
    assert best_draft(problem)[0].score == greedy("one-board", "shop-winter").score


def test_stools_are_done_sooner_with_a_helper_every_day() -> None:
    _, draft = planned("eight-stools", "shop-evenings")
    assert draft.score < greedy("eight-stools", "shop-evenings").score
    assert any(laid.who == HELPER for laid in draft.laid.values())


# -- soundness --------------------------------------------------------------------------------------


@pytest.mark.parametrize(("piece", "shop"), [("one-board", "shop-winter"), ("eight-stools", "shop-evenings")])
def test_plans_with_a_helper_are_sound_and_beat_no_bound(piece: str, shop: str) -> None:
    for daily in (True, False):
        problem, draft = planned(piece, shop, daily)
        assert verify(problem, draft) == []
        assert bound(problem, draft).minute <= draft.finish
        hands = [(a, b, x.who, key) for key, x in draft.laid.items() for a, b in x.spans if b > a]
        for (a, b, who, key), (c, d, other, another) in itertools.combinations(sorted(hands), 2):
            assert b <= c or d <= a or who != other, (key, another)
        for key, laid in draft.laid.items():
            if laid.who:
                days = {problem.hours.moment(m).date() for span in laid.spans for m in span}
                assert len(days) == 1 and laid.task is not None and laid.task.lay is None, key
                week = DAILY if daily else SATURDAY
                for span in laid.spans:
                    a, b = (problem.hours.moment(m) for m in span)
                    assert any(x <= a.time() and b.time() <= y for x, y in week.get(a.weekday(), ())), key


def _changed(draft: Draft, key: str, **changes: object) -> Draft:
    laid = dict(draft.laid)
    laid[key] = replace(laid[key], **changes)  # type: ignore[arg-type]
    return replace(draft, laid=laid)


def test_the_check_finds_what_a_helper_must_not() -> None:
    problem, draft = planned("eight-stools", "shop-evenings")
    his = [key for key, laid in draft.laid.items() if laid.who]
    coat = next(key for key, laid in draft.laid.items() if laid.task and laid.task.lay and not laid.after_min)
    a, b = (draft.laid[his[0]].spans[0][0], draft.laid[his[-1]].spans[-1][1])
    at_night = problem.hours.next_day(a)

    def broken(draft: Draft, of: Problem = problem) -> str:
        return "\n".join(verify(of, draft))

    assert f"{coat}: is not the helper's work" in broken(_changed(draft, coat, who=HELPER))
    assert f"{his[0]}: works outside the helper's hours" in broken(
        _changed(draft, his[0], spans=((at_night - 20, at_night),))
    )
    assert f"{his[0]}: is left half done by the helper" in broken(
        _changed(draft, his[0], spans=((a, a + 20), (a + 1440, b + 1440)))
    )
    clash = next(key for key in his if key != his[0])
    assert "the helper is still at" in broken(_changed(draft, clash, spans=draft.laid[his[0]].spans))
    assert "the shop has none" in broken(draft, replace(problem, helper=None))
    maker = replace(problem, shop=replace(problem.shop, helper=Helper(dict(DAILY), ("turn",))))
    assert "is not the helper's work" in broken(draft, maker)


def test_dust_of_the_helper_and_a_coat_of_the_makers_keep_apart() -> None:
    problem, draft = planned("eight-stools", "shop-evenings")
    coats = [x for x in draft.laid.values() if x.task and x.task.lay]
    dusty = [x for x in draft.laid.values() if x.task and x.task.work == "dusty" and x.who]
    assert dusty
    for wet, dust in itertools.product(coats, dusty):
        if wet.place == dust.place:
            for a, b in dust.spans:
                assert b + problem.settle <= wet.start + wet.before_min or a >= wet.laid_end


def test_a_bound_counts_the_hours_of_both() -> None:
    """Two hands: 100 minutes of work from minute 0, one there from 0 to 40 and from 60 on, the other from 30 to 60."""
    problem = example("one-board", "shop-winter")
    origin, zone = problem.hours.origin, problem.hours.zone

    def hours(*spans: tuple[int, int]) -> Hours:
        return Hours(origin, [(origin + timedelta(minutes=a), origin + timedelta(minutes=b)) for a, b in spans], zone)

    crew = Crew((hours((0, 40), (60, 400)), hours((30, 60))))
    assert crew.when_worked(0, 40) == 35
    assert crew.when_worked(0, 70) == 60
    assert crew.when_worked(0, 100) == 90
    assert crew.when_worked(50, 20) == 70
    stools = planned("eight-stools", "shop-evenings")
    assert bound(*stools).minute <= bound(example("eight-stools", "shop-evenings"), stools[1]).minute + 1e-6


def test_several_pieces_are_planned_with_a_helper() -> None:
    problem = helped(problem_of("one-board", "eight-stools"), DAILY)
    draft = run_pass(problem, MANNERS[0])
    assert verify(problem, draft) == [] and any(laid.who for laid in draft.laid.values())
    least = bound(problem, draft)
    assert least.total <= draft.total


# -- what is said -----------------------------------------------------------------------------------


def test_the_plan_says_who_and_the_exact_solver_that_it_knows_no_helper() -> None:
    problem, draft = planned("one-board", "shop-winter")
    plan = make_plan(problem, problem.hours.moment(problem.start), Ask("exact", 1.0))
    assert {p.who for p in plan.placed.values()} == {"", HELPER}
    note = next(f for f in plan.findings if f.id == "helper-not-exact")
    assert "no helper" in note.says and plan.best is not None and plan.best.solver == "greedy"
    assert not any(f.id == "plan-unsound" for f in plan.findings)
    assert draft.score[:2] >= (0.0, 0)


def test_words_for_a_date_that_is_missed_know_the_helper() -> None:
    assert "A maker and a helper" in Against(("maker",), True).says
    assert "more hours" in Against(("maker",), True).mend
    assert "One maker" in Against(("maker",)).says
