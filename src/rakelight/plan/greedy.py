"""One greedy pass: tasks by urgency, each at the first place it fits; a wet coat where it blocks the least
dusty work, normally at the end of the day (`methods`: this one rule is worth more than any solver setting).
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, replace

from rakelight.plan.doing import Doing
from rakelight.plan.draft import Draft
from rakelight.plan.problem import Node, Problem, in_turn, nodes_of, tails
from rakelight.plan.reckon import reckon


@dataclass(frozen=True)
class Manner:
    """How a pass goes about it: cost of delay against hours blocked, how far ahead a coat may be put, urgency."""

    alpha: float = 0.05
    span_h: float = 14.4
    by_slack: bool = True
    press: float = 1.0  # times what is still to follow, in the urgency: over 1, long waits are begun sooner


def run_pass(
    problem: Problem,
    manner: Manner,
    lags: Mapping[tuple[str, str], float] | None = None,
    z: Mapping[str, float] | None = None,
    nodes: Mapping[str, Node] | None = None,
    floors: Mapping[str, float] | None = None,
    follow: Draft | Mapping[str, int] | None = None,
) -> Draft:
    """Lay all tasks on the calendar once.

    `lags` are minutes between the ends and starts of neighbouring tasks in an earlier pass; they make urgency true.
    `z` gives each material's deviate (0 likely). `follow`: keep the order of this plan, as the maker would.
    """
    nodes = nodes or nodes_of(problem.work)
    known = lags or {}
    tail = tails(nodes, lambda a, b: known.get((a, b), 0.0))
    urgency = _urgency(problem, nodes, tail, manner)
    doing = Doing(problem, nodes, manner.alpha, manner.span_h, z or {}, floors or {})
    if follow:
        starts = {k: x.start for k, x in follow.laid.items()} if isinstance(follow, Draft) else dict(follow)
        doing.fitting.planned = starts
        doing.kept = {} if isinstance(follow, Draft) else starts
        ahead = {key: (0.0, float(starts.get(key, 10**7))) for key in nodes if key not in problem.done}
        urgency = {**urgency, **ahead}
    for node in in_turn(nodes, urgency):
        doing.place(node)
    return reckon(doing)


def lay_in_order(
    problem: Problem,
    nodes: Mapping[str, Node],
    starts: Mapping[str, float],
    manner: Manner,
    floors: Mapping[str, float] | None = None,
) -> Draft:
    """All tasks on the calendar in the order of some starts, as far as what stands before each allows."""
    doing = Doing(problem, nodes, manner.alpha, manner.span_h, {}, floors or {})
    last = max(starts.values(), default=0.0)
    order = {key: (0.0, starts.get(key, last)) for key in nodes}
    for key, (spans, _) in problem.done.items():
        if key in order:
            order[key] = (-1.0, float(spans[0][0]))
    for node in in_turn(nodes, order):
        doing.place(node)
    return reckon(doing)


def _urgency(
    problem: Problem, nodes: Mapping[str, Node], tail: Mapping[str, float], manner: Manner
) -> dict[str, tuple[float, float]]:
    """What is done comes first, in the order it was done; then least slack, or longest tail."""
    found = {}
    wanted = wanted_by(problem)
    for key in nodes:
        if key in problem.done:
            found[key] = (-math.inf, float(problem.done[key][0][0][0]))
        elif manner.by_slack:
            found[key] = (0.0, wanted[nodes[key].task.part] - manner.press * tail[key])
        else:
            found[key] = (0.0, float(nodes[key].rank))
    return found


def wanted_by(problem: Problem) -> dict[str, float]:
    """The earliest date that hangs on each part: its own, or that of what it is joined into."""
    found = dict.fromkeys(problem.jobs, math.inf)
    for target in problem.targets:
        parts = list(target.parts)
        while parts:
            part = parts.pop()
            found[part] = min(found[part], float(target.by))
            parts += problem.jobs[part].begins_after
    last = max((t.by for t in problem.targets), default=0)
    return {part: by if math.isfinite(by) else float(last) for part, by in found.items()}


def lags_of(draft: Draft, nodes: Mapping[str, Node]) -> dict[tuple[str, str], float]:
    """Minutes between the end of a task and the moment the next was ready, as a pass found them."""
    found = {}
    for key, node in nodes.items():
        if key not in draft.laid:
            continue
        for earlier in node.before:
            if earlier in draft.laid:
                gap = draft.laid[key].ready - draft.laid[earlier].end
                found[earlier, key] = max(0.0, gap) if math.isfinite(gap) else 0.0
    return found


#: ways to go about it, tried in this order: what is most often best comes first
MANNERS = (
    Manner(0.2),
    Manner(0.05),
    Manner(0.2, by_slack=False),
    Manner(0.8),
    Manner(0.05, by_slack=False),
    Manner(0.8, by_slack=False),
    Manner(1.0, span_h=0.0),
)


#: the same for several pieces, where coats of many parts are drawn together over two or three days: measured
MANNERS_TOGETHER = (Manner(0.02, 60.0), Manner(0.04, 100.0), Manner(0.2), Manner(0.005, 160.0))

#: of many steps: the waits are known from a pass in which nothing is in the way, then coats that dry for days are drawn
#: to the closed days. Of twenty pieces in one room that all may be met, twelve dates were missed with urgency by the
#: waits of a crowded pass, none with this; of thirty, 433 days late were 161. Measured
MANNERS_OF_MANY = (Manner(0.005, 120.0, press=1.15), Manner(0.01, 120.0, press=1.1))
#: tasks of several pieces above which they are many
_FEW_TASKS = 800

#: manners tried, by tasks up to which: a plan of one piece stays a matter of a second, of sixty of ten
_MANNERS_BY_TASKS = ((70, 7), (800, 4), (2000, 2), (10**9, 1))
#: tasks above which coats are not drawn together in a pass of its own
_MANY_TASKS = 2000


def _manners(problem: Problem, tasks: int) -> tuple[Manner, ...]:
    """What is tried."""
    count = next(count for most, count in _MANNERS_BY_TASKS if tasks <= most)
    if problem.work.pieces and tasks > _FEW_TASKS:
        return MANNERS_OF_MANY[:count]
    return (MANNERS_TOGETHER if problem.work.pieces else MANNERS)[:count]


def best_draft(problem: Problem) -> tuple[Draft, Manner]:
    """The best of several passes, the same on every machine; with a helper, no worse than without him."""
    found = _best_draft(problem)
    if problem.helper is None:
        return found
    alone = _best_draft(replace(problem, helper=None))
    return alone if alone[0].score < found[0].score else found


def _best_draft(problem: Problem) -> tuple[Draft, Manner]:
    """The best of several passes.

    The first pass makes the waits known, so that urgency is true in the next; then manners are tried in order.
    Where a plan was kept, its order is held to unless another is clearly better: little changes.
    """
    nodes = nodes_of(problem.work)
    manners = _manners(problem, len(nodes))
    chosen = manners[0] if problem.work.pieces else Manner()
    if manners[0] in MANNERS_OF_MANY:
        free = _unhindered(problem, nodes)
        lags, floors = lags_of(free, nodes), free.floors
        best, manners = run_pass(problem, chosen, lags, None, nodes, floors), manners[1:]
    else:
        best = run_pass(problem, chosen, None, None, nodes)
        if best.floors:  # a failed test is known to what was laid out before it, too
            best = run_pass(problem, chosen, None, None, nodes, best.floors)
        lags = lags_of(best, nodes)
    for manner in manners:
        draft = run_pass(problem, manner, lags, None, nodes, best.floors)
        if draft.score < best.score:
            best, chosen = draft, manner
            lags = lags if manner in MANNERS_OF_MANY else lags_of(draft, nodes)
    if len(nodes) <= _MANY_TASKS:  # coats drawn together: earlier in the day where no dust is kept waiting
        near = run_pass(problem, Manner(chosen.alpha, 0.0), None, None, nodes, best.floors, best)
        best = near if near.score <= best.score else best
    if problem.kept:
        draft = run_pass(problem, Manner(), None, None, nodes, best.floors, problem.kept)
        if draft.score[:2] <= best.score[:2] and draft.finish <= best.finish + _WORTH_A_CHANGE:
            return draft, Manner()
    return best, chosen


def _unhindered(problem: Problem, nodes: Mapping[str, Node]) -> Draft:
    """A pass in which nobody and nothing is in the way: its waits are those of the work itself."""
    from rakelight.plan.bounds import Unhindered  # of one piece it is not needed for the plan

    doing = Unhindered(problem, nodes)
    for node in in_turn(nodes, {key: (0.0, float(node.rank)) for key, node in nodes.items()}):
        doing.place(node)
    return reckon(doing)


#: minutes of an earlier finish for which the order of a kept plan is given up
_WORTH_A_CHANGE = 720
