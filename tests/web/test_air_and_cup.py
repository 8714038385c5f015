"""The bench says go or not now for the coat in hand; the page of a piece draws how an unequal top cups."""

from __future__ import annotations

from datetime import datetime
from types import SimpleNamespace

import pytest

from rakelight.facts import load
from rakelight.schedule.tasks import Lay
from rakelight.shop.climate import air_at
from rakelight.shop.file import read_shop
from rakelight.web.content import pictures
from rakelight.web.content.air_now import AirNow, air_now

SHOP = """
shop = "Garage"
zone = "America/Chicago"
hours = {{ mon-sun = "8:00-17:00" }}
[place.garage]
heater = "{heater}"
air = [{{ open = "{air}", closed = "{air}" }}]
"""


def said(air, lay, heater="none", day=8, read=None):
    shop, found = read_shop(SHOP.format(air=air, heater=heater))
    assert shop, found
    now = datetime(2027, 2, 8, 10, tzinfo=shop.zone)
    doing = SimpleNamespace(step=SimpleNamespace(lay=lay), place="garage", start=now.replace(day=day), unit="in")
    of_now = read or AirNow("garage", *air_at(shop, "garage", now))
    return air_now(shop, load(), doing, now, of_now)  # type: ignore[arg-type]


SHELLAC, VARNISH = Lay("shellac_dewaxed", "brush"), Lay("omu_brush", "brush")


def test_go_not_now_and_why():
    word, why = said("70 F, 45 %", SHELLAC)
    assert word == "Go." and "above the dew point" in why
    word, why = said("70 F, 85 %", SHELLAC)
    assert word == "Not now." and "turns white" in why and "Warm the piece" in why
    word, why = said("50 F, 50 %", VARNISH)
    assert word == "Not now." and "55 F" in why
    assert said("70 F, 45 %", VARNISH) == ("Go.", "")
    assert said("70 F, 45 %", SHELLAC, "wood stove")[0] == "Not now."


def test_what_was_read_goes_before_what_the_settings_say():
    read = AirNow("garage", 21.0, 0.85, datetime(2027, 2, 8, 9, 5))
    word, why = said("70 F, 45 %", SHELLAC, read=read)
    assert word == "Not now." and "turns white" in why and why.endswith("By the air read at 9:05.")
    dry = AirNow("garage", 21.0, 0.45, datetime(2027, 2, 8, 9, 5))
    assert said("70 F, 85 %", SHELLAC, read=dry)[0] == "Go."
    assert said("70 F, 85 %", VARNISH, read=dry) == ("Go.", "By the air read at 9:05.")


def test_nothing_is_said_where_nothing_is_laid_or_it_is_of_another_day():
    assert said("70 F, 85 %", None) is None
    assert said("70 F, 85 %", SHELLAC, day=9) is None


@pytest.mark.parametrize(("faces", "bent"), [('faces = { underside = "bare" }', True), ("", False)])
def test_a_top_finished_unequally_is_drawn_and_an_equal_one_is_not(planned, check, board, faces, bent):
    steps = ('do = "coat", with = "brushing urethane varnish", coats = 3, by = "brush"',)
    text = board(*steps, wood="black walnut", sizes="wide = 40\nthick = 1", part=faces)
    piece, work, _, facts, _ = planned(text)
    answer = SimpleNamespace(work=work, piece=piece, findings=tuple(check(text)))
    (top,) = pictures.tops(answer)
    assert pictures.bends(answer, top) is bent
    if bent:
        drawn = pictures.cup_svg(answer, top, facts)
        assert drawn.startswith("<svg") and "hollow on top" in drawn and "both faces" in drawn
