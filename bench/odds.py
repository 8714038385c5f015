"""Speed of the odds: `python bench/odds.py` prints one JSON line a figure. Never asserted in a test."""

from __future__ import annotations

import importlib.util
import sys
from pathlib import Path
from time import process_time
from types import ModuleType

from bench.pieces import pieces
from bench.said import say

from rakelight.plan.course import course_of
from rakelight.plan.draft import Draft
from rakelight.plan.follow import Follow
from rakelight.plan.greedy import best_draft
from rakelight.plan.ground import Ground
from rakelight.plan.problem import Problem
from rakelight.plan.scenarios import Doubts, draw

ROOT = Path(__file__).parents[1]
#: seconds by scenarios
WANTED_S = {2_000: 0.5, 10_000: 2.0}


def plain_walk() -> ModuleType:
    """The plain walk through one scenario that the tests hold the odds against."""
    spec = importlib.util.spec_from_file_location("plain", ROOT / "tests" / "plan" / "test_odds_against_plain.py")
    assert spec is not None and spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    sys.modules["plain"] = module
    spec.loader.exec_module(module)
    return module


def followed(plain: ModuleType, problem: Problem, draft: Draft) -> None:
    """Time to follow one plan in many scenarios, and the same by a plain walk; processor seconds."""
    course = course_of(problem, draft)
    ground = Ground(course, draft.finish + 120 * 1440)
    doubts = Doubts(0.0, 0.0, 0.5, 0.0)
    Follow(course, draw(course, 2, 1, doubts), ground).run()  # the sums of the air are made once for a plan
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
    name = f"odds, {len(course.moves)} steps"
    for n, took in seconds.items():
        say(f"{name}, {n} scenarios, eight ahead", took, "s", f"{n} plain walks", alone * n / took)
        if n in WANTED_S:
            say(f"{name}, {n} scenarios", took, "s", f"{WANTED_S[n]} s wanted of 72 steps", took / WANTED_S[n])


def main() -> None:
    """A piece of 72 steps, then the demo piece."""
    plain = plain_walk()
    problem = pieces(1)
    followed(plain, problem, best_draft(problem)[0])
    followed(plain, *plain.planned("music-cabinet", "shop-winter"))


if __name__ == "__main__":
    main()
