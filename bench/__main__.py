"""Speed as ratios within one run, one JSON line a figure: `make bench`. Never asserted in a test."""

from __future__ import annotations

import subprocess
import sys
from collections.abc import Callable
from pathlib import Path
from time import perf_counter

from bench import choosing, exact, odds, pages, paper, rooms, second, several, worlds
from bench.said import say

from rakelight.desk import open_desk
from rakelight.plan.greedy import MANNERS, best_draft, run_pass
from rakelight.plan.planning import reach_ranges
from rakelight.units import read_date

ROOT = Path(__file__).parents[1]
EXAMPLES = ROOT / "examples"


def best_of(do: Callable[[], object], times: int = 3) -> float:
    """Shortest of a few runs, seconds."""
    found = []
    for _ in range(times):
        begun = perf_counter()
        do()
        found.append(perf_counter() - begun)
    return min(found)


def command(*words: str) -> Callable[[], object]:
    """A whole process."""
    line = [sys.executable, "-m", "rakelight", *words]
    return lambda: subprocess.run(line, cwd=ROOT, capture_output=True, check=False)


def main() -> None:
    """Whole commands against an empty run of the interpreter; then the calendar, the odds and single rooms."""
    bare = best_of(lambda: subprocess.run([sys.executable, "-c", "pass"], check=True))
    desk = open_desk(
        EXAMPLES / "music-cabinet.toml",
        EXAMPLES / "shop-winter.toml",
        now=read_date("8 Feb 2027 8:00"),
        log_path=Path("never-written.jsonl"),
    )
    problem = desk.problem
    draft, manner = best_draft(problem)
    plan = ("plan", "examples/music-cabinet.toml", "--shop", "examples/shop-winter.toml", "--now", "8 Feb 2027 8:00")
    rows = [
        ("interpreter, nothing done", bare),
        ("rakelight --help", best_of(command("--help"))),
        ("rakelight mix", best_of(command("mix", "shellac", "--alcohol", "16 fl oz"))),
        ("rakelight plan, music cabinet", best_of(command(*plan))),
        ("one pass of the planner", best_of(lambda: run_pass(problem, MANNERS[0]))),
        ("best of several passes", best_of(lambda: best_draft(problem))),
        ("ranges of the dates", best_of(lambda: reach_ranges(problem, draft, manner))),
    ]
    for name, seconds in rows:
        say(name, seconds, "s", "the bare interpreter", seconds / bare)
    for more in (exact, second, several, odds, rooms, worlds, choosing, pages, paper):
        more.main()


if __name__ == "__main__":
    main()
