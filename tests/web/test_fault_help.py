"""After a fault is told the page says what to do now and what it likely came from; the steps go into the plan again."""

from __future__ import annotations

import re
from datetime import timedelta

import pytest
from starlette.testclient import TestClient

from rakelight.facts.faults import faults
from rakelight.web.app import create_app

from .clock import HERE, NOW, Clock
from .conftest import make_shop


@pytest.fixture(scope="module")
def here(tmp_path_factory):
    """A visitor of a shop with one board, sanded and oiled."""
    clock = Clock()
    app = create_app(make_shop(tmp_path_factory.mktemp("faults") / "shop.rakelight", "one-board"), clock=clock)
    app.state.keeper.look = lambda: None
    client = TestClient(app, base_url="http://localhost:8200", client=HERE, follow_redirects=False)
    key = re.search(r'name="form_key" value="(\w+)"', client.get("/shop").text)[1]
    client.tell = lambda path, **said: client.post(path, data={"form_key": key, **said})
    client.shop = app.state.keeper.shop
    for n, task in enumerate(("board/sand", "board/oil-1")):
        clock.now = NOW + timedelta(hours=n)
        assert client.tell("/log", piece="one-board", task=task, event="done").status_code == 303
    clock.now = NOW + timedelta(hours=20)
    yield client
    app.state.keeper.close()


def test_every_fault_that_is_offered_is_one_the_log_knows(here):
    offered = re.findall(r'name="what" value="([^"]+)"', here.get("/log/fault").text)
    assert offered == list(faults())
    for n, what in enumerate(offered):
        assert here.tell("/log/fault", what=what, id=f"fault-id-{n:03}").headers["location"] == "/"


def test_what_to_do_now_and_where_it_came_from(here):
    at = {"piece": "one-board", "task": "board/oil-1"}
    told = here.tell("/log/fault", what="soft", id="soft-oil-1", **at)
    assert told.headers["location"] == "/log/help/soft-oil-1"
    page = here.get("/log/help/soft-oil-1").text
    assert "Likely from" in page and "Next time:" in page and "How much of it" in page
    assert faults()["soft"].now[:20] in page
    assert "/log/help/soft-oil-1" in here.get("/log/entry/soft-oil-1").text


def test_steps_to_do_again_go_into_the_plan_once(here):
    at = {"piece": "one-board", "task": "board/oil-1"}
    here.tell("/log/fault", what="peeling", id="peeling-oil", **at)
    page = here.get("/log/help/peeling-oil").text
    assert "Plan them again" in page
    for _ in range(2):
        assert here.tell("/log/help/peeling-oil").status_code == 303
    again = [e for e in here.shop.events("one-board") if e.kind == "rework"]
    assert len(again) == 1 and "board/oil-1" in again[0].also
    assert "are in the plan" in here.get("/log/help/peeling-oil").text


def test_what_is_no_fault_has_no_help(here):
    assert here.get("/log/help/none-such").status_code == 404
    here.tell("/log/note", words="nothing", piece="one-board", id="a-note-1")
    assert here.get("/log/help/a-note-1").status_code == 404
    assert here.tell("/log/help/a-note-1").status_code == 404
    here.tell("/log/fault", what="blush", id="blush-sand", piece="one-board", task="board/wax-1")
    page = here.get("/log/help/blush-sand")
    assert page.status_code == 200 and faults()["blush"].now[:20] in page.text
