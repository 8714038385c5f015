"""Several steps of today ticked and sent once: written in the order of the plan, one after the other."""

from __future__ import annotations

import re
from datetime import timedelta

import pytest
from starlette.testclient import TestClient

from rakelight.web.app import create_app
from rakelight.web.pages.several import steps_of_today

from .clock import HERE, NOW, Clock


@pytest.fixture
def here(tmp_path, plans):
    """A visitor of a shop with one board planned, and the keeper behind it."""
    known = plans("one-board", now="10 Feb 2027 9:20", shop="shop-winter")
    path = tmp_path / "shop.rakelight"
    path.write_bytes(known.content)
    clock = Clock()
    clock.now = NOW
    app = create_app(path, clock=clock)
    keeper = app.state.keeper
    keeper._plan, keeper._from, keeper.look = known.plan, known.stamp, lambda: None
    client = TestClient(app, base_url="http://localhost:8200", client=HERE, follow_redirects=False)
    client.keeper, client.clock = keeper, clock
    yield client
    keeper.close()


def send(client, *picked: str, id: str = "several-1234"):
    """Tick steps and send."""
    page = client.get("/shop").text
    key = re.search(r'name="form_key" value="(\w+)"', page)[1]
    return client.post("/log/several", data={"form_key": key, "id": id, "pick": list(picked)})


def todays(client) -> list[str]:
    """Steps that may be ticked, as the page has them."""
    return [f"{d.piece}:{d.task}" for d in steps_of_today(client.keeper, client.keeper.today())]


def test_two_steps_are_told_once_in_the_order_of_the_plan(here):
    first, second, *_ = todays(here)
    assert "/log/several" in here.get("/").text
    here.clock.now = NOW + timedelta(hours=7)
    assert send(here, second, first).status_code == 303
    assert send(here, second, first).status_code == 303  # sent again: counted once
    told = [e for e in here.keeper.shop.events("one-board") if e.kind == "done"]
    assert [f"{e.piece}:{e.task}" for e in told] == [first, second]
    assert told[0].start < told[0].happened <= told[1].start < told[1].happened
    assert told[1].happened == here.keeper.shop.now and all(e.took_min is None for e in told)
    assert first not in todays(here) and second not in todays(here)


def test_what_cannot_have_been_so_is_said_and_what_was_ticked_stays(here):
    first, second, *_ = todays(here)
    nothing = send(here)
    assert nothing.status_code == 422 and "Nothing is ticked" in nothing.text
    here.keeper.shop.set_shop(here.keeper.shop.shop_text)
    gone = send(here, first, "one-board:no-such-step")
    assert gone.status_code == 422 and "no step of today any more" in gone.text and "<b>Kept:</b> Board" in gone.text
    here.keeper._today = None
    here.keeper._from = type(here.keeper._from)(here.keeper.shop.last_seq(), "x")  # the page is older than the entry
    again = send(here, first, second, id="several-5678")
    assert again.status_code == 422 and "told already" in again.text
    assert re.search(rf'value="{re.escape(second)}" checked', again.text)
    assert not [e for e in here.keeper.shop.events("one-board") if e.kind == "done" and e.task in second]
