"""Several pieces' own files on one calendar, why a step is when it is, and a plan begun late."""

from __future__ import annotations

from datetime import datetime
from itertools import pairwise
from typing import Any

import pytest

from .conftest import EXAMPLES, NOW

SHOP = EXAMPLES / "shop-fair.toml"


@pytest.fixture
def pieces(tmp_path):
    """Two alike boards, their logs beside them."""
    paths = []
    for name in ("one-board", "other-board"):
        path = tmp_path / f"{name}.toml"
        path.write_text((EXAMPLES / "one-board.toml").read_text().replace("wall shelf", f"shelf, {name}"))
        paths.append(path)
    return paths


def spans(answer: dict[str, Any]) -> list[tuple[datetime, datetime]]:
    """All stretches of work."""
    return [
        (datetime.fromisoformat(a), datetime.fromisoformat(b)) for s in answer["steps"] for a, b in s["spans"] if b > a
    ]


def test_several_files_are_planned_together_for_one_maker(run, pieces) -> None:
    said = run("plan", *pieces, "--shop", SHOP, "--now", NOW, "--json")
    assert {p["key"] for p in said.data["pieces"]} == {"one-board", "other-board"}
    worked = sorted(span for piece in said.data["pieces"] for span in spans(piece))
    assert all(a[1] <= b[0] for a, b in pairwise(worked))  # never at two things at once
    alone = [run("plan", path, "--shop", SHOP, "--now", NOW, "--json").data for path in pieces]
    both = sorted(span for piece in alone for span in spans(piece))
    assert any(a[1] > b[0] for a, b in pairwise(both))  # as they would be each by itself


def test_kept_each_in_its_own_log(run, pieces) -> None:
    said = run("plan", *pieces, "--shop", SHOP, "--now", NOW, "--keep")
    assert "one-board.log.jsonl" in said.out and "Walnut shelf, other-board" in said.out
    assert all(path.with_suffix(".log.jsonl").exists() for path in pieces)


@pytest.mark.parametrize(
    "words", (("--by", "1 May 2027"), ("--log", "x.jsonl"), ("--why", "date"), ("--svg", "x.svg"), ("--file", "x.db"))
)
def test_what_is_of_one_piece_is_refused_for_several(run, pieces, words) -> None:
    said = run("plan", *pieces, "--shop", SHOP, "--now", NOW, *words)
    assert said.code == 2 and said.err.count("\n") == 1


def test_one_piece_named_twice_is_refused(run, pieces) -> None:
    assert "twice" in run("plan", pieces[0], pieces[0], "--shop", SHOP, "--now", NOW).err


def test_why_goes_back_from_a_step_to_the_start(at_bench) -> None:
    said = at_bench("plan", "--why", "wax 1")
    assert said.out.startswith("Board, wax 1: ")
    assert "The figure: " in said.out and "back to the start" in said.out
    assert "Board, sand" in said.out.split("back to the start")[1]
    rows = at_bench("plan", "--why", "board/wax-1", "--json").data
    assert rows["step"]["id"] == "board/wax-1" and rows["step"]["why"]["after"]


def test_why_the_date_names_the_coat_and_the_figure(at_bench) -> None:
    said = at_bench("plan", "--why", "date", piece="music-cabinet", shop="shop-winter")
    first = said.out.splitlines()[0]
    assert "likely" in first and "pack" in first.lower()
    assert "The figure: " in said.out and said.out.count("\n") > 8


def test_of_a_step_that_is_not_there_the_nearest_is_named(at_bench) -> None:
    said = at_bench("plan", "--why", "board/wex-1")
    assert said.code == 2 and "board/wax-1" in said.err


def test_begun_late_it_begins_later_and_keeps_nine_in_ten(at_bench) -> None:
    early = at_bench("plan", "--by", "1 September 2027", "--odds", "--json").data
    late = at_bench("plan", "--by", "1 September 2027", "--goal", "late", "--json").data
    assert late["start"] > early["start"]
    assert late["start"][:10] == early["latest_start"][:10]
    assert late["due"][-1]["odds"]["chance"] >= 0.87 and late["due"][-1]["late_h"] == 0


def test_a_goal_that_is_none_is_said(at_bench) -> None:
    assert "early, late" in at_bench("plan", "--goal", "soon").err


def test_a_date_that_matters_more_is_read_and_a_wrong_weight_is_said(run, tmp_path) -> None:
    text = (EXAMPLES / "one-board.toml").read_text()
    for weight, code in (("2", 0), ("0", 2), ('"much"', 2)):
        path = tmp_path / "a.toml"
        path.write_text(text.replace('by = "20 March 2027"', f'by = "20 March 2027", matters = {weight}'))
        assert f"matters = {weight}" in path.read_text() or weight in path.read_text()
        said = run("plan", path, "--shop", SHOP, "--now", NOW)
        assert ("no weight of a date" in said.out + said.err) == (code == 2)
