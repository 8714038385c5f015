"""A second, general planner on the same shop: equal steps, waits, hours, seconds and workers. One JSON line a figure.

    python -m bench.second [seconds] [pieces]

The shop is the piece of 72 steps as plain activities: each a block, waits as fixed lags read off the greedy plan, one
maker in open hours, wet work and dust apart. PyJobShop is installed for tests alone; both begin with no plan.
"""

from __future__ import annotations

import math
import sys
from time import perf_counter

from bench.pieces import pieces
from bench.said import say

from rakelight.plan.exact.core import Activity, Lag, Project, shortest
from rakelight.plan.exact.days import TICK, up
from rakelight.plan.exact.links import Reader
from rakelight.plan.greedy import best_draft
from rakelight.plan.problem import nodes_of

WORKERS = 8
#: days of open hours given beyond the end of the greedy plan
SPARE_DAYS = 7


def plain_shop(count: int) -> tuple[Project, int]:
    """The pieces as plain activities in ticks, and the end of the greedy plan."""
    problem = pieces(count)
    nodes = nodes_of(problem.work)
    draft, _ = best_draft(problem)
    links = Reader(problem, nodes, draft).read()
    work: dict[str, Activity] = {}
    lags: dict[tuple[str, str], int] = {}
    for key, node in nodes.items():
        length = max(1, up(node.task.minutes.likely + node.task.block_min))
        wet = max(0, up(links.wet[key])) if key in links.wet else 0
        work[key] = Activity(length, {"maker": 1}, True, wet, node.task.work == "dusty")
        for before in node.before:
            lags[before, key] = work[before].length
    for link in links.waits:
        least = work[link.before].length + up(link.minutes)
        lags[link.before, link.after] = max(least, lags.get((link.before, link.after), 0))
    windows = [(up(a), b // TICK) for a, b in problem.hours.windows if a < draft.finish + SPARE_DAYS * 1440]
    rows = [Lag(a, b, least) for (a, b), least in lags.items()]
    settle = problem.settle // TICK
    return Project(work, {"maker": 1}, rows, windows, settle, windows[-1][1]), math.ceil(draft.finish / TICK)


def by_pyjobshop(project: Project, seconds: float) -> tuple[int, float]:
    """Its shortest length (0 where none is found) and what it proves."""
    from pyjobshop import Model

    model = Model()
    windows = list(project.windows or [])
    ends = [0, *(b for _, b in windows)]
    breaks = [(a, b) for a, b in zip(ends, [a for a, _ in windows], strict=False) if b > a]
    maker = model.add_machine(breaks)
    wet = [k for k, a in project.activities.items() if a.wet]
    room = model.add_renewable(max(1, len(wet)))
    tasks = {}
    for key, one in project.activities.items():
        tasks[key] = model.add_task(latest_end=project.horizon, name=key)
        dusty = [room] if one.dusty else []
        model.add_mode(tasks[key], [maker, *dusty], one.length, [0, len(wet)] if dusty else [0])
        if one.wet:  # from when dust must have settled until it is dust-free
            stands = model.add_task(name=f"{key} wet")
            model.add_mode(stands, room, project.settle + one.length + one.wet, 1)
            model.add_start_before_start(stands, tasks[key], project.settle)
            model.add_start_before_start(tasks[key], stands, -project.settle)
    for lag in project.lags:
        if lag.least is not None:
            model.add_start_before_start(tasks[lag.before], tasks[lag.after], lag.least)
    model.set_objective(weight_makespan=1)
    found = model.solve(time_limit=seconds, display=False, num_workers=WORKERS)
    if not math.isfinite(found.objective):
        return 0, float(found.lower_bound or 0)
    ends_of = [found.best.tasks[n].end for n, task in enumerate(model.tasks) if not task.name.endswith(" wet")]
    return max(ends_of), float(found.lower_bound or 0)


def main() -> None:
    """Both in one run, ours first."""
    seconds = float(sys.argv[1]) if len(sys.argv) > 1 else 10.0
    count = int(sys.argv[2]) if len(sys.argv) > 2 else 1
    project, greedy = plain_shop(count)
    begun = perf_counter()
    ours = shortest(project, seconds, WORKERS)
    took = perf_counter() - begun
    begun = perf_counter()
    theirs, bound = by_pyjobshop(project, seconds)
    took_theirs = perf_counter() - begun
    name = f"{len(project.activities)} steps as plain activities, {seconds:.0f} s, {WORKERS} workers"
    day = 1440 / TICK
    say(f"{name}: end by this core", ours.length / day, "days", "PyJobShop", ours.length / theirs if theirs else None)
    say(f"{name}: end by PyJobShop", theirs / day, "days")
    ratio = ours.least / bound if bound else None
    say(f"{name}: no earlier, by this core", ours.least / day, "days", "PyJobShop", ratio)
    say(f"{name}: seconds of this core", took, "s", "PyJobShop", took / took_theirs)
    say(f"{name}: greedy plan with its cleaning", greedy / day, "days")


if __name__ == "__main__":
    main()
