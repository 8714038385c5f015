"""Figures of the shop's file, one JSON line each: `python -m bench.shop_file [FOLDER]`. Minutes on an idle machine."""

from __future__ import annotations

import json
import sys
import tempfile
from collections.abc import Callable
from pathlib import Path
from typing import Any

sys.path.insert(0, str(Path(__file__).parents[1] / "tests" / "store"))

import killing
import many

KILLS = 1000
EVENTS = 10_000
YEARS = (12_500, 25_000, 50_000, 100_000)


def kills(folder: Path) -> dict[str, Any]:
    """Writers killed at random moments: what was acknowledged and is lost, files that cannot be read."""
    return killing.main(folder / "kills", KILLS, 7)


def two_devices(folder: Path) -> dict[str, Any]:
    """Two processes that write at once, a twentieth of it sent by both."""
    return many.two_devices(folder / "two.rakelight", EVENTS // 2 - EVENTS // 20, EVENTS // 20)


def years(folder: Path) -> dict[str, Any]:
    """`today` in a file of many events: seconds of the processor, the file open, and of it what reads the log."""
    found = {}
    for count in YEARS:
        path = folder / f"{count}.rakelight"
        many.years(path, count, pieces=20)
        whole, log = many.spent_on_today(path)
        found[count] = {"today_ms": round(whole * 1000), "log_ms": round(log * 1000)}
    return {"events": found}


def main(folder: Path) -> None:
    """Print each figure as it is known."""
    folder.mkdir(parents=True, exist_ok=True)
    figures: dict[str, Callable[[Path], dict[str, Any]]] = {"two devices": two_devices, "years": years, "kills": kills}
    for name, figure in figures.items():
        print(json.dumps({"figure": f"shop's file: {name}", **figure(folder)}), flush=True)


if __name__ == "__main__":
    with tempfile.TemporaryDirectory() as made:
        main(Path(sys.argv[1] if len(sys.argv) > 1 else made))
