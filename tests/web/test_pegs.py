"""How the odds of a date are said beside their pegs."""

from __future__ import annotations

import pytest

from rakelight.plan.model import BOOK, Odds
from rakelight.web.filters import pegs


@pytest.mark.parametrize(
    ("chance", "says", "filled"),
    [(0.0, "hardly ever", 0), (0.1, "<b>1 time in 10</b>", 1), (0.5, "5 times", 5), (1.0, "10 times", 10)],
)
def test_one_time_and_several_are_said_as_people_say_them(chance: float, says: str, filled: int) -> None:
    told = str(pegs(Odds(chance, round(chance * 10), BOOK, None, None, None)))
    assert says in told and told.count("class=in") == filled
