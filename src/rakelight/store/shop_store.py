"""Reads and writes a shop's file: every change is one transaction, written by one at a time."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from contextlib import contextmanager
from datetime import datetime
from pathlib import Path

import sqlalchemy as sa

from rakelight.errors import NotFound
from rakelight.log.events import TOLD, Event
from rakelight.store import from_the_end, rows
from rakelight.store.connect import open_engine
from rakelight.store.piece_row import PieceRow, hash_of
from rakelight.store.plainly import PATIENCE_S, told_plainly
from rakelight.store.tables import events, piece_schedules, pieces, schedules, settings, texts


class Store:
    """A shop's file."""

    def __init__(self, path: Path, create: bool = True, patience_s: float = PATIENCE_S) -> None:
        """Open it. Raises NotFound where there is none and none is to be begun, RakelightError where it cannot be."""
        self.path = path
        self.engine = open_engine(path, create, patience_s)

    def close(self) -> None:
        """Let go of the file."""
        self.engine.dispose()

    @contextmanager
    def reading(self) -> Iterator[sa.Connection]:
        """One look at the file as it is at this moment."""
        with told_plainly(self.path), self.engine.connect() as conn, conn.begin():
            yield conn

    @contextmanager
    def writing(self) -> Iterator[sa.Connection]:
        """One change, whole or not at all; on the disk once this is left."""
        with told_plainly(self.path), self.engine.connect().execution_options(writes=True) as conn, conn.begin():
            yield conn

    # -- events -------------------------------------------------------------------------------------

    def add(self, *told: Event) -> list[Event]:
        """Write events, all or none; each as it stands in the file: one whose id was there already as it was."""
        kept = []
        with self.writing() as conn:
            for event in told:
                wrote = rows.write(conn, event)
                kept.append(event if wrote else rows.read(conn, id=event.id)[0])
        return kept

    def add_unless_told(self, event: Event, since: int) -> Event | None:
        """Write one event; None, and nothing is written, where more was written of its piece later than a row."""
        later = sa.select(events.c.seq).where(events.c.seq > since, events.c.piece == event.piece).limit(1)
        with self.writing() as conn:
            if event.piece and conn.execute(later).first() is not None:
                return None
            return event if rows.write(conn, event) else rows.read(conn, id=event.id)[0]

    def events(self, piece: str | None = None, kinds: Iterable[str] = (), after: int = 0) -> list[Event]:
        """Events in the order written; None: of all pieces and of the shop itself, which is ""."""
        with self.reading() as conn:
            return rows.read(conn, piece, kinds, after)

    def last_plan(self, piece: str) -> Event | None:
        """The plan of a piece that was kept last."""
        of = (events.c.kind == "planned", events.c.piece == piece)
        last = sa.select(sa.func.max(events.c.seq)).where(*of).scalar_subquery()
        with self.reading() as conn:
            return next(iter(rows.read_where(conn, events.c.seq == last)), None)

    def last_entries(self, last: int, piece: str | None = None) -> tuple[list[str], list[Event]]:
        """Keys of the last entries, and these among all that bear on whether they count; see `from_the_end`."""
        with self.reading() as conn:
            return from_the_end.last_entries(conn, last, piece)

    def find(self, id: str) -> Event | None:
        """One event by its id; None where there is none."""
        with self.reading() as conn:
            return next(iter(rows.read(conn, id=id)), None) if id else None

    def last_told(self, piece: str = "") -> Event | None:
        """The last thing told, of one piece or of all, that was not taken back; None where there is none."""
        of = [events.c.kind.in_(TOLD), *([events.c.piece == piece] if piece else [])]
        with self.reading() as conn:
            gone = {e.takes_back for e in rows.read(conn, kinds=("taken back",))}
            query = sa.select(events.c.id).where(*of).order_by(events.c.seq.desc()).limit(len(gone) + 1)
            last = next((row.id for row in conn.execute(query) if row.id not in gone), "")
            return next(iter(rows.read(conn, id=last)), None) if last else None

    def event(self, id: str) -> Event:
        """One event by its id. Raises NotFound."""
        found = self.find(id)
        if found is None:
            raise NotFound(f"Nothing with the id {id!r} is written in {self.path.name}.")
        return found

    def last_seq(self) -> int:
        """Number of the row written last; 0 for none."""
        with self.reading() as conn:
            return int(conn.execute(sa.select(sa.func.max(events.c.seq))).scalar() or 0)

    def told_since(self, seq: int) -> set[str]:
        """Keys of the pieces of which anything was written later than a row."""
        query = sa.select(events.c.piece).where(events.c.seq > seq, events.c.piece.is_not(None)).distinct()
        with self.reading() as conn:
            return {str(row.piece) for row in conn.execute(query)}

    # -- texts --------------------------------------------------------------------------------------

    def pieces(self) -> list[PieceRow]:
        """All pieces, in the order they were added."""
        query = sa.select(pieces, texts.c.body).join(texts, pieces.c.text_hash == texts.c.hash)
        with self.reading() as conn:
            found = [_piece(row) for row in conn.execute(query.order_by(pieces.c.added, pieces.c.key))]
        return found

    def piece(self, key: str) -> PieceRow | None:
        """One piece by its key; None where there is none."""
        return next((row for row in self.pieces() if row.key == key), None)

    def put_piece(self, row: PieceRow, own: dict[str, str], told: Sequence[Event], more: dict[str, str]) -> None:
        """Write a piece as it is now, with what was told of it.

        Parameters: own, schedules of this piece alone, in place of those there are; more, schedules for the
        whole shop.
        """
        values = {"name": row.name, "file": row.file, "added": row.added.isoformat(),
                  "finished": row.finished.isoformat() if row.finished else None,
                  "put_away": row.added.isoformat() if row.put_away else None}  # fmt: skip
        with self.writing() as conn:
            values["text_hash"] = _put_text(conn, row.text)
            _put(conn, pieces, {"key": row.key}, values)
            conn.execute(sa.delete(piece_schedules).where(piece_schedules.c.piece == row.key))
            for name, text in own.items():
                _put(conn, piece_schedules, {"piece": row.key, "name": name}, {"text_hash": _put_text(conn, text)})
            for name, text in more.items():
                _put(conn, schedules, {"name": name}, {"text_hash": _put_text(conn, text)})
            for event in told:
                rows.write(conn, event)

    def schedules(self, piece: str = "") -> dict[str, str]:
        """Schedules of the shop, or of one piece alone, by name."""
        table = piece_schedules if piece else schedules
        query = sa.select(table.c.name, texts.c.body).join(texts, table.c.text_hash == texts.c.hash)
        if piece:
            query = query.where(piece_schedules.c.piece == piece)
        with self.reading() as conn:
            return {row.name: row.body for row in conn.execute(query.order_by(table.c.name))}

    def put_schedule(self, name: str, text: str) -> None:
        """Write a schedule of the shop."""
        with self.writing() as conn:
            _put(conn, schedules, {"name": name}, {"text_hash": _put_text(conn, text)})

    def setting(self, name: str) -> str:
        """A setting; "" where it was never made."""
        with self.reading() as conn:
            return str(conn.execute(sa.select(settings.c.value).where(settings.c.name == name)).scalar() or "")

    def put_setting(self, name: str, value: str) -> None:
        """Write a setting; "shop" is the shop's own file."""
        with self.writing() as conn:
            _put(conn, settings, {"name": name}, {"value": value})

    def text(self, hash: str) -> str:
        """A text as it once was, by its hash. Raises NotFound."""
        with self.reading() as conn:
            body = conn.execute(sa.select(texts.c.body).where(texts.c.hash == hash)).scalar()
        if body is None:
            raise NotFound(f"No file with the hash {hash[:12]} is kept in {self.path.name}.")
        return str(body)


def _piece(row: sa.Row[tuple[object, ...]]) -> PieceRow:
    added, done = datetime.fromisoformat(row.added), row.finished and datetime.fromisoformat(row.finished)
    return PieceRow(
        row.key, row.name, row.body, row.file, row.text_hash, added, done or None, bool(row.put_away)
    )


def _put_text(conn: sa.Connection, text: str) -> str:
    hash = hash_of(text)
    if not conn.execute(sa.select(texts.c.hash).where(texts.c.hash == hash)).first():
        conn.execute(sa.insert(texts).values(hash=hash, body=text))
    return hash


def _put(conn: sa.Connection, table: sa.Table, key: dict[str, str], values: dict[str, str | None]) -> None:
    """Write a row, new or in place of the one with the same key."""
    same = sa.and_(*(table.c[name] == value for name, value in key.items()))
    if conn.execute(sa.select(sa.literal(1)).select_from(table).where(same)).first():
        conn.execute(sa.update(table).where(same).values(**values))
    else:
        conn.execute(sa.insert(table).values(**key, **values))

