"""The odds of a date drawn: as many pegs as times in ten, on the day that is wanted."""

from __future__ import annotations

import xml.etree.ElementTree as ET
from collections.abc import Callable
from dataclasses import replace
from datetime import date, datetime, timedelta
from zoneinfo import ZoneInfo

import pytest

from rakelight.desk import Answer
from rakelight.papers.pictures.odds import MOST_COLUMNS, OddsModel, draw, odds_model
from rakelight.plan.model import Due, Odds

ZONE = ZoneInfo("America/Chicago")
WANTED = datetime(2027, 3, 19, 12, tzinfo=ZONE)
Planned = Callable[..., Answer]


def _due(shares: dict[int, float], chance: float, **other: datetime | None) -> Due:
    nights = tuple((datetime(2027, 3, 1, tzinfo=ZONE) + timedelta(days=d), s) for d, s in shares.items())
    moments = {"p10": WANTED, "p50": WANTED, "p90": WANTED, **other}
    odds = Odds(chance, round(chance * 10), "book figures", moments["p10"], moments["p50"], moments["p90"], nights)
    return Due("pack", WANTED, odds=odds)


def _model(due: Due, planned: Planned) -> OddsModel:
    model = odds_model(due, planned("one-board").shop)
    assert model
    return model


def test_each_day_has_its_share_and_the_wanted_one_that_of_its_hour(planned: Planned) -> None:
    """Chances 1 to 10 in ten on the nights of 13 to 22 March; 0.45 by noon of the 19th."""
    due = _due({n + 13: (n + 1) / 10 for n in range(10)}, 0.45)
    model = _model(due, planned)
    by_day = {d.day: d.share for d in model.days}
    assert model.step == 1 and by_day[date(2027, 3, 13)] == 0.1 and by_day[date(2027, 3, 18)] == 0.6
    assert by_day[date(2027, 3, 19)] == 0.45 and by_day[date(2027, 3, 22)] == 1.0
    assert by_day[date(2027, 3, 12)] == 0.0


@pytest.mark.parametrize("spread", [3, 12, 40, 200])
def test_however_wide_the_odds_the_columns_fit_and_hold_the_date(planned: Planned, spread: int) -> None:
    due = _due({n + 5: (n + 1) / spread for n in range(spread)}, min(1.0, 15 / spread))
    model = _model(due, planned)
    assert 2 <= len(model.days) <= MOST_COLUMNS
    assert date(2027, 3, 19) in [d.day for d in model.days]
    assert model.days[0].share < 0.1 and model.days[-1].share >= 0.9
    shares = [d.share for d in model.days]
    assert shares == sorted(shares)


def test_pegs_and_words_agree(planned: Planned) -> None:
    due = _due({13: 0.02, 16: 0.5, 18: 0.8, 19: 0.88, 24: 0.97}, 0.88)
    svg = draw(_model(due, planned))
    root = ET.fromstring(svg)
    words = [e.text or "" for e in root.iter("{http://www.w3.org/2000/svg}text")]
    assert "wanted Fri 19 Mar, 9 in 10" in words and "likely Fri 19 Mar (19 Mar to 19 Mar)" in words
    pegs = [e for e in root.iter() if e.get("class") == "peg"]
    wanted = next(e for e in root.iter() if e.get("class") == "want")
    middle = float(wanted.get("x", 0)) + float(wanted.get("width", 0)) / 2
    assert sum(abs(float(p.get("cx", 0)) - middle) < 1 for p in pegs) == 9


def test_what_is_read_aloud_says_neither_never_nor_always(planned: Planned) -> None:
    model = _model(_due({13: 0.02, 16: 0.45, 19: 0.97, 24: 1.0}, 0.97), planned)
    svg = draw(model)
    assert "wanted Fri 19 Mar, better than 9 in 10" in svg and "16 Mar 5 in 10" in svg
    assert "less than 1 in 10" in svg and "10 in 10" not in svg and " 0 in 10" not in svg


def test_what_may_never_be_is_said(planned: Planned) -> None:
    never = _model(_due({13: 0.0}, 0.0, p10=None, p50=None, p90=None), planned)
    assert never.likely_words == "likely never in this air" and draw(never)
    perhaps = _model(_due({13: 0.2, 18: 0.6}, 0.6, p90=None), planned)
    assert perhaps.likely_words.endswith("or perhaps never)")


@pytest.mark.parametrize("piece", ["music-cabinet", "eight-stools", "one-board"])
def test_the_curve_of_a_real_plan_rises_and_meets_the_chance(planned: Planned, piece: str) -> None:
    for due in planned(piece).plan.due:
        assert due.odds
        shares = [share for _, share in due.odds.curve]
        assert shares == sorted(shares) and shares[0] > 0
        before = [s for m, s in due.odds.curve if m <= due.by]
        after = [s for m, s in due.odds.curve if m >= due.by]
        assert (before or [0.0])[-1] <= due.odds.chance <= (after or [1.0])[0]
        median = due.odds.p50
        if median:
            assert next(s for m, s in due.odds.curve if m >= median) >= 0.5


def test_without_odds_there_is_no_picture(planned: Planned) -> None:
    due = planned("one-board").plan.due[0]
    assert odds_model(replace(due, odds=None), planned("one-board").shop) is None
