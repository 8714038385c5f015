"""An independent check of a plan: it shares no placing code with the planner, only the waits table.

Every rule is looked at over the whole plan, whoever made it.
"""

from __future__ import annotations

import math
from bisect import bisect_right
from itertools import pairwise

from rakelight.plan.draft import Draft, Laid
from rakelight.plan.history import Hist
from rakelight.plan.problem import Node, Problem, nodes_of
from rakelight.schedule.tasks import Asks

_SLACK = 1.0  # minute: rounding of hours to whole minutes


def verify(problem: Problem, draft: Draft) -> list[str]:
    """Rules the plan breaks, as sentences; empty for a sound plan.

    Times of what has been done are facts and are not judged.
    """
    nodes = nodes_of(problem.work)
    broken: list[str] = []
    for key, laid in draft.laid.items():
        if laid.done:
            continue
        broken += _in_hours(problem, key, laid)
        if key in nodes:
            broken += _in_order(draft, key, laid, nodes[key])
            broken += _waited(problem, draft, key, laid, nodes[key])
    broken += _one_maker(draft)
    broken += _dust(problem, draft, nodes)
    broken += _a_day(problem, draft, nodes)
    missing = set(nodes) - set(draft.laid)
    if missing and not draft.stuck:
        broken.append(f"not placed: {', '.join(sorted(missing)[:5])}")
    return broken


def _in_hours(problem: Problem, key: str, laid: Laid) -> list[str]:
    found = []
    task = laid.task
    for a, b in laid.spans:
        if b == a:
            continue
        at = bisect_right(problem.hours.starts, a) - 1
        if at < 0 or b > problem.hours.ends[at]:
            found.append(f"{key}: works outside the shop's hours or across a break")
        if task and task.splittable and len(laid.spans) > 1 and b - a < problem.least_dry:
            found.append(f"{key}: taken up for less than {problem.least_dry} minutes")
    if task and not task.splittable and len(laid.spans) > 1:
        found.append(f"{key}: a block is broken up")
    if task:
        worked = sum(b - a for a, b in laid.spans) - laid.before_min - laid.after_min
        if worked + _SLACK < task.minutes.likely + (0 if task.splittable else task.block_min):
            found.append(f"{key}: has less time than its work takes")
    return found


def _in_order(draft: Draft, key: str, laid: Laid, node: Node) -> list[str]:
    late = [b for b in node.before if b in draft.laid and draft.laid[b].end > laid.start]
    return [f"{key}: begins before {b} ends" for b in late]


def _waited(problem: Problem, draft: Draft, key: str, laid: Laid, node: Node) -> list[str]:
    task = node.task
    trial = problem.trials.get(key)
    if trial and trial.passed:
        return []
    found = []
    for asks in (task.asks, *task.also):
        for hist in draft.waited.get(key, ()):
            ready = _ready(problem, asks, node, hist) if asks.readiness else -math.inf
            if laid.start + _SLACK < ready:
                found.append(
                    f"{key}: begins {ready - laid.start:.0f} minutes before it is ready to {asks.readiness}"
                )
        ends = [draft.laid[b].end for b in node.before if b in draft.laid]
        if asks.at_least and ends and not asks.at_least.overnight:
            early = laid.start + _SLACK < max(ends) + asks.at_least.hours * 60
            found += [f"{key}: begins before the time written has passed"] if early else []
    for earlier in node.before:
        task_before = draft.laid[earlier].task if earlier in draft.laid else None
        wait = task_before.wait_after if task_before else None
        if wait and not wait.overnight and laid.start + _SLACK < draft.laid[earlier].end + wait.hours * 60:
            found.append(f"{key}: begins before the wait after {earlier} is over")
    return found


def _ready(problem: Problem, asks: Asks, node: Node, hist: Hist) -> float:
    over = asks.over or node.task.lay
    faces = asks.faces or node.task.faces
    closed = any(f.closed for f in node.job.part.faces if f.name in faces)
    return 60 * problem.waits.ready(hist.events, hist.stays, asks.readiness, over=over, closed=closed)


def _one_maker(draft: Draft) -> list[str]:
    spans = sorted((a, b, key) for key, x in draft.laid.items() if not x.done for a, b in x.spans if b > a)
    return [
        f"{later}: the maker is still at {earlier}"
        for (_, end, earlier), (start, _, later) in pairwise(spans)
        if start < end
    ]


def _dust(problem: Problem, draft: Draft, nodes: dict[str, Node]) -> list[str]:
    wet = []
    for key, laid in draft.laid.items():
        if laid.done or key not in nodes or not nodes[key].task.lay:
            continue
        dry = laid.laid_end / 60
        for hist in _after(draft, nodes[key], laid):
            dry = max(dry, problem.waits.ready(hist.events, hist.stays, "dust-free"))
        wet.append((laid.start, dry * 60, laid.place, key))
    found = []
    for key, laid in draft.laid.items():
        if laid.task is None or laid.task.work != "dusty":
            continue
        for a, b in laid.spans:
            for start, dry, place, coat in wet:
                if place == laid.place and a + _SLACK < dry and b + problem.settle > start + _SLACK:
                    found.append(f"{key}: makes dust while {coat} is wet or just before it")
    return found


def _after(draft: Draft, node: Node, laid: Laid) -> list[Hist]:
    found = {}
    for name in node.chains:
        chain = draft.pasts.get(name)
        for hist in chain.pasts(node.task.faces) if chain else []:
            events = tuple(e for e in hist.events if e.hour <= laid.laid_end / 60 + 1e-6)
            if events:
                found[events, hist.stays] = Hist(events, hist.stays)
    return list(found.values())


def _a_day(problem: Problem, draft: Draft, nodes: dict[str, Node]) -> list[str]:
    counts: dict[tuple[str, str, int], int] = {}
    found = []
    for key, laid in draft.laid.items():
        node = nodes.get(key)
        if node is None or not node.task.asks.a_day:
            continue
        day = problem.hours.day(laid.start)
        for chain in node.chains:
            series = (chain, node.task.do, day)
            counts[series] = counts.get(series, 0) + 1
            if counts[series] > node.task.asks.a_day and not laid.done:
                found.append(f"{key}: more than {node.task.asks.a_day} coats in a day")
    return found
