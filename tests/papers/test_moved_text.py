"""What moved, in sentences."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta

from rakelight.papers.moved_text import moved_lines
from rakelight.plan.model import Due, Placed, Plan
from rakelight.state.model import State, Trial

MONDAY = datetime(2027, 3, 8, 8, tzinfo=UTC)


def _day(days):
    return MONDAY + timedelta(days=days)


def _plan(starts, likely=5.0, done=()):
    placed = {k: Placed(k, ((_day(d), _day(d)),), "shop", done=k in done) for k, d in starts.items()}
    return Plan(placed, (Due("pack", _day(9), "", _day(likely - 1), _day(likely), _day(likely + 1)),))


BEFORE = {"case/level": _day(0), "case/rub": _day(0), "case/wax": _day(2), "shelf/coat-1": _day(1)}


def test_nothing_moved_is_said_so():
    starts = {"case/level": 0, "case/rub": 0.1, "case/wax": 2, "shelf/coat-1": 1}
    lines = moved_lines(BEFORE, {"pack": _day(5)}, _plan(starts))
    assert lines == [
        "All 4 steps still to do keep their days.",
        "Ready to pack: likely Sat 13 Mar (as before), still 4 days before the date of Wed 17 Mar.",
    ]


def test_a_failed_test_is_the_reason_and_what_follows_is_counted():
    starts = {"case/level": 3, "case/rub": 3, "case/wax": 6, "shelf/coat-1": 1}
    state = State(trials=(Trial("case/level", "rub", _day(1), False),))
    lines = moved_lines(BEFORE, {"pack": _day(1)}, _plan(starts), None, state)
    assert lines[0] == (
        "Case: level moves from Mon 8 Mar to Thu 11 Mar because the hand test of 9 March failed; "
        "2 later steps move with it, by up to 4 days."
    )
    assert lines[1] == "1 of the 4 steps still to do keeps its day."
    assert lines[2].startswith("Ready to pack: likely Sat 13 Mar (was Tue 9 Mar)")


def test_sooner_is_said_and_done_steps_are_not_counted():
    starts = {"case/level": 0, "case/rub": 0, "case/wax": 0, "shelf/coat-1": 1}
    lines = moved_lines(BEFORE, {}, _plan(starts, done=("case/level", "case/rub", "shelf/coat-1")))
    assert lines[0] == "Case: wax moves from Wed 10 Mar to Mon 8 Mar."


def test_steps_that_came_and_went_are_named():
    starts = {"case/level": 0, "case/rub": 0, "shelf/coat-1": 1, "case/oil-2": 1}
    lines = moved_lines(BEFORE, {}, _plan(starts))
    assert "New: case, oil 2." in lines and "No longer needed: case, wax." in lines


def test_a_missed_date_says_by_how_much():
    lines = moved_lines({}, {}, _plan({}, likely=12))
    assert lines[-1] == "Ready to pack: likely Sat 20 Mar, 3 days after the date of Wed 17 Mar."
    assert lines[0] == "Nothing is left to do."
