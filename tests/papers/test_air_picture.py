"""The week of air as a picture: well-formed, told in words, and true to the hours it is drawn from."""

from __future__ import annotations

import xml.etree.ElementTree as ET
from datetime import datetime
from pathlib import Path

import pytest

from rakelight.facts import load
from rakelight.papers.pictures.air import air_svg
from rakelight.plan.air_week import week_of
from rakelight.schedule.tasks import Lay
from rakelight.shop.file import read_shop

SVG = "{http://www.w3.org/2000/svg}"
WINTER = Path(__file__).parents[2] / "examples" / "shop-winter.toml"


@pytest.fixture
def week():
    shop, _ = read_shop(WINTER)
    coats = [
        ("Case & <shellac>", Lay("shellac_dewaxed", "brush")),
        ("Shelf, varnish", Lay("omu_wipe", "wipe")),
    ]
    return week_of(shop, load(), "shop", coats, datetime(2027, 3, 2, 16, 30, tzinfo=shop.zone))


def drawn(picture, cls):
    return [e for e in ET.fromstring(picture).iter() if e.get("class") == cls]


def test_it_is_one_picture_with_title_words_and_no_inline_style(week):
    root = ET.fromstring(air_svg(week, "in"))
    assert root.find(f"{SVG}title").text and "Haze threatens" in root.find(f"{SVG}desc").text
    assert not [e for e in root.iter() if e.get("style")]
    assert "Case & <shellac>" in "".join(root.itertext())


def test_every_good_span_has_its_block(week):
    spans = sum(len(r.spans) for r in week.rows)
    picture = air_svg(week, "in")
    assert len(drawn(picture, "go")) + len(drawn(picture, "half")) == spans + 2  # the key
    assert len(drawn(picture, "haze")) >= 5, "a night of haze each, and the key"


def test_lines_stay_on_the_plot(week):
    for cls in ("air", "wet", "dew"):
        (line,) = drawn(air_svg(week, "mm"), cls)
        points = [tuple(map(float, p.split(","))) for p in line.get("points").split()]
        assert len(points) == len(week.hours) == 168
        assert all(46 <= x <= 472 and 32 <= y <= 214 for x, y in points)


def test_inlined_its_ids_are_its_own(week):
    picture = air_svg(week, "in", inline="week1")
    assert (
        'id="week1-hz"' in picture and "url(#week1-hz)" in picture and "prefers-color-scheme" not in picture
    )


def test_degrees_have_their_unit_and_the_now_line_crosses_no_name(week):
    for unit, sign in (("in", "°F"), ("mm", "°C")):
        assert sign in [e.text for e in ET.fromstring(air_svg(week, unit)).iter(f"{SVG}text")]
    picture = air_svg(week, "in")
    names = [float(e.get("y")) for e in drawn(picture, "b plate")]
    spans = [[float(p.split(",")[1]) for p in e.get("points").split()] for e in drawn(picture, "now")]
    assert len(names) == len(week.rows) and len(spans) == len(week.rows) + 1
    assert not any(min(span) < name < max(span) for name in names for span in spans)


def test_fair_air_has_no_haze_in_it():
    shop, _ = read_shop(WINTER.with_name("shop-fair.toml"))
    now = datetime(2027, 3, 2, 9, tzinfo=shop.zone)
    fair = week_of(shop, load(), "shop", [("Shellac", Lay("shellac_dewaxed", "brush"))], now)
    assert not fair.haze and not drawn(air_svg(fair, "in"), "haze")
