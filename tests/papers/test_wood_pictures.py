"""The pictures of the wood: well-formed, to scale, words inside the picture, nothing by colour alone."""

import xml.etree.ElementTree as ET
from functools import cache

import pytest

from rakelight.facts import load
from rakelight.papers.pictures.canvas import words_width
from rakelight.papers.pictures.cup import cup_svg
from rakelight.papers.pictures.movement import movement_svg
from rakelight.schedule import wood_cups, wood_moves
from rakelight.schedule.wood_air import own_year, town_year
from rakelight.schedule.wood_cups import Panel
from rakelight.schedule.wood_known import coated, wood_known

SVG = "{http://www.w3.org/2000/svg}"
FACTS = load()


@cache
def year(wide_mm=400.0, town="Chicago", fixed="middle"):
    walnut = wood_known(FACTS, "black walnut")
    air = town_year(FACTS, town) if town else own_year(0.3, 0.6)
    made = wood_moves.year_moves(FACTS, walnut, wide_mm, 20.0, "flat", air, 8.0, coated(FACTS, "shellac x3"))
    return made, wood_moves.fits(FACTS, made.dampest, made.driest, fixed, "in")


@cache
def cups(under="bare", rh=0.65):
    bare = coated(FACTS, under)
    top = coated(FACTS, "shellac x3")
    walnut = wood_known(FACTS, "black walnut")
    panels = [Panel(walnut, 400.0, 22.0, "flat", top, face) for face in (bare, top)]
    return panels[0], *(wood_cups.cup(FACTS, p, 7.7, 20.0, rh) for p in panels)


PICTURES = {
    "middle": lambda: movement_svg(*year(), 20.0, "in"),
    "edge": lambda: movement_svg(*year(900.0, "", "edge"), 20.0, "mm"),
    "narrow": lambda: movement_svg(*year(20.0), 20.0, "in"),
    "inline": lambda: movement_svg(*year(), 20.0, "in", inline="wood"),
    "hollow": lambda: cup_svg(*cups(), "in"),
    "round": lambda: cup_svg(*cups(rh=0.25), "mm"),
    "flat": lambda: cup_svg(*cups("shellac x3"), "mm"),
}


@cache
def drawn(name):
    return PICTURES[name]()


@pytest.mark.parametrize("name", PICTURES)
def test_it_is_a_picture_with_title_and_words_inside_it(name) -> None:
    root = ET.fromstring(drawn(name))
    assert root.find(f"{SVG}title").text and root.find(f"{SVG}desc").text
    wide, high = float(root.get("width")), float(root.get("height"))
    for text in root.iter(f"{SVG}text"):
        x, y, cls = float(text.get("x")), float(text.get("y")), (text.get("class") or "").split()
        long = words_width(text.text) * 0.88
        start = x - (long if "e" in cls else long / 2 if "m" in cls else 0)
        assert start >= -1 and start + long <= wide + 1 and 0 < y <= high, text.text


def test_the_movement_is_drawn_to_scale() -> None:
    """Strip over driest as the figures say."""
    made, fit = year(900.0, "", "edge")
    root = ET.fromstring(movement_svg(made, fit, 20.0, "mm"))
    dry = next(r for r in root.iter(f"{SVG}rect") if r.get("class") == "wood")
    right = float(dry.get("x")) + float(dry.get("width"))
    strip = next(p for p in root.iter(f"{SVG}path") if p.get("class") == "strip")
    start, end = (float(s) for s in strip.get("d").removeprefix("M").replace(" ", "H").split("V")[0].split("H")[::2])
    moved = made.dampest.change_mm.likely - made.driest.change_mm.likely
    width = made.driest.wide_mm + made.driest.change_mm.likely
    assert start == pytest.approx(right, abs=0.1)
    assert (end - start) / float(dry.get("width")) == pytest.approx(moved / width, rel=0.03)


def test_inline_it_keeps_its_ids_to_itself() -> None:
    ids = [e.get("id") for e in ET.fromstring(drawn("inline")).iter() if e.get("id")]
    assert ids and all(i.startswith("wood") for i in ids)
    assert "url(#wood-moves)" in drawn("inline")


def test_the_cup_bends_the_way_it_says() -> None:
    def dip(svg):
        d = next(p.get("d") for p in ET.fromstring(svg).iter(f"{SVG}path") if p.get("class") == "wood")
        first, rest = d.removeprefix("M").split("Q")[:2]
        return float(rest.split()[1]) - float(first.split()[1])

    assert dip(drawn("hollow")) > 0 > dip(drawn("round"))
    assert dip(drawn("flat")) == 0
