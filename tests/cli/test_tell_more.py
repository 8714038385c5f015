"""Notes, readings, photographs, steps to do again, corrections, from the command line."""

from __future__ import annotations

from pathlib import Path

import pytest

from .conftest import SHELF, kinds

LATER = "8 Feb 2027 12:00"


def _event(said):
    assert said.code == 0, said
    return said.data["event"]


def test_notes_of_the_shop_a_piece_and_a_step(shelf):
    of_shop = _event(shelf("note", "north", "window", "left", "open", "--json"))
    assert of_shop["words"] == "north window left open" and "piece" not in of_shop
    assert _event(shelf("note", "knot bleeds", "--piece", "one-board", "--json"))["piece"] == "one-board"
    of_step = _event(shelf("note", "streaky", "--step", "oil-1", "--maker", "Ada", "--json"))
    assert (of_step["task"], of_step["piece"], of_step["maker"]) == ("board/oil-1", "one-board", "Ada")
    assert "note on board/oil-1: streaky" in shelf("told").out


READ = [
    (("air", "64 F, 45 %"), {"temp_c": pytest.approx(17.78, abs=0.01), "rh": pytest.approx(0.45)}, "64 F, 45 %"),
    (("wood", "8.5 %"), {"mc_pct": 8.5}, "moisture 8.5 %"),
    (("wet film", "4 mil"), {"wet_um": pytest.approx(101.6)}, "wet film read: 4.0 mil"),
    (("wet-film", "100 um"), {"wet_um": 100.0}, "wet film"),
    (("gloss", "42 GU"), {"gu": 42.0}, "gloss 42"),
    (("minutes", "35 min", "--step", "board/sand"), {"minutes": 35.0}, "minutes of board/sand read: 35 min"),
]


@pytest.mark.parametrize("words, values, shown", READ, ids=[w[0][0] for w in READ])
def test_readings(shelf, words, values, shown):
    said = shelf("reading", *words, "--json")
    assert _event(said)["values"] == values and shown in said.data["says"]


def test_a_photograph(shelf, tmp_path):
    picture = tmp_path / "blotch.jpg"
    picture.write_bytes(b"\xff\xd8 not a picture")
    kept = _event(shelf("photo", picture, "--step", "board/oil-1", "--note", "blotch by the knot", "--json"))
    file = tmp_path / "of-ours.rakelight-photographs" / kept["photo"]
    assert file.read_bytes() == picture.read_bytes() and kept["task"] == "board/oil-1"


def test_steps_to_do_again_are_put_in_by_the_plan(shelf):
    shelf("plan", "--keep")
    for step, when in (("board/sand", "9:00"), ("board/oil-1", "10:30")):
        assert shelf("done", step, now=f"8 Feb 2027 {when}").code == 0
    again = _event(shelf("rework", "board/sand", "board/oil-1", "--before", "board/oil-2", "--json", now=LATER))
    assert again["also"] == ["board/sand", "board/oil-1"] and again["task"] == "board/oil-2"
    before = shelf("plan", "one-board", "--json", now=LATER).data["steps"]
    names = [s["id"] for s in before if not s["done"]]
    assert len([n for n in names if "sand" in n]) == 1 and len([n for n in names if "oil-1" in n]) == 1
    assert "to be done again before board/oil-2" in shelf("undo", now=LATER).out


def test_an_entry_is_corrected_and_the_correction_taken_back(shelf):
    kept = _event(shelf("done", "board/sand", "--took", "35 min", "--json", now="8 Feb 2027 9:00"))
    said = shelf("correct", kept["id"][:8], "--took", "50 min", "--at", "8 Feb 2027 9:10", now=LATER)
    assert "Corrected: board/sand done (50 min), Mon 8 Feb 9:10." in said.out
    assert "board/sand done (50 min), Mon 8 Feb 9:10" in shelf("told", now=LATER).out
    steps = shelf("plan", "one-board", "--json", now=LATER).data["steps"]
    assert next(s for s in steps if s["id"] == "board/sand")["start"].startswith("2027-02-08T08:20")
    assert shelf("undo", now=LATER).code == 0
    rows = shelf("told", "--json", now=LATER).data["events"]
    assert [(e["kind"], e["taken_back"]) for e in rows] == [("piece", False), ("done", False), ("corrected", True)]
    assert "board/sand done (35 min), Mon 8 Feb 9:00" in shelf("told", now=LATER).out


def test_they_are_told_beside_a_piece_too(run, tmp_path):
    log = tmp_path / "one-board.log.jsonl"
    alone = ("--piece", SHELF, "--shop", SHELF.parent / "shop-fair.toml", "--now", LATER, "--log", log)
    assert run("note", "streaky", "--step", "board/oil-1", *alone).code == 0
    assert run("reading", "wood", "9 %", *alone).code == 0
    assert len(log.read_text().splitlines()) == 2


def test_sent_twice_each_is_told_once(shelf, tmp_path):
    picture = tmp_path / "p.jpg"
    picture.write_bytes(b"abc")
    twice = [
        ("note", "one", "--id", "a"), ("reading", "air", "64 F, 45 %", "--id", "b"), ("photo", picture, "--id", "c"),
        ("rework", "board/sand", "--id", "d"),
    ]  # fmt: skip
    for words in twice:
        first = _event(shelf(*words, "--json"))
        said = shelf(*words, "--json", now=LATER)
        assert _event(said) == first and said.data["says"].startswith("Written already")
    assert [k[3] for k in kinds(tmp_path / "of-ours.rakelight")[1:]] == ["a", "b", "c", "d"]


BAD = [
    (("note", "x", "--at", "9 Feb 2027 8:00"), "is still to come"),
    (("note", "x", "--step", "board/snad"), "Nearest: board/sand"),
    (("note", "x", "--piece", "nobody"), "No piece is called 'nobody'"),
    (("reading", "mood", "good"), "Write one of: air, wood, wet film, gloss, minutes"),
    (("reading", "air", "warm"), "cannot be read"),
    (("reading", "wood", "wet"), "cannot be read"),
    (("reading", "gloss", "shiny"), "cannot be read as gloss"),
    (("reading", "gloss", "400"), "no gloss"),
    (("reading", "minutes", "35 min"), "Name it with --step"),
    (("photo", "none.jpg"), "none.jpg: No such file"),
    (("rework", "board/snad"), "Nearest: board/sand"),
    (("correct", "abcdef", "--took", "3 h"), "No entry has the key 'abcdef'"),
    (("told", "--last", "-1"), "no number of entries"),
    (("told", "nobody"), "No piece is called 'nobody'"),
]


@pytest.mark.parametrize("words, tells", BAD, ids=[" ".join(map(str, w[0][:2])) for w in BAD])
def test_what_cannot_be_so_is_one_sentence_and_nothing_is_written(shelf, tmp_path, words, tells):
    file = tmp_path / "of-ours.rakelight"
    before = kinds(file)
    said = shelf(*words)
    assert said.code == 2 and tells in " ".join(said.err.split()) and said.out == "", said
    assert kinds(file) == before and not Path(f"{file}-photographs").exists()
