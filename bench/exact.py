"""The exact solver on one piece of 72 steps: one JSON line a figure. Waits of the tables, shop of the examples.

    python -m bench.exact [seconds]
"""

from __future__ import annotations

import json
import sys
from pathlib import Path
from time import perf_counter

from bench.pieces import STEPS, pieces
from bench.said import say

from rakelight.plan.bounds import bound
from rakelight.plan.exact.core import Activity, Lag, Project, shortest
from rakelight.plan.exact.solve import Effort, Proof, rank, solve
from rakelight.plan.greedy import best_draft
from rakelight.plan.problem import nodes_of
from rakelight.plan.verify import verify

ROOT = Path(__file__).parents[1]

def one_piece(seconds: float) -> None:
    """Greedy, exact, and the bound."""
    problem = pieces(1)
    begun = perf_counter()
    draft, _ = best_draft(problem)
    greedy_s = perf_counter() - begun
    begun = perf_counter()
    least = bound(problem, draft)
    bound_s = perf_counter() - begun
    begun = perf_counter()
    told: list[float] = []
    found, proof = solve(problem, draft, Effort(seconds), lambda _: told.append(perf_counter() - begun))
    exact_s = perf_counter() - begun
    start = problem.start
    say("steps", len(nodes_of(problem.work)), "steps", "72 wanted", len(nodes_of(problem.work)) / STEPS)
    say("greedy plan", greedy_s, "s")
    say("bound", bound_s, "s", "greedy plan", bound_s / greedy_s)
    say("exact plan", exact_s, "s", "time given", exact_s / seconds)
    if told:
        say("first round of the exact plan", told[0], "s", "3 s wanted", told[0] / 3)
    shortest_min = least.minute - start
    say("greedy finish", (draft.finish - start) / 1440, "days", "bound", (draft.finish - start) / shortest_min)
    ratio = (found.finish - start) / shortest_min
    say("exact finish", (found.finish - start) / 1440, "days", f"bound: {least.which}", ratio)
    proven = max(least.minute, proof.least)
    ratio = (proven - start) / (found.finish - start)
    say("no plan at all ends before", (proven - start) / 1440, "days", "exact finish", ratio)
    say("gap of the finish", (found.finish - proven) / (found.finish - start), "share", "bound before it",
        (found.finish - proven) / max(1.0, found.finish - least.minute))  # fmt: skip
    _proof(proof, rank(found)[3], rank(draft)[3])
    say("rules broken", len(verify(problem, found)), "rules")


def _proof(proof: Proof, visits: float, before: float) -> None:
    say("finish proven for these waits", float(proof.finish_proven), "yes 1, no 0")
    say("visits and set-ups", visits, "count", "greedy", visits / before)
    say("visits and set-ups, no fewer", proof.visits_least, "count", "found", proof.visits_least / visits)
    say("visits proven for these waits", float(proof.visits_proven), "yes 1, no 0")


def ft10(seconds: float) -> None:
    """The job shop of ten jobs (Muth and Thompson 1963): 930."""
    rows = json.loads((ROOT / "tests/published/schedules/job_shops.json").read_text())["ft10"]
    work, lags = {}, []
    for job, (lengths, machines) in enumerate(zip(rows["durations"], rows["machines"], strict=True)):
        for step, (length, machine) in enumerate(zip(lengths, machines, strict=True)):
            work[f"{job}.{step}"] = Activity(length, {str(machine): 1})
            if step:
                lags.append(Lag(f"{job}.{step - 1}", f"{job}.{step}", lengths[step - 1]))
    begun = perf_counter()
    found = shortest(Project(work, {str(m): 1 for m in range(10)}, lags), seconds)
    took = perf_counter() - begun
    say("ft10", found.length, "time units", "optimum 930", found.length / rows["optimum"])
    say("ft10, no shorter than", found.least, f"time units, after {took:.1f} s", "optimum 930", found.least / 930)


def main() -> None:
    """All figures."""
    seconds = float(sys.argv[1]) if len(sys.argv) > 1 else 10.0
    one_piece(seconds)
    ft10(seconds)


if __name__ == "__main__":
    main()
