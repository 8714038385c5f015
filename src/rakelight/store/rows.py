"""Events as rows and back: what is asked for often stands in columns of its own, the rest in `more`."""

from __future__ import annotations

import json
from collections.abc import Iterable, Mapping, Sequence
from datetime import datetime
from typing import Any

import sqlalchemy as sa

from rakelight.errors import RakelightError
from rakelight.log.events import Event, as_plain, event_of
from rakelight.store.tables import events, plans

_OWN = ("id", "kind", "happened", "written", "maker", "device", "task", "what")
#: of a kept plan, in a table of its own: it is long, and only the last one is asked for
_OF_PLAN = ("plan", "after", "dues", "odds")
#: kinds that change nothing in what is done, running or to be done
OF_NO_STATE = ("reading", "fault", "photo", "can", "learned", "piece")


def write(conn: sa.Connection, event: Event) -> bool:
    """Write an event, once: False where its id is there already and nothing was written."""
    if conn.execute(sa.select(events.c.seq).where(events.c.id == event.id)).first():
        return False
    row, kept = row_of(as_plain(event))
    conn.execute(sa.insert(events), [row])
    if kept:
        conn.execute(sa.insert(plans).values(event=event.id, body=_json(kept)))
    return True


def row_of(plain: Mapping[str, Any]) -> tuple[dict[str, Any], dict[str, Any]]:
    """The row of an event given as plain data, and what of a kept plan stands in a table of its own."""
    rest = dict(plain)
    kept = {k: rest.pop(k) for k in _OF_PLAN if k in rest} if rest["kind"] == "planned" else {}
    row = {**{k: rest.pop(k, "") for k in _OWN}, "piece": rest.pop("piece", None)}
    row |= {"seq": rest.pop("seq")} if "seq" in rest else {}
    return {**row, "more": _json(rest)}, kept


def read(
    conn: sa.Connection,
    piece: str | None = None,
    kinds: Iterable[str] = (),
    after: int = 0,
    id: str = "",
) -> list[Event]:
    """Events in the order written, kept plans with all that stands in them.

    Parameters: piece, of this one alone ("" for those of the shop itself); kinds, of these alone; after, only
    those written later than this row; id, this one alone.
    """
    query = _query(piece).where(events.c.seq > after)
    if kinds:
        query = query.where(events.c.kind.in_(list(kinds)))
    if id:
        query = query.where(events.c.id == id)
    return _whole(conn, query)


def read_where(conn: sa.Connection, *so: sa.ColumnElement[bool]) -> list[Event]:
    """Events of which all this is so, in the order written, kept plans with all that stands in them."""
    return _whole(conn, _query(None).where(*so))


def _whole(conn: sa.Connection, query: sa.Select[Any]) -> list[Event]:
    rows = conn.execute(query.order_by(events.c.seq)).all()
    wanted = [row.id for row in rows if row.kind == "planned"]
    return _events(rows, _bodies(conn, wanted))


def read_for_state(conn: sa.Connection, piece: str, now: datetime) -> list[Event]:
    """The events of a piece that its state folds from; of the kept plans only the last one is whole."""
    query = _query(piece).where(events.c.kind.not_in(OF_NO_STATE)).order_by(events.c.seq)
    rows = conn.execute(query).all()
    made = [row.id for row in rows if row.kind == "planned" and datetime.fromisoformat(row.happened) <= now]
    return _events(rows, _bodies(conn, made[-1:]))


def raw(conn: sa.Connection) -> list[dict[str, Any]]:
    """All events in the order written, each as one record of what stands in its row and in its kept plan."""
    bodies = {row.event: row.body for row in conn.execute(sa.select(plans))}
    found = []
    for row in conn.execute(sa.select(events).order_by(events.c.seq)):
        own = {k: v for k, v in row._mapping.items() if k != "more" and v not in ("", None)}
        found.append({**own, **json.loads(row.more), **json.loads(bodies.get(row.id, "{}"))})
    return found


def write_raw(conn: sa.Connection, record: Mapping[str, Any]) -> None:
    """Write a record of `raw` as the row it was."""
    row, kept = row_of(record)
    conn.execute(sa.insert(events), [row])
    if kept:
        conn.execute(sa.insert(plans).values(event=record["id"], body=_json(kept)))


def _query(piece: str | None) -> sa.Select[Any]:
    query = sa.select(*(events.c[name] for name in (*_OWN, "piece", "more")))
    if piece is not None:
        query = query.where(events.c.piece == piece if piece else events.c.piece.is_(None))
    return query


def _bodies(conn: sa.Connection, ids: Sequence[str]) -> dict[str, Any]:
    found: dict[str, Any] = {}
    for n in range(0, len(ids), 500):
        query = sa.select(plans.c.event, plans.c.body).where(plans.c.event.in_(ids[n : n + 500]))
        found |= {row.event: json.loads(row.body) for row in conn.execute(query)}
    return found


def _events(rows: Sequence[Any], bodies: dict[str, Any]) -> list[Event]:
    found = []
    for id, kind, happened, written, maker, device, task, what, piece, more in rows:
        row = {"id": id, "kind": kind, "happened": happened, "written": written, "maker": maker, "device": device,
               "task": task, "what": what, "piece": piece or ""}  # fmt: skip
        if more != "{}":
            row |= json.loads(more)
        if kind == "planned":
            row |= bodies.get(id, {})
        try:
            found.append(event_of(row))
        except (ValueError, TypeError, KeyError, IndexError, AttributeError) as bad:
            raise RakelightError(f"The entry {id} of the shop's file cannot be read: {bad}.") from bad
    return found


def _json(data: dict[str, Any]) -> str:
    return json.dumps(data, ensure_ascii=False, sort_keys=True)
