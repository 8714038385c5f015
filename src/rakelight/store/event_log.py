"""The events of one piece in the shop's file, as a log like the one beside a piece."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from datetime import datetime
from pathlib import Path

import sqlalchemy as sa

from rakelight.errors import Finding
from rakelight.log.events import TOLD, Event
from rakelight.store import rows
from rakelight.store.shop_store import Store
from rakelight.store.tables import events


class StoreLog:
    """The events of one piece in the shop's file."""

    def __init__(self, store: Store, piece: str, tell: Callable[[Event], Event] | None = None) -> None:
        """The log of a piece; `tell` looks at what is added and writes it, else it is written as it is."""
        self.store = store
        self.piece = piece
        self.tell = tell

    @property
    def path(self) -> Path:
        """The shop's file."""
        return self.store.path

    @property
    def began(self) -> bool:
        """Whether anything has been told or planned of the piece."""
        with self.store.reading() as conn:
            query = sa.select(events.c.seq).where(events.c.piece == self.piece, events.c.kind != "piece").limit(1)
            return conn.execute(query).first() is not None

    def read(self) -> tuple[list[Event], list[Finding]]:
        """All events of the piece; a row that cannot be read stops with one sentence."""
        return self.store.events(self.piece), []

    def faults(self) -> list[Finding]:
        """None: a row that cannot be read stops with one sentence."""
        return []

    def events(self) -> list[Event]:
        """All events of the piece."""
        return self.store.events(self.piece)

    def for_state(self, now: datetime) -> list[Event]:
        """Those its state folds from."""
        with self.store.reading() as conn:
            return rows.read_for_state(conn, self.piece, now)

    def add(self, event: Event) -> Event:
        """Write one event of the piece; what is kept: one whose id is there already is not written again."""
        told = event if event.piece else replace(event, piece=self.piece)
        return self.tell(told) if self.tell and told.kind in TOLD else self.store.add(told)[0]

    def find(self, id: str) -> Event | None:
        """What is written under an id, of whichever piece; None where nothing is."""
        return self.store.find(id)

    def last_told(self) -> Event | None:
        """The last thing told of the piece and not taken back."""
        return self.store.last_told(self.piece)
