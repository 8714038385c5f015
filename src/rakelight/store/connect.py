"""Opens a shop's file: a stranger's database and a newer schema are refused, an older one is brought up to date."""

from __future__ import annotations

import sqlite3
from collections.abc import Callable
from pathlib import Path
from typing import Any

import sqlalchemy as sa

from rakelight.errors import NotFound, RakelightError
from rakelight.store.plainly import PATIENCE_S, told_plainly
from rakelight.store.tables import APPLICATION_ID, SCHEMA

MIGRATIONS = Path(__file__).parent / "migrations"


def open_engine(path: Path, create: bool = True, patience_s: float = PATIENCE_S) -> sa.Engine:
    """The shop's file, ready to be read and written.

    Parameters: create, begin a new one where there is none; patience_s, how long another writer is waited for.
    Raises NotFound where there is none, RakelightError, one sentence, where it cannot be used.
    """
    if not path.exists():
        if not create:
            raise NotFound(f"{path}: No shop's file. `rakelight add PIECE.toml --shop SHOP.toml` begins one.")
        make_folder(path.parent)
    engine = engine_of(path, patience_s)
    try:
        with told_plainly(path):
            known = schema_of(path, patience_s)
            if known == 0:
                if not create:
                    raise RakelightError(f"{path} holds no shop yet: `rakelight add PIECE.toml` begins one.")
                write_ahead(path, patience_s)
            if known < SCHEMA:
                bring_up(engine)
    except BaseException:
        engine.dispose()
        raise
    return engine


def engine_of(path: Path, patience_s: float = PATIENCE_S) -> sa.Engine:
    """Connections to a database file, as the shop's file is used: whole transactions, forced to the disk."""
    engine = sa.create_engine(f"sqlite:///{path}", connect_args={"timeout": patience_s})

    @sa.event.listens_for(engine, "connect")
    def _settings(raw: Any, _record: Any) -> None:
        raw.isolation_level = None  # the driver begins no transaction of its own: we do, tables and all
        for line in ("foreign_keys = ON", "synchronous = FULL", "recursive_triggers = ON"):
            raw.execute(f"PRAGMA {line}")

    @sa.event.listens_for(engine, "begin")
    def _begin(conn: sa.Connection) -> None:
        writes = conn.get_execution_options().get("writes")
        conn.exec_driver_sql("BEGIN IMMEDIATE" if writes else "BEGIN")

    return engine


def schema_of(path: Path, patience_s: float = PATIENCE_S) -> int:
    """Number of the schema of a shop's file; 0 for one that is still empty.

    Raises RakelightError for a file that is no database, another program's database and a newer schema. The file is
    never opened but by the database itself: closing it otherwise would take the locks from every connection here.
    """
    with told_plainly(path):
        raw = sqlite3.connect(path, timeout=patience_s)
        try:
            application = raw.execute("PRAGMA application_id").fetchone()[0]
            schema = int(raw.execute("PRAGMA user_version").fetchone()[0])
            tables = raw.execute("SELECT count(*) FROM sqlite_master").fetchone()[0]
        finally:
            raw.close()
    if application != APPLICATION_ID and (application or schema or tables):
        raise RakelightError(f"{path} is the database of another program, not a shop's file. Nothing was changed.")
    if schema > SCHEMA:
        says = f"{path} was written by a newer rakelight (schema {schema}; this one knows up to {SCHEMA})"
        raise RakelightError(f"{says}: bring rakelight up to date. Nothing was changed.")
    return schema


def bring_up(engine: sa.Engine, to: int = SCHEMA, each: Callable[[int], None] | None = None) -> None:
    """Bring a file to a schema, in one transaction: all of it or nothing.

    `each` is told before every statement how many went before it (a test stops there).
    """
    from alembic import command
    from alembic.config import Config

    config = Config()
    config.set_main_option("script_location", MIGRATIONS.as_posix().replace("%", "%%"))
    with engine.connect().execution_options(writes=True) as conn, conn.begin():
        if int(conn.exec_driver_sql("PRAGMA user_version").scalar() or 0) >= to:
            return  # another brought it up while we waited
        if each:
            _count(conn, each)
        config.attributes["connection"] = conn
        command.upgrade(config, f"{to:04}")
        conn.exec_driver_sql(f"PRAGMA application_id = {APPLICATION_ID}")
        conn.exec_driver_sql(f"PRAGMA user_version = {to}")


def _count(conn: sa.Connection, each: Callable[[int], None]) -> None:
    seen = [0]

    @sa.event.listens_for(conn, "before_cursor_execute")
    def _before(*_: Any) -> None:
        each(seen[0])
        seen[0] += 1


def write_ahead(path: Path, patience_s: float = PATIENCE_S) -> None:
    """Set a database so that those who read and the one who writes do not wait for each other."""
    raw = sqlite3.connect(path, timeout=patience_s)
    try:
        raw.execute("PRAGMA journal_mode = WAL")
    finally:
        raw.close()


def make_folder(folder: Path) -> None:
    """Make a folder where there is none. Raises RakelightError where it cannot be made."""
    try:
        folder.mkdir(parents=True, exist_ok=True)
    except OSError as bad:
        raise RakelightError(f"The folder {folder} cannot be made: {bad.strerror}.") from bad
