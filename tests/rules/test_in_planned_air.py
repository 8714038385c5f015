"""Waits between coats are judged when and where the plan has them, by the plan's own waits, in elapsed hours."""

from dataclasses import replace
from datetime import datetime, timedelta

import pytest

from rakelight import rules
from rakelight.errors import SourceKind
from rakelight.plan.planning import build_problem
from rakelight.plan.waits import Waits
from rakelight.rules.case import Case

SAND = 'do = "sand", grits = [120, 150, 180]'
GEL = 'do = "stain", with = "gel stain"'
ALKYD = 'do = "coat", with = "alkyd varnish", by = "brush"'
SHELLAC = 'do = "coat", with = "dewaxed shellac", cut = 2, by = "brush"'
SHOP = """
shop = "Shop"
zone = "America/Chicago"
hours = {{ mon-sun = "8:00-17:00" }}
[place.shop]
size = "40 ft x 40 ft x 12 ft"
drying_places = 20
air = [ {air} ]
[gear]
brush = true
"""
COLD_WINTER = SHOP.format(
    air='{ month = "Feb", open = "52 F, 50 %", closed = "52 F, 50 %" }, '
    '{ month = "July", open = "70 F, 50 %", closed = "70 F, 50 %" }'
)


def shop_at(temp):
    return SHOP.format(air=f'{{ open = "{temp}, 50 %", closed = "{temp}, 50 %" }}')


def told(found, id):
    return [f for f in found if f.id == id]


def logged(plan, start, hours):
    """The plan with the stain laid at a moment and the coat so many hours later, both as logged."""
    ends = start + timedelta(minutes=20)
    over = ends + timedelta(hours=hours)
    placed = dict(plan.placed)
    placed["board/stain"] = replace(placed["board/stain"], spans=((start, ends),), done=True)
    placed["board/coat"] = replace(placed["board/coat"], spans=((over, over + timedelta(minutes=20)),), done=True)
    return replace(plan, placed=placed)


def test_a_gap_is_judged_in_the_air_of_its_own_day(planned, board):
    """30 h over gel stain: enough in July, too soon in a cold February."""
    *case, plan = planned(board(SAND, GEL, ALKYD), COLD_WINTER)
    problem = build_problem(case[1], case[2], case[3], plan.start, [])
    own = problem.waits, problem.hours.origin

    def met(month):
        found = rules.check(*case, logged(plan, datetime(2027, month, 14, 9, tzinfo=case[2].zone), 30), *own)
        return told(found, "recoat-too-soon")

    assert met(2) and met(2)[0].figures["wait_h"] > 30
    assert not met(7)


def test_the_waits_of_the_plan_are_used_where_they_are_given(planned, board):
    """A shop whose gel stain takes twice the book."""
    *case, plan = planned(board(SAND, GEL, ALKYD), shop_at("70 F"))
    problem = build_problem(case[1], case[2], case[3], plan.start, [])
    slow = Waits(case[3], problem.waits.clock.air, {"drying:gel_stain": 2.0})
    plan = logged(plan, plan.placed["board/stain"].start, 5)
    (by_book,) = told(rules.check(*case, plan), "recoat-too-soon")
    (here,) = told(rules.check(*case, plan, slow, problem.hours.origin), "recoat-too-soon")
    assert here.figures["wait_h"] == pytest.approx(2 * by_book.figures["wait_h"], rel=0.02)


def test_of_two_times_written_at_one_gap_the_longest_holds(check, board):
    found = told(check(board(SAND, GEL + ', wait = "10 h"', ALKYD + ', at_least = "9 h"')), "recoat-too-soon")
    assert [f.figures["gap_h"] for f in found] == [10]


def test_hours_of_a_plan_are_elapsed_over_the_night_the_clocks_change(planned, board):
    """From noon on 13 March to noon on the 14th 23 hours pass."""
    *case, plan = planned(board(SAND, SHELLAC), shop_at("70 F"))
    noon = datetime(2027, 3, 13, 12, tzinfo=case[2].zone)
    seen = Case(*case, plan)
    assert seen.hour(noon.replace(day=14)) - seen.hour(noon) == pytest.approx(23)


def test_a_coat_dry_before_the_damp_night_is_silent_after_the_clocks_change(planned, board):
    """Laid at 16:20 on 15 March and dust-free by 17:00, when the shop closes and goes damp."""
    damp = SHOP.format(air='{ open = "70 F, 45 %", closed = "70 F, 98 %" }')
    *case, plan = planned(board(SAND, SHELLAC), damp)

    def met(hour):
        start = datetime(2027, 3, 15, hour, 20, tzinfo=case[2].zone)
        placed = dict(plan.placed)
        spans = ((start, start + timedelta(minutes=15)),)
        placed["board/coat"] = replace(placed["board/coat"], spans=spans, done=False)
        return told(rules.check(*case, replace(plan, placed=placed)), "may-haze")

    assert not met(16) and met(19)


@pytest.mark.parametrize(("temp", "severity"), [("70 F", "warning"), ("52 F", "note"), ("38 F", None)])
def test_mixed_shellac_keeps_longer_in_a_cool_shop(check, board, temp, severity):
    """Seven months old: it keeps 3 to 6 months at 70 F, twice that for each 10 K colder."""
    found = told(check(board(SAND, SHELLAC + ', opened = "8 July 2026"'), shop_at(temp)), "can-past-its-life")
    assert [f.severity for f in found] == ([severity] if severity else [])


def test_a_plan_names_the_source_of_the_figure_itself(planned, board):
    """Boiled linseed dry to the touch stands in a law of Ohio."""
    *_, plan = planned(board(SAND, 'do = "oil", with = "boiled linseed oil"'), shop_at("70 F"))
    dry = next(r for r in plan.placed["board/oil"].ready if r.for_ == "dust-free")
    assert dry.because.kind is SourceKind.PUBLISHED and "Ohio" in dry.because.source
