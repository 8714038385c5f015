"""The shop changed by forms: days off, holidays, gear; its air read by hand, and a logger's file taken in."""

from __future__ import annotations

import re
from datetime import date, timedelta

import pytest
from starlette.testclient import TestClient

from rakelight.desk.air_heard import air_read
from rakelight.errors import Misread
from rakelight.shop.file import read_shop
from rakelight.web.app import create_app
from rakelight.web.forms import off_form

from .clock import HERE, NOW, Clock
from .conftest import EXAMPLES, make_shop

TEXT = (EXAMPLES / "shop-winter.toml").read_text("utf-8")


@pytest.fixture(scope="module")
def clock():
    """The clock of the application."""
    return Clock()


@pytest.fixture(scope="module")
def app(tmp_path_factory, clock):
    """The application over a shop without pieces."""
    made = create_app(make_shop(tmp_path_factory.mktemp("forms") / "shop.rakelight"), clock=clock)
    made.state.keeper.look = lambda: None
    yield made
    made.state.keeper.close()


@pytest.fixture
def here(app):
    """A visitor, and the word of its forms."""
    client = TestClient(app, base_url="http://localhost:8200", client=HERE, follow_redirects=False)
    key = re.search(r'name="form_key" value="(\w+)"', client.get("/shop").text)[1]

    def send(path: str, file: tuple[str, bytes] | None = None, **said: str):
        files = {"log": (*file, "text/csv")} if file else None
        return client.post(path, data={"form_key": key, **said}, files=files)

    client.send_form = send
    return client


def shop(app):
    """The shop as the file has it now."""
    return app.state.keeper.shop.shop


def test_a_day_off_is_added_and_taken_out_and_remarks_stay(app, here):
    assert "Sat 13 March 2027" in here.get("/shop").text
    assert here.send_form("/shop/off", do="add", first="2027-02-19").headers["location"] == "/shop#off"
    assert here.send_form("/shop/off", do="add", first="2027-04-05", last="2027-04-09").status_code == 303
    assert {date(2027, 2, 19), date(2027, 3, 13), date(2027, 4, 5), date(2027, 4, 9)} <= shop(app).off
    page = here.get("/shop").text
    assert "Fri 19 February 2027" in page and "Mon 5 April 2027 to Fri 9 April 2027" in page
    here.send_form("/shop/off", do="out", out="13 March 2027")
    assert date(2027, 3, 13) not in shop(app).off and len(shop(app).off) == 6
    text = app.state.keeper.shop.shop_text
    assert text.startswith("# A one-room shop") and "[place.house]" in text and read_shop(text, "")[1] == []


def test_what_is_no_day_off_is_said_beside_its_field_and_nothing_is_lost(app, here):
    before = app.state.keeper.shop.shop_text
    for said, words in (
        ({"first": ""}, "No day is said"),
        ({"first": "2027-05-09", "last": "2027-05-02"}, "goes backwards"),
        ({"first": "not a day"}, "not a day"),
    ):
        answer = here.send_form("/shop/off", do="add", **said)
        assert answer.status_code == 422 and words in answer.text, said
        assert f'value="{said["first"]}"' in answer.text
    wrong = here.send_form("/shop/off", do="holidays", country="Atlantis")
    assert wrong.status_code == 422 and 'value="Atlantis"' in wrong.text
    assert app.state.keeper.shop.shop_text == before


def test_holidays_of_a_country_are_off_too(app, here):
    assert here.send_form("/shop/off", do="holidays", country="United States").status_code == 303
    assert shop(app).holidays == "US" and 'value="US"' in here.get("/shop").text
    here.send_form("/shop/off", do="holidays", country="")
    assert shop(app).holidays == ""


def test_gear_is_ticked(app, here):
    assert shop(app).gear.gun is None
    assert here.send_form("/shop/gear", brush="yes", gun="yes", set_up="12", clean="20 min").status_code == 303
    gear = shop(app).gear
    assert (gear.brush, gear.pad) == (True, False)
    assert (gear.gun.set_up_min, gear.gun.clean_min) == (12, 20)
    page = here.get("/shop").text
    assert 'name="gun" value="yes" checked' in page and 'value="12 min"' in page
    wrong = here.send_form("/shop/gear", brush="yes", gun="yes", set_up="a while")
    assert wrong.status_code == 422 and 'value="a while"' in wrong.text
    here.send_form("/shop/gear", brush="yes", pad="yes")
    assert shop(app).gear.gun is None


@pytest.mark.parametrize("off", ['off = "13 March 2027"\n', "off = 2027-03-13\n", ""])
def test_days_off_in_any_form_of_the_file(off):
    text = TEXT.replace('off = ["13 March 2027"]\n', off)
    more = off_form.with_day_off(text, "2027-03-20", "2027-03-20")
    known = off_form.days_off(more, date(2027, 3, 1))
    assert [d.words for d in known] == ["Sat 13 March 2027", "Sat 20 March 2027"][not off :]
    assert not off_form.days_off(more, date(2027, 4, 1))
    for day in known:
        more = off_form.without_day_off(more, day.said)
    assert not off_form.days_off(more, date(2027, 3, 1))
    with pytest.raises(Misread, match="off already"):
        off_form.with_day_off(off_form.with_day_off(text, "2027-03-20", ""), "2027-03-20", "")


def test_air_read_by_hand_stands_for_two_hours(app, here, clock):
    assert "nobody read it lately" in here.get("/shop/air").text
    assert here.send_form("/shop/air", temp="61", rh="58", place="shop").status_code == 303
    read = air_read(app.state.keeper.shop, "shop")
    assert read.rh == 0.58 and read.temp_c == pytest.approx((61 - 32) / 1.8)
    assert air_read(app.state.keeper.shop, "house") is None
    page = here.get("/shop/air").text.replace("\N{NO-BREAK SPACE}", " ").replace("&nbsp;", " ")
    assert "61 °F, 58 % RH" in page and "read 9:20" in page
    clock.now = NOW + timedelta(hours=2, minutes=1)
    assert air_read(app.state.keeper.shop, "shop") is None
    clock.now = NOW


def test_air_that_is_none_is_asked_back_as_it_was_typed(here):
    for temp, rh, words in (("", "50", "cannot be read"), ("16 C", "0.4", "never met"), ("400", "50", "no air")):
        answer = here.send_form("/shop/air", temp=temp, rh=rh)
        assert answer.status_code == 422 and words in answer.text, (temp, rh)
        assert f'name="temp" inputmode="decimal" value="{temp}"' in answer.text


def rows(days: int, day_words: str = "%Y-%m-%d %H:%M") -> list[str]:
    """Lines of a logger that writes each hour: warm by day, cool at night."""
    begin = NOW.replace(day=1, hour=0, minute=0, tzinfo=None)
    found = []
    for n in range(24 * days):
        at = begin + timedelta(hours=n)
        warm = 8 <= at.hour < 17
        found.append(f"{at.strftime(day_words)},{64 if warm else 50},{45 if warm else 70}")
    return found


def test_a_loggers_file_is_shown_then_kept_and_planned_with(app, here):
    text = "\n".join(["Time,Temperature (F),Humidity (%)", *rows(9)])
    shown = here.send_form("/shop/air/log", ("loft.csv", text.encode()), place="shop")
    assert shown.status_code == 200 and "February" in shown.text and "216 rows" in shown.text
    assert not app.state.keeper.shop.air_heard()
    id = re.search(r'name="file" value="(\w+)"', shown.text)[1]
    assert here.send_form("/shop/air/log", file=None, **{"do": "keep", "place": "shop"}).status_code == 422
    kept = keep(here, id)
    assert kept.status_code == 303
    heard = app.state.keeper.shop.air_heard()["shop"]
    assert [m.air.month for m in heard] == [2] and heard[0].air.open_temp_c == pytest.approx((64 - 32) / 1.8, abs=0.3)
    page = here.get("/shop/air").text
    assert "216 hours read" in page and "loft.csv" in page
    assert "As it was read there: February" in here.get("/shop").text


def keep(here, id: str, **said: str):
    """Say that a file in mind is to be planned with."""
    key = re.search(r'name="form_key" value="(\w+)"', here.get("/shop").text)[1]
    return here.post("/shop/air/log", data={"form_key": key, "file": id, "do": "keep", **said})


def test_what_a_file_leaves_open_is_asked_and_the_file_is_not_sent_again(app, here):
    text = "\n".join(["Stamp,Probe one,Probe two", *rows(4, "%d/%m/%Y %H:%M")])
    asked = here.send_form("/shop/air/log", ("dachboden.csv", text.encode()), place="house")
    assert asked.status_code == 422
    assert asked.text.count("Choose it below; the file is kept meanwhile.") == 3 and "--" not in asked.text
    id = re.search(r'name="file" value="(\w+)"', asked.text)[1]
    said = {"time": "Stamp", "temp": "Probe one", "rh": "Probe two", "place": "house"}
    unit = keep(here, id, **said)
    assert unit.status_code == 422 and "Fahrenheit" in unit.text and '<option value="Stamp" selected' in unit.text
    order = keep(here, id, **said, unit="F")
    assert order.status_code == 422 and "day, month" in order.text and "value=\"F\" checked" in order.text
    read = keep(here, id, **said, unit="F", order="d/m")
    assert read.status_code == 303 and "house" in app.state.keeper.shop.air_heard()


def test_what_is_no_loggers_file_is_said_in_one_sentence(here):
    for content in (b"", b"\x00\xff\x00", b"a,b\n1,2\n"):
        answer = here.send_form("/shop/air/log", ("x.csv", content), place="shop")
        assert answer.status_code == 422 and "no line with a date" in answer.text
    assert here.send_form("/shop/air/log", place="shop").status_code == 422
    assert here.send_form("/shop/air/log", ("x.csv", b"a"), place="cellar").status_code == 422
