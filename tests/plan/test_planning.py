"""Plans of the examples: every one passes the independent check, and the check finds what is broken."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from functools import cache
from pathlib import Path

import pytest

from rakelight.desk import Desk, open_desk
from rakelight.plan.draft import Draft, Laid
from rakelight.plan.greedy import MANNERS, best_draft, lags_of, run_pass
from rakelight.plan.planning import build_problem
from rakelight.plan.problem import Problem, nodes_of
from rakelight.plan.verify import verify
from rakelight.shop.model import MonthlyAir
from rakelight.units import read_date

EXAMPLES = Path(__file__).parents[2] / "examples"
PAIRS = (("music-cabinet", "shop-winter"), ("eight-stools", "shop-evenings"), ("one-board", "shop-winter"))


def a_desk(piece: str, shop: str, now: str = "8 Feb 2027 8:00", by: str = "") -> Desk:
    """A piece of the examples, with no log."""
    wanted = read_date(by) if by else None
    return open_desk(
        EXAMPLES / f"{piece}.toml",
        EXAMPLES / f"{shop}.toml",
        now=read_date(now),
        by=wanted,
        log_path=Path("never-written.jsonl"),
    )


@cache
def problem_of(piece: str, shop: str) -> Problem:
    """The problem of an example, built once."""
    return a_desk(piece, shop).problem


@pytest.mark.parametrize(("piece", "shop"), PAIRS)
def test_every_manner_makes_a_plan_that_passes_the_check(piece: str, shop: str) -> None:
    problem = problem_of(piece, shop)
    nodes = nodes_of(problem.work)
    lags = lags_of(run_pass(problem, MANNERS[0]), nodes)
    for manner in MANNERS:
        draft = run_pass(problem, manner, lags, None, nodes)
        assert verify(problem, draft) == []
        assert set(nodes) <= set(draft.laid)


@pytest.mark.parametrize(("piece", "shop"), PAIRS)
@pytest.mark.parametrize("z", (-1.28, 1.28))
def test_plans_with_early_and_late_materials_pass_too(piece: str, shop: str, z: float) -> None:
    """At another deviate the waits differ; order, hours, the one maker and the dust still hold."""
    problem = problem_of(piece, shop)
    materials = {t.lay.material for j in problem.jobs.values() for t in j.tasks if t.lay}
    draft = run_pass(problem, MANNERS[0], None, dict.fromkeys(materials, z))
    broken = [b for b in verify(problem, draft) if not any(w in b for w in ("is ready", "dust", "drying places"))]
    assert broken == []


def moved(draft: Draft, key: str, minutes: int) -> Draft:
    """A draft with one task put elsewhere."""
    laid = draft.laid[key]
    spans = tuple((a + minutes, b + minutes) for a, b in laid.spans)
    return replace(draft, laid={**draft.laid, key: replace(laid, spans=spans)})


def test_the_check_finds_a_coat_laid_too_early() -> None:
    problem = problem_of("one-board", "shop-winter")
    draft, _ = best_draft(problem)
    assert any(
        "before it is ready to wax" in b for b in verify(problem, moved(draft, "board/wax-1", -7 * 1440))
    )


def test_the_check_finds_work_at_night_and_across_a_break() -> None:
    problem = problem_of("one-board", "shop-winter")
    draft, _ = best_draft(problem)
    night = problem.hours.next_day(0) - draft.laid["board/oil-1"].start
    assert any("hours" in b for b in verify(problem, moved(draft, "board/oil-1", night)))


def test_the_check_finds_two_things_done_at_once() -> None:
    problem = problem_of("music-cabinet", "shop-winter")
    draft, _ = best_draft(problem)
    first, second = "drawer-front/sand", "drawer-bottom/sand"
    shift = draft.laid[first].start - draft.laid[second].start
    assert any("the maker is still at" in b for b in verify(problem, moved(draft, second, shift)))


def test_the_check_finds_dust_on_a_wet_coat() -> None:
    problem = problem_of("one-board", "shop-winter")
    draft, _ = best_draft(problem)
    oil, sand = draft.laid["board/oil-1"], draft.laid["board/sand"]
    shift = oil.end + 30 - sand.start
    assert any("dust" in b for b in verify(problem, moved(draft, "board/sand", shift)))


def test_the_check_finds_a_step_left_out_and_one_cut_short() -> None:
    problem = problem_of("one-board", "shop-winter")
    draft, _ = best_draft(problem)
    without = replace(draft, laid={k: v for k, v in draft.laid.items() if k != "board/wax-2"})
    assert any("not placed: board/wax-2" in b for b in verify(problem, without))
    sand: Laid = draft.laid["board/sand"]
    a, b = sand.spans[0]
    short = replace(draft, laid={**draft.laid, "board/sand": replace(sand, spans=((a, b - 20),))})
    assert any("less time than its work takes" in b for b in verify(problem, short))


def test_following_a_plan_with_nothing_changed_meets_its_dates() -> None:
    for piece, shop in PAIRS:
        problem = problem_of(piece, shop)
        draft, manner = best_draft(problem)
        again = run_pass(problem, manner, None, {}, None, draft.floors, draft)
        for n, minute in draft.reached.items():
            assert again.reached[n] <= minute + 2 * 1440


def test_a_plan_is_the_same_every_time() -> None:
    one = a_desk("eight-stools", "shop-evenings").plan().plan
    two = a_desk("eight-stools", "shop-evenings").plan().plan
    assert {k: p.spans for k, p in one.placed.items()} == {k: p.spans for k, p in two.placed.items()}


def test_a_missed_date_says_by_how_much_and_the_latest_start() -> None:
    """Start again on the day named, and the date is met."""
    answer = a_desk("eight-stools", "shop-evenings", by="27 March 2027 13:00").plan()
    due = answer.plan.due[0]
    assert due.late_h > 24
    assert due.latest_start is not None
    assert due.latest_start.date() < date(2027, 2, 8)
    missed = next(f for f in answer.findings if f.id == "date-missed")
    assert missed.figures["late_h"] == pytest.approx(due.late_h)


def test_ranges_are_in_order_and_likely_is_the_plan() -> None:
    for piece, shop in PAIRS:
        for due in a_desk(piece, shop).plan().plan.due:
            assert due.low is not None and due.likely is not None and due.high is not None
            assert due.low <= due.likely <= due.high


def test_a_later_start_by_whole_weeks_shifts_the_plan_by_whole_weeks() -> None:
    """In air that is the same all year; no change of the clocks lies between."""
    first = a_desk("one-board", "shop-fair", now="5 April 2027 8:00", by="1 June 2027").plan().plan
    later = a_desk("one-board", "shop-fair", now="19 April 2027 8:00", by="15 June 2027").plan().plan
    shift = {k: later.placed[k].start - p.start for k, p in first.placed.items()}
    assert {s.total_seconds() for s in shift.values()} == {14 * 86400}


def test_a_coat_is_on_all_lots_before_the_next_is_begun_on_any() -> None:
    """The files' language, on lots: legs 1 to 16 and 17 to 32 go through the coats together."""
    draft, _ = best_draft(problem_of("eight-stools", "shop-evenings"))
    for number in (1, 2):
        ends = [x.end for k, x in draft.laid.items() if k.startswith(f"leg/coat-{number}/lot-")]
        starts = [x.start for k, x in draft.laid.items() if k.startswith(f"leg/coat-{number + 1}/lot-")]
        assert len(ends) == len(starts) == 2
        assert max(ends) <= min(starts)


def test_in_air_that_is_never_right_the_months_not_told_are_named() -> None:
    """Two cold months carried round the year are no year: which are missing is said; of a whole year nothing is."""
    problem = problem_of("one-board", "shop-winter")
    cold = [MonthlyAir(m, 4.0, 0.85, 3.0, 0.9) for m in range(1, 13)]

    def mends(air: list[MonthlyAir]) -> str:
        place = replace(problem.shop.first_place, air=tuple(air))
        shop = replace(problem.shop, places={**problem.shop.places, place.name: place})
        desk = a_desk("one-board", "shop-winter")
        draft = run_pass(build_problem(desk.work, shop, desk.facts, desk.now, desk.wishes), MANNERS[0])
        return " ".join(f.mend for f in draft.stuck if f.id == "no-date")

    assert "nothing is told for January, April" in mends(cold[1:3])
    assert mends(cold) and "told" not in mends(cold)
