"""Odds in worlds the model does not know: reported, not required. One JSON line a figure.

Every wait longer or shorter than the tables by one factor, and errors of materials with heavy tails: how often the
demo piece is ready by the day of which nine in ten, and half, were told.
"""

from __future__ import annotations

from dataclasses import replace

import numpy as np
from bench.odds import plain_walk
from bench.said import say

from rakelight.plan.chances import full_course
from rakelight.plan.follow import Follow
from rakelight.plan.ground import Ground
from rakelight.plan.scenarios import Doubts, Scenarios, draw

DRAWS = 2_000
#: table times by which the true ones differ
FACTORS = (0.6, 0.8, 1.0, 1.25, 1.6)
#: degrees of freedom of the heavy tails
TAILS = 3


def main() -> None:
    """Each world against what is told of the known one."""
    problem, draft = plain_walk().planned("music-cabinet", "shop-winter")
    course = full_course(problem, draft)
    ground = Ground(course, draft.finish + 300 * 1440)
    doubts = Doubts.of(problem.facts)

    def ready(drawn: Scenarios) -> np.ndarray:  # type: ignore[type-arg]
        return Follow(course, drawn, ground).run().reached()[:, -1]

    told = np.quantile(ready(draw(course, DRAWS, 1, doubts)), (0.1, 0.5, 0.9))
    drawn = draw(course, DRAWS, 2, doubts)
    worlds = {f"table times x {k}": replace(drawn, weather=drawn.weather / k) for k in FACTORS}
    rng = np.random.default_rng(3)
    tails = {m: z * np.sqrt(TAILS / rng.chisquare(TAILS, DRAWS)) for m, z in drawn.material.items()}
    worlds["heavy tails of materials"] = replace(drawn, material=tails)
    for name, world in worlds.items():
        came = ready(world)
        for share, day in zip((0.1, 0.5, 0.9), told, strict=True):
            by_then = float(np.mean(came <= day))
            say(f"{name}: ready by the day of {share:.0%}", by_then, "share", "told", by_then / share)


if __name__ == "__main__":
    main()
