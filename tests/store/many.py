"""Two devices at once, and a shop that has written for years: what the tests and the bench measure."""

from __future__ import annotations

import os
import random
import time
from datetime import UTC, datetime, timedelta
from pathlib import Path
from time import process_time
from typing import Any

import sqlalchemy as sa

from rakelight.desk import open_shop
from rakelight.log.events import Event, as_plain
from rakelight.store import rows
from rakelight.store.shop_store import Store
from rakelight.store.tables import events
from rakelight.units import read_date

NOW = datetime(2027, 2, 8, 8, 0, tzinfo=UTC)
EXAMPLES = Path(__file__).parents[2] / "examples"


def device(path: Path, name: str, own: int, shared: list[str]) -> None:
    """One device: its own events, and some that the other sends as well, in an order of its own."""
    dice = random.Random(name)
    ids = [*(f"{name}-{n}" for n in range(own)), *shared]
    dice.shuffle(ids)
    store = Store(path, patience_s=120)
    for id in ids:
        kept = store.add(Event("reading", NOW, NOW, id=id, what="air", device=name, values={"rh": 0.4}))[0]
        assert kept.id == id
    store.close()


def two_devices(path: Path, own: int, both: int) -> dict[str, Any]:
    """Two processes at once; what was sent, what is kept, and what is wrong with it."""
    Store(path).close()
    shared = [f"both-{n}" for n in range(both)]
    began, children = time.perf_counter(), []
    for name in ("phone", "bench"):
        child = os.fork()
        if child == 0:
            code = 1
            try:
                device(path, name, own, shared)
                code = 0
            finally:
                os._exit(code)
        children.append(child)
    ended = [os.waitpid(child, 0)[1] for child in children]
    took = time.perf_counter() - began
    store = Store(path)
    ids = [e.id for e in store.events()]
    store.close()
    wanted = {*(f"{name}-{n}" for name in ("phone", "bench") for n in range(own)), *shared}
    lost, twice = len(wanted - set(ids)), len(ids) - len(set(ids))
    return {"sent": 2 * (own + both), "kept": len(ids), "lost": lost, "twice": twice, "ended": ended,
            "took_s": round(took, 1)}  # fmt: skip


def years(path: Path, count: int, pieces: int) -> None:
    """A shop's file with many events: air read every few minutes, and the steps of pieces finished long ago."""
    shop = open_shop(path, read_date("8 Feb 2027 8:00"))
    shop.set_shop((EXAMPLES / "shop-fair.toml").read_text("utf-8"))
    shop.add_piece((EXAMPLES / "one-board.toml").read_text("utf-8"), "one-board.toml")
    old = [shop.copy_piece("one-board", f"Shelf {n}") for n in range(pieces)]
    for key in old:
        shop.finish(key, shop.now - timedelta(days=30))
    shop.keep(shop.plan())
    at = shop.now - timedelta(minutes=3 * count)
    told = []
    for n in range(count):
        at += timedelta(minutes=3)
        if n % 2:
            event = Event("reading", at, at, what="air", values={"temp_c": 18.5, "rh": 0.45}, device="logger")
        else:
            key = old[n % len(old)]
            event = Event("done", at, at, piece=key, task=f"board/oil-{n}", took_min=20.0, used_ml=30.0)
        told.append(rows.row_of(as_plain(event))[0])
    with shop.store.writing() as conn:
        conn.execute(sa.insert(events), told)
    shop.close()


def spent_on_today(path: Path) -> tuple[float, float]:
    """Seconds of the processor for `today` with the file open, and for what of it reads the log; the best of 5."""
    whole, log = [], []
    shop = open_shop(path, read_date("8 Feb 2027 8:30"))
    shop.today()  # what the shop has taught is gathered once, and kept
    for _ in range(5):
        shop.forget()
        began = process_time()
        shop.today()
        whole.append(process_time() - began)
        began = process_time()
        _ = shop.desk("one-board").state
        log.append(process_time() - began)
    shop.close()
    return min(whole), min(log)
