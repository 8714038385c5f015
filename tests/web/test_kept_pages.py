"""Pages kept as they were drawn: each reader's forms are his own, and what is new shows at once."""

from __future__ import annotations

import gzip
import re
from datetime import timedelta

import pytest
from starlette.testclient import TestClient

from rakelight.log.events import Event
from rakelight.store.shop_store import Store
from rakelight.web import kept_pages
from rakelight.web.app import create_app
from rakelight.web.packed import packed

from .clock import HERE, Clock
from .conftest import make_shop


@pytest.fixture(scope="module")
def a_clock():
    """The clock of the application."""
    return Clock()


@pytest.fixture(scope="module")
def app(tmp_path_factory, a_clock):
    """The application over a shop's file; no plan is reckoned."""
    folder = tmp_path_factory.mktemp("kept")
    made = create_app(make_shop(folder / "shop.rakelight", "one-board"), clock=a_clock)
    keeper = made.state.keeper
    keeper.look = lambda: None
    yield made
    keeper.close()


@pytest.fixture
def clock(a_clock):
    """The same, an hour later for each test: nothing is kept of the test before."""
    a_clock.now += timedelta(hours=1)
    return a_clock


@pytest.fixture
def drawn(monkeypatch, clock):
    """The pages that were drawn and kept, by their addresses."""
    rows = []
    kept = kept_pages.KeptPages.keep

    def keep(self, key, page, ids):
        rows.append(key[0])
        kept(self, key, page, ids)

    monkeypatch.setattr(kept_pages.KeptPages, "keep", keep)
    return rows


def visit(app, **more):
    """A visitor of his own, on this computer."""
    return TestClient(app, base_url="http://localhost:8200", client=HERE, follow_redirects=False, **more)


def keys(page: str) -> list[str]:
    """The words of its forms."""
    return re.findall(r'name="form_key" value="(\w+)"', page)


def test_a_page_is_drawn_once_and_each_reader_has_forms_of_his_own(app, drawn):
    first, second = visit(app), visit(app)
    one, two = first.get("/pieces/one-board").text, second.get("/pieces/one-board").text
    assert drawn == ["/pieces/one-board"]
    assert set(keys(one)) == {first.app.state.devices.form_key(first.cookies["rakelight"])}
    assert set(keys(two)) == {first.app.state.devices.form_key(second.cookies["rakelight"])}
    assert one.replace(keys(one)[0], "") == two.replace(keys(two)[0], "")
    refused = second.post("/pieces/one-board/away", data={"form_key": keys(one)[0]})
    assert refused.status_code == 403
    assert second.post("/pieces/one-board/away", data={"form_key": keys(two)[0]}).status_code == 303


def test_what_is_told_shows_on_the_next_page_whoever_tells_it(app, clock, drawn):
    reader, teller = visit(app), visit(app)
    assert "from the bench" not in reader.get("/pieces/one-board").text
    key = keys(teller.get("/pieces/one-board").text)[0]
    told = {"form_key": key, "piece": "one-board", "words": "from the bench"}
    assert teller.post("/log/note", data=told).status_code == 303
    assert "from the bench" in reader.get("/pieces/one-board").text
    away = Store(app.state.keeper.path)
    away.add(Event("note", clock.now, clock.now, piece="one-board", words="from another program"))
    away.close()
    page = reader.get("/pieces/one-board").text
    assert "from another program" in page and "from the bench" in page
    assert drawn.count("/pieces/one-board") == 3


def test_the_clock_is_never_behind_by_a_minute(app, clock, drawn):
    reader, began = visit(app), clock.now
    said = f"{began.hour}:{began:%M}"
    assert said in reader.get("/").text
    clock.now = began + timedelta(seconds=59)
    assert said in reader.get("/").text and drawn == ["/"]
    clock.now = began + timedelta(seconds=60)
    assert f"{began.hour}:{began.minute + 1:02}" in reader.get("/").text and drawn == ["/", "/"]


def test_a_bench_with_something_to_be_taken_back_is_not_kept(app, clock, drawn):
    teller = visit(app)
    key = keys(teller.get("/pieces/one-board").text)[0]
    teller.post("/log/note", data={"form_key": key, "piece": "one-board", "words": "a run on the edge"})
    for _ in range(3):
        assert teller.get("/").status_code == 200
        clock.now += timedelta(seconds=15)
    assert "/" not in drawn
    clock.now += timedelta(seconds=20)
    teller.get("/")
    assert "/" in drawn


def test_light_and_dark_and_a_refusal_are_not_mixed_up(app, clock):
    reader = visit(app)
    assert "data-scheme" not in reader.get("/more").text
    reader.cookies.set("scheme", "dark")
    assert 'data-scheme="dark"' in reader.get("/more").text
    assert reader.get("/pieces/none-such").status_code == 404
    assert reader.get("/pieces/none-such").status_code == 404
    assert reader.head("/more").status_code in (200, 405)


def test_a_page_kept_has_the_headers_of_one_drawn(app, clock):
    reader = visit(app)
    for _ in range(2):
        answer = reader.get("/more")
        assert answer.headers["content-security-policy"].startswith("default-src 'none'; style-src 'self'")
        assert answer.headers["cache-control"] == "private, no-cache"
        assert "Accept-Encoding" in answer.headers["vary"]


@pytest.mark.parametrize("page", [b"", b"key", b"no word of it", b"<p>key</p>" * 400 + b"one two key", b"onetwokeykey"])
def test_a_page_put_together_unpacks_to_itself(page):
    made = packed([], page, [b"key", b"one", b"two"])
    other = [b"K" * 40, b"1" * 32, b"2" * 32]
    says = page.replace(b"key", other[0]).replace(b"one", other[1]).replace(b"two", other[2])
    assert made.plain(other) == says
    assert gzip.decompress(made.gzipped(other)) == says
    assert gzip.decompress(made.gzipped([b"key", b"one", b"two"])) == page


def test_a_page_kept_is_small():
    page = b"<p>The case dries until Friday.</p>" * 500
    made = packed([], page, [b"key"])
    assert len(made.gzipped([b"key"])) < len(page) / 20
