"""The documented keys of schema 1, on every example."""

from __future__ import annotations

from datetime import datetime

import pytest

PAIRS = [
    ("music-cabinet", "shop-winter", "8 Feb 2027 8:00"),
    ("eight-stools", "shop-evenings", "8 Feb 2027 8:00"),
    ("one-board", "shop-fair", "8 Feb 2027 8:00"),
    ("walnut-table", "shop-summer", "30 Aug 2027 7:30"),
    ("rosewood-box", "shop-cellar", "3 May 2027 9:00"),
]


def _moment(words):
    moment = datetime.fromisoformat(words)
    assert moment.tzinfo is not None, words
    return moment


def _ordered(row):
    known = [_moment(row[k]) for k in ("low", "likely", "high") if row[k] is not None]
    assert known == sorted(known) and row["likely"] is not None


def _check_step(step, faces, places):
    assert set(step) >= {"id", "do", "with", "faces", "lot", "place", "start", "end", "ready", "amount"}
    assert all(isinstance(step[k], str) for k in ("id", "do", "with", "place"))
    assert isinstance(step["faces"], list) and step["place"] in places
    if "/board/" not in step["id"]:
        assert set(step["faces"]) <= faces, step["id"]
    assert _moment(step["start"]) <= _moment(step["end"])
    lot = step["lot"]
    assert lot["number"] <= lot["of"] and lot["first"] <= lot["last"]
    for ready in step["ready"]:
        assert isinstance(ready["for"], str)
        _ordered(ready)
    if step["amount"] is not None:
        assert step["amount"]["unit"] in ("ml", "g") and step["amount"]["value"] > 0
        assert step["amount"]["low"] <= step["amount"]["value"] <= step["amount"]["high"]
    if step["do"] in ("coat", "oil", "seal", "fill", "wax"):
        assert step["with"] and step["amount"]


@pytest.mark.parametrize(("piece", "shop", "now"), PAIRS, ids=[p[0] for p in PAIRS])
def test_a_plan_has_every_documented_key(at_bench, piece, shop, now):
    said = at_bench("plan", "--json", piece=piece, shop=shop, now=now)
    plan = said.data
    assert plan["schema"] == 1 and isinstance(plan["piece"], str)
    for due in plan["due"]:
        assert isinstance(due["for"], str)
        _moment(due["when"])
    _ordered(plan["finish"])
    places = {s["place"] for s in plan["steps"]}
    assert plan["parts"]
    by_part = []
    for part in plan["parts"]:
        faces = {f["name"] for f in part["faces"]}
        assert all(isinstance(f["area_m2"], float) and f["area_m2"] > 0 for f in part["faces"])
        for step in part["steps"]:
            _check_step(step, faces, places)
        by_part += [s["id"] for s in part["steps"]]
    ids = [s["id"] for s in plan["steps"]]
    assert sorted(ids) == sorted(by_part) and len(set(ids)) == len(ids)
    starts = [_moment(s["start"]) for s in plan["steps"]]
    assert starts == sorted(starts)
    for line in plan["buy"]:
        assert line["name"] and line["low"] <= line["likely"] <= line["high"] and line["unit"] in ("ml", "g")
    for found in plan["findings"]:
        assert set(found) >= {"id", "severity", "where", "says", "mend", "source", "kind"}
        assert found["severity"] in ("note", "warning", "error") and found["says"] and found["mend"]
    assert said.code == (1 if any(f["severity"] == "error" for f in plan["findings"]) else 0)


def test_mix_gives_flakes_and_what_it_makes(run):
    """113 g to the US pint: 2 lb is 907 g to a gallon of 8 pints."""
    row = run("mix", "shellac", "--cut", 2, "--alcohol", "16 fl oz", "--json").data
    assert row["flakes_g"] == pytest.approx(907.18 / 8, abs=0.1)
    assert row["made_ml"] > 473 and 0.1 < row["solids_volume"] < 0.2


def test_thin_gives_what_to_add(run):
    row = run("thin", "shellac", "--from", 3, "--to", 1, "--of", "100 ml", "--json").data
    assert row["made_ml"] == pytest.approx(100 + row["add_ml"], abs=0.1)


def test_over_gives_a_verdict(run):
    row = run("over", "water-borne acrylic", "boiled linseed oil", "--json").data
    assert row["verdict"] == "needs-barrier" and row["barrier"] and row["reason"] and row["source"]
    assert row["wait_h"]["low"] <= row["wait_h"]["likely"] <= row["wait_h"]["high"]


def test_facts_book_check_and_today_as_data(run, at_bench):
    rows = run("facts", "sapele", "--json").data["rows"]
    assert all(e["source"] for row in rows for e in row["entries"])
    assert len(run("book", "--json").data["schedules"]) >= 12
    assert run("book", "oil-and-wax", "--json").data["steps"]
    assert isinstance(at_bench("check", "--json").data["findings"], list)
    today = at_bench("today", "--json").data
    assert today["schema"] == 1 and {s["id"] for s in today["today"]} == {"board/sand", "board/oil-1"}
    assert today["drying"] == [] and today["as_planned"] == []


def test_what_is_told_comes_back_as_data(at_bench):
    at_bench("plan", "--keep")
    event = at_bench("done", "board/sand", "--json", now="8 Feb 2027 10:00").data["event"]
    assert event["kind"] == "done" and event["task"] == "board/sand"
    back = at_bench("undo", "--json", now="8 Feb 2027 10:05").data["event"]
    assert back["takes_back"] == event["id"]


def test_faults_of_a_file_as_data(run, tmp_path):
    bad = tmp_path / "bad.toml"
    bad.write_text('piece = "x"\nunit = "in"\ncolour = "red"\n')
    said = run("plan", bad, "--shop", "examples/shop-fair.toml", "--json")
    found = said.data["findings"]
    assert said.code == 1 and any(f["where"].startswith("bad.toml:3") for f in found)
