"""A disk that is full, a folder only to be read, a file held by another: one sentence, and nothing lost."""

from __future__ import annotations

import os
import shutil
import sqlite3
import subprocess
import tempfile
import threading
from contextlib import closing, contextmanager
from pathlib import Path

import pytest
import sqlalchemy as sa

from rakelight.errors import RakelightError
from rakelight.log.events import Event
from rakelight.store import photos
from rakelight.store.backup import backup, restore
from rakelight.store.export import export
from rakelight.store.shop_store import Store

from .conftest import NOW, PICTURE, all_rows, fill

NOBODY = 65534


@contextmanager
def small_disk(folder: Path, size: str):
    """A file system of a few pages. Where none can be mounted the test is skipped."""
    folder.mkdir()
    if shutil.which("mount") is None or os.geteuid() != 0:
        pytest.skip("a small file system can be mounted by root alone")
    line = ["mount", "-t", "tmpfs", "-o", f"size={size}", "tmpfs", str(folder)]
    if subprocess.run(line, capture_output=True, check=False).returncode != 0:
        pytest.skip("no small file system can be mounted here")
    try:
        yield folder
    finally:
        subprocess.run(["umount", "-l", str(folder)], check=True)


def _fill_up(store: Store, most: int = 5000) -> tuple[list[str], str]:
    """Events until the disk is full; those acknowledged, and the sentence."""
    told = []
    for n in range(most):
        try:
            store.add(Event("note", NOW, NOW, id=f"n{n}", words="z" * 4000))
        except RakelightError as bad:
            return told, str(bad)
        told.append(f"n{n}")
    raise AssertionError("it never got full")


def test_a_full_disk(tmp_path):
    with small_disk(tmp_path / "small", "600k") as disk:
        filler = disk / "filler"
        filler.write_bytes(b"x" * 60_000)
        store = Store(disk / "shop.rakelight")
        told, says = _fill_up(store)
        assert "no room left on the disk" in says or "cannot be written (full" in says
        assert says.endswith("Nothing was changed.") and "\n" not in says and len(told) > 5
        assert [e.id for e in store.events()] == told
        for write in (
            lambda: photos.add_photo(store, os.urandom(400_000), NOW),
            lambda: backup(store.path, disk / "kept.backup", NOW),
            lambda: export(store, disk / "out", NOW),
        ):
            with pytest.raises(RakelightError) as bad:
                write()
            assert "\n" not in str(bad.value)
        assert photos.hashes(store) == [] and not (disk / "kept.backup").exists() and not (disk / "out").exists()
        assert not [p for p in disk.rglob("*") if p.name.endswith((".part", ".copy"))]
        filler.unlink()
        store.add(Event("note", NOW, NOW, id="after"))
        assert [e.id for e in store.events()] == [*told, "after"]
        store.close()
        again = Store(disk / "shop.rakelight")
        assert [e.id for e in again.events()] == [*told, "after"]
        again.close()


def test_a_database_that_may_grow_no_more(store):
    """The same where no small file system can be mounted: the database is told how many pages it may have."""

    @sa.event.listens_for(store.engine, "connect")
    def _few(raw, _record):
        raw.execute("PRAGMA max_page_count = 60")

    store.engine.dispose()
    told, says = _fill_up(store)
    assert "no room left on the disk" in says and says.endswith("Nothing was changed.")
    assert [e.id for e in store.events()] == told


def test_a_restore_onto_a_full_disk_leaves_what_was_there(tmp_path):
    big = Store(tmp_path / "big.rakelight")
    big.add(*(Event("note", NOW, NOW, id=f"b{n}", words=os.urandom(2000).hex()) for n in range(200)))
    kept = backup(big.path, tmp_path / "big.backup", NOW).path
    big.close()
    with small_disk(tmp_path / "small", "600k") as disk:
        store = Store(disk / "shop.rakelight")
        store.add(Event("note", NOW, NOW, id="mine"))
        with pytest.raises(RakelightError) as bad:
            restore(store.path, kept, NOW)
        assert "\n" not in str(bad.value)
        assert [e.id for e in store.events()] == ["mine"]
        store.close()


def _as_nobody(do) -> str:
    """Do something as a user who may not write everywhere; what it said."""
    read, write = os.pipe()
    child = os.fork()
    if child == 0:
        says = "nothing was refused"
        try:
            if os.geteuid() == 0:
                os.setgroups([])
                os.setgid(NOBODY)
                os.setuid(NOBODY)
            do()
        except RakelightError as bad:
            says = str(bad)
        except BaseException as bad:
            says = f"FAULT {bad!r}"
        finally:
            os.write(write, says.encode())
            os._exit(0)
    os.close(write)
    with os.fdopen(read, "rb") as file:
        says = file.read().decode()
    os.waitpid(child, 0)
    return says


@pytest.fixture
def read_only():
    """A folder with a shop's file in it that is only to be read, to those who may not do everything."""
    folder = Path(tempfile.mkdtemp())
    store = Store(folder / "shop.rakelight")
    fill(store)
    rows = all_rows(store)
    store.close()
    for path in [*folder.rglob("*"), folder]:
        path.chmod(0o555 if path.is_dir() else 0o444)
    yield folder / "shop.rakelight"
    folder.chmod(0o755)
    for path in folder.rglob("*"):
        path.chmod(0o755 if path.is_dir() else 0o644)
    again = Store(folder / "shop.rakelight")
    assert all_rows(again) == rows
    again.close()
    shutil.rmtree(folder)


def test_a_folder_only_to_be_read(read_only):
    def tell():
        Store(read_only).add(Event("note", NOW, NOW))

    def begin():
        Store(read_only.parent / "new.rakelight")

    def photo():
        photos.write_file(photos.folder_of(read_only), "0" * 64, PICTURE)

    for do in (tell, begin, photo, lambda: backup(read_only, read_only.parent / "kept.backup", NOW)):
        says = _as_nobody(do)
        assert "only to be read" in says or "Permission denied" in says, says
        assert "\n" not in says and not says.startswith("FAULT")
    assert sorted(p.name for p in read_only.parent.iterdir()) == ["shop.rakelight", "shop.rakelight-photographs"]


def test_a_file_held_by_another(full, shop_path):
    before = all_rows(full)
    with closing(sqlite3.connect(shop_path, isolation_level=None)) as other:
        other.execute("BEGIN IMMEDIATE")
        hasty = Store(shop_path, patience_s=0.2)
        with pytest.raises(RakelightError, match="held by another program") as bad:
            hasty.add(Event("note", NOW, NOW))
        assert "\n" not in str(bad.value)
        assert all_rows(hasty) == before, "what is there can be read meanwhile"
        other.execute("ROLLBACK")
        hasty.add(Event("note", NOW, NOW))
        hasty.close()


def test_one_who_writes_is_waited_for(full, shop_path):
    other = sqlite3.connect(shop_path, isolation_level=None, check_same_thread=False)
    other.execute("BEGIN IMMEDIATE")
    let_go = threading.Timer(0.5, lambda: other.execute("ROLLBACK"))
    let_go.start()
    full.add(Event("note", NOW, NOW, id="patient"))
    let_go.join()
    other.close()
    assert full.find("patient")
