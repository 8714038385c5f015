"""Export and import: an equal shop, table by table; what cannot be so changes nothing."""

from __future__ import annotations

import json
import random
import tomllib

import pytest

from rakelight.errors import RakelightError
from rakelight.log.events import Event
from rakelight.store import photos
from rakelight.store.bring_in import bring_in
from rakelight.store.export import export
from rakelight.store.shop_store import Store

from .conftest import NOW, PICTURE, all_rows, events_of_all_kinds, fill


def _read(path):
    store = Store(path, create=False)
    try:
        return all_rows(store), store.events(), [photos.photo(store, hash) for hash in photos.hashes(store)]
    finally:
        store.close()


def test_what_is_exported_reads_back_to_an_equal_shop(full, tmp_path):
    done = export(full, tmp_path / "out", NOW)
    assert (done.pieces, done.photographs, done.events) == (2, 1, len(full.events()))
    other = tmp_path / "sub" / "other.rakelight"
    bring_in(other, tmp_path / "out")
    assert _read(other) == (all_rows(full), full.events(), [PICTURE])
    assert not [p for p in other.parent.iterdir() if p.name.startswith(".")]


def test_exported_again_it_is_the_same_files(full, tmp_path):
    export(full, tmp_path / "one", NOW)
    bring_in(tmp_path / "other.rakelight", tmp_path / "one")
    other = Store(tmp_path / "other.rakelight")
    export(other, tmp_path / "two", NOW)
    other.close()
    names = sorted(p.relative_to(tmp_path / "one") for p in (tmp_path / "one").rglob("*") if p.is_file())
    assert names == sorted(p.relative_to(tmp_path / "two") for p in (tmp_path / "two").rglob("*") if p.is_file())
    assert all((tmp_path / "one" / n).read_bytes() == (tmp_path / "two" / n).read_bytes() for n in names)


def test_the_files_are_what_the_maker_wrote(full, tmp_path):
    export(full, tmp_path / "out", NOW)
    assert tomllib.loads((tmp_path / "out/pieces/case.toml").read_text())["piece"] == "Case, changed"
    assert (tmp_path / "out/shop.toml").read_bytes() == b'shop = "Fair"\r\n# as typed\n'
    assert len(json.loads((tmp_path / "out/events.json").read_text())) == len(full.events())


@pytest.mark.parametrize("seed", range(6))
def test_any_prefix_of_any_order_is_an_equal_shop(tmp_path, seed, every_field_is_filled):
    dice = random.Random(seed)
    store = Store(tmp_path / "shop.rakelight")
    fill(store)
    more = [e for e in events_of_all_kinds() if e.kind != "planned"]
    for n in range(dice.randrange(40)):
        event = dice.choice(more)
        said = {"values": {"rh": dice.random(), "temp_c": dice.uniform(-5, 40)}, "piece": dice.choice(["", "case"])}
        store.add(Event(event.kind, event.happened, event.written, id=f"more-{n}", what=event.what, **said))
    export(store, tmp_path / "out", NOW)
    rows, told = all_rows(store), store.events()
    store.close()
    bring_in(tmp_path / "other.rakelight", tmp_path / "out")
    assert _read(tmp_path / "other.rakelight")[:2] == (rows, told)


def _change(name, how):
    def change(folder):
        data = json.loads((folder / name).read_text())
        (folder / name).write_text(json.dumps(how(data) or data))

    return change


def _unknown_event(rows):
    rows[3]["tasc"] = "case/oil"


def _unknown_piece(rows):
    rows[0]["colour"] = "red"


def _negative(rows):
    rows[3]["used_ml"] = -3


def _twice(rows):
    rows[4]["id"] = rows[3]["id"]


def _order(rows):
    rows.reverse()


def _nobody(rows):
    rows[3]["piece"] = "nobody"


def _newer(contents):
    contents["schema"] = 99


BAD = {
    "unknown field": (_change("events.json", _unknown_event),
                      "events.json, record 4: 'tasc' is nothing rakelight knows. Did you mean 'task'?"),
    "unknown column": (_change("pieces.json", _unknown_piece), "pieces.json, record 1: 'colour' is nothing"),
    "unknown content": (_change("contents.json", lambda c: {**c, "x": 1}), "contents.json: 'x' is nothing"),
    "lacks": (_change("pieces.json", lambda rows: [{"key": "case"}]), "does not say 'name'"),
    "negative": (_change("events.json", _negative), "events.json, record 4 cannot be read: -3 is no amount"),
    "twice": (_change("events.json", _twice), "is there twice"),
    "order": (_change("events.json", _order), "is not in the order"),
    "no piece": (_change("events.json", _nobody), "a piece that is not in pieces.json"),
    "newer": (_change("contents.json", _newer), "newer rakelight (schema 99"),
    "other": (_change("contents.json", lambda c: {"rakelight": "diary"}), "was not written by `export`"),
    "not a list": (_change("events.json", lambda rows: {"a": 1}), "events.json holds no list"),
    "cut": (lambda f: (f / "events.json").write_text('[{"kind": '), "events.json cannot be read"),
    "gone": (lambda f: (f / "pieces.json").unlink(), "pieces.json is not in"),
    "edited": (lambda f: (f / "pieces/case.toml").write_text("x = 1"), "pieces/case.toml was changed after it"),
    "no text": (lambda f: (f / "shop.toml").write_bytes(b"\xff"), "is not a text file"),
    "picture": (lambda f: next((f / "photographs").iterdir()).write_bytes(b"x"), "is not what was kept"),
}  # fmt: skip


@pytest.mark.parametrize("spoil, tells", BAD.values(), ids=BAD)
def test_an_import_that_cannot_be_is_one_sentence_and_nothing_is_written(full, tmp_path, spoil, tells):
    export(full, tmp_path / "out", NOW)
    spoil(tmp_path / "out")
    with pytest.raises(RakelightError) as bad:
        bring_in(tmp_path / "other.rakelight", tmp_path / "out")
    assert tells in str(bad.value) and "\n" not in str(bad.value)
    assert not [p for p in tmp_path.iterdir() if "other" in p.name]


def test_a_shop_that_is_there_is_not_written_over(full, shop_path, tmp_path):
    export(full, tmp_path / "out", NOW)
    before = all_rows(full)
    with pytest.raises(RakelightError, match="holds a shop already"):
        bring_in(shop_path, tmp_path / "out")
    assert all_rows(full) == before


def test_an_empty_shops_file_takes_an_import(full, tmp_path):
    export(full, tmp_path / "out", NOW)
    empty = Store(tmp_path / "other.rakelight")
    bring_in(empty.path, tmp_path / "out")
    assert all_rows(empty) == all_rows(full)
    empty.close()


def test_an_export_is_not_written_into_a_folder_in_use(full, tmp_path):
    (tmp_path / "out").mkdir()
    export(full, tmp_path / "out", NOW)
    with pytest.raises(RakelightError, match="not empty"):
        export(full, tmp_path / "out", NOW)
