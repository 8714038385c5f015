"""What a person reads: wide as the terminal, in the words and units of the maker."""

from __future__ import annotations

import re

import pytest


@pytest.fixture(scope="module")
def plans():
    """What `plan` says of an example, by the width of the terminal: asked once."""
    return {}


@pytest.fixture
def cabinet(at_bench, plans, monkeypatch):
    """The plan of the cabinet as a terminal of so many columns shows it."""

    def call(columns=100):
        monkeypatch.setenv("COLUMNS", str(columns))
        if columns not in plans:
            plans[columns] = at_bench("plan", piece="music-cabinet", shop="shop-winter")
        return plans[columns]

    return call


def test_dates_come_first_then_what_is_wrong_then_the_days_then_the_jars(cabinet):
    out = cabinet().out
    heads = ["Wanted", "What is wrong with it", "Day by day", "How much, part by part", "To mix", "To buy"]
    places = [out.index(f"\n{head}") for head in heads]
    assert places == sorted(places)


@pytest.mark.parametrize("columns", [60, 100])
def test_text_keeps_to_the_terminal(at_bench, cabinet, run, columns):
    for said in (
        cabinet(columns),
        at_bench("today", piece="eight-stools", shop="shop-evenings"),
        run("facts", "shellac"),
        run("book"),
        run("over", "water-borne acrylic", "boiled linseed oil"),
    ):
        assert max(map(len, said.out.splitlines())) <= columns


def test_no_words_of_the_program_on_the_screen(at_bench):
    out = at_bench("plan", "--by", "1 March 2027", piece="music-cabinet", shop="shop-winter").out
    assert not re.search(r"\b(State|dose|Finding|task|None|nan|inf|Spread)\b", out)
    assert "less than 1/4" not in out


def test_a_test_board_stands_below_its_part(cabinet):
    out = cabinet().out
    lines = [line for line in out.splitlines() if "est board:" in line]
    assert lines and all(re.match(r" +test board: \d+:\d\d |.*Case, test board: ", line) for line in lines)


def test_amounts_come_back_as_they_were_said(run):
    assert "16 fl oz (473 ml) of alcohol" in run("mix", "shellac", "--alcohol", "16 fl oz").out
    metric = run("mix", "shellac", "--alcohol", "500 ml").out
    assert "500 ml" in metric and "oz" not in metric
    assert "fl oz" in run("thin", "shellac", "--from", 3, "--to", 1, "--of", "3 fl oz").out
    assert "fl oz" in run("thin", "shellac", "--from", 2, "--of", "1 pint", "--add", "1 pint").out


def test_a_cut_may_be_written_as_a_fraction(run):
    assert "a 1.5 lb cut" in run("mix", "shellac", "--cut", "1 1/2", "--alcohol", "500 ml").out
    assert "a 2 lb cut" in run("mix", "shellac", "--alcohol", "500 ml").out
    said = run("thin", "shellac", "--from", "1 1/2", "--to", "1/2", "--of", "500 ml").out
    assert "of 1.5 lb cut" in said and "0.5 lb cut" in said


def test_noughts_alone_are_wool(run):
    said = run("facts", "0000")
    assert said.code == 0 and said.out.startswith("0000 wool  [abrasives]")


def test_a_metric_piece_is_told_in_metric(at_bench):
    out = at_bench("plan", piece="rosewood-box", shop="shop-cellar", now="3 May 2027 9:00").out
    assert " ml of alcohol" in out and "fl oz" not in out and "pint" not in out


def test_both_faces_on_points_get_their_coat_in_one_session(at_bench):
    plan = at_bench("plan", "--json", piece="walnut-table", shop="shop-summer", now="30 Aug 2027 7:30").data
    coats = [s for s in plan["steps"] if s["part"] == "top" and s["do"] == "coat"]
    assert len(coats) == 4 and all({"top", "underside"} <= set(s["faces"]) for s in coats)
    oiled = {s["part"] for s in plan["steps"] if s["with"] == "boiled_linseed_oil"} or {
        s["part"] for s in plan["steps"] if s["do"] == "oil"
    }
    assert oiled == {"leg", "rail"}


def test_help_names_every_command(run):
    out = run("--help").out
    for name in (
        "plan", "check", "today", "done", "failed", "replan", "catch-up", "undo", "mix", "thin", "over", "facts",
        "book",
    ):  # fmt: skip
        assert re.search(rf"^  {name} ", out, re.M), name
    assert "..." not in out.split("Commands:")[1]
