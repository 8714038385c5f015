"""Haze and gloss, coats of an open number and cans weighed: each moves its own figure and no other."""

from __future__ import annotations

import math

import pytest

from rakelight.facts import load
from rakelight.physics.air import dew_point_c
from rakelight.physics.gloss import GRAIN_UM, rubbed_gu
from rakelight.plan.chill import chill_figure

FACTS = load()
ROW = FACTS.materials["shellac_dewaxed"]
BOARD = """
piece = "Shellacked board"
unit = "mm"
start = "8 Feb 2027"
wanted = [{ by = "1 June 2027" }]
[part.board]
wood = "hard maple"
long = 800
wide = 400
thick = 20
faces = { underside = "hidden", edges = "hidden", ends = "hidden" }
finish = { top = "rubbed" }
[schedule.rubbed]
schedule = "Shellac rubbed"
steps = [
  { do = "sand", grits = [180] },
  { do = "coat", with = "dewaxed shellac", by = "brush", cut = 2, coats = [2, 3, 5] },
  { do = "rub", with = "0000 wool" },
]
"""
HAND = "chill:shellac_dewaxed:hand"


@pytest.fixture
def board(bench):
    """A board sanded, with a coat laid at ten in air that was read."""

    def make(key: str, temp_c: float = 20.0, rh: float = 0.5, coats: int = 1) -> str:
        key = bench.add(key, text=BOARD)
        bench.tell(key, "done", "8 Feb 2027 9:00", "board/sand")
        for n in range(coats):
            hour = f"8 Feb 2027 {10 + 2 * n}:00"
            bench.tell(key, "reading", hour, what="air", values={"temp_c": temp_c, "rh": rh})
            bench.tell(key, "done", hour, f"board/coat-{n + 1}")
        return key

    return make


def test_haze_seen_raises_the_chill_and_none_lowers_it(bench, board) -> None:
    gap = 20 - float(dew_point_c(20, 0.6))
    assert gap > FACTS.likely("chill_shellac_hand_k")
    hazed = board("hazed", rh=0.6)
    bench.tell(hazed, "fault", "8 Feb 2027 11:00", "board/coat-1", what="blush", did="waited")
    row = bench.at("9 Feb 2027 9:00").learned().row(HAND)
    assert row and row.jobs == 1 and row.times > 1 and row.book.likely == 7
    assert row.used.likely < gap + 1  # one haze is not taken whole
    more = bench.at("9 Feb 2027 9:00").desk(hazed).facts
    assert chill_figure(more, ROW, "brush").value.likely == pytest.approx(row.used.likely)
    assert chill_figure(more, ROW, "spray") == chill_figure(FACTS, ROW, "spray")


def test_no_haze_in_damp_air_lowers_it_and_in_dry_air_says_nothing(bench, board) -> None:
    board("dry", rh=0.3, coats=3)
    assert bench.at("9 Feb 2027 9:00").learned().row(HAND) is None
    board("damp", rh=0.68, coats=3)
    row = bench.at("9 Feb 2027 9:00").learned().row(HAND)
    assert row and row.times < 1 and row.seen == 2  # the last coat has not been looked at since


def test_gloss_read_after_an_abrasive(bench, board) -> None:
    key = board("rubbed", coats=3)
    bench.tell(key, "done", "15 March 2027 10:00", "board/rub")
    wool = next(a for a in FACTS.abrasives.values() if a.grade == "0000" and "wool" in a.kind.lower())
    grain = wool.acts_like_um or wool.size_um
    assert grain and ROW.refractive_index
    book = rubbed_gu(grain, ROW.refractive_index.likely)
    brighter = rubbed_gu(grain, ROW.refractive_index.likely, scale_um=1.3 * GRAIN_UM.likely)
    bench.tell(key, "reading", "15 March 2027 11:00", "board/rub", what="gloss", values={"gu": round(brighter, 2)})
    row = bench.at("15 March 2027 12:00").learned().row(f"gloss:{wool.kind} {wool.grade}")
    assert brighter > book and row and row.jobs == 1
    assert row.yours and row.yours.likely / row.book.likely == pytest.approx(1.3, rel=0.01)
    assert 1.0 < row.times < 1.3


def test_coats_it_took(bench, board) -> None:
    """Two at the least, three likely: five were laid, and told as laid one by one."""
    key = board("thirsty", coats=3)
    rows = bench.at("9 Feb 2027 9:00").learned().rows
    assert not any(row.what.startswith("coats:") for row in rows)  # more may yet come
    shop = bench.at("9 Feb 2027 9:00")
    wood = shop.desk(key).work.jobs["board"].wood
    bench.tell(key, "coats", "9 Feb 2027 9:00", step="board/coat", number=5)
    row = bench.at("9 Feb 2027 10:00").learned().row(f"coats:{wood}")
    assert row and row.jobs == 1 and row.times > 1 and row.unit == "coats"
    assert row.yours and row.yours.likely > row.used.likely > row.book.likely


def test_a_can_weighed_before_and_after_is_an_amount(bench) -> None:
    """A 2 lb cut weighs 0.867 g a millilitre (alcohol 0.80, resin 1.20): grams and millilitres teach the same."""
    found = []
    for key, said in (("weighed", {"before_g": 500.0, "after_g": 456.65}), ("measured", {"used_ml": 50.0})):
        own = bench.add(key, text=BOARD)
        bench.tell(own, "done", "8 Feb 2027 9:00", "board/sand")
        bench.tell(own, "done", "8 Feb 2027 10:00", "board/coat-1", **said)
        row = bench.at("8 Feb 2027 11:00").learned().row("coverage:shellac_dewaxed:brush")
        assert row and row.yours
        found.append(row.yours.likely)
    assert math.isclose(found[0], found[1], rel_tol=0.01)
