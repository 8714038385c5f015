"""A shop's file with something in every table, and every kind of event."""

from __future__ import annotations

from dataclasses import fields
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Any

import pytest
import sqlalchemy as sa

from rakelight.log.events import ABOUT, KINDS, Event
from rakelight.store import photos
from rakelight.store.piece_row import PieceRow, hash_of
from rakelight.store.shop_store import Store
from rakelight.store.tables import metadata

NOW = datetime(2027, 2, 8, 8, 0, tzinfo=UTC)
PICTURE = b"\x89PNG not really, but bytes"

#: something for every field of an event, by name; a field that is new to it fails `every_field_is_filled`
FILLED: dict[str, Any] = {
    "id": "phone-1", "task": "case/oil-1", "also": ["case/sand"], "start": NOW - timedelta(minutes=35),
    "readiness": "next coat", "passed": False, "again_h": 22.5, "number": 3, "step": "case/oil",
    "words": "mit Öl — “dünn”",
    "takes_back": "", "plan": {"case/sand": [NOW.isoformat(), (NOW + timedelta(hours=1)).isoformat(), "shop"]},
    "after": {"case/oil-1": ["case/sand"]}, "dues": {"pack": NOW + timedelta(days=9)}, "odds": {"pack": 0.61},
    "piece": "case", "maker": "Ada", "device": "bench", "used_ml": 177, "used_g": 60.5, "before_g": 812.0,
    "after_g": 640.0, "took_min": 35.0, "what": "", "values": {"temp_c": 18, "rh": 0.45},
    "material": "boiled-linseed-oil",
    "can": "can-1", "face": "top", "faces": ["top", "front"], "did": "wiped off", "photo": "", "corrects": "",
    "use_by": "2027-08-01", "text_hash": "", "place": "attic",
}  # fmt: skip


def events_of_all_kinds() -> list[Event]:
    """One event of every kind and of everything it may be about, all fields filled."""
    found = []
    for kind in KINDS:
        for what in ABOUT.get(kind, ("",)):
            at = NOW + timedelta(minutes=len(found))
            said = {**FILLED, "what": what, "id": f"{kind}-{what}"}
            if kind == "taken back":
                said["takes_back"] = "note-"
            if kind == "corrected":
                said["corrects"] = "done-"
            found.append(Event(kind, at, at + timedelta(minutes=1), **said))
    return [*found, Event("note", NOW, NOW, words="of the shop itself"), Event("reading", NOW, NOW, what="air")]


def all_rows(store: Store) -> dict[str, list[tuple[Any, ...]]]:
    """Every row of every table."""
    with store.reading() as conn:
        return {t.name: sorted((tuple(row) for row in conn.execute(sa.select(t))), key=repr)
                for t in metadata.sorted_tables}  # fmt: skip


def piece_row(key: str, text: str = "") -> PieceRow:
    text = text or f'piece = "{key}"\n'
    return PieceRow(key, key.title(), text, f"{key}.toml", hash_of(text), NOW)


@pytest.fixture
def every_field_is_filled() -> None:
    assert set(FILLED) == {f.name for f in fields(Event)} - {"kind", "happened", "written"}


@pytest.fixture
def shop_path(tmp_path) -> Path:
    return tmp_path / "shop.rakelight"


@pytest.fixture
def store(shop_path):
    """An empty shop's file."""
    opened = Store(shop_path)
    yield opened
    opened.close()


@pytest.fixture
def full(store, every_field_is_filled):
    """The same with something in every table."""
    fill(store)
    return store


def fill(store: Store) -> None:
    store.put_setting("shop", 'shop = "Fair"\r\n# as typed\n')
    store.put_setting("colour", "as it was")
    store.put_piece(piece_row("case"), {"two oils": "own = 1\n"}, [], {"shop-oil": "more = 1\n"})
    store.put_piece(piece_row("../shelf"), {}, [], {})
    store.put_piece(piece_row("case", 'piece = "Case, changed"\n'), {"two oils": "own = 2\n"}, [], {})
    store.add(*events_of_all_kinds())
    photos.add_photo(store, PICTURE, NOW)
    assert all(rows for rows in all_rows(store).values())
