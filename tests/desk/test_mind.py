"""A change of mind: an edge is reshaped after two coats of oil."""

from __future__ import annotations

from collections.abc import Callable
from datetime import timedelta
from pathlib import Path

import pytest

from rakelight.desk import Desk, open_desk
from rakelight.desk.mind import mind
from rakelight.errors import Misread
from rakelight.units import read_date

EXAMPLES = Path(__file__).parents[2] / "examples"


@pytest.fixture
def begun(tmp_path: Path) -> Callable[[str], Desk]:
    """The wall shelf with a plan kept on 8 February, as of a later moment."""

    def at(now: str) -> Desk:
        where = (EXAMPLES / "one-board.toml", EXAMPLES / "shop-fair.toml")
        log = tmp_path / "log.jsonl"
        if not log.exists():
            first = open_desk(*where, now=read_date("8 Feb 2027 8:00"), log_path=log)
            first.keep(first.plan())
        return open_desk(*where, now=read_date(now), log_path=log)

    return at


def test_two_coats_of_oil_are_laid_again_on_the_edges_alone_and_it_costs_days(begun: Callable[[str], Desk]) -> None:
    desk = begun("13 Feb 2027 8:00")
    found = mind(desk, "board", "sand", ("edges",))
    assert [t.id for t in found.again] == ["board/sand/again", "board/oil-1/again", "board/oil-2/again"]
    assert all(t.faces == ("edges",) for t in found.again)
    before, after = found.before.plan.finish, found.after.plan.finish
    assert before and after and before.likely and after.likely
    assert after.likely - before.likely > timedelta(days=1)
    placed = found.after.plan.placed
    assert placed["board/oil-2/again"].start < placed["board/wax-1"].start
    assert found.shifted and found.moved
    assert desk.log.events() == begun("13 Feb 2027 8:00").log.events(), "nothing is written"


def test_before_anything_is_done_nothing_is_done_twice(begun: Callable[[str], Desk]) -> None:
    found = mind(begun("8 Feb 2027 8:00"), "board", "oil 1")
    assert not found.again and found.after is found.before


@pytest.mark.parametrize(
    "part, step, face, word",
    [("bord", "sand", "", "board"), ("board", "varnish", "", "steps"), ("board", "sand", "lid", "front")],
)
def test_what_is_not_there_is_told_with_what_is(
    part: str, step: str, face: str, word: str, begun: Callable[[str], Desk]
) -> None:
    with pytest.raises(Misread) as bad:
        mind(begun("13 Feb 2027 8:00"), part, step, (face,) if face else ())
    assert word in bad.value.mend
