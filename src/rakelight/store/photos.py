"""Photographs: files beside the shop's file, called by their hash, with the hash in a row once the file is whole.

A power cut between file and row leaves a file that nothing speaks of, which does no harm and is taken up when the same
photograph is added again; never a row without its file.
"""

from __future__ import annotations

import os
import uuid
from contextlib import suppress
from datetime import datetime
from hashlib import sha256
from pathlib import Path

import sqlalchemy as sa

from rakelight.errors import NotFound, RakelightError
from rakelight.store.shop_store import Store
from rakelight.store.tables import photographs


def folder_of(shop_file: Path) -> Path:
    """The folder of photographs beside a shop's file."""
    return shop_file.with_name(f"{shop_file.name}-photographs")


def add_photo(store: Store, content: bytes, now: datetime) -> str:
    """Keep a photograph; its hash. Raises RakelightError where it cannot be written."""
    if not content:
        raise RakelightError("The photograph is empty: nothing was kept.")
    hash = sha256(content).hexdigest()
    write_file(folder_of(store.path), hash, content)
    with store.writing() as conn:
        if not conn.execute(sa.select(photographs.c.hash).where(photographs.c.hash == hash)).first():
            conn.execute(sa.insert(photographs).values(hash=hash, bytes=len(content), added=now.isoformat()))
    return hash


def write_file(folder: Path, hash: str, content: bytes) -> None:
    """Write a file whole or not at all, and force it to the disk; one that is there and whole stays."""
    path = folder / hash
    if path.is_file() and path.stat().st_size == len(content) and sha256(path.read_bytes()).hexdigest() == hash:
        return
    part = folder / f".{hash}.{uuid.uuid4().hex}.part"
    try:
        folder.mkdir(parents=True, exist_ok=True)
        with part.open("wb") as file:
            file.write(content)
            file.flush()
            os.fsync(file.fileno())
        part.replace(path)
        settle(folder)
        settle(folder.parent)
    except OSError as bad:
        with suppress(OSError):
            part.unlink()
        raise RakelightError(f"The photograph cannot be written in {folder}: {bad.strerror}.") from bad


def settle(folder: Path) -> None:
    """Force the names in a folder to the disk, where the system can."""
    with suppress(OSError):
        opened = os.open(folder, os.O_RDONLY)
        try:
            os.fsync(opened)
        finally:
            os.close(opened)


def photo(store: Store, hash: str) -> bytes:
    """A photograph by its hash. Raises NotFound where it is not there or no longer what was kept."""
    if hash not in hashes(store):
        raise NotFound(f"No photograph {hash[:12]} is kept.")
    path = folder_of(store.path) / hash
    try:
        content = path.read_bytes()
    except OSError as bad:
        raise NotFound(f"The photograph {hash[:12]} is no longer in {path.parent}.") from bad
    if sha256(content).hexdigest() != hash:
        raise NotFound(f"The photograph {hash[:12]} in {path.parent} is not what was kept: it was changed since.")
    return content


def hashes(store: Store) -> list[str]:
    """Hashes of all photographs kept."""
    with store.reading() as conn:
        return [row.hash for row in conn.execute(sa.select(photographs.c.hash).order_by(photographs.c.hash))]
