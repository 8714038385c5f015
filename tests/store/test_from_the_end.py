"""The last entries read from the end of the log say of themselves what the whole log says of them."""

from __future__ import annotations

import random
from datetime import timedelta
from pathlib import Path

import pytest
import sqlalchemy as sa

from rakelight.desk import open_shop
from rakelight.log.events import Event, as_plain, in_force, told_twice
from rakelight.store import rows
from rakelight.store.tables import events
from rakelight.units import read_date

SHELF = (Path(__file__).parents[2] / "examples" / "one-board.toml").read_text("utf-8")


def told_at_random(shop, count: int, seed: int) -> None:
    """Steps done, once more, left out, corrected, the correction corrected, taken back; of two pieces and the shop."""
    shop.add_piece(SHELF, "one-board.toml")
    keys = ["one-board", shop.copy_piece("one-board", "Other")]
    draw, at, told = random.Random(seed), shop.now - timedelta(days=9), []
    for _ in range(count):
        at += timedelta(minutes=5)
        piece, task = draw.choice(keys), f"board/oil-{draw.randrange(4)}"
        earlier = draw.choice(told) if told else None
        kind = draw.choice(["done", "done", "skipped", "reading", "corrected", "taken back", "done anew"])
        if kind == "reading" or earlier is None:
            event = Event("reading", at, at, what="air", values={"temp_c": 18.5, "rh": 0.45})
        elif kind == "taken back":
            event = Event(kind, at, at, piece=earlier.piece, takes_back=earlier.id)
        elif kind in ("corrected", "done anew"):
            as_kind = "corrected" if kind == "corrected" else "done"
            task = "" if kind == "corrected" else earlier.task
            event = Event(as_kind, at, at, piece=earlier.piece, task=task, words=f"said {at}", corrects=earlier.id)
        else:
            event = Event(kind, at, at, piece=piece, task=task)
        told.append(event)
    with shop.store.writing() as conn:
        conn.execute(sa.insert(events), [rows.row_of({**as_plain(e), "piece": e.piece or None})[0] for e in told])


def said_of(found: list[Event], keys: set[str]) -> list[tuple[str, bool, bool, Event | None]]:
    gone = {e.takes_back for e in found if e.kind == "taken back"}
    twice, counts = {e.id for e in told_twice(found)}, {e.id: e for e in in_force(found)}
    return [(e.id, e.id in gone, e.id in twice, counts.get(e.id)) for e in found
            if e.kind != "taken back" and e.id in keys]  # fmt: skip


@pytest.mark.parametrize("seed", [1, 2, 3])
def test_the_last_are_told_as_in_the_whole_log(tmp_path, seed):
    shop = open_shop(tmp_path / "shop.rakelight", read_date("8 Feb 2027 8:00"))
    shop.set_shop((Path(__file__).parents[2] / "examples" / "shop-fair.toml").read_text("utf-8"))
    told_at_random(shop, 150, seed)
    for piece in ("", "one-board"):
        whole = shop.events(piece)
        shown = [e.id for e in whole if e.kind != "taken back"]
        for last in (1, 7, 40, 150):
            keys, some = shop.last_told(last, piece)
            assert keys == set(shown[-last:]) and said_of(some, keys) == said_of(whole, keys)
        assert any(gone for _, gone, _, _ in said_of(whole, set(shown)))
    assert len(shop.last_told(1)[1]) < len(shop.events()) and shop.last_told(0) == (None, shop.events())
    shop.close()
