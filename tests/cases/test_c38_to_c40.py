"""Makers' cases of finishes that stay soft or stick: C38, C39, C40, each with a sound twin.

Source: cases.md of the shared folder, by case id.
"""

from __future__ import annotations

from rakelight.papers.care import care_sheet
from rakelight.state.model import Fact, State

SAND = 'do = "sand", grits = [120, 150, 180]'
VARNISH = 'do = "coat", with = "brushing urethane varnish", by = "brush", coats = 4, scuff = 320'
LACQUER = 'do = "coat", with = "nitrocellulose lacquer", by = "spray", coats = 2'


def sheet(planned, text, told=True):
    _, work, _, facts, plan = planned(text)
    done = {k: Fact(k, p.start, p.end) for k, p in plan.placed.items()} if told else {}
    return care_sheet(work, plan, State(done=done), facts), plan


def test_c38_a_week_is_not_full_use_and_writing_waits_for_it(planned, board) -> None:
    """Four coats, written on after a week: full use comes weeks later, and the sheet says not to write till then."""
    care, plan = sheet(planned, board(SAND, VARNISH, wood="sugar maple"))
    last = [p for k, p in plan.placed.items() if "coat" in k][-1]
    use = next(r for r in last.ready if r.for_ == "use")
    handle = next(r for r in last.ready if r.for_ == "handle")
    assert (use.likely - last.end).days >= 14 and (handle.likely - last.end).days < 7
    assert "do not write on it" in care.use and "full use from" in care.use


def test_c38_twin_no_date_is_given_where_the_coats_were_not_told(planned, board) -> None:
    care, _ = sheet(planned, board(SAND, VARNISH, wood="sugar maple"), told=False)
    assert "open" in care.use and "full use from" not in care.use


def test_c39_lacquer_is_never_packed_face_to_face_and_no_date_mends_that(planned, board) -> None:
    care, _ = sheet(planned, board(SAND, LACQUER))
    said = " ".join(care.finishes[0].stands)
    assert "never face to face" in said and "on edge" in said


def test_c39_twin_a_finish_that_hardens_by_change_is_not_told_so(planned, board) -> None:
    care, _ = sheet(planned, board(SAND, VARNISH))
    assert "face to face" not in " ".join(care.finishes[0].stands)


def test_c40_no_soft_plastic_ever_on_any_finish(planned, board) -> None:
    for coat in (VARNISH, LACQUER):
        care, _ = sheet(planned, board(SAND, coat))
        assert "No soft plastic" in " ".join(care.finishes[0].clean)


def test_c40_twin_a_bare_board_has_no_finish_to_warn_of(planned, board) -> None:
    care, _ = sheet(planned, board(SAND))
    assert not care.finishes
