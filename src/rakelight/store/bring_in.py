"""What `export` wrote, read back to an equal shop; everything is looked at before anything is written."""

from __future__ import annotations

import json
from collections.abc import Iterable, Mapping
from contextlib import suppress
from dataclasses import dataclass
from difflib import get_close_matches
from hashlib import sha256
from pathlib import Path
from typing import Any
from uuid import uuid4

import sqlalchemy as sa

from rakelight.errors import NotFound, RakelightError
from rakelight.log.events import KEYS, event_of
from rakelight.store import rows
from rakelight.store.connect import make_folder, schema_of, write_ahead
from rakelight.store.export import KIND, SHOP, file_name
from rakelight.store.photos import folder_of, settle, write_file
from rakelight.store.piece_row import hash_of
from rakelight.store.shop_store import Store
from rakelight.store.tables import (
    SCHEMA,
    metadata,
    photographs,
    piece_schedules,
    pieces,
    schedules,
    settings,
    texts,
)

_NOTHING = "Nothing was changed."
_TABLES: dict[str, sa.Table] = {
    "pieces.json": pieces, "schedules.json": piece_schedules, "photographs.json": photographs,
}  # fmt: skip


@dataclass(frozen=True)
class Read:
    """A folder that `export` wrote, read and looked through."""

    folder: Path
    texts: dict[str, str]  # by hash
    settings: dict[str, str]
    rows: dict[str, list[dict[str, Any]]]  # by file

    @property
    def pieces(self) -> int:
        """How many pieces."""
        return len(self.rows["pieces.json"])

    @property
    def events(self) -> int:
        """How many events."""
        return len(self.rows["events.json"])


def bring_in(shop_file: Path, folder: Path) -> Read:
    """Read a folder back into a shop's file that is new or still empty.

    Raises NotFound or RakelightError, one sentence, where it cannot be read or the file holds a shop already;
    nothing is changed then.
    """
    found = read(folder)
    if shop_file.exists() and schema_of(shop_file) > 0:
        store = Store(shop_file)
        try:
            with store.reading() as conn:
                held = any(conn.execute(sa.select(sa.literal(1)).select_from(t).limit(1)).first()
                           for t in metadata.sorted_tables)  # fmt: skip
            if held:
                raise RakelightError(f"{shop_file} holds a shop already: say a new file with --file. {_NOTHING}")
            _photographs(found, folder_of(shop_file))
            _put(store, found)
        finally:
            store.close()
        return found
    make_folder(shop_file.parent)
    part = shop_file.with_name(f".{shop_file.name}.{uuid4().hex}.part")
    try:
        _photographs(found, folder_of(shop_file))
        store = Store(part)
        try:
            _put(store, found)
        finally:
            store.close()
        write_ahead(part)
        part.replace(shop_file)
        settle(shop_file.parent)
    finally:
        for end in ("", "-wal", "-shm"):
            with suppress(OSError):
                Path(f"{part}{end}").unlink()
    return found


def _put(store: Store, found: Read) -> None:
    with store.writing() as conn:
        for hash, body in sorted(found.texts.items()):
            conn.execute(sa.insert(texts).values(hash=hash, body=body))
        for name, value in found.settings.items():
            conn.execute(sa.insert(settings).values(name=name, value=value))
        for row in found.rows["pieces.json"]:
            conn.execute(sa.insert(pieces).values(**row))
        for row in found.rows["schedules.json"]:
            if row["piece"] is None:
                conn.execute(sa.insert(schedules).values(name=row["name"], text_hash=row["text_hash"]))
            else:
                conn.execute(sa.insert(piece_schedules).values(**row))
        for row in found.rows["photographs.json"]:
            conn.execute(sa.insert(photographs).values(**row))
        for row in found.rows["events.json"]:
            rows.write_raw(conn, row)


def _photographs(found: Read, into: Path) -> None:
    for row in found.rows["photographs.json"]:
        path = found.folder / "photographs" / row["hash"]
        if path.is_file():
            write_file(into, row["hash"], path.read_bytes())


def read(folder: Path) -> Read:
    """Read a folder and look through all of it. Raises NotFound or RakelightError, one sentence."""
    if not folder.is_dir():
        raise NotFound(f"{folder}: No such folder." if not folder.exists() else f"{folder} is no folder of `export`.")
    contents = _json(folder, "contents.json", dict)
    if contents.get("rakelight") != KIND:
        raise RakelightError(f"{folder} was not written by `export`. {_NOTHING}")
    schema = contents.get("schema")
    if not isinstance(schema, int) or schema > SCHEMA:
        newer = f"{folder} was written by a newer rakelight (schema {schema}; this one knows up to {SCHEMA})"
        raise RakelightError(f"{newer}: bring rakelight up to date. {_NOTHING}")
    _known("contents.json", contents, ("rakelight", "schema", "made"))
    found = {name: _records(folder, name, _columns(name)) for name in _TABLES}
    found["events.json"] = _records(folder, "events.json", ("seq", *sorted(KEYS)))
    said = _json(folder, "settings.json", dict)
    for name, value in said.items():
        if not isinstance(value, str):
            raise RakelightError(f"settings.json: {name} is no text. {_NOTHING}")
    if (folder / "shop.toml").exists():
        said[SHOP] = _text(folder / "shop.toml")
    _events(found["events.json"], {row["key"] for row in found["pieces.json"]})
    return Read(folder, _texts(folder, found), said, found)


def _columns(name: str) -> tuple[str, ...]:
    return tuple(column.name for column in _TABLES[name].columns)


def _json(folder: Path, name: str, kind: type) -> Any:
    try:
        data = json.loads(_text(folder / name))
    except ValueError as bad:
        raise RakelightError(f"{name} cannot be read: {bad}. {_NOTHING}") from bad
    if not isinstance(data, kind):
        raise RakelightError(f"{name} holds no {'list' if kind is list else 'record'}. {_NOTHING}")
    return data


def _text(path: Path) -> str:
    try:
        return path.read_bytes().decode("utf-8")
    except FileNotFoundError as bad:
        raise NotFound(f"{path.name} is not in {path.parent}, which `export` would have written. {_NOTHING}") from bad
    except UnicodeDecodeError as bad:
        raise RakelightError(f"{path} is not a text file (UTF-8). {_NOTHING}") from bad


def _records(folder: Path, name: str, keys: tuple[str, ...]) -> list[dict[str, Any]]:
    """Rows of a file, each with the keys that are known and no others."""
    found = _json(folder, name, list)
    for number, row in enumerate(found, 1):
        where = f"{name}, record {number}"
        if not isinstance(row, dict):
            raise RakelightError(f"{where} is no record. {_NOTHING}")
        _known(where, row, keys)
        if name != "events.json" and (lacks := [key for key in keys if key not in row]):
            raise RakelightError(f"{where} does not say {lacks[0]!r}. {_NOTHING}")
    return list(found)


def _known(where: str, row: Mapping[str, Any], keys: Iterable[str]) -> None:
    for key in row:
        if key not in keys:
            near = get_close_matches(str(key), keys, 1, 0.6)
            tell = f" Did you mean {near[0]!r}?" if near else ""
            raise RakelightError(f"{where}: {key!r} is nothing rakelight knows.{tell} {_NOTHING}")


def _events(found: list[dict[str, Any]], keys: set[str]) -> None:
    ids: set[str] = set()
    last = 0
    for number, row in enumerate(found, 1):
        where = f"events.json, record {number}"
        try:
            event = event_of(row)
        except (ValueError, TypeError, KeyError, IndexError, AttributeError) as bad:
            raise RakelightError(f"{where} cannot be read: {bad}. {_NOTHING}") from bad
        if event.id in ids:
            raise RakelightError(f"{where}: the id {event.id!r} is there twice. {_NOTHING}")
        if event.piece and event.piece not in keys:
            raise RakelightError(f"{where} speaks of {event.piece!r}, a piece that is not in pieces.json. {_NOTHING}")
        if type(row.get("seq")) is not int or row["seq"] <= last:
            raise RakelightError(f"{where} is not in the order in which it was written (seq). {_NOTHING}")
        ids.add(event.id)
        last = row["seq"]


def _texts(folder: Path, found: dict[str, list[dict[str, Any]]]) -> dict[str, str]:
    """All texts by their hash; one that was changed by hand is refused."""
    texts: dict[str, str] = {}
    wanted = {f"pieces/{file_name(row['key'])}.toml": row["text_hash"] for row in found["pieces.json"]}
    for row in found["schedules.json"]:
        under = "schedules" if row["piece"] is None else f"pieces/{file_name(row['piece'])}"
        wanted[f"{under}/{file_name(row['name'])}.toml"] = row["text_hash"]
    earlier = sorted((folder / "earlier").glob("*.toml")) if (folder / "earlier").is_dir() else []
    wanted |= {f"earlier/{path.name}": path.stem for path in earlier}
    for name, hash in wanted.items():
        body = _text(folder / name)
        if hash_of(body) != hash:
            mend = f"put it in with `rakelight add` once the rest is read. {_NOTHING}"
            raise RakelightError(f"{name} was changed after it was written: {mend}")
        texts[hash] = body
    for row in found["photographs.json"]:
        path = folder / "photographs" / str(row["hash"])
        if path.is_file() and sha256(path.read_bytes()).hexdigest() != row["hash"]:
            raise RakelightError(f"photographs/{path.name} is not what was kept: it was changed since. {_NOTHING}")
    return texts
