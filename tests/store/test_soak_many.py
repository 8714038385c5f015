"""Two devices at once, and a shop that has written for years. RAKELIGHT_SOAK=1 runs the whole."""

from __future__ import annotations

import os
import random
import time
from datetime import timedelta
from pathlib import Path
from time import process_time

import pytest
import sqlalchemy as sa

from rakelight.desk import open_shop
from rakelight.log.events import Event, as_plain
from rakelight.store import rows
from rakelight.store.shop_store import Store
from rakelight.store.tables import events
from rakelight.units import read_date

from .conftest import NOW

SOAK = bool(os.environ.get("RAKELIGHT_SOAK"))
EXAMPLES = Path(__file__).parents[2] / "examples"


def _device(path: Path, name: str, own: int, shared: list[str]) -> None:
    """One device: its own events, and some that the other sends as well, in an order of its own."""
    dice = random.Random(name)
    ids = [*(f"{name}-{n}" for n in range(own)), *shared]
    dice.shuffle(ids)
    store = Store(path, patience_s=120)
    for id in ids:
        kept = store.add(Event("reading", NOW, NOW, id=id, what="air", device=name, values={"rh": 0.4}))[0]
        assert kept.id == id
    store.close()


def test_two_devices_at_once(tmp_path):
    own, both = (4500, 500) if SOAK else (90, 10)
    path = tmp_path / "shop.rakelight"
    Store(path).close()
    shared = [f"both-{n}" for n in range(both)]
    began, children = time.perf_counter(), []
    for name in ("phone", "bench"):
        child = os.fork()
        if child == 0:
            code = 1
            try:
                _device(path, name, own, shared)
                code = 0
            finally:
                os._exit(code)
        children.append(child)
    assert [os.waitpid(child, 0)[1] for child in children] == [0, 0]
    took = time.perf_counter() - began
    store = Store(path)
    ids = [e.id for e in store.events()]
    store.close()
    assert sorted(ids) == sorted([*(f"{d}-{n}" for d in ("phone", "bench") for n in range(own)), *shared])
    print(f"{2 * (own + both)} sent by two, {len(ids)} kept, each once; {took:.1f} s")


def years(path: Path, count: int) -> None:
    """A shop's file with many events: air read every few minutes, and the steps of pieces finished long ago."""
    shop = open_shop(path, read_date("8 Feb 2027 8:00"))
    shop.set_shop((EXAMPLES / "shop-fair.toml").read_text("utf-8"))
    shop.add_piece((EXAMPLES / "one-board.toml").read_text("utf-8"), "one-board.toml")
    old = [shop.copy_piece("one-board", f"Shelf {n}") for n in range(20 if SOAK else 2)]
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


@pytest.mark.skipif(not SOAK, reason="writes 100,000 events")
def test_today_of_a_hundred_thousand_events(tmp_path):
    figures = {}
    for count in (12_500, 25_000, 50_000, 100_000):
        years(tmp_path / f"{count}.rakelight", count)
        figures[count] = spent_on_today(tmp_path / f"{count}.rakelight")
        print(f"{count}: today {figures[count][0] * 1000:.0f} ms, of it the log {figures[count][1] * 1000:.0f} ms")
    assert figures[100_000][0] < 2 * figures[12_500][0] + 0.05


def test_a_long_past_costs_today_little(tmp_path):
    spent = {}
    for count in (100, 3000):
        years(tmp_path / f"{count}.rakelight", count)
        spent[count] = spent_on_today(tmp_path / f"{count}.rakelight")[1]
    assert spent[3000] < 3 * spent[100] + 0.02
