"""The interface for other programs: whatever is sent, the answer is never a fault of ours."""

from __future__ import annotations

import json

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from starlette.testclient import TestClient

from rakelight.web.app import create_app

from .clock import HERE, Clock
from .conftest import make_shop

WORDS = st.one_of(
    st.sampled_from(["", "one-board", "board/sand", "done", "tested", "note", "fault", "reading", "runs", "air", "\0"]),
    st.text(max_size=20),
)
ANY = st.recursive(
    st.one_of(st.none(), st.booleans(), st.floats(allow_nan=True), st.integers(), st.text(max_size=12)),
    lambda inner: st.one_of(st.lists(inner, max_size=3), st.dictionaries(st.text(max_size=6), inner, max_size=3)),
    max_leaves=6,
)
KEYS = ["kind", "piece", "task", "id", "at", "passed", "again_h", "used_ml", "took_min", "coats", "words", "values"]
TOLD = st.fixed_dictionaries(
    {"kind": st.sampled_from(["done", "started", "skipped", "tested", "note", "fault", "reading", "x"])},
    optional={
        "piece": WORDS, "task": WORDS, "words": WORDS, "what": WORDS, "id": WORDS,
        "at": st.one_of(st.datetimes().map(str), st.text(max_size=30), st.just("2027-02-10T08:00-06:00")),
        "passed": st.booleans(), "again_h": st.floats(), "used_ml": st.floats(), "took_min": st.floats(),
        "coats": st.integers(), "values": st.dictionaries(st.text(max_size=8), st.floats(), max_size=3),
    },
)  # fmt: skip


@pytest.fixture(scope="module")
def client(tmp_path_factory):
    """A visitor on this computer; a fault of ours is an answer, not an exception."""
    app = create_app(make_shop(tmp_path_factory.mktemp("api") / "shop.rakelight", "one-board"), clock=Clock())
    app.state.keeper.look = lambda: None  # no plan is wanted here: what is told is what is tried
    here = {"base_url": "http://127.0.0.1", "client": HERE, "follow_redirects": False}
    yield TestClient(app, raise_server_exceptions=False, **here)
    app.state.keeper.close()


RARELY = settings(max_examples=60, suppress_health_check=[HealthCheck.function_scoped_fixture], deadline=None)


@RARELY
@given(told=TOLD)
def test_telling_anything_is_taken_or_refused_in_a_sentence(client, told):
    """Fields of the right names with any values."""
    answer = client.post("/api/log", content=json.dumps(told), headers={"Content-Type": "application/json"})
    assert answer.status_code in (201, 404, 409, 422), (told, answer.text)
    if answer.status_code != 201:
        assert answer.json()["says"]


@RARELY
@given(body=st.one_of(ANY, st.dictionaries(st.sampled_from(KEYS), ANY, max_size=6)))
def test_any_data_at_all(client, body):
    """Data of any shape, at every address that takes some."""
    for path in ("/api/log", "/air"):
        answer = client.post(path, content=json.dumps(body), headers={"Content-Type": "application/json"})
        assert answer.status_code < 500, (path, body, answer.text)


@RARELY
@given(body=st.binary(max_size=60))
def test_bytes_that_are_no_data(client, body):
    """Not even JSON."""
    answer = client.post("/api/log", content=body, headers={"Content-Type": "application/json"})
    assert answer.status_code < 500


@RARELY
@given(key=st.text(max_size=30), step=st.text(max_size=30))
def test_any_address(client, key, step):
    """Keys and ids that are none."""
    from urllib.parse import quote

    for place in ("/api/pieces/", "/log/entry/", "/pieces/", "/photographs/"):
        assert client.get(place + quote(key, safe="")).status_code < 500, (place, key)
    assert client.get("/", params={"step": step}).status_code < 500
    assert client.get("/api/log", params={"piece": key}).status_code < 500
    assert client.post(f"/api/log/{quote(key, safe='')}/back", headers={"Origin": "http://127.0.0.1"}).status_code < 500


@RARELY
@given(words=st.dictionaries(st.sampled_from(["event", "piece", "task", "used", "took", "coats", "at", "ago_s", "id",
                                              "used_typed", "took_typed", "before_g", "after_g", "again_h"]),
                             WORDS, max_size=6))  # fmt: skip
def test_forms_with_any_words(client, words):
    """What a form may send."""
    import re

    page = client.get("/log/note").text
    key = re.search(r'name="form_key" value="(\w+)"', page)[1]
    for path in ("/log", "/log/test", "/log/dust", "/log/note", "/log/undo"):
        answer = client.post(path, data={**words, "form_key": key})
        assert answer.status_code in (303, 404, 409, 422), (path, words, answer.status_code)


def test_the_verbs_are_described(client):
    """Every address of the interface stands in its description, with a sentence."""
    told = client.get("/api/openapi.json").json()
    for path in ("/api/today", "/api/pieces", "/api/log", "/air"):
        for verb in told["paths"][path].values():
            assert verb["description"].endswith(".")
    assert "/api/log" in client.get("/api").text


def test_more_leads_to_every_place(client):
    """Each link of the page answers."""
    import re

    for address in re.findall(r'<li><a href="(/[a-z]+)"><b>', client.get("/more").text):
        assert client.get(address).status_code == 200, address
    assert 'href="/stock"' in client.get("/more").text and 'href="/book"' in client.get("/more").text
