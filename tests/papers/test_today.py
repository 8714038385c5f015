"""Today at the bench: what is read off a plan."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta

import pytest

from rakelight.facts import load
from rakelight.papers.today import before_weekend, today_of
from rakelight.papers.today_text import today_lines
from rakelight.spread import Spread

FACTS = load()


def _today(answer, **more):
    return today_of({answer.piece.name: answer}, answer.plan.now, FACTS, **more)


def test_what_is_under_way_or_may_begin_is_now_and_the_rest_comes_next(planned):
    answer = planned("one-board", "8 Feb 2027 18:00")
    first = _today(answer)
    assert [d.task for d in first.now] == ["board/sand"]  # nothing holds it, though the shop opens at 19:00
    days = {d.start.date() for d in first.next}
    assert len(days - {answer.plan.now.date()}) <= 1
    assert all(d.end > answer.plan.now for d in (*first.now, *first.next))


def test_nothing_that_still_dries_is_told_as_now(planned):
    """At every hour of a fortnight: what stands under `now` waits for nothing any longer, or was begun."""
    answer = planned("music-cabinet")
    moment = answer.plan.now
    for _ in range(14 * 12):
        moment += timedelta(hours=2)
        for doing in today_of({"cabinet": answer}, moment, FACTS).now:
            wait = doing.placed.waited_for
            assert doing.start <= moment or wait is None or wait.likely <= moment


def test_what_dries_frees_in_order_and_is_not_free_yet(planned):
    answer = planned("music-cabinet", "16 Feb 2027 12:00", "8 Feb 2027 8:00")
    drying = _today(answer).drying
    assert drying and {d.part for d in drying} <= set(answer.work.jobs)
    free = [d.ready.likely for d in drying]
    assert free == sorted(free) and all(moment > answer.plan.now for moment in free)
    for d in drying:
        assert d.ready.low <= d.ready.likely and d.laid <= answer.plan.now


def test_a_hand_test_is_due_from_the_early_end_of_its_wait(planned):
    answer = planned("music-cabinet")
    wanted = [p for p in answer.plan.placed.values() if p.waited_for and answer.work.task(p.task).test]
    assert wanted
    spot = wanted[-1]
    before = spot.waited_for.low - timedelta(days=1)
    assert spot.task not in {t.task for t in today_of({"c": answer}, before, FACTS).tests}
    due = [t for t in today_of({"c": answer}, spot.waited_for.likely, FACTS).tests if t.task == spot.task]
    assert due and due[0].chance == pytest.approx(0.5)


@pytest.mark.parametrize(
    ("day", "last"),
    [((2027, 2, 8), (2027, 2, 15)), ((2027, 2, 12), (2027, 2, 15)), ((2027, 2, 13), (2027, 2, 22)),
     ((2027, 2, 14), (2027, 2, 22))],
)  # fmt: skip
def test_buying_looks_to_the_monday_after_the_weekend(day, last):
    assert before_weekend(date(*day)) == date(*last)


def test_what_is_needed_soon_is_bought_and_what_a_step_done_took_is_not_bought_again(planned):
    fresh = _today(planned("music-cabinet"))
    assert {b.line.name for b in fresh.buy} >= {"boiled linseed oil", "denatured alcohol"}
    assert all(b.by <= before_weekend(fresh.at.date()) for b in fresh.buy)
    begun = _today(planned("music-cabinet", "16 Feb 2027 12:00", "8 Feb 2027 8:00"))
    assert "boiled linseed oil" not in {b.line.name for b in begun.buy}


def test_two_pieces_that_need_the_same_buy_it_once_each_named(planned):
    answer = planned("one-board", "8 Feb 2027 18:00")
    other = replace(answer, piece=replace(answer.piece, name="Second shelf"))
    told = today_of({"a": answer, "b": other}, answer.plan.now, FACTS)
    assert told.several and [b.pieces for b in told.buy] == [("Walnut wall shelf", "Second shelf")] * len(told.buy)
    assert {d.piece for d in told.now} == {"a", "b"}
    text = "\n".join(today_lines(told))
    assert "Second shelf, board" in text and "(b:board/" in text


def test_rags_must_be_out_until_they_are_told_to_be(planned):
    answer = planned("one-board", "9 Feb 2027 8:00", "8 Feb 2027 8:00")
    rags = _today(answer).rags
    assert [r.task for r in rags] == ["board/oil-1"] and rags[0].by.date() == rags[0].used.date()
    assert _today(answer, rags_out=rags[0].used).rags == ()
    twice = replace(_today(answer), rags=(rags[0], replace(rags[0], task="board/board/oil-1")))  # its test board's
    assert sum("rags of board" in line for line in today_lines(twice)) == 1
    assert today_of({"a": answer}, answer.plan.now + timedelta(days=2), FACTS).rags == ()


def test_the_chance_of_a_test_is_that_of_its_spread():
    """The same normal halves as `Spread`: one in ten at low, nine in ten at high."""
    from datetime import UTC, datetime

    from rakelight.papers.today_waits import passes
    from rakelight.plan.model import Ready

    day = datetime(2027, 2, 1, tzinfo=UTC)
    spread = Spread(10.0, 30.0, 90.0)
    low, likely, high = (day + timedelta(hours=h) for h in (spread.low, spread.likely, spread.high))
    wait = Ready("rub", low, likely, high)
    assert [round(passes(wait, m), 2) for m in (low, likely, high)] == [0.1, 0.5, 0.9]
    assert passes(Ready("rub", None, None, None), day) is None


def test_flakes_are_put_to_soak_before_the_coat_and_all_of_one_cut_in_one_jar(planned):
    """Practice P86: flakes dissolve in 8 to 48 h, a day likely; a jar for the job, not one for each coat."""
    answer = planned("music-cabinet")
    laid = [
        (placed.start, answer.amounts.of_task(id))
        for id, placed in answer.plan.placed.items()
        if (coat := answer.amounts.of_task(id)) and coat.mix and coat.mix.flakes_g and not coat.board
    ]
    first = min(start for start, _ in laid)
    at = first - timedelta(hours=49)  # the last open hour before a Sunday
    (soak,) = today_of({"cabinet": answer}, at, FACTS).soak
    assert soak.flakes_g == pytest.approx(sum(c.mix.flakes_g for _, c in laid if c.mix.cut_lb == soak.cut_lb))
    assert timedelta(hours=24) <= soak.first - soak.by <= timedelta(hours=49) and soak.first <= first
    assert not today_of({"cabinet": answer}, first - timedelta(days=6), FACTS).soak
    said = "\n".join(today_lines(today_of({"cabinet": answer}, at, FACTS)))
    assert "Put to soak by Sat 6 Feb 13:00" in " ".join(said.split())
