"""`learned` on the command line: shown, as plain data, pinned, begun anew."""

from __future__ import annotations

from pathlib import Path

import pytest

from rakelight.desk import open_shop
from rakelight.log.events import Event
from rakelight.units import read_date

EXAMPLES = Path(__file__).parents[2] / "examples"
NOW = "8 Feb 2027 12:00"


@pytest.fixture
def learned(run, tmp_path):
    """The command on a shop's file in which a shelf was sanded and oiled."""
    file = tmp_path / "shop.rakelight"
    shop = open_shop(file, read_date(NOW))
    shop.set_shop((EXAMPLES / "shop-winter.toml").read_text("utf-8"))
    key, _ = shop.add_piece((EXAMPLES / "one-board.toml").read_text("utf-8"), "shelf.toml")
    for task, said in (("board/sand", {"took_min": 60.0}), ("board/oil-1", {"used_ml": 40.0})):
        shop.tell(Event("done", shop.now, shop.now, piece=str(key), task=task, **said))
    shop.close()
    return lambda *words: run("learned", *words, "--file", file, "--now", NOW)


def test_book_yours_and_used(learned) -> None:
    said = learned()
    assert said.code == 0
    assert "Boiled linseed oil, wiped on, what a litre covers" in said.out
    assert "yours" in said.out and "(1 job)" in said.out and "in 100 of the way from the book to yours" in said.out
    rows = {row["what"]: row for row in learned("--json").data}
    assert {"what", "book", "yours", "jobs", "used", "pinned"} <= set(rows["minutes:sand one grit"])
    sand = rows["minutes:sand one grit"]
    assert sand["jobs"] == 1 and sand["book"]["likely"] < sand["used"]["likely"] < sand["yours"]["likely"]


def test_pinned_and_begun_anew(learned) -> None:
    said = learned("--pin", "minutes:sand one grit", "30 min/m2")
    assert said.code == 0 and "is held at 1.2 times the book" in said.out
    row = next(r for r in learned("--json").data if r["what"] == "minutes:sand one grit")
    assert row["pinned"] and row["used"]["likely"] == pytest.approx(30.0)
    assert learned("--reset", "all").code == 0
    assert learned("--json").data == [] and "has taught nothing yet" in learned().out


def test_one_clear_sentence(run, learned, tmp_path) -> None:
    for words, says in (
        (("--pin", "sand", "soon"), "is no value of"),
        (("--pin", "sanding the sea", "2"), "No figure of a shop is called"),
        (("--pin", "minutes:rub", "2", "--reset", "all"), "two things"),
    ):
        said = learned(*words)
        assert said.code == 2 and says in said.err and said.err.count("\n") <= 2, words
    none = run("learned", "--file", tmp_path / "none.rakelight")
    assert none.code == 2 and "none.rakelight" in none.err
