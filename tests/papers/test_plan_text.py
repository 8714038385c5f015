"""Days, waits and dates as text."""

from __future__ import annotations

import re
from datetime import datetime, timedelta
from zoneinfo import ZoneInfo

import pytest

from rakelight.papers.amounts_text import amount_lines
from rakelight.papers.plan_text import due_lines, pieces_words, range_words, ready_words
from rakelight.papers.wrapping import wrapped
from rakelight.plan.model import Due, Plan, Ready
from rakelight.units import show_late, show_span, show_work

MONDAY = datetime(2027, 2, 8, 8, tzinfo=ZoneInfo("America/Chicago"))


def _ready(low, likely, high):
    at = [None if h is None else MONDAY + timedelta(hours=h) for h in (low, likely, high)]
    return Ready("rub", *at)


@pytest.mark.parametrize(
    ("ready", "words"),
    [
        (_ready(1.01, 1.2, 1.6), "Mon 8 Feb about 9:10"),
        (_ready(1, 3, 5.3), "Mon 8 Feb, 9:00 to 13:20"),
        (_ready(4, 20.02, 30), "likely Tue 9 Feb 4:00 (Mon 8 Feb to Tue 9 Feb)"),
        (_ready(24, 100, 240), "likely Fri 12 Feb (Tue 9 Feb to Thu 18 Feb)"),
        (_ready(24, 100, None), "likely Fri 12 Feb 12:00, perhaps never in this air"),
        (_ready(None, None, None), "no date in this air"),
    ],
)
def test_a_range_is_told_no_finer_than_it_is_known(ready, words):
    assert range_words(ready) == words


def test_a_range_over_the_night_the_clocks_change_is_told_by_the_hours_that_pass():
    """From 1:30 to 3:10 on 14 March 2027 in Chicago 40 minutes pass; ten past two does not come."""
    zone = ZoneInfo("America/Chicago")
    low, likely, high = (datetime(2027, 3, 14, h, m, tzinfo=zone) for h, m in ((1, 30), (1, 56), (3, 10)))
    assert range_words(Ready("rub", low, likely, high)) == "Sun 14 Mar about 3:00"


def test_readinesses_in_words():
    assert ready_words("rub") == "ready to rub"
    assert ready_words("use") == "ready for full use"
    assert ready_words("photograph") == "photograph"


@pytest.mark.parametrize(("hours", "words"), [(0.2, "1 hour"), (5, "5 hours"), (23, "1 day"), (60, "2 days")])
def test_stretches_of_time(hours, words):
    assert show_span(hours) == words


def _due(likely, high, by=72.0):
    at = [MONDAY + timedelta(hours=h) if h is not None else None for h in (0, likely, high)]
    return Due("pack", MONDAY + timedelta(hours=by), "case", at[0], at[1], at[2], max(0, (likely or 0) - by))


@pytest.mark.parametrize(
    ("due", "tells"),
    [
        (_due(24, 48), "in time with 2 days to spare"),
        (_due(24, 200), "though the latest would miss it"),
        (_due(144, 200), "TOO LATE by 3 days"),
        (_due(None, None), "TOO LATE"),
    ],
)
def test_a_date_says_how_it_stands(due, tells):
    text = " ".join(line.strip() for line in due_lines(Plan({}, (due,))))
    assert text.startswith("Case ready to pack") and tells in text


def test_a_number_stays_with_its_unit():
    lines = wrapped("take 1 3/4 fl oz of it and then 2 h later another 12 ml", 30)
    assert all(not line.endswith(("1", "3/4", "fl", "2", "12")) for line in lines)
    assert " ".join(lines) == "take 1 3/4 fl oz of it and then 2 h later another 12 ml"


def test_lateness_is_told_in_one_way():
    by, likely = MONDAY, MONDAY + timedelta(days=13, hours=14)
    assert show_late(by, likely) == "14 days" and show_late(likely, by) == ""
    due = Due("pack", by, "case", likely, likely, likely, 13.4 * 24)
    from rakelight.desk.one_piece import _missed

    assert "TOO LATE by 14 days" in " ".join(" ".join(due_lines(Plan({}, (due,)))).split())
    piece = type("Piece", (), {"parts": {}})()
    assert "missed by 14 days" in _missed(due, piece, MONDAY).says


def test_work_of_a_day_is_said_in_quarter_hours():
    assert [show_work(h) for h in (1.2, 1.4, 8.05, 0.4)] == ["1 1/4 h", "1 1/2 h", "8 h", "25 min"]


def test_one_piece_of_several_is_said_by_its_number():
    def task(pieces, lot):
        return type("Task", (), {"pieces": pieces, "lot": lot})()

    assert pieces_words(task((1, 1), (1, 4))) == " 1" and pieces_words(task((1, 2), (1, 2))) == " 1 to 2"
    assert pieces_words(task((1, 4), (1, 1))) == ""


def test_how_much_goes_on_each_part_is_the_sum_of_its_coats(planned):
    """By hand from what is shown: "coat 1 to coat 6, each time 25 ml" is six times 25, and so on, within rounding."""
    amounts = planned("music-cabinet").amounts
    lines = amount_lines(amounts, "mm")
    laid = {(c.part, c.material) for c in amounts.tasks.values() if not c.board and c.liquid.likely > 0}
    assert len(lines) == len(laid)
    several = [line for line in lines if "; " in line]
    assert several and len(lines) > len(several)
    for line in several:
        whole, coats = line.split("; ")
        total = float(re.search(r", ([\d.]+) ml", whole)[1])
        found = doubt = 0.0
        for first, last, ml in re.findall(r"(\d+)?(?: to [a-z ]+?(\d+), each time)? ([\d.]+) ml", coats):
            times = int(last) - int(first) + 1 if last else 1
            found, doubt = found + times * float(ml), doubt + times * (0.5 if float(ml) < 10 else 2.5)
        assert found == pytest.approx(total, abs=doubt + 2.5), line
