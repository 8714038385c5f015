"""The stock command: telling of cans, the table, labels of jars."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest

from rakelight.desk import open_shop

EXAMPLES = Path(__file__).parents[2] / "examples"
NOW = ("--now", "8 Feb 2027 8:00")


@pytest.fixture
def stock(run, tmp_path):
    shop = open_shop(tmp_path / "s.rakelight")
    shop.set_shop((EXAMPLES / "shop-fair.toml").read_text("utf-8"))
    shop.close()

    def call(*words):
        return run("stock", *words, "--file", tmp_path / "s.rakelight", *NOW)

    return call


def test_a_can_is_bought_opened_weighed_and_emptied(stock):
    assert "Nothing is told to be in stock" in stock().out
    said = stock("bought", "boiled linseed oil", "--size", "1 pint", "--price", "12.5", "--json").data
    assert said["can"]["id"] == "linseed-boiled-1" and said["can"]["price"] == 12.5
    assert "opened" in stock("opened", "linseed-boiled-1").out
    assert "6 fl oz left" in stock("weighed", "linseed-boiled-1", "--left", "6 fl oz").out
    row = stock("--json").data["cans"][0]
    assert row["left"]["likely"] == pytest.approx(177.4, abs=0.1) and row["use_by"] > "2028"
    text = stock().out
    assert "linseed-boiled-1: Boiled linseed oil; 6 fl oz left of 16 fl oz" in text
    stock("emptied", "linseed-boiled-1")
    assert "Empty: linseed-boiled-1." in stock().out


def test_the_same_key_told_twice_is_one_can(stock):
    for _ in range(2):
        stock("bought", "paste wax", "--size", "1 pint", "--id", "from-the-phone")
    assert [c["id"] for c in stock("--json").data["cans"]] == ["wax-paste-1"]


def test_a_jar_has_its_cut_its_life_and_its_label(stock, tmp_path):
    stock("bought", "dewaxed shellac", "--size", "1 lb")
    jar = stock("mixed", "dewaxed shellac", "--flakes", "60 g", "--alcohol", "250 ml", "--json").data["can"]
    assert jar["cut_lb"] == pytest.approx(2.0, abs=0.01) and jar["mixed"] == "2027-02-08"
    assert jar["went_in"]["flakes_g"] == 60.0
    said = stock("--labels", tmp_path / "out")
    names = [line.rsplit("/", 1)[-1] for line in said.out.splitlines()]
    assert names == ["stock-sheet.pdf", "stock-single.pdf"]
    if shutil.which("pdftotext"):
        import subprocess

        text = subprocess.run(["pdftotext", tmp_path / "out" / "stock-single.pdf", "-"], capture_output=True, text=True)
        flat = " ".join(text.stdout.split())
        assert "60 g (2 oz) of flakes" in flat and "of denatured alcohol" in flat and "2 lb cut" in flat
        assert "Use by" in flat and "DANGER" in flat


def test_a_coat_is_told_from_a_can_weighed_before_and_after(run, tmp_path):
    here = ("--file", tmp_path / "s.rakelight", "--now", "8 Feb 2027 9:00")
    run("add", EXAMPLES / "one-board.toml", "--shop", EXAMPLES / "shop-fair.toml", *here)
    run("stock", "bought", "boiled linseed oil", "--size", "1 pint", "--can", "tin", *here)
    said = run("done", "board/oil-1", "--used", "850 g to 730 g", "--can", "tin", "--json", *here).data["event"]
    assert (said["before_g"], said["after_g"], said["can"]) == (850.0, 730.0, "tin")
    left = run("stock", "--json", *here).data["cans"][0]["left"]
    assert left["likely"] == pytest.approx(473.2 - 120.0 / 0.93, abs=2.0)
    again = run("correct", said["id"], "--can", "tim", *here)
    assert again.code == 2 and "Did you mean tin?" in again.err
    back = run("done", "board/wax-1", "--used", "1 g to 2 g", *here)
    assert back.code == 2 and "weighs more after" in back.err


@pytest.mark.parametrize(
    ("words", "says"),
    [
        (("thrown", "x"), "nothing that happens to a can"),
        (("bought",), "Which material?"),
        (("bought", "boiled linseed oil"), "How much is in it?"),
        (("bought", "boiled linseed oil", "--size", "1"), "no unit"),
        (("bought", "boiled linseed oil", "--size", "-1 pint"), "is negative"),
        (("mixed", "boiled linseed oil", "--flakes", "60 g"), "is not mixed from flakes"),
        (("mixed", "dewaxed shellac"), "What went into it?"),
        (("mixed", "dewaxed shellac", "--flakes", "6 fl oz"), "measured in g"),
        (("opened", "nothing"), "No can is called 'nothing'"),
        (("bought", "paste wax", "--flakes", "5 g"), "--flakes is not told of a can bought"),
        (("bought", "sugar", "--size", "1 pint"), "sugar"),
    ],
)
def test_bad_words_are_told_in_one_sentence(stock, words, says):
    said = stock(*words)
    assert said.code == 2 and says in said.err
    assert stock("--json").data["cans"] == []
