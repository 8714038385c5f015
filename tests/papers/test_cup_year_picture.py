"""The picture of a cup through the seasons: words inside it, drawn as the figures say."""

import re
import xml.etree.ElementTree as ET
from functools import cache

import pytest

from rakelight.facts import load
from rakelight.papers.pictures.canvas import words_width
from rakelight.papers.pictures.cup_year import cup_year_svg, seasons_of, year_words
from rakelight.schedule.wood_air import own_year, town_year
from rakelight.schedule.wood_cups import Panel, year_cup
from rakelight.schedule.wood_known import coated, wood_known

SVG = "{http://www.w3.org/2000/svg}"
FACTS = load()


@cache
def made(top="shellac x3", under="bare", town="Chicago"):
    air = town_year(FACTS, town) if town else own_year(0.3, 0.6)
    panel = Panel(wood_known(FACTS, "black walnut"), 400.0, 22.0, "flat", coated(FACTS, top), coated(FACTS, under))
    return panel, year_cup(FACTS, panel, air)


@pytest.mark.parametrize("asked", [(), ("bare", "shellac x3", ""), ("shellac x3", "shellac x3")])
@pytest.mark.parametrize("unit", ["in", "mm"])
def test_its_words_lie_inside_it(asked, unit) -> None:
    root = ET.fromstring(cup_year_svg(*made(*asked), unit))
    assert root.find(f"{SVG}title").text and root.find(f"{SVG}desc").text
    wide, high = float(root.get("width")), float(root.get("height"))
    for text in root.iter(f"{SVG}text"):
        x, y, cls = float(text.get("x")), float(text.get("y")), (text.get("class") or "").split()
        long = words_width(text.text) * 0.88
        start = x - (long if "e" in cls else 0)
        assert start >= -1 and start + long <= wide + 1 and 0 < y <= high, text.text


def test_hollow_bends_down_and_round_up_and_the_line_turns_where_the_words_say() -> None:
    panel, year = made()
    seasons = seasons_of(year)
    assert [way for way, _, _ in seasons] == ["hollow", "round"]
    root = ET.fromstring(cup_year_svg(panel, year, "in"))
    bends = []
    for path in (p for p in root.iter(f"{SVG}path") if p.get("class") == "wood"):
        end, middle = (float(n) for n in re.match(r"M\S+ (\S+)Q\S+ (\S+) ", path.get("d")).groups())
        bends.append(middle - end)
    assert bends[0] > 0 > bends[1]
    assert bends[0] / -bends[1] == pytest.approx(year.hollow_mm.likely / year.round_mm.likely, rel=0.02)
    line = next(p for p in root.iter(f"{SVG}polyline") if p.get("class") == "curve")
    level = next(p for p in root.iter(f"{SVG}polyline") if p.get("class") == "flat").get("points")
    flat = float(level.split()[0].split(",")[1])
    heights = [float(point.split(",")[1]) for point in line.get("points").split()]
    assert (max(heights) - flat) / (flat - min(heights)) == pytest.approx(bends[0] / -bends[1], rel=0.05)
    assert all(season in year_words(year, "in") for _, _, season in seasons)


def test_alike_on_both_faces_it_stays_flat() -> None:
    panel, year = made("shellac x3", "shellac x3")
    assert year.flat and "stays flat" in year_words(year, "mm")
    assert "Stays flat through the year" in cup_year_svg(panel, year, "mm")
