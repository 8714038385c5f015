"""The shop's file as plain files in a folder: TOML as the maker wrote it, JSON for all else."""

from __future__ import annotations

import json
import shutil
import uuid
from collections.abc import Iterable
from contextlib import suppress
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path
from typing import Any
from urllib.parse import quote

import sqlalchemy as sa

from rakelight.errors import RakelightError
from rakelight.store import rows
from rakelight.store.photos import folder_of
from rakelight.store.shop_store import Store
from rakelight.store.tables import SCHEMA, photographs, piece_schedules, pieces, schedules, settings, texts

#: says that a folder was written by `export`
KIND = "export"
#: the setting that is a file of its own
SHOP = "shop"


@dataclass(frozen=True)
class Exported:
    """What was written."""

    folder: Path
    pieces: int
    events: int
    photographs: int
    missing: tuple[str, ...] = ()  # photographs whose file is no longer there


def export(store: Store, folder: Path, now: datetime) -> Exported:
    """Write everything into a folder that is new or empty, whole or not at all.

    Raises RakelightError where it cannot be written, or something stands there.
    """
    if folder.exists() and (not folder.is_dir() or any(folder.iterdir())):
        raise RakelightError(f"{folder} is there already and not empty: say a new folder.")
    part = folder.with_name(f".{folder.name}.{uuid.uuid4().hex}.part")
    try:
        part.mkdir(parents=True)
        done = _write(store, part, now)
        if folder.exists():
            folder.rmdir()
        part.rename(folder)
    except OSError as bad:
        raise RakelightError(f"{folder} cannot be written: {bad.strerror}. Nothing was changed.") from bad
    finally:
        with suppress(OSError):
            shutil.rmtree(part)
    return Exported(folder, *done)


def _write(store: Store, into: Path, now: datetime) -> tuple[int, int, int, tuple[str, ...]]:
    with store.reading() as conn:  # all of it as it is at one moment
        bodies = {row.hash: row.body for row in conn.execute(sa.select(texts))}
        shop_pieces = _rows(conn, pieces, pieces.c.added, pieces.c.key)
        own = _rows(conn, piece_schedules, piece_schedules.c.piece, piece_schedules.c.name)
        shops = _rows(conn, schedules, schedules.c.name)
        said = {row.name: row.value for row in conn.execute(sa.select(settings).order_by(settings.c.name))}
        photos = _rows(conn, photographs, photographs.c.hash)
        events = rows.raw(conn)
    files = {
        **{f"pieces/{file_name(p['key'])}.toml": p["text_hash"] for p in shop_pieces},
        **{f"pieces/{file_name(s['piece'])}/{file_name(s['name'])}.toml": s["text_hash"] for s in own},
        **{f"schedules/{file_name(s['name'])}.toml": s["text_hash"] for s in shops},
    }
    standing = set(files.values())
    files |= {f"earlier/{hash}.toml": hash for hash in sorted(bodies) if hash not in standing}
    for name, hash in files.items():
        _text(into / name, bodies[hash])
    if SHOP in said:
        _text(into / "shop.toml", said.pop(SHOP))
    _json(into / "contents.json", {"rakelight": KIND, "schema": SCHEMA, "made": now.isoformat()})
    _json(into / "settings.json", said)
    _lines(into / "pieces.json", shop_pieces)
    _lines(into / "schedules.json", [{"piece": None, **s} for s in shops] + own)
    _lines(into / "photographs.json", photos)
    _lines(into / "events.json", events)
    missing = _photos(folder_of(store.path), into / "photographs", [row["hash"] for row in photos])
    return len(shop_pieces), len(events), len(photos) - len(missing), tuple(missing)


def _rows(conn: sa.Connection, table: sa.Table, *order: sa.Column[Any]) -> list[dict[str, Any]]:
    return [dict(row._mapping) for row in conn.execute(sa.select(table).order_by(*order))]


def file_name(word: str) -> str:
    """A name as a file may bear it.

    >>> file_name("music-cabinet"), file_name("../dark stain")
    ('music-cabinet', '%2E%2E%2Fdark%20stain')
    """
    return quote(word, safe="").replace("%2E", ".") if word[:1] != "." else quote(word, safe="").replace(".", "%2E")


def _photos(folder: Path, into: Path, hashes: Iterable[str]) -> list[str]:
    missing = []
    for hash in hashes:
        into.mkdir(exist_ok=True)
        try:
            shutil.copyfile(folder / hash, into / hash)
        except FileNotFoundError:
            missing.append(hash)
    return missing


def _text(path: Path, body: str) -> None:
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_bytes(body.encode("utf-8"))


def _json(path: Path, data: dict[str, Any]) -> None:
    _text(path, json.dumps(data, ensure_ascii=False, indent=1) + "\n")


def _lines(path: Path, found: list[dict[str, Any]]) -> None:
    """A list with one record a line: easy to look through, and to compare."""
    _text(path, "[\n" + ",\n".join(json.dumps(row, ensure_ascii=False) for row in found) + "\n]\n")
