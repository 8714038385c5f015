"""Who may come in, and what is refused: foreign names and pages, strangers, large and false files, script in names."""

from __future__ import annotations

import re
import struct
import zlib
from datetime import timedelta
from io import BytesIO

import pytest
from PIL import Image
from starlette.testclient import TestClient

from rakelight.web.app import create_app
from rakelight.web.devices import LINK_FOR, TRIES

from .clock import HERE, NOW, OTHER, PHONE, Clock
from .conftest import make_shop


@pytest.fixture(scope="module")
def shop_file(tmp_path_factory):
    """A shop's file with one piece."""
    return make_shop(tmp_path_factory.mktemp("guard") / "shop.rakelight", "one-board")


@pytest.fixture(scope="module")
def clock():
    """The clock of the application."""
    return Clock()


@pytest.fixture(scope="module")
def app(shop_file, clock):
    """The application on the shop's network."""
    made = create_app(shop_file, lan=True, clock=clock)
    yield made
    made.state.keeper.close()


def visit(app, client=HERE, host="127.0.0.1:8200", **more):
    """A visitor from an address, who asks for a host."""
    return TestClient(app, base_url=f"http://{host}", client=client, follow_redirects=False, **more)


def key_of(client, path="/") -> str:
    """The word of the page's forms."""
    return re.search(r'name="form_key" value="(\w+)"', client.get(path).text)[1]


def test_a_foreign_name_pointed_here_sees_nothing(app):
    """DNS rebinding: whatever the Host says, only this computer's own names are answered."""
    foreign = ("evil.example", "evil.example:8200", "localhost.evil.example", "127.0.0.1.evil.example", "[::2]", "")
    for host in foreign:
        answer = visit(app).get("/", headers={"Host": host})
        assert answer.status_code == 421 and "board now" not in answer.text, host
    for host in ("localhost", "localhost:8200", "127.0.0.1:8200", "[::1]:8200"):
        assert visit(app).get("/", headers={"Host": host}).status_code == 200


@pytest.mark.parametrize(
    "headers",
    [
        {"Origin": "http://evil.example"},
        {"Origin": "null"},
        {"Origin": "https://127.0.0.1:8200"},
        {"Origin": "http://127.0.0.1:9999"},
        {"Sec-Fetch-Site": "cross-site"},
        {"Sec-Fetch-Site": "same-site"},
        {"Referer": "http://evil.example/form"},
    ],
)
def test_a_foreign_page_changes_nothing(app, headers):
    """What another page sends is refused, even with the right word of the form."""
    here = visit(app)
    told = {"form_key": key_of(here), "words": "x", "piece": "one-board"}
    assert here.post("/log/note", data=told, headers=headers).status_code == 403
    assert here.post("/api/log", json={"kind": "note", "words": "x"}, headers=headers).status_code == 403


def test_a_form_without_its_word_is_refused(app):
    """No word, another's word; and plain text that looks like data."""
    here, other = visit(app), visit(app)
    key = key_of(here)
    assert here.post("/log/note", data={"words": "x"}).status_code == 403
    assert other.post("/log/note", data={"words": "x", "form_key": key}).status_code == 403
    sent = here.post("/api/log", content='{"kind":"note","words":"x"}', headers={"Content-Type": "text/plain"})
    assert sent.status_code == 403
    assert here.post("/log/note", data={"words": "x", "form_key": key}).status_code == 303


def test_the_cookie_is_for_no_script_and_no_foreign_page(app):
    """HttpOnly, SameSite; and every answer carries the strict policy."""
    answer = visit(app).get("/")
    assert {"HttpOnly", "SameSite=Lax"} <= set(answer.headers["set-cookie"].split("; "))
    policy = answer.headers["content-security-policy"]
    assert "default-src 'none'" in policy and "unsafe" not in policy and "script-src 'self'" in policy
    assert answer.headers["x-content-type-options"] == "nosniff"
    assert answer.headers["referrer-policy"] == "same-origin"
    assert not re.search(r"<script(?! src=)|\son\w+=|\sstyle=", answer.text)


def test_an_unpaired_device_sees_nothing(app):
    """Every page and address of the application, asked for from the network."""
    stranger = visit(app, client=OTHER)
    asked = 0
    for route in app.routes:
        path = getattr(route, "path", "").replace("{", "").replace("}", "")
        if path.startswith(("/pair", "/healthz")) or not path:
            continue
        answer = stranger.get(path)
        asked += 1
        assert answer.status_code == 403 and "one-board" not in answer.text.lower(), path
        assert stranger.post(path, data={"words": "x"}).status_code == 403
    assert asked > 20
    assert stranger.get("/static/page.js").status_code == 403
    assert stranger.get("/static/page.css").status_code == 200  # so that what is said is readable


def test_a_phone_is_paired_once_and_removed(app):
    """The link is good once; the phone comes in by its cookie; removed, it sees nothing."""
    devices = app.state.devices
    word = devices.link()
    phone, other = visit(app, client=PHONE), visit(app, client=OTHER)
    assert phone.get(f"/pair/{word}").status_code == 200
    paired = phone.post(f"/pair/{word}", data={"name": "Bench <b>phone</b>"})
    assert paired.status_code == 303 and "HttpOnly" in paired.headers["set-cookie"]
    assert phone.get("/").status_code == 200
    assert other.post(f"/pair/{word}", data={"name": "thief"}).status_code == 403
    told = phone.post("/log/note", data={"form_key": key_of(phone), "words": "from the phone", "piece": "one-board"})
    assert told.status_code == 303
    note = phone.get("/api/log").json()["told"][-1]
    assert note["device"] == "Bench <b>phone</b>" and "<b>phone" not in phone.get("/").text
    assert phone.post("/devices/link", data={"form_key": key_of(phone)}).status_code == 403
    here = visit(app)
    id = next(d.id for d in devices.all() if d.kind == "phone")
    assert here.post("/devices/remove", data={"form_key": key_of(here), "device": id}).status_code == 303
    assert phone.get("/").status_code == 403


def test_pairing_cannot_be_guessed(app, clock):
    """After some wrong links an address waits, even with the right one; and a link ends by itself."""
    guesser = visit(app, client=("192.168.1.99", 1))
    codes = [guesser.post(f"/pair/wrong-{n}", data={"name": "x"}).status_code for n in range(TRIES + 2)]
    assert codes[0] == 403 and codes[-1] == 429
    word = app.state.devices.link()
    assert guesser.post(f"/pair/{word}", data={"name": "x"}).status_code == 429
    clock.now = NOW + LINK_FOR + timedelta(seconds=1)
    try:
        assert visit(app, client=PHONE).post(f"/pair/{word}", data={"name": "x"}).status_code == 403
    finally:
        clock.now = NOW


def test_a_thermometer_tells_the_air_and_nothing_else(app):
    """Its own key, for one address."""
    _, key = app.state.devices.add("north wall", "sensor")
    away = visit(app, client=OTHER, headers={"Authorization": f"Bearer {key}"})
    told = away.post("/air", json={"temp_c": 18.5, "rh": 0.46})
    assert told.status_code == 201
    assert away.get("/").status_code == 403 and away.post("/api/log", json={"kind": "note"}).status_code == 403
    assert away.post("/air", json={"temp_c": 18.5, "rh": 46}).status_code == 422
    event = visit(app).get("/api/log").json()["told"][-1]
    assert event["what"] == "air" and event["values"] == {"temp_c": 18.5, "rh": 0.46}
    assert event["device"] == "north wall"
    assert "no place 'attic'" in away.post("/air", json={"temp_c": 18.5, "rh": 0.46, "place": "attic"}).text
    assert away.post("/air", json={"temp_c": 18.5, "rh": 0.46, "place": "shop"}).status_code == 201
    bad = visit(app, client=OTHER, headers={"Authorization": f"Bearer {key}x"})
    assert bad.post("/air", json={"temp_c": 18.5, "rh": 0.46}).status_code == 403


@pytest.mark.parametrize(
    "path",
    [
        "/static/../app.py", "/static/..%2fapp.py", "/static/%2e%2e/guard.py", "/static/....//app.py",
        "/static//etc/passwd", "/photographs/..%2f..%2fshop.rakelight", "/photographs/" + "a" * 63,
        "/photographs/" + "A" * 64, "/log/..%2fentry", "/static/%00",
    ],
)  # fmt: skip
def test_no_path_leads_out(app, path):
    """Directory traversal."""
    answer = visit(app).get(path)
    assert answer.status_code in (403, 404, 422) and "import" not in answer.text and "root:" not in answer.text


def bomb(pixels: int) -> bytes:
    """A PNG of many pixels in few bytes."""

    def chunk(kind: bytes, body: bytes) -> bytes:
        return struct.pack(">I", len(body)) + kind + body + struct.pack(">I", zlib.crc32(kind + body))

    head = struct.pack(">IIBBBBB", pixels, pixels, 8, 0, 0, 0, 0)
    body = chunk(b"IDAT", zlib.compress(bytes(4096)))
    return b"\x89PNG\r\n\x1a\n" + chunk(b"IHDR", head) + body + chunk(b"IEND", b"")


FALSE = {
    "bomb": bomb(60_000), "svg": b"<svg onload=alert(1)>", "gif": b"GIF89a" + bytes(100), "pdf": b"%PDF-1.7",
    "broken jpeg": b"\xff\xd8\xff\xe0" + bytes(2000), "nothing": bytes(3),
}  # fmt: skip


@pytest.mark.parametrize("content", FALSE.values(), ids=FALSE)
def test_what_is_no_photograph_is_refused(app, content):
    """Type by content, not by name; too many pixels; broken off."""
    here = visit(app)
    sent = {"photo": ("a.jpg", content, "image/jpeg")}
    answer = here.post("/log/picture", data={"form_key": key_of(here), "piece": "one-board"}, files=sent)
    assert answer.status_code == 422 and "picture" in answer.text


def test_too_large_is_refused(app):
    """By the length told, and by what comes."""
    here = visit(app)
    key = key_of(here)
    answer = here.post("/log/note", data={"form_key": key, "words": "x" * 17_000_000})
    assert answer.status_code == 413


def test_a_photograph_that_is_one_is_kept(app):
    """The twin: a plain picture comes through, in whatever of the three kinds."""
    here = visit(app)
    for kind in ("JPEG", "PNG", "WEBP"):
        made = BytesIO()
        Image.new("RGB", (40, 30), (90, 60, 30)).save(made, kind)
        sent = {"photo": ("a", made.getvalue(), "application/octet-stream")}
        answer = here.post("/log/picture", data={"form_key": key_of(here), "piece": "one-board"}, files=sent)
        assert answer.status_code == 303, answer.text
