"""How well a shop's own figures are learned, in simulated shops: `python bench/learning.py`, one JSON line a figure."""

from __future__ import annotations

import importlib.util
import json
import sys
from pathlib import Path
from types import ModuleType

import numpy as np

ROOT = Path(__file__).parents[1]


def worlds() -> ModuleType:
    """The simulated shops of the tests."""
    path = ROOT / "tests" / "log" / "learning" / "test_worlds.py"
    spec = importlib.util.spec_from_file_location("worlds", path)
    assert spec is not None and spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    sys.modules["worlds"] = module
    spec.loader.exec_module(module)
    return module


def main() -> None:
    """Of 500 shops each: the truth within the 80 % interval, and the fall of the error of predicted waits."""
    sim = worlds()
    for world in (sim.ASSUMED, *sim.UNKNOWN):
        for jobs in (2, 10):
            rng = np.random.default_rng(7)
            held, book, own, shared, left, known = 0, [], [], [], [], []
            for _ in range(500):
                shop = sim.draw_shop(rng, world, sim.DOUBT, jobs)
                grid = sim.learned(shop)
                middle = grid.quantile(0.5)
                held += grid.quantile(0.1) <= shop.own <= grid.quantile(0.9)
                book += list(np.abs(shop.next_coats))
                own += list(np.abs(shop.next_coats - middle))
                known += list(np.abs(shop.next_coats - shop.own))
                shared.append(abs(shop.own))
                left.append(abs(shop.own - middle))
            told = {"world": world.name, "jobs": jobs, "unit": "share", "shops": 500}
            rows = {
                "80 % interval holds the shop's own figure": held / 500,
                "fall of the error of the next job's waits": 1 - np.mean(own) / np.mean(book),
                "the same, were the shop's own figure known": 1 - np.mean(known) / np.mean(book),
                "fall of the error of the shop's own part": 1 - np.mean(left) / np.mean(shared),
            }
            for name, value in rows.items():
                print(json.dumps({"name": name, "value": round(float(value), 3), **told}), flush=True)


if __name__ == "__main__":
    main()
