"""Of a long log the bench reads its end alone, and what was taken back or put right there counts so."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime, timedelta

from rakelight.log.events import Event, in_force
from rakelight.web.keeper import ServedShop
from rakelight.web.once import OnceStore

NOW = datetime(2027, 2, 10, 9, 20, tzinfo=UTC)


def note(n: int, at: datetime) -> Event:
    """A note told at a moment."""
    return Event("note", at, at, id=f"note-{n:05}", words=f"note {n}")


def test_the_end_of_a_long_log_alone_is_read(tmp_path):
    store = OnceStore(tmp_path / "shop.rakelight")
    shop = ServedShop(store, lambda: NOW)
    old = [note(n, NOW - timedelta(days=30, minutes=-n)) for n in range(1500)]
    new = [note(n, NOW - timedelta(hours=5, minutes=-n)) for n in range(2000, 2260)]
    store.add(*old, *new)
    store.add(Event("taken back", NOW, NOW, takes_back="note-02004"))
    store.add(replace(Event.correction(new[0], NOW, words="said otherwise")))
    read: list[int] = []
    events = store.events
    store.events = lambda piece, kinds, after: read.append(len(found := events(piece, kinds, after))) or found
    since = NOW - timedelta(hours=6)
    found = shop.lately(since, ("note",))
    whole = [e for e in in_force(events(None)) if e.written >= since]
    assert found == whole and len(found) == 259 and found[0].words == "said otherwise"
    assert sum(read) < 1100
    assert len(shop.lately(NOW - timedelta(days=40), ("note",))) == 1759
    store.close()
