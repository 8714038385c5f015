"""Files that `plan` writes."""

from __future__ import annotations

import json
import xml.etree.ElementTree as ET
from pathlib import Path

import vobject


def test_plan_writes_a_calendar_file_and_pictures(at_bench, tmp_path: Path) -> None:
    ics, svg, odds = tmp_path / "plan.ics", tmp_path / "plan.svg", tmp_path / "odds.svg"
    said = at_bench("plan", "--ics", ics, "--svg", svg, "--odds-svg", odds)
    assert said.code == 0
    assert str(ics) in said.out and str(svg) in said.out and str(odds) in said.out
    assert len(vobject.readOne(ics.read_text("utf-8")).vevent_list) > 5
    wide = float(ET.parse(svg).getroot().get("width", 0))
    at_bench("plan", "--svg", svg, "--narrow")
    assert wide > 1000 and float(ET.parse(svg).getroot().get("width", 0)) <= 480
    assert ET.parse(odds).getroot().tag.endswith("svg")


def test_data_stays_data_beside_the_files(at_bench, tmp_path: Path) -> None:
    said = at_bench("plan", "--json", "--ics", tmp_path / "plan.ics")
    assert json.loads(said.out)["schema"] == 1 and (tmp_path / "plan.ics").exists()


def test_a_second_file_takes_the_place_of_the_first_only_if_it_is_ours(at_bench, tmp_path: Path) -> None:
    ics = tmp_path / "plan.ics"
    at_bench("plan", "--ics", ics)
    first = ics.read_bytes()
    at_bench("plan", "--ics", ics)
    assert ics.read_bytes() == first
    ics.write_text("milk, bread\n", "utf-8")
    said = at_bench("plan", "--ics", ics)
    assert said.code == 2 and "plan.ics" in said.err and ics.read_text("utf-8") == "milk, bread\n"


def test_narrow_asks_for_a_picture(at_bench) -> None:
    said = at_bench("plan", "--narrow")
    assert said.code == 2 and "--svg" in said.err


def test_a_folder_that_is_not_there_is_told(at_bench, tmp_path: Path) -> None:
    said = at_bench("plan", "--svg", tmp_path / "no" / "plan.svg")
    assert said.code == 2 and "plan.svg" in said.err


