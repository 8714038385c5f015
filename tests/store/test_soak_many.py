"""Two devices at once, and a shop that has written for years. RAKELIGHT_SOAK=1 runs the whole."""

from __future__ import annotations

import os
import sys

import pytest

from .many import spent_on_today, two_devices, years

SOAK = bool(os.environ.get("RAKELIGHT_SOAK"))


def test_two_devices_at_once(tmp_path):
    own, both = (4500, 500) if SOAK else (90, 10)
    found = two_devices(tmp_path / "shop.rakelight", own, both)
    print(found, file=sys.stderr)  # seen with -s from a worker of the tests too
    assert found["ended"] == [0, 0] and found["lost"] == 0 and found["twice"] == 0
    assert found["kept"] == 2 * own + both


@pytest.mark.skipif(not SOAK, reason="writes 100,000 events")
def test_today_of_a_hundred_thousand_events(tmp_path):
    spent = {}
    for count in (12_500, 25_000, 50_000, 100_000):
        years(tmp_path / f"{count}.rakelight", count, pieces=20)
        spent[count] = spent_on_today(tmp_path / f"{count}.rakelight")
        whole, log = (ms * 1000 for ms in spent[count])
        print(f"{count}: today {whole:.0f} ms, of it the log {log:.0f} ms", file=sys.stderr)
    assert spent[100_000][0] < 2 * spent[12_500][0] + 0.05


def test_a_long_past_costs_today_little(tmp_path):
    spent = {}
    for count in (100, 3000):
        years(tmp_path / f"{count}.rakelight", count, pieces=2)
        spent[count] = spent_on_today(tmp_path / f"{count}.rakelight")[1]
    assert spent[3000] < 3 * spent[100] + 0.02
