"""The shop's file from the command line: pieces put in, planned together, and told."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest

from .conftest import EXAMPLES, NOW, SHELF, kinds


def test_a_piece_is_put_in_planned_told_and_planned_again(shelf):
    assert [p["piece"] for p in shelf("pieces", "--json").data["pieces"]] == ["one-board"]
    kept = shelf("plan", "--keep", "--json").data
    assert [p["key"] for p in kept["pieces"]] == ["one-board"] and kept["pieces"][0]["steps"]
    said = shelf("done", "board/sand", "--took", "35 min", "--json", now="8 Feb 2027 9:00").data["event"]
    assert (said["piece"], said["task"], said["took_min"]) == ("one-board", "board/sand", 35.0)
    assert said["start"].startswith("2027-02-08T08:25") and said["device"]
    today = shelf("today", "--json", now="9 Feb 2027 8:00").data
    assert {"now", "next", "drying", "tests", "buy", "unconfirmed"} <= set(today)
    assert today["unconfirmed"]["steps"] == 1
    moved = shelf("replan", "--json", now="9 Feb 2027 8:00").data
    assert moved["pieces"][0]["moved"]
    assert "1 step done as planned" in shelf("catch-up", now="9 Feb 2027 8:00").out
    assert "Taken back" in shelf("undo", now="9 Feb 2027 8:00").out


def test_the_variable_names_the_file_where_no_option_does(run, tmp_path, monkeypatch):
    monkeypatch.setenv("RAKELIGHT_SHOP", str(tmp_path / "named" / "here.rakelight"))
    assert run("add", SHELF, "--shop", EXAMPLES / "shop-fair.toml", "--now", NOW).code == 0
    assert (tmp_path / "named" / "here.rakelight").is_file()
    monkeypatch.delenv("RAKELIGHT_SHOP")
    monkeypatch.setenv("XDG_DATA_HOME", str(tmp_path / "data"))
    monkeypatch.setattr("sys.platform", "linux")
    assert "No shop's file" in run("pieces").err
    assert run("add", SHELF, "--shop", EXAMPLES / "shop-fair.toml", "--now", NOW).code == 0
    assert (tmp_path / "data" / "rakelight" / "shop.rakelight").is_file()


def test_a_step_of_two_words_is_no_piece(shelf):
    said = shelf("done", "oil", "1", "--json", now="8 Feb 2027 9:00").data["event"]
    assert (said["piece"], said["task"]) == ("one-board", "board/oil-1")
    wrong = shelf("done", "one-bord", "oil-2", now="8 Feb 2027 9:00")
    assert wrong.code == 2 and "No piece is called 'one-bord'" in wrong.err


def test_the_same_id_sent_twice_is_told_once(shelf, tmp_path):
    first = shelf("done", "board/sand", "--id", "phone-1", "--json", now="8 Feb 2027 9:00").data["event"]
    said = shelf("done", "board/sand", "--id", "phone-1", "--json", now="8 Feb 2027 11:00")
    assert said.code == 0 and said.data["event"] == first and said.data["says"].startswith("Written already")
    assert [k[0] for k in kinds(tmp_path / "of-ours.rakelight")].count("done") == 1
    later = shelf("failed", "board/oil-1", "--id", "phone-1", "--json", now="8 Feb 2027 11:00")
    assert later.data["event"] == first


def test_the_same_id_is_told_once_beside_a_piece_too(at_bench, tmp_path):
    at_bench("done", "board/sand", "--id", "a", now="8 Feb 2027 9:00")
    said = at_bench("done", "board/sand", "--id", "a", now="8 Feb 2027 10:00")
    assert said.code == 0 and "Written already: board/sand done, Mon 8 Feb 9:00." in said.out
    assert len((tmp_path / "one-board.log.jsonl").read_text().splitlines()) == 1


def test_amounts_used_are_kept_and_shown(shelf):
    shelf("done", "board/sand", now="8 Feb 2027 9:00")
    said = shelf("done", "board/oil-1", "--used", "6 fl oz", "--json", now="8 Feb 2027 10:30").data["event"]
    assert said["used_ml"] == pytest.approx(6 * 29.5735, abs=0.01)
    assert "(6 fl oz)" in shelf("undo", now="8 Feb 2027 10:30").out


def test_a_step_of_several_pieces_wants_its_piece(shelf):
    shelf("add", SHELF, "--as", "Second shelf", "--by", "30 March 2027")
    rows = {p["piece"]: p for p in shelf("pieces", "--json").data["pieces"]}
    assert rows["second-shelf"]["wanted"][0]["by"].startswith("2027-03-30") and len(rows) == 2
    said = shelf("done", "board/sand", now="8 Feb 2027 9:00")
    assert said.code == 2 and "one-board:board/sand, second-shelf:board/sand" in said.err
    for words in (("second-shelf:board/sand",), ("one-board", "board/sand")):
        assert shelf("done", *words, now="8 Feb 2027 9:00").code == 0, words
    assert len(shelf("plan", "--json", now="8 Feb 2027 9:30").data["pieces"]) == 2
    alone = shelf("plan", "second-shelf", "--json", now="8 Feb 2027 9:30").data
    assert alone["piece"] == "Second shelf"
    assert shelf("today", "second-shelf", "--json", now="8 Feb 2027 9:30").data["piece"] == "Second shelf"


def test_begun_and_left_out(shelf):
    shelf("plan", "--keep")
    assert "board/sand begun" in shelf("started", "board/sand", now="8 Feb 2027 8:30").out
    shelf("done", "board/sand", now="8 Feb 2027 9:10")
    assert "left out" in shelf("skipped", "board/oil-2", now="8 Feb 2027 9:10").out
    steps = shelf("plan", "one-board", "--json", now="8 Feb 2027 9:30").data["steps"]
    ids = {s["id"]: s for s in steps}
    assert "board/oil-2" not in ids and ids["board/sand"]["start"].startswith("2027-02-08T08:30")


def test_a_job_that_is_late_can_still_be_told(shelf):
    late = "1 May 2027 8:00"
    assert shelf("done", "board/sand", "--at", "10 Feb 2027 9:00", now=late).code == 0
    said = shelf("plan", "one-board", now=late)
    assert said.code == 1 and "TOO LATE by" in said.out


def test_finished_put_away_and_taken_out(shelf):
    assert "leaves the plan" in shelf("put-away", "one-board").out
    assert shelf("today", "--json").data["now"] == [] and "put away" in shelf("pieces").out
    assert "already" in shelf("put-away", "one-board").out
    assert "take-out one-board" in shelf("plan", "one-board").err
    shelf("take-out", "one-board")
    shelf("finish", "one-board")
    assert "finished 8 February 2027" in shelf("pieces").out


def test_a_file_put_in_again_is_changed_and_what_was_told_stays(shelf, tmp_path):
    shelf("done", "board/sand", now="8 Feb 2027 9:00")
    assert "reads the same" in shelf("add", SHELF).out
    own = tmp_path / "one-board.toml"
    own.write_text(SHELF.read_text().replace("Walnut wall shelf", "Wall shelf"))
    assert "Changed: Wall shelf (one-board)" in shelf("add", own).out
    steps = shelf("plan", "one-board", "--json", now="8 Feb 2027 9:30").data["steps"]
    assert [s["id"] for s in steps if s["done"]] == ["board/sand"]


def test_a_piece_brings_its_own_schedules(at, tmp_path):
    shutil.copy(EXAMPLES / "shop-fair.toml", tmp_path / "shop.toml")
    book = Path(__file__).parents[2] / "src" / "rakelight" / "schedule" / "book"
    shutil.copy(book / "oil-and-wax.toml", tmp_path / "two-oils.toml")
    text = SHELF.read_text().replace('"oil-and-wax"', '"two-oils"')
    (tmp_path / "bench.toml").write_text(text)
    said = at("add", tmp_path / "bench.toml")
    assert said.code == 0, said
    (tmp_path / "two-oils.toml").unlink()
    assert at("plan", "bench", "--json").data["steps"]


def test_backup_and_restore_export_and_import(shelf, run, tmp_path):
    shelf("done", "board/sand", now="8 Feb 2027 9:00")
    shop, kept, out = tmp_path / "of-ours.rakelight", tmp_path / "kept.backup", tmp_path / "out"
    assert "with 0 photographs" in " ".join(run("backup", kept, "--file", shop).out.split())
    assert run("export", out, "--file", shop, "--json").data["events"] == 2
    before = kinds(shop)
    shelf("done", "board/oil-1", now="8 Feb 2027 10:00")
    said = run("restore", kept, "--file", shop, "--json").data
    assert kinds(shop) == before and Path(said["kept"]).is_file()
    assert run("import", out, "--file", tmp_path / "new.rakelight").code == 0
    assert kinds(tmp_path / "new.rakelight") == before
    said = run("import", out, "--file", shop)
    assert said.code == 2 and "holds a shop already" in said.err
    kept.write_bytes(kept.read_bytes()[:-40])
    said = run("restore", kept, "--file", shop)
    assert said.code == 2 and "cut short or damaged. Nothing was changed." in said.err and kinds(shop) == before


BAD = [
    (("add", "none.toml"), "none.toml: No such file"),
    (("add",), "Nothing is named to put in"),
    (("add", SHELF, "--by", "banana"), "cannot be read as a date"),
    (("add", SHELF, "--as", "Walnut wall shelf", "--for", "use"), "Say --by"),
    (("done", "board/snad"), "No step is called 'board/snad'. Nearest: board/sand"),
    (("done", "nobody", "board/sand"), "No piece is called 'nobody'"),
    (("done", "board/sand", "--at", "9 Feb 2027 8:00"), "is still to come"),
    (("done", "board/oil-1", "--used", "-3 fl oz"), "is negative"),
    (("done", "board/sand", "--used", "3 fl oz"), "lays nothing"),
    (("done", "board/sand", "--took", "-35 min"), "is negative"),
    (("done", "board/sand", "--log", "x.jsonl", "--file", "y"), "--log goes with a piece's own file"),
    (("plan", "--shop", EXAMPLES / "shop-fair.toml"), "--shop goes with a piece's own file"),
    (("plan", "--by", "1 April 2027"), "--by is of one piece"),
    (("plan", SHELF), "--file names the shop's file"),
    (("finish", "one-bord"), "Did you mean one-board?"),
    (("undo",), "Nothing that was told is left"),
]


@pytest.mark.parametrize("words, tells", BAD, ids=[" ".join(map(str, w[0][:2])) for w in BAD])
def test_wrong_use_is_one_sentence_and_nothing_is_written(shelf, tmp_path, words, tells):
    file = tmp_path / "of-ours.rakelight"
    before = kinds(file)
    said = shelf(*words)
    assert said.code == 2 and tells in " ".join(said.err.split()) and said.out == "", said
    assert kinds(file) == before


def test_no_shop_is_said_and_no_file_begun(at, tmp_path):
    shutil.copy(SHELF, tmp_path / "shelf.toml")
    assert "The shop's file has no shop yet" in at("add", tmp_path / "shelf.toml").err
    assert not (tmp_path / "of-ours.rakelight").exists()
