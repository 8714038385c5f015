"""Steps by the words others call them."""

from __future__ import annotations

import pytest

from rakelight.schedule.book import SHIPPED
from rakelight.schedule.file import read_schedule
from rakelight.schedule.lookup import Spot, find_step, nearest_step, unknown_fors
from rakelight.schedule.steps import Count, Step

CABINET = read_schedule(SHIPPED / "filled-shellac.toml")[0]
STEPS = CABINET.steps if CABINET else ()
#: two coat steps of three and of one to three coats, the second by another name
TWO = (
    Step("coat", name="coat", coats=Count(3, 3, 3)),
    Step("scuff", name="scuff"),
    Step("coat", name="last coats", coats=Count(1, 2, 3)),
    Step("own", own="Fit the pulls", name="Fit the pulls"),
)


@pytest.mark.parametrize(
    ("words", "last", "spot"),
    [
        ("sand", False, Spot(0)),
        ("sand", True, Spot(6)),
        ("sand 2", False, Spot(6, 1)),
        ("coat", False, Spot(7)),
        ("coat 1", False, Spot(7, 1)),
        ("coat 6", True, Spot(7, 6)),
        ("fill 4", False, Spot(5, 4)),
        ("fill 5", False, Spot(5, 5)),  # likely four, at most five
        ("Wax", False, Spot(11)),
        ("coat 7", False, None),
        ("coat 0", False, None),
        ("polish", False, None),
        ("", False, None),
        ("coat 99999", False, None),
    ],
)
def test_the_steps_of_the_cabinet(words: str, last: bool, spot: Spot | None) -> None:
    assert find_step(STEPS, words, last) == spot


def test_coats_are_counted_through_the_schedule() -> None:
    """A name of its own goes before the verb; the verb counts on: three coats, then the fourth."""
    assert find_step(TWO, "coat 4") == Spot(2, 1)
    assert find_step(TWO, "coat 6") == Spot(2, 3)
    assert find_step(TWO, "last coats 2") == Spot(2, 2)
    assert find_step(TWO, "coat", last=True) == Spot(0)
    assert find_step(TWO, "fit  the PULLS") == Spot(3)


def test_what_to_write_instead() -> None:
    assert nearest_step(STEPS, "saal") == 'Did you mean "seal"?'
    assert "Steps here: sand, oil" in nearest_step(STEPS, "zzzz")


def test_waits_for_a_name_nobody_has() -> None:
    waits = [Step("wait", for_="rub"), Step("wait", for_="Photograph"), Step("wait", for_="wraping")]
    assert unknown_fors(waits, ["photograph"]) == [waits[2]]
