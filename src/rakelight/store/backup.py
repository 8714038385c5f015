"""A backup: one file that holds the shop's file, its photographs, and their hashes; and bringing it back."""

from __future__ import annotations

import json
import os
import sqlite3
import time
import uuid
import zipfile
from collections.abc import Iterator
from contextlib import closing, contextmanager, suppress
from dataclasses import dataclass
from datetime import datetime
from hashlib import file_digest, sha256
from pathlib import Path

from rakelight.errors import NotFound, RakelightError
from rakelight.store.connect import make_folder, schema_of, write_ahead
from rakelight.store.photos import folder_of, settle, write_file
from rakelight.store.plainly import PATIENCE_S, told_plainly
from rakelight.store.tables import SCHEMA

_INSIDE = "shop.rakelight"
_CONTENTS = "contents.json"
_PHOTOS = "photographs/"
_KIND = "backup"


@dataclass(frozen=True)
class Backup:
    """What a backup holds."""

    path: Path
    photographs: int
    missing: tuple[str, ...] = ()  # photographs whose file is gone or was changed since


def backup(shop_file: Path, to: Path, now: datetime) -> Backup:
    """Write a backup of a shop's file as it is at this moment, whole or not at all.

    An earlier backup of that name is replaced. Raises RakelightError where it cannot be written, or something else
    stands there.
    """
    if to.is_dir():
        raise RakelightError(f"{to} is a folder: say a file to write the backup in.")
    if to.exists() and not _is_backup(to):
        raise RakelightError(f"{to} is there already and is no backup: say another name.")
    schema = schema_of(shop_file)
    make_folder(to.parent)
    copy, part = _beside(to, "copy"), _beside(to, "part")
    try:
        with told_plainly(to):
            copy_database(shop_file, copy)
        hashes = _hashes(copy)
        missing = _pack(copy, folder_of(shop_file), hashes, part, {"schema": schema, "made": now.isoformat()})
        part.replace(to)
        settle(to.parent)
    except OSError as bad:
        raise RakelightError(f"{to} cannot be written: {bad.strerror}. Nothing was changed.") from bad
    finally:
        for left in (copy, part):
            with suppress(OSError):
                left.unlink()
    return Backup(to, len(hashes) - len(missing), tuple(missing))


def restore(shop_file: Path, from_: Path, now: datetime) -> Path | None:
    """Bring a backup in the place of the shop's file; where what was there is kept (None: nothing was there).

    The backup is looked through whole before anything is touched. Raises RakelightError, one sentence, for what is
    no backup, cut short, damaged, of another program or of a newer rakelight; nothing is changed then.
    """
    make_folder(shop_file.parent)
    copy = _beside(shop_file, "copy")
    try:
        with _opened(from_) as packed:
            hashes = _looked_through(packed, from_)
            copy.write_bytes(packed.read(_INSIDE))
            _sound(copy, from_)
            aside = _keep_aside(shop_file, now)
            for hash in hashes:
                write_file(folder_of(shop_file), hash, packed.read(_PHOTOS + hash))
        with told_plainly(shop_file):
            if shop_file.exists():
                copy_database(copy, shop_file)
            else:
                write_ahead(copy)
                _forced(copy)
                copy.replace(shop_file)
                settle(shop_file.parent)
    except OSError as bad:
        raise RakelightError(f"{from_} cannot be brought back: {bad.strerror}. Nothing was changed.") from bad
    finally:
        for left in (copy, Path(f"{copy}-wal"), Path(f"{copy}-shm")):
            with suppress(OSError):
                left.unlink()
    return aside


def copy_database(from_: Path, to: Path, patience_s: float = PATIENCE_S) -> None:
    """Copy a database page by page in one transaction, others reading and writing meanwhile."""
    began = time.monotonic()

    def patience(_status: int, _left: int, _all: int) -> None:
        if time.monotonic() - began > patience_s:
            raise sqlite3.OperationalError("database is locked")

    with closing(sqlite3.connect(from_, timeout=patience_s)) as source, closing(sqlite3.connect(to)) as target:
        target.execute("PRAGMA synchronous = FULL")
        source.backup(target, progress=patience, sleep=0.05)


def _pack(copy: Path, photos: Path, hashes: list[str], part: Path, says: dict[str, object]) -> list[str]:
    """Write the one file; photographs that are no longer there."""
    missing = []
    with part.open("wb") as file:
        with zipfile.ZipFile(file, "w", zipfile.ZIP_DEFLATED) as packed:
            files = {_INSIDE: _digest(copy)}
            packed.write(copy, _INSIDE)
            for hash in hashes:
                path = photos / hash
                if not path.is_file() or _digest(path) != hash:
                    missing.append(hash)
                    continue
                packed.write(path, _PHOTOS + hash, zipfile.ZIP_STORED)
                files[_PHOTOS + hash] = hash
            packed.writestr(_CONTENTS, json.dumps({"rakelight": _KIND, **says, "files": files}, indent=1))
        file.flush()
        os.fsync(file.fileno())
    return missing


@contextmanager
def _opened(path: Path) -> Iterator[zipfile.ZipFile]:
    if not path.exists():
        raise NotFound(f"{path}: No such file.")
    if path.is_dir():
        raise RakelightError(f"{path} is a folder; `rakelight import DIR` reads what `export` wrote.")
    try:
        with zipfile.ZipFile(path) as packed:
            yield packed
    except (zipfile.BadZipFile, EOFError) as bad:
        with path.open("rb") as file:
            head = file.read(16)
        if head.startswith(b"PK"):
            raise RakelightError(f"{path} is cut short or damaged. Nothing was changed.") from bad
        if head.startswith(b"SQLite format 3"):
            raise RakelightError(f"{path} is a database, no backup: name it with --file to work in it.") from bad
        raise RakelightError(f"{path} is no backup of a shop's file. Nothing was changed.") from bad


def _looked_through(packed: zipfile.ZipFile, path: Path) -> list[str]:
    """Hashes of the photographs in a backup, once every file in it is what its hash says."""
    says = f"{path} is no backup of a shop's file. Nothing was changed."
    try:
        contents = json.loads(packed.read(_CONTENTS))
        files = dict(contents["files"])
        if contents["rakelight"] != _KIND or _INSIDE not in files:
            raise RakelightError(says)
        schema = int(contents["schema"])
    except (KeyError, ValueError, TypeError) as bad:
        raise RakelightError(says) from bad
    if schema > SCHEMA:
        newer = f"{path} was made by a newer rakelight (schema {schema}; this one knows up to {SCHEMA})"
        raise RakelightError(f"{newer}: bring rakelight up to date. Nothing was changed.")
    hashes = []
    for name, hash in files.items():
        hashes += [hash] if name == _PHOTOS + hash else []
        try:
            whole = sha256(packed.read(name)).hexdigest() == hash
        except KeyError:
            whole = False
        if not whole or (name != _INSIDE and name != _PHOTOS + hash):
            raise RakelightError(f"{path} is damaged: {name} in it is not what was put in. Nothing was changed.")
    return hashes


def _sound(copy: Path, from_: Path) -> None:
    """Raises RakelightError where the database of a backup is not one this rakelight can use."""
    with told_plainly(from_):
        if schema_of(copy) == 0:
            raise RakelightError(f"{from_} holds no shop. Nothing was changed.")
        with closing(sqlite3.connect(copy)) as raw:
            found = raw.execute("PRAGMA integrity_check(1)").fetchone()[0]
    if found != "ok":
        raise RakelightError(f"{from_} is damaged: {found}. Nothing was changed.")


def _keep_aside(shop_file: Path, now: datetime) -> Path | None:
    """A backup of what stands there now, or the file itself where it is damaged."""
    if not shop_file.exists() or shop_file.stat().st_size == 0:
        return None
    name = f"{shop_file.stem}-before-{now:%Y%m%d-%H%M%S}"
    try:
        if schema_of(shop_file) == 0:
            return None
        with closing(sqlite3.connect(shop_file)) as raw:
            usable = raw.execute("PRAGMA integrity_check(1)").fetchone()[0] == "ok"
    except (RakelightError, sqlite3.DatabaseError) as bad:
        if "another program" in str(bad) or "newer" in str(bad) or "held by" in str(bad):
            raise
        usable = False
    if usable:
        aside = _free(shop_file.with_name(f"{name}.backup"))
        return backup(shop_file, aside, now).path
    aside = _free(shop_file.with_name(f"{name}.damaged"))
    for end in ("-wal", "-shm", ""):
        with suppress(FileNotFoundError):
            Path(f"{shop_file}{end}").rename(f"{aside}{end}")
    return aside


def _free(path: Path) -> Path:
    """A name not taken yet."""
    number = 2
    found = path
    while found.exists():
        found = path.with_name(f"{path.stem}-{number}{path.suffix}")
        number += 1
    return found


def _is_backup(path: Path) -> bool:
    try:
        with zipfile.ZipFile(path) as packed:
            return bool(json.loads(packed.read(_CONTENTS))["rakelight"] == _KIND)
    except (OSError, zipfile.BadZipFile, EOFError, KeyError, ValueError, TypeError):
        return False


def _hashes(database: Path) -> list[str]:
    with closing(sqlite3.connect(database)) as raw:
        if not raw.execute("SELECT 1 FROM sqlite_master WHERE name = 'photographs'").fetchone():
            return []  # of a schema before photographs
        return [row[0] for row in raw.execute("SELECT hash FROM photographs ORDER BY hash")]


def _digest(path: Path) -> str:
    with path.open("rb") as file:
        return file_digest(file, "sha256").hexdigest()


def _forced(path: Path) -> None:
    with path.open("rb+") as file:
        os.fsync(file.fileno())


def _beside(path: Path, what: str) -> Path:
    return path.with_name(f".{path.name}.{uuid.uuid4().hex}.{what}")
