"""Several pieces of 72 steps on one calendar: one JSON line a figure.

    python -m bench.several [seconds] [most pieces]
"""

from __future__ import annotations

import math
import resource
import sys
from bisect import insort
from time import perf_counter, process_time

from bench.pieces import STEPS, pieces
from bench.said import say

from rakelight.plan.bounds import bound, when_worked, worked
from rakelight.plan.greedy import MANNERS, best_draft, run_pass
from rakelight.plan.polish import polish
from rakelight.plan.problem import Problem, nodes_of
from rakelight.plan.together import piece_of
from rakelight.plan.verify import verify

FEW, MANY = 5, 60


def few(seconds: float) -> None:
    """Five pieces: the gap to the bound on the sum of (finish - start), after so many seconds."""
    problem = pieces(FEW)
    begun = perf_counter()
    draft, _ = best_draft(problem)
    greedy_s = perf_counter() - begun
    draft_before, least = draft, bound(problem, draft)
    draft = polish(problem, draft, max(0.0, seconds - greedy_s))
    took = perf_counter() - begun
    released = problem.start * FEW
    name = f"{FEW} pieces, {FEW * STEPS} steps"
    for words, one in (("greedy", draft_before), ("polished", draft)):
        gap = (one.total - least.total) / (one.total - released)
        say(f"{name}, {words}: gap of the sum of finishes", gap, "share", f"bound: {least.total_which}", gap)
    say(f"{name}: dates missed by", draft.late / 60, "h")
    say(f"{name}: greedy plan", greedy_s, "s")
    say(f"{name}: plan polished", took, "s", "time given", took / seconds)
    say(f"{name}: rules broken", len(verify(problem, draft)), "rules")


def dates_allowed(problem: Problem) -> int:
    """The most dates that any order may meet, were there nothing but the maker's hours.

    Of the pieces by their dates, the longest so far is given up whenever one comes too late (Moore 1968): no order
    meets more. Wet rooms and drying places are left out, so that fewer may be possible.
    """
    work = dict.fromkeys(problem.pieces, 0.0)
    for key, node in nodes_of(problem.work).items():
        if node.task.work != "none" and key not in problem.done:
            work[piece_of(node.task.part)] += worked(node.task)
    kept: list[float] = []
    for target in sorted(problem.targets, key=lambda t: t.by):
        insort(kept, work[target.piece])
        if when_worked(problem.hours, problem.start, sum(kept)) > target.by:
            kept.pop()
    return len(kept)


def many(count: int) -> None:
    """Sixty pieces: time of the plan and of its check, dates missed, memory."""
    problem = pieces(count)
    name = f"{count} pieces, {count * STEPS} steps"
    begun, busy = perf_counter(), process_time()
    draft, _ = best_draft(problem)
    say(f"{name}: greedy plan, processor", process_time() - busy, "s")
    say(f"{name}: greedy plan", perf_counter() - begun, "s", "10 s wanted", (perf_counter() - begun) / 10)
    busy = process_time()
    broken = verify(problem, draft)
    say(f"{name}: check of it, processor", process_time() - busy, "s")
    allowed = dates_allowed(problem)
    say(f"{name}: dates that the maker's hours alone allow", allowed, "dates", "all", allowed / count)
    missed = [n for n, t in enumerate(problem.targets) if draft.reached[n] > t.by]
    say(f"{name}: dates met", count - len(missed), "dates", "allowed", (count - len(missed)) / allowed)
    say(f"{name}: dates missed by, together", draft.late / 1440, "days")
    say(f"{name}: rules broken", len(broken), "rules")
    memory = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024
    say(f"{name}: most memory", memory, "MB", "1 GB wanted", memory / 1024)


def growth(counts: tuple[int, ...] = (2, 4, 8, 16)) -> None:
    """One pass of the greedy planner: its time against n log n, each doubling against the one before."""
    before: tuple[int, float] | None = None
    for count in counts:
        problem = pieces(count)
        nodes = nodes_of(problem.work)
        run_pass(problem, MANNERS[0], None, None, nodes)  # what is asked once is asked
        busy = process_time()
        run_pass(problem, MANNERS[0], None, None, nodes)
        took = process_time() - busy
        ratio = None
        if before:
            grown = (len(nodes) * math.log(len(nodes))) / (before[0] * math.log(before[0]))
            ratio = took / before[1] / grown
        say(f"one greedy pass of {len(nodes)} steps, processor", took, "s", "n log n from half as many steps", ratio)
        before = (len(nodes), took)


def main() -> None:
    """All figures."""
    seconds = float(sys.argv[1]) if len(sys.argv) > 1 else 20.0
    few(seconds)
    growth()
    many(int(sys.argv[2]) if len(sys.argv) > 2 else MANY)


if __name__ == "__main__":
    main()
