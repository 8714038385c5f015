"""The commands `again` and `fault`, over the shop's file and with a piece's own file."""

from __future__ import annotations

from datetime import timedelta
from pathlib import Path

import pytest

from rakelight.desk import open_shop
from rakelight.log.events import Event
from rakelight.schedule.file import read_schedule
from rakelight.units import read_date

EXAMPLES = Path(__file__).parents[2] / "examples"


@pytest.fixture
def shop(tmp_path):
    """A shelf finished, and a second one on which oil was just laid."""
    path = tmp_path / "s.rakelight"
    desk = open_shop(path, read_date("8 Feb 2027 8:00"))
    desk.set_shop((EXAMPLES / "shop-fair.toml").read_text("utf-8"))
    desk.add_piece((EXAMPLES / "one-board.toml").read_text("utf-8"), "one-board.toml")
    desk.copy_piece("one-board", "Second shelf")
    desk.close()
    desk = open_shop(path, read_date("26 Feb 2027 8:00"))
    start = desk.now - timedelta(days=17)
    for name, hours, used in (("sand", 0, None), ("oil-1", 2, 40.0), ("oil-2", 30, 25.0), ("wax-1", 230, 10.0),
                              ("wax-2", 260, 9.0)):  # fmt: skip
        at = start + timedelta(hours=hours)
        desk.tell(Event("done", at, desk.now, piece="one-board", task=f"board/{name}", used_ml=used, took_min=40.0))
    for name, hours in (("sand", 0), ("oil-1", 2)):
        at = desk.now - timedelta(hours=30 - hours)
        desk.tell(Event("done", at, desk.now, piece="second-shelf", task=f"board/{name}"))
    desk.close()
    return path


def test_a_finished_part_goes_into_the_book_and_can_be_used(run, shop):
    here = ("--file", shop, "--now", "26 Feb 2027 8:00")
    said = run("again", "one-board", "--name", "oil-and-wax-as-done", *here)
    assert said.code == 0 and "In the shop's book as oil-and-wax-as-done." in said.out
    desk = open_shop(shop)
    made, found = read_schedule(desk.schedules()["oil-and-wax-as-done"], "x.toml")
    desk.close()
    assert found == [] and [s.do for s in made.steps] == ["sand", "oil", "wait", "wax"]
    scaled = run("again", "one-board", "--area", "24 ft2", "--json", *here).data
    assert [s["name"] for s in scaled["steps"]] == ["sand", "oil", "wax"] and scaled["steps"][1]["ml"] > 65.0
    told = run("again", "one-board", "--json", *here).data
    assert told["steps"][1]["used_ml"] == 65.0 and told["told"] == told["of"] == 5 and told["toml"].startswith("#")


@pytest.mark.parametrize(
    ("words", "says"),
    [
        (("second-shelf",), "no part is finished yet"),
        (("no-such",), "No piece is called"),
        (("one-board", "--part", "lid"), "No part is called 'lid'"),
        (("one-board", "--area", "-3 m2"), "cannot be read as an area"),
        (("one-board", "--name", "Bad Name"), "no name of a schedule"),
    ],
)
def test_again_refuses_in_a_sentence(run, shop, words, says):
    said = run("again", *words, "--file", shop, "--now", "26 Feb 2027 8:00")
    assert said.code == 2 and says in said.err


def test_a_fault_is_told_helped_with_and_planned_again(run, shop):
    here = ("--file", shop, "--now", "26 Feb 2027 8:00")
    said = run("fault", "second-shelf", "board/oil-1", "tacky", "--json", "--id", "a", *here).data
    assert said["fault"] == "soft" and said["do"]["way"] == "wait" and said["do"]["then"] == "wash off"
    assert sum(c["share"] for c in said["causes"]) == pytest.approx(1.0, abs=0.04)
    assert [e["kind"] for e in said["events"]] == ["fault"]
    again = run("fault", "second-shelf:board/oil-1", "tacky", "--again", "--id", "b", "--json", *here).data
    assert [e["kind"] for e in again["events"]] == ["fault", "rework"]
    assert again["events"][1]["also"] == ["board/oil-1"] and again["events"][1]["task"] == "board/oil-2"
    plan = run("plan", "second-shelf", "--json", *here).data
    ids = [s["id"] for s in plan["steps"]]
    assert ids.index("board/wash-off") < ids.index("board/oil-1/again") < ids.index("board/oil-2")
    wash, oil = (next(s for s in plan["steps"] if s["id"] == f"board/{k}") for k in ("wash-off", "oil-1/again"))
    assert "2027-02-26T08" < wash["start"] < "2027-02-27" and wash["start"] < oil["start"]
    asked = run("fault", "second-shelf", "board/oil-1", "tacky", "--ask", *here)
    assert "Written" not in asked.out and "Likely from" in asked.out and "Decide on" in asked.out


@pytest.mark.parametrize(
    ("words", "says"),
    [
        (("second-shelf", "board/oil-2", "soft"), "board/oil-2 is not laid yet"),
        (("second-shelf", "board/oil-1", "zzz"), "No fault is called 'zzz'"),
        (("second-shelf", "board/oil-9", "soft"), "No step is called"),
        (("second-shelf", "board/oil-1", "soft", "--face", "lid"), "not on a face called 'lid'"),
        (("second-shelf", "board/oil-1", "soft", "--at", "1 May 2027"), "still to come"),
        (("soft",), "A fault is seen on a step"),
    ],
)
def test_fault_refuses_in_a_sentence_and_writes_nothing(run, shop, words, says):
    said = run("fault", *words, "--file", shop, "--now", "26 Feb 2027 8:00")
    assert said.code == 2 and says in said.err
    desk = open_shop(shop)
    assert not [e for e in desk.events() if e.kind == "fault"]
    desk.close()
