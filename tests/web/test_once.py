"""What the pages read of the shop's file is kept only for as long as nothing is written to it."""

from __future__ import annotations

from datetime import UTC, datetime

from rakelight.log.events import Event
from rakelight.store.shop_store import Store
from rakelight.web.once import OnceStore

NOW = datetime(2027, 2, 10, 9, 20, tzinfo=UTC)


def test_a_write_is_seen_at_once_whoever_wrote(tmp_path):
    here = OnceStore(tmp_path / "shop.rakelight")
    away = Store(tmp_path / "shop.rakelight")
    asked: list[int] = []

    def seq() -> int:
        asked.append(1)
        return here.last_seq()

    for n, store in enumerate((here, away, here, away), 1):
        store.add(Event("note", NOW, NOW, words=f"note {n}"))
        assert [here.once("seq", seq) for _ in range(3)] == [n, n, n]
    assert len(asked) < 12  # not read each time
    here.close()
    away.close()
