"""Killed in the middle: nothing acknowledged is lost, no file unreadable. RAKELIGHT_SOAK=1 runs the whole."""

from __future__ import annotations

import json
import os
import random
import shutil
import signal
import sqlite3
import subprocess
import sys
from contextlib import closing
from datetime import timedelta
from pathlib import Path

import pytest

from rakelight.errors import RakelightError
from rakelight.log.events import Event
from rakelight.store import photos
from rakelight.store.connect import bring_up, engine_of, schema_of, write_ahead
from rakelight.store.shop_store import Store
from rakelight.store.tables import SCHEMA

from .conftest import NOW, PICTURE, all_rows

SOAK = bool(os.environ.get("RAKELIGHT_SOAK"))
HERE = Path(__file__).parent


def killed_in(do) -> bool:
    """Do something in a child that may kill itself; whether it was killed."""
    child = os.fork()
    if child == 0:
        try:
            do()
        finally:
            os._exit(0)
    return os.WIFSIGNALED(os.waitpid(child, 0)[1])


def kill_myself(*_):
    os.kill(os.getpid(), signal.SIGKILL)


def test_writers_killed_at_random_moments(tmp_path):
    rounds = 1000 if SOAK else 15
    line = [sys.executable, str(HERE / "killing.py"), str(tmp_path), str(rounds), "20270208"]
    env = {**os.environ, "PYTHONPATH": str(HERE.parents[1] / "src")}
    ran = subprocess.run(line, capture_output=True, text=True, env=env, timeout=3600, check=False)
    assert ran.returncode == 0, ran.stderr
    found = json.loads(ran.stdout)
    print(ran.stdout, file=sys.stderr)  # seen with -s from a worker of the tests too
    assert found["faults"] == [] and found["kills"] == rounds
    assert found["acknowledged"] > rounds // 10, "the writers were killed before they wrote anything"


def test_the_looking_through_itself_finds_a_lost_event(tmp_path):
    sys.path.insert(0, str(HERE))
    try:
        from killing import faults_of
    finally:
        sys.path.remove(str(HERE))
    store = Store(tmp_path / "shop.rakelight")
    store.add(Event("note", NOW, NOW, id="7-1"), *(Event("note", NOW, NOW, id=f"7-2-{k}") for k in range(4)))
    store.close()
    assert faults_of(store.path, 7, ["event 7-1"]) == ["round 7: 7-2 was written in part"]
    assert "is not there" in faults_of(store.path, 7, ["event 7-9"])[0]


def test_a_power_cut_between_the_file_and_the_row_of_a_photograph(store, monkeypatch):
    def cut():
        monkeypatch.setattr(Store, "writing", kill_myself)
        photos.add_photo(store, PICTURE, NOW)

    assert killed_in(cut)
    assert photos.hashes(store) == [] and len(list(photos.folder_of(store.path).iterdir())) == 1
    hash = photos.add_photo(store, PICTURE, NOW)
    assert photos.photo(store, hash) == PICTURE


def test_a_power_cut_while_the_photograph_is_written(store, monkeypatch):
    def cut():
        monkeypatch.setattr(os, "fsync", kill_myself)
        photos.add_photo(store, PICTURE, NOW)

    assert killed_in(cut)
    assert photos.hashes(store) == []
    assert not [p for p in photos.folder_of(store.path).iterdir() if not p.name.startswith(".")]
    assert photos.photo(store, photos.add_photo(store, PICTURE, NOW)) == PICTURE


@pytest.mark.parametrize("seed", range(40 if SOAK else 2))
def test_a_write_ahead_log_cut_anywhere_holds_all_up_to_there(tmp_path, seed):
    """A power cut that tore off the end of what was written last: a prefix of the events, and none in part."""
    dice = random.Random(seed)
    store = Store(tmp_path / "shop.rakelight")
    with closing(sqlite3.connect(store.path)) as reader:  # keeps the log from being folded into the file
        reader.execute("BEGIN")
        reader.execute("SELECT count(*) FROM events").fetchone()
        wal, ends = Path(f"{store.path}-wal"), []
        for n in range(12):
            store.add(*(Event("note", NOW, NOW, id=f"{n}-{k}", words="y" * dice.randrange(3000)) for k in range(3)))
            ends.append(wal.stat().st_size)
        whole = wal.read_bytes()
        for cut in sorted({0, *(dice.randrange(len(whole)) for _ in range(6)), len(whole)}):
            there = tmp_path / f"cut-{cut}"
            there.mkdir()
            shutil.copy(store.path, there / "shop.rakelight")
            (there / "shop.rakelight-wal").write_bytes(whole[:cut])
            torn = Store(there / "shop.rakelight", create=False) if cut >= ends[0] else None
            if torn is None:
                continue
            kept = [e.id for e in torn.events()]
            torn.close()
            sure = sum(end <= cut for end in ends)
            assert kept == [f"{n}-{k}" for n in range(len(kept) // 3) for k in range(3)]
            assert len(kept) // 3 >= sure, f"{cut} of {len(whole)} bytes"
    store.close()


def _schema_1(path: Path) -> list[tuple[object, ...]]:
    """A file as the first schema made it, with a piece and events in it; its events."""
    write_ahead(path)
    engine = engine_of(path)
    bring_up(engine, 1)
    with engine.connect().execution_options(writes=True) as conn, conn.begin():
        conn.exec_driver_sql("INSERT INTO texts VALUES ('h', 'piece = 1')")
        line = "INSERT INTO pieces VALUES ('case', 'Case', 'case.toml', 'h', ?, NULL)"
        conn.exec_driver_sql(line, (NOW.isoformat(),))
        for n in range(30):
            at = (NOW + timedelta(hours=n)).isoformat()
            conn.exec_driver_sql(
                "INSERT INTO events (id, piece, kind, happened, written, maker, device, task, what, more) "
                "VALUES (?, 'case', 'note', ?, ?, '', '', '', '', '{}')", (f"n{n}", at, at),
            )  # fmt: skip
    engine.dispose()
    return _old_rows(path)


def _old_rows(path: Path) -> list[tuple[object, ...]]:
    with closing(sqlite3.connect(path)) as raw:
        rows = raw.execute("SELECT * FROM events ORDER BY seq").fetchall()
        return [*rows, *raw.execute("SELECT key, name, file, text_hash, added FROM pieces")]


def test_the_previous_schema_is_brought_up_and_nothing_is_lost(tmp_path):
    path = tmp_path / "old.rakelight"
    before = _schema_1(path)
    assert schema_of(path) == 1
    store = Store(path)
    assert schema_of(path) == SCHEMA and _old_rows(path) == before
    assert len(store.events("case")) == 30 and store.piece("case").finished is None
    photos.add_photo(store, PICTURE, NOW)
    store.close()


def test_killed_at_every_statement_of_a_migration_it_is_as_it_was(tmp_path):
    old = tmp_path / "old.rakelight"
    before = _schema_1(old)
    kills = 0
    for at in range(200):
        path = tmp_path / f"{at}.rakelight"
        shutil.copy(old, path)

        def bring(path=path, at=at):
            bring_up(engine_of(path), each=lambda n: kill_myself() if n == at else None)

        if not killed_in(bring):
            break
        kills += 1
        assert schema_of(path) == 1 and _old_rows(path) == before
        with closing(sqlite3.connect(path)) as raw:
            assert raw.execute("PRAGMA integrity_check").fetchone()[0] == "ok"
            assert not raw.execute("SELECT 1 FROM sqlite_master WHERE name = 'photographs'").fetchone()
        Store(path).close()
        assert schema_of(path) == SCHEMA and _old_rows(path) == before
    print(f"killed at each of {kills} statements", file=sys.stderr)
    assert kills >= 5 and schema_of(path) == SCHEMA


def test_a_new_file_killed_while_it_is_made_is_made_the_next_time(tmp_path):
    for at in range(0, 200, 1 if SOAK else 12):
        path = tmp_path / f"{at}.rakelight"

        def make(path=path, at=at):
            write_ahead(path)
            bring_up(engine_of(path), each=lambda n: kill_myself() if n == at else None)

        if not killed_in(make):
            break
        store = Store(path)
        store.add(Event("note", NOW, NOW))
        assert len(all_rows(store)["events"]) == 1
        store.close()
    assert at > 10


def test_a_newer_schema_is_refused_and_not_touched(store, shop_path):
    store.add(Event("note", NOW, NOW))
    store.close()
    with closing(sqlite3.connect(shop_path)) as raw:
        raw.execute(f"PRAGMA user_version = {SCHEMA + 1}")
    content = shop_path.read_bytes()
    with pytest.raises(RakelightError, match="was written by a newer rakelight") as bad:
        Store(shop_path)
    assert "\n" not in str(bad.value) and shop_path.read_bytes() == content
