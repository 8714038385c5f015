"""Speed of the odds: `python bench/odds.py` prints one JSON line a figure. Never asserted in a test."""

from __future__ import annotations

import importlib.util
import sys
from pathlib import Path
from time import process_time
from types import ModuleType

from bench.said import say

from rakelight.plan.course import course_of
from rakelight.plan.follow import Follow
from rakelight.plan.ground import Ground
from rakelight.plan.scenarios import Doubts, draw

ROOT = Path(__file__).parents[1]


def plain_walk() -> ModuleType:
    """The plain walk through one scenario that the tests hold the odds against."""
    spec = importlib.util.spec_from_file_location("plain", ROOT / "tests" / "plan" / "test_odds_against_plain.py")
    assert spec is not None and spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    sys.modules["plain"] = module
    spec.loader.exec_module(module)
    return module


def main() -> None:
    """Time to follow the demo piece in many scenarios, and the same by a plain walk; processor seconds."""
    plain = plain_walk()
    problem, draft = plain.planned("music-cabinet", "shop-winter")
    course = course_of(problem, draft)
    ground = Ground(course, draft.finish + 120 * 1440)
    doubts = Doubts(0.0, 0.0, 0.5, 0.0)
    seconds = {}
    for n in (500, 2_000, 10_000):
        begun = process_time()
        walk = Follow(course, draw(course, n, 1, doubts), ground).run()
        walk.reached()
        seconds[n] = process_time() - begun
    drawn = draw(course, 5, 1, doubts)
    walk = Follow(course, drawn, ground)
    begun = process_time()
    for s in range(5):
        z = {m: float(v[s]) for m, v in drawn.material.items()}
        minutes = {m.key: float(walk.minutes[s, k]) for k, m in enumerate(course.moves)}
        plain.Plain(problem, draft, z, minutes).run()
    alone = (process_time() - begun) / 5
    for n, took in seconds.items():
        name = f"odds, {len(course.moves)} steps, {n} scenarios, eight ahead"
        say(name, took, "s", f"{n} plain walks", alone * n / took)


if __name__ == "__main__":
    main()
