"""Sessions left out, and sessions done a second time, on a real piece."""

from __future__ import annotations

from datetime import UTC, datetime
from pathlib import Path

import pytest

from rakelight.facts import load
from rakelight.piece.file import read_piece
from rakelight.schedule.book import Book
from rakelight.schedule.redone import came_off
from rakelight.schedule.unroll import unroll
from rakelight.shop.file import read_shop
from rakelight.state.model import Again, Fact, State

EXAMPLES = Path(__file__).parents[2] / "examples"
AT = datetime(2027, 2, 20, 8, tzinfo=UTC)


@pytest.fixture(scope="module")
def parts():
    piece, _ = read_piece(EXAMPLES / "one-board.toml")
    shop, _ = read_shop(EXAMPLES / "shop-fair.toml")
    assert piece and shop
    return piece, Book.beside(piece, EXAMPLES / "one-board.toml", shop), shop, load()


def _ids(parts, state=None):
    work = unroll(*parts, state)
    return [t.id for t in work.jobs["board"].tasks]


def test_a_session_left_out_is_gone_and_the_rest_stays(parts):
    plain = _ids(parts)
    assert _ids(parts, State(skipped=frozenset({"board/wax-1"}))) == [k for k in plain if k != "board/wax-1"]


def test_a_session_done_again_stands_before_the_one_it_was_said_for(parts):
    plain = _ids(parts)
    at = plain.index("board/wax-1")
    found = _ids(parts, State(again=(Again(("board/oil-2",), "board/wax-1", AT),)))
    assert found == [*plain[:at], "board/oil-2/again", *plain[at:]]
    twice = State(again=(Again(("board/oil-2",), "board/wax-1", AT), Again(("board/oil-2",), "", AT)))
    assert _ids(parts, twice)[-1] == "board/oil-2/again-2"


def test_it_never_goes_before_what_was_told_as_done(parts):
    done = {k: Fact(k, AT, AT) for k in _ids(parts)[: _ids(parts).index("board/wax-1") + 1]}
    found = _ids(parts, State(done, again=(Again(("board/oil-1",), "board/oil-1", AT),)))
    assert found.index("board/oil-1/again") == found.index("board/wax-1") + 1


def test_only_some_faces_take_their_share_of_the_time(parts):
    state = State(again=(Again(("board/oil-1",), "board/wax-1", AT, ("front",)),))
    tasks = {t.id: t for t in unroll(*parts, state).jobs["board"].tasks}
    whole, again = tasks["board/oil-1"], tasks["board/oil-1/again"]
    assert again.faces == ("front",) and again.says.startswith("Again: ")
    assert again.minutes.likely < whole.minutes.likely


@pytest.mark.parametrize(("off", "rate"), [("wash off", 30.0), ("strip", 90.0)])
def test_what_comes_off_first_has_a_session_with_its_minutes_and_is_laid_no_more(parts, off, rate):
    state = State(again=(Again(("board/oil-1", "board/oil-2"), "board/wax-1", AT, off=off),))
    work = unroll(*parts, state)
    tasks = work.jobs["board"].tasks
    ids, key = [t.id for t in tasks], f"board/{off.replace(' ', '-')}"
    at = ids.index(key)
    assert ids[at - 1 : at + 4] == ["board/oil-2", key, "board/oil-1/again", "board/oil-2/again", "board/wax-1"]
    assert tasks[at].minutes.likely == pytest.approx(rate * work.task("board/oil-1").area_m2)
    assert tasks[at].wait_after and tasks[at].work == "dirty" and not tasks[at].asks.readiness
    left = came_off(work, state.again)
    assert [t.id for t in left.jobs["board"].tasks if t.lay] == ids[at + 1 : at + 3] + ids[at + 3 :]
    some = State(again=(Again(("board/oil-1",), "board/wax-1", AT, ("front",), off),))
    assert came_off(work, some.again) == work  # of some faces alone it counts as lying there


def test_what_is_cut_back_must_be_hard_first_and_its_film_stays(parts):
    state = State(again=(Again(("board/oil-2",), "board/wax-1", AT, off="cut back"),))
    work = unroll(*parts, state)
    cut = work.task("board/cut-back")
    assert (cut.asks.readiness, cut.work, cut.wait_after) == ("sand", "dusty", None)
    assert came_off(work, state.again) == work
