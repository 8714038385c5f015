"""The dust test of filled pores, told at the bench: from the second coat on it rules over the book."""

from __future__ import annotations

from pathlib import Path

import pytest

from rakelight.desk import open_desk
from rakelight.desk.pore_test import dust_due
from rakelight.units import read_date

BOARD = """
piece = "Box lid"
unit = "in"
start = "8 Feb 2027"
wanted = [{ by = "1 July 2027" }]
[part.lid]
wood = "walnut"
long = 12
wide = 8
thick = "1/2"
both_faces = "on points"
finish = "filled"
[schedule.filled]
sheen = "gloss"
steps = [
  { do = "sand", grits = [120, 180] },
  { do = "seal", with = "dewaxed shellac", cut = 1, by = "brush" },
  { do = "fill", with = "water-borne clear grain filler", by = "trowel", coats = [2, 3, 6] },
  { do = "coat", with = "nitrocellulose lacquer", by = "spray", coats = 3 },
]
"""
SHOP = Path(__file__).parents[2] / "examples" / "shop-fair.toml"
NOW = "12 Feb 2027 17:00"


@pytest.fixture
def lid(run, tmp_path):
    """Say something of a lid that is filled, as of a moment."""
    piece = tmp_path / "lid.toml"
    piece.write_text(BOARD, "utf-8")

    def call(what: str, *words: str, now: str = NOW, of: bool = True):
        named = ("--piece", piece) if what == "reading" else ()
        at = () if named else (piece,)
        return run(what, *at, *words, *named, "--shop", SHOP, "--now", now)

    return call


def filled(lid, coats: int) -> None:
    """Tell the coats of filler as laid."""
    for step, at in (("sand", "8 Feb 2027 9:00"), ("seal", "8 Feb 2027 11:00"), ("fill-1", "9 Feb 2027 9:00"),
                     ("fill-2", "10 Feb 2027 9:00"), ("fill-3", "11 Feb 2027 9:00"))[: 2 + coats]:  # fmt: skip
        assert lid("done", f"lid/{step}", "--at", at).code == 0


def film(lid) -> dict:
    return next(f for f in lid("film", "--part", "lid", "--json").data["faces"] if f["name"] == "top")


@pytest.fixture
def steps(tmp_path):
    """Coats of filler there are to be."""

    def ids(_lid) -> list[str]:
        desk = open_desk(tmp_path / "lid.toml", SHOP, now=read_date(NOW), telling=True)
        return [t.id for t in desk.work.jobs["lid"].tasks if t.do == "fill"]

    return ids


def test_filled_after_the_second_coat_ends_the_filling(lid, steps) -> None:
    before = film(lid)
    assert before["filler_coats"]["high"] > 2 and before["dust_test"] is None
    assert "open-pores-show" in {f["id"] for f in lid("check", "--json").data["findings"]}
    filled(lid, 2)
    said = lid("reading", "pores", "filled", "--step", "lid/fill-2", "--json")
    assert said.data["event"]["number"] == 2 and "2 coats will do, not 3" in said.data["says"]
    after = film(lid)
    assert after["filler_coats"] == {"low": 2, "likely": 2, "high": 2}
    assert after["dust_test"] == {"coat": 2, "open": False}
    assert steps(lid) == ["lid/fill-1", "lid/fill-2"]
    assert "open-pores-show" not in {f["id"] for f in lid("check", "--json").data["findings"]}
    assert "pores filled by your dust test on coat 2" in lid("film").out


def test_white_after_the_last_coat_asks_one_more(lid, steps) -> None:
    filled(lid, 3)
    said = lid("reading", "pores", "white", "--step", "fill-3", "--json")
    assert said.data["event"]["number"] == 4 and "4 coats of filler then, not 3" in said.data["says"]
    assert len(steps(lid)) == 4 and film(lid)["filler_coats"]["low"] >= 4
    assert "Lay coat 4" in lid("film").out
    assert lid("undo").code == 0 and len(steps(lid)) == 3


def test_the_bench_asks_for_it_after_the_second_coat_until_it_is_told_or_coated_over(lid, tmp_path) -> None:
    def due() -> list[str]:
        desk = open_desk(tmp_path / "lid.toml", SHOP, now=read_date(NOW), telling=True)
        return [d.task for d in dust_due(desk.work, desk.state, desk.facts)]

    filled(lid, 1)
    assert due() == []
    assert lid("done", "lid/fill-2", "--at", "10 Feb 2027 9:00").code == 0
    assert due() == ["lid/fill-2"]
    assert lid("reading", "pores", "white", "--step", "lid/fill-2").code == 0
    assert due() == []
    for step, at in (("fill-3", "11 Feb 2027 9:00"), ("coat-1", "12 Feb 2027 9:00")):
        assert due() == [] and lid("done", f"lid/{step}", "--at", at).code == 0
        assert due() == (["lid/fill-3"] if step == "fill-3" else [])
        if step == "fill-3":
            assert lid("reading", "pores", "filled", "--step", "lid/fill-3").code == 0


def test_one_coat_is_not_trusted_to_have_filled(lid, steps) -> None:
    filled(lid, 1)
    said = lid("reading", "pores", "filled", "--step", "lid/fill-1")
    assert "again after the second" in said.out
    assert len(steps(lid)) == 3 and film(lid)["filler_coats"]["high"] > 2


def test_film_by_now(lid) -> None:
    assert film(lid)["now_um"] is None
    filled(lid, 1)
    now = film(lid)
    assert now["coats_now"] == 0 and now["now_um"]["likely"] == 0  # a 1 lb seal and filler are no film
    for step, at in (("fill-2", "10 Feb 2027 9:00"), ("fill-3", "11 Feb 2027 9:00"), ("coat-1", "12 Feb 2027 16:00")):
        assert lid("done", f"lid/{step}", "--at", at).code == 0
    now = film(lid)
    assert now["coats_now"] == 1 and 0 < now["now_um"]["likely"] == pytest.approx(now["dry_um"]["likely"] / 3, abs=0.1)
    assert "1 coat laid" in lid("film").out


@pytest.mark.parametrize(
    ("words", "says"),
    [
        (("grey", "--step", "lid/fill-1"), "Write white"),
        (("white",), "Name that coat with --step, as case/fill-2"),
        (("white", "--step", "lid/seal"), "lays no filler. Name the coat of filler the dust"),
        (("white", "--step", "lid/fill-2"), "nothing to test yet"),
        (("white", "--step", "lid/flil-2"), "No step is called"),
    ],
)  # fmt: skip
def test_what_cannot_have_been_so_is_refused(lid, words, says) -> None:
    filled(lid, 1)
    said = lid("reading", "pores", *words)
    assert said.code == 2 and says in said.err


def test_film_by_now_of_a_piece_in_the_shops_file(shelf, tmp_path) -> None:
    (tmp_path / "lid.toml").write_text(BOARD, "utf-8")
    assert shelf("add", tmp_path / "lid.toml").code == 0
    assert {f["now_um"] for f in shelf("film", "lid", "--json").data["faces"]} == {None}
    assert shelf("done", "lid", "lid/coat-1", now=NOW).code == 0
    faces = shelf("film", "lid", "--json", now=NOW).data["faces"]
    assert {f["coats_now"] for f in faces} == {1} and all(f["now_um"]["likely"] > 0 for f in faces)
    assert "gets no film" in shelf("film", "one-board").err  # oil and wax
    assert "No piece is called 'one-bord'" in shelf("film", "one-bord").err
