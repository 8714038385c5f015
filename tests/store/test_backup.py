"""Backup and restore: all of it comes back, and what is not whole changes nothing."""

from __future__ import annotations

import json
import shutil
import sqlite3
import zipfile
from contextlib import closing
from datetime import timedelta

import pytest

from rakelight.errors import RakelightError
from rakelight.log.events import Event
from rakelight.store import photos
from rakelight.store.backup import backup, restore
from rakelight.store.shop_store import Store

from .conftest import NOW, PICTURE, all_rows


def _again(path):
    store = Store(path)
    try:
        return all_rows(store), [photos.photo(store, hash) for hash in photos.hashes(store)]
    finally:
        store.close()


def test_a_backup_brings_everything_to_another_place(full, shop_path, tmp_path):
    made = backup(shop_path, tmp_path / "kept" / "shop.backup", NOW)
    assert made.photographs == 1 and not made.missing
    other = tmp_path / "other" / "there.rakelight"
    assert restore(other, made.path, NOW) is None
    assert _again(other) == (all_rows(full), [PICTURE])
    assert [p.name for p in made.path.parent.iterdir()] == ["shop.backup"]


def test_what_was_there_is_kept_and_comes_back_too(full, shop_path, tmp_path):
    made = backup(shop_path, tmp_path / "shop.backup", NOW)
    before = all_rows(full)
    full.add(Event("note", NOW, NOW, words="told after the backup"))
    after = all_rows(full)
    full.close()
    aside = restore(shop_path, made.path, NOW)
    assert _again(shop_path)[0] == before and aside and aside.name == "shop-before-20270208-080000.backup"
    second = restore(shop_path, aside, NOW + timedelta(hours=1))
    assert _again(shop_path)[0] == after and second != aside
    left = [p.name for p in tmp_path.iterdir() if p.name.startswith(".")]
    assert not left


def test_a_store_that_is_open_reads_what_was_restored(full, shop_path, tmp_path):
    made = backup(shop_path, tmp_path / "shop.backup", NOW)
    before = all_rows(full)
    full.add(Event("note", NOW, NOW, words="later"))
    restore(shop_path, made.path, NOW)
    assert all_rows(full) == before
    full.add(Event("note", NOW, NOW, words="and on"))
    assert len(all_rows(full)["events"]) == len(before["events"]) + 1


def test_a_damaged_file_is_put_aside(full, shop_path, tmp_path):
    made = backup(shop_path, tmp_path / "shop.backup", NOW)
    before = all_rows(full)
    full.close()
    shop_path.write_bytes(b"SQLite format 3\x00" + b"broken" * 1000)
    aside = restore(shop_path, made.path, NOW)
    assert aside and aside.suffix == ".damaged" and aside.read_bytes().endswith(b"broken")
    assert _again(shop_path)[0] == before


def test_a_photograph_that_is_gone_is_said(full, shop_path, tmp_path):
    hash = photos.hashes(full)[0]
    (photos.folder_of(shop_path) / hash).unlink()
    made = backup(shop_path, tmp_path / "shop.backup", NOW)
    assert made.missing == (hash,) and made.photographs == 0
    assert restore(tmp_path / "new.rakelight", made.path, NOW) is None


def _cut(path, tmp_path):
    path.write_bytes(path.read_bytes()[:-200])


def _turned(path, tmp_path):
    raw = bytearray(path.read_bytes())
    raw[len(raw) // 2] ^= 255
    path.write_bytes(raw)


def _stranger(path, tmp_path):
    with closing(sqlite3.connect(tmp_path / "s.db")) as raw:
        raw.execute("CREATE TABLE t (a)")
    _packed(path, (tmp_path / "s.db").read_bytes(), 2)


def _newer(path, tmp_path):
    _packed(path, b"", 99)


def _packed(path, database, schema):
    from hashlib import sha256

    files = {"shop.rakelight": sha256(database).hexdigest()}
    with zipfile.ZipFile(path, "w") as packed:
        packed.writestr("shop.rakelight", database)
        packed.writestr("contents.json", json.dumps({"rakelight": "backup", "schema": schema, "files": files}))


def _zip(path, tmp_path):
    with zipfile.ZipFile(path, "w") as packed:
        packed.writestr("holiday.txt", "sun")


BAD = {
    "cut": (_cut, "cut short or damaged"),
    "turned": (_turned, "damaged"),
    "empty": (lambda path, _: path.write_bytes(b""), "is no backup"),
    "text": (lambda path, _: path.write_text("hello"), "is no backup"),
    "zip": (_zip, "is no backup"),
    "gone": (lambda path, _: path.unlink(), "No such file"),
    "stranger": (_stranger, "the database of another program"),
    "newer": (_newer, "newer rakelight (schema 99"),
    "database": (lambda path, t: shutil.copy(t / "shop.rakelight", path), "is a database, no backup"),
}


@pytest.mark.parametrize("spoil, tells", BAD.values(), ids=BAD)
def test_what_is_no_whole_backup_changes_nothing(full, shop_path, tmp_path, spoil, tells):
    kept = tmp_path / "shop.backup"
    backup(shop_path, kept, NOW)
    spoil(kept, tmp_path)
    before = all_rows(full)
    names = sorted(p.name for p in tmp_path.iterdir())
    with pytest.raises(RakelightError) as bad:
        restore(shop_path, kept, NOW)
    assert tells in str(bad.value) and "\n" not in str(bad.value)
    assert all_rows(full) == before and sorted(p.name for p in tmp_path.iterdir()) == names


def test_every_cut_of_a_backup_is_refused(full, shop_path, tmp_path):
    whole = backup(shop_path, tmp_path / "shop.backup", NOW).path.read_bytes()
    cut = tmp_path / "cut.backup"
    for length in range(0, len(whole), max(1, len(whole) // 60)):
        cut.write_bytes(whole[:length])
        with pytest.raises(RakelightError):
            restore(tmp_path / "new.rakelight", cut, NOW)
    assert not (tmp_path / "new.rakelight").exists()


def test_another_programs_database_is_not_written_over(full, shop_path, tmp_path):
    made = backup(shop_path, tmp_path / "shop.backup", NOW)
    other = tmp_path / "other.db"
    with closing(sqlite3.connect(other)) as raw:
        raw.execute("CREATE TABLE t (a)")
    content = other.read_bytes()
    with pytest.raises(RakelightError, match="another program"):
        restore(other, made.path, NOW)
    assert other.read_bytes() == content


def test_a_backup_is_not_written_over_something_else(full, shop_path, tmp_path):
    (tmp_path / "letter.txt").write_text("dear")
    with pytest.raises(RakelightError, match="is there already and is no backup"):
        backup(shop_path, tmp_path / "letter.txt", NOW)
    with pytest.raises(RakelightError, match="is a folder"):
        backup(shop_path, tmp_path, NOW)
    first = backup(shop_path, tmp_path / "shop.backup", NOW).path.read_bytes()
    full.add(Event("note", NOW, NOW, words="more"))
    assert backup(shop_path, tmp_path / "shop.backup", NOW).path.read_bytes() != first
