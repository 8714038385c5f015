"""Rules that read the plan: what was logged too soon or too late, and the scuff the plan has put in."""

from dataclasses import replace
from datetime import timedelta

import pytest

from rakelight import rules
from rakelight.errors import Severity

SAND = 'do = "sand", grits = [120, 150, 180]'
GEL = 'do = "stain", with = "gel stain"'
ALKYD = 'do = "coat", with = "alkyd varnish", by = "brush"'
EVENINGS = """
shop = "Evenings"
zone = "America/Chicago"
hours = { mon = "19:00-21:30", thu = "19:00-21:30" }
[place.shop]
size = "20 ft x 20 ft x 9 ft"
air = [{ open = "70 F, 50 %", closed = "70 F, 50 %" }]
[gear]
brush = true
"""


def logged(plan, under, over, hours):
    """The plan with a coat done so many hours after the one beneath, as a log would tell it."""
    placed = dict(plan.placed)
    start = placed[under].end + timedelta(hours=hours)
    placed[under] = replace(placed[under], done=True)
    placed[over] = replace(
        placed[over], spans=((start, start + timedelta(minutes=20)),), done=True, waited_for=None
    )
    return replace(plan, placed=placed)


def found(case, plan, id):
    return [f for f in rules.check(*case, plan) if f.id == id]


@pytest.mark.parametrize(("hours", "severity"), [(5, "warning"), (21, "note"), (30, None)])
def test_a_coat_logged_too_soon_is_told_with_what_it_asked(planned, board, hours, severity):
    *case, plan = planned(board(SAND, GEL, ALKYD))
    met = found(case, logged(plan, "board/stain", "board/coat", hours), "recoat-too-soon")
    assert [f.severity for f in met] == ([severity] if severity else [])
    if met:
        assert met[0].figures["gap_h"] == pytest.approx(hours) and "24 h" in met[0].says


def test_the_plan_itself_never_lays_too_soon(planned, board):
    *case, plan = planned(board(SAND, GEL, ALKYD))
    assert not found(case, plan, "recoat-too-soon")


def test_what_is_only_taken_as_done_is_not_blamed(planned, board):
    *case, plan = planned(board(SAND, GEL, ALKYD))
    plan = logged(plan, "board/stain", "board/coat", 2)
    placed = {**plan.placed, "board/coat": replace(plan.placed["board/coat"], hollow=True)}
    assert not found(case, replace(plan, placed=placed), "recoat-too-soon")


def test_coats_logged_past_their_recoat_time_unabraded(planned, board):
    *case, plan = planned(board(SAND, ALKYD + ", coats = 2"))
    late = logged(plan, "board/coat-1", "board/coat-2", 120)
    met = found(case, late, "recoat-window-missed-unabraded")
    assert [f.severity for f in met] == [Severity.WARNING]
    assert met[0].figures["window_h"] == pytest.approx(48, rel=0.05)
    soon = logged(plan, "board/coat-1", "board/coat-2", 23)
    assert not found(case, soon, "recoat-window-missed-unabraded")


def test_a_scuff_the_plan_has_put_in_is_told(planned, board):
    text = board(SAND, ALKYD + ", coats = 2")
    *case, plan = planned(text, EVENINGS)
    assert any("scuff-late" in key for key in plan.placed)
    put_in = found(case, plan, "scuff-put-in")
    assert put_in and not found(case, plan, "recoat-window-missed-unabraded")
    turned = case[0].parts["board"].both_faces == "turned"
    assert all(("or coat it on points" in f.mend) is turned for f in put_in)
    *fair, plan = planned(text)
    assert not found(fair, plan, "scuff-put-in")
