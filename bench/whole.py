"""Time of whole commands: `python -m bench.whole` prints one JSON line a figure. Never asserted in a test.

Each is a process of its own, and each round runs all of them, so that a slow moment of the machine meets all alike:
the shortest and the middle of the rounds, on the clock, and the processor time of it (with any process it starts).
"""

from __future__ import annotations

import compileall
import json
import os
import subprocess
import sys
from pathlib import Path
from statistics import median
from time import perf_counter

ROOT = Path(__file__).parents[1]
ROUNDS = 15
PLAN = ("-m", "rakelight", "plan", "examples/music-cabinet.toml", "--shop", "examples/shop-winter.toml")
PLAN += ("--by", "19 March 2027", "--now", "8 Feb 2027 8:00", "--log", "never-written.jsonl")
COMMANDS = {
    "interpreter, nothing done": ("-c", "pass"),
    "rakelight --help": ("-m", "rakelight", "--help"),
    "rakelight plan, music cabinet": PLAN,
    "rakelight plan --json, music cabinet": (*PLAN, "--json"),
}


def run_once(words: tuple[str, ...]) -> tuple[float, float]:
    """Seconds on the clock, and of the processor."""
    before, begun = os.times(), perf_counter()
    subprocess.run([sys.executable, *words], cwd=ROOT, capture_output=True, check=False, env=environment())
    took, after = perf_counter() - begun, os.times()
    return took, after.children_user + after.children_system - before.children_user - before.children_system


def environment() -> dict[str, str]:
    """This tree's own sources."""
    return {**os.environ, "PYTHONPATH": str(ROOT / "src")}


def main() -> None:
    """Each command in turn, round after round; the first round is not counted."""
    compileall.compile_dir(ROOT / "src" / "rakelight", quiet=1)
    took: dict[str, list[tuple[float, float]]] = {name: [] for name in COMMANDS}
    for _ in range(ROUNDS + 1):
        for name, words in COMMANDS.items():
            took[name].append(run_once(words))
    for name, found in took.items():
        clock, processor = zip(*found[1:], strict=True)
        for of, values in (("clock", clock), ("processor", processor)):
            row = {"name": f"{name}, whole process, {of}", "value": round(min(values), 3), "unit": "s",
                   "middle": round(median(values), 3), "most": round(max(values), 3), "runs": len(values)}  # fmt: skip
            print(json.dumps(row))


if __name__ == "__main__":
    main()
