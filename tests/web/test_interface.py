"""The interface for other programs: whatever is sent, the answer is never a fault of ours."""

from __future__ import annotations

import json
import os
import re

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
    with TestClient(app, raise_server_exceptions=False, **here) as visitor:  # one thread for all, and closed at the end
        yield visitor


@pytest.fixture(scope="module")
def form_word(client):
    """The word that this visitor's forms carry."""
    return re.search(r'name="form_key" value="(\w+)"', client.get("/log/note").text)[1]


SOAK = bool(os.environ.get("RAKELIGHT_SOAK"))  # make soak
EASY = [HealthCheck.function_scoped_fixture]
RARELY = settings(max_examples=1000 if SOAK else 25, suppress_health_check=EASY, deadline=None)


@RARELY
@given(told=TOLD)
def test_fuzz_telling_anything_is_taken_or_refused_in_a_sentence(client, told):
    """Fields of the right names with any values."""
    answer = client.post("/api/log", content=json.dumps(told), headers={"Content-Type": "application/json"})
    assert answer.status_code in (201, 404, 409, 422), (told, answer.text)
    if answer.status_code != 201:
        assert answer.json()["says"]


@RARELY
@given(body=st.one_of(ANY, st.dictionaries(st.sampled_from(KEYS), ANY, max_size=6)))
def test_fuzz_any_data_at_all(client, body):
    """Data of any shape, at every address that takes some."""
    for path in ("/api/log", "/air"):
        answer = client.post(path, content=json.dumps(body), headers={"Content-Type": "application/json"})
        assert answer.status_code < 500, (path, body, answer.text)


@RARELY
@given(body=st.binary(max_size=60))
def test_fuzz_bytes_that_are_no_data(client, body):
    """Not even JSON."""
    answer = client.post("/api/log", content=body, headers={"Content-Type": "application/json"})
    assert answer.status_code < 500


PLACES = (
    "/api/pieces/", "/log/entry/", "/pieces/", "/photographs/", "/?step=", "/?step=one-board:", "/api/log?piece=",
    "/api/log/", "/pieces/one-board/part/", "/pieces/one-board/schedule/", "/pieces/one-board/papers/", "/book/",
)  # fmt: skip


@RARELY
@given(place=st.sampled_from(PLACES), key=st.text(max_size=30))
def test_fuzz_any_address(client, place, key):
    """Keys and ids that are none."""
    from urllib.parse import quote

    if place == "/api/log/":
        answer = client.post(f"{place}{quote(key, safe='')}/back", headers={"Origin": "http://127.0.0.1"})
    else:
        answer = client.get(place + quote(key, safe=""))
    assert answer.status_code < 500, (place, key, answer.text)


FORMS = (
    "/log", "/log/test", "/log/dust", "/log/note", "/log/undo", "/log/fault", "/log/picture", "/log/rags",
    "/log/put-right", "/log/as-planned", "/pieces/new", "/pieces/new/text", "/pieces/one-board/part",
    "/pieces/one-board/part/board", "/pieces/one-board/schedule/oil-and-wax", "/pieces/one-board/date",
    "/pieces/one-board/text", "/shop/learned", "/stock", "/devices/remove", "/pieces/nothing/copy",
)  # fmt: skip
FIELDS = (
    "event", "piece", "task", "used", "took", "coats", "at", "ago_s", "id", "used_typed", "took_typed", "before_g",
    "after_g", "again_h", "what", "did", "words", "pick", "all", "told", "test", "name", "by", "put", "try", "text",
    "part-1-kind", "part-1-wood", "part-1-long", "part-1-count", "part-1-open", "part-99-wide", "step-1-do",
    "step-2-with", "step-2-coats", "value", "material", "size", "device", "for", "unit", "join", "finish", "into",
    "more", "less",
)  # fmt: skip


@settings(RARELY, max_examples=5000 if SOAK else 60)
@given(path=st.sampled_from(FORMS), words=st.dictionaries(st.sampled_from(FIELDS), WORDS, max_size=8))
def test_fuzz_forms_with_any_words(client, form_word, path, words):
    """What a form may send, to every address that takes one."""
    answer = client.post(path, data={**words, "form_key": form_word})
    told = (path, words, answer.status_code, answer.text[-400:])
    assert answer.status_code in (200, 303, 403, 404, 405, 409, 422), told


def test_the_verbs_are_described(client):
    """Every address of the interface stands in its description, with a sentence."""
    told = client.get("/api/openapi.json").json()
    for path in ("/api/today", "/api/pieces", "/api/log", "/air"):
        for verb in told["paths"][path].values():
            assert verb["description"].endswith(".")
    assert "/api/log" in client.get("/api").text


def test_more_leads_to_every_place(client):
    """Each link of the page answers."""
    for address in re.findall(r'<li><a href="(/[a-z]+)"><b>', client.get("/more").text):
        assert client.get(address).status_code == 200, address
    assert 'href="/stock"' in client.get("/more").text and 'href="/book"' in client.get("/more").text
