"""The last things told, read from the end of the log, with whatever else says whether each of them counts."""

from __future__ import annotations

import sqlalchemy as sa

from rakelight.log.events import Event
from rakelight.store import rows
from rakelight.store.tables import events

#: as many are asked for by their keys at once; more are read with all the rest
MOST = 500
#: a correction names what it corrects in its record
_CORRECTS = '%"corrects"%'


def last_entries(conn: sa.Connection, last: int, piece: str | None = None) -> tuple[list[str], list[Event]]:
    """Keys of the last entries that take nothing back, and these entries among all that bear on them, in order.

    What bears on them: entries that take something back, corrections and what they correct, and each time one of
    the same steps was told as done or left out. What counts among them counts in the whole log.
    Parameters: last, how many, up to MOST; piece, of this one alone ("" for those of the shop itself), None: of all.
    """
    of = [] if piece is None else [events.c.piece == piece if piece else events.c.piece.is_(None)]
    query = sa.select(events.c.id, events.c.kind, events.c.task).where(events.c.kind != "taken back", *of)
    shown = conn.execute(query.order_by(events.c.seq.desc()).limit(last)).all()
    corrected = [e.corrects for e in rows.read_where(conn, events.c.more.like(_CORRECTS), *of) if e.corrects]
    keys = [row.id for row in reversed(shown)]
    tasks = sorted({row.task for row in shown if row.kind in ("done", "skipped") and row.task})
    bears = sa.or_(
        events.c.kind == "taken back",
        events.c.more.like(_CORRECTS),
        events.c.id.in_([*keys, *corrected]),
        sa.and_(events.c.kind.in_(("done", "skipped")), events.c.task.in_(tasks)),
    )
    return keys, rows.read_where(conn, bears, *of)
