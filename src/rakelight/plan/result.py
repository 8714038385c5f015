"""A draft in minutes becomes a plan with moments, named readinesses and reasons."""

from __future__ import annotations

import math
from dataclasses import replace
from datetime import datetime

from rakelight.plan.asking import BEYOND_TESTS, deviates
from rakelight.plan.draft import Draft, Laid
from rakelight.plan.history import Hist
from rakelight.plan.model import Due, Placed, Plan, Ready
from rakelight.plan.problem import Problem, nodes_of
from rakelight.plan.together import finish_of
from rakelight.plan.waits import ReadyH
from rakelight.schedule.tasks import Lay
from rakelight.spread import Z90

#: readinesses told after a coat, where the material has them
TOLD = ("dust-free", "sand", "handle", "rub", "pack", "use")


def plan_of(problem: Problem, draft: Draft, dues: tuple[Due, ...], now: datetime) -> Plan:
    """The plan a person reads."""
    placed = {}
    last = _last_coats(problem, draft)
    for key, laid in sorted(draft.laid.items(), key=lambda item: (item[1].start, item[1].end)):
        placed[key] = _placed(problem, draft, key, laid, last)
    finish = finish_of(dues)
    start = problem.hours.moment(min((x.start for x in draft.laid.values()), default=problem.start))
    return Plan(placed, dues, finish, draft.stuck, start, now, pieces=tuple(problem.work.pieces))


def _placed(problem: Problem, draft: Draft, key: str, laid: Laid, last: dict[str, list[Hist]]) -> Placed:
    moment = problem.hours.moment
    spans = tuple((moment(a), moment(b)) for a, b in laid.spans)
    task = laid.task
    waited = _waited(problem, draft, key, laid) if task and not laid.done else None
    ready = _told(problem, draft, last[key]) if key in last else ()
    return Placed(
        key, spans, laid.place, ready, waited, laid.done, False, laid.scuff_added, after_min=laid.after_min,
        who=laid.who,
    )  # fmt: skip


def _waited(problem: Problem, draft: Draft, key: str, laid: Laid) -> Ready | None:
    task = laid.task
    if task is None or not laid.asked or key not in draft.waited:
        return None
    best: ReadyH | None = None
    for asks in (task.asks, *task.also):
        if asks.readiness != laid.asked:
            continue
        for hist in draft.waited[key]:
            found = _range(problem, draft, hist, asks.readiness, asks.over or task.lay, asks.clamps)
            if best is None or found.likely > best.likely:
                best = found
    return _ready(problem, laid.asked, best) if best else None


def _range(
    problem: Problem, draft: Draft, hist: Hist, readiness: str, over: Lay | None = None, clamps: bool = False
) -> ReadyH:
    """A readiness as a range; where a hand test has failed, what is left of its odds."""
    found = hist.explain(problem.waits, readiness, over, clamps)
    material = found.because.material
    if readiness in BEYOND_TESTS or material not in draft.floors:
        return found
    low, likely, high = (
        hist.ready(problem.waits, readiness, over, clamps, deviates({material: z}, draft.floors))
        for z in (-Z90, 0.0, Z90)
    )
    return replace(found, low=low, likely=likely, high=high)


def _ready(problem: Problem, readiness: str, found: ReadyH) -> Ready:
    def at(hour: float) -> datetime | None:
        return problem.hours.moment(hour * 60) if math.isfinite(hour) else None

    return Ready(readiness, at(found.low), at(found.likely), at(found.high), found.because)


def _last_coats(problem: Problem, draft: Draft) -> dict[str, list[Hist]]:
    """The pasts of the faces a laying task leaves behind, up to and with it."""
    found: dict[str, list[Hist]] = {}
    for key, node in nodes_of(problem.work).items():
        if not node.task.lay or key not in draft.laid:
            continue
        hour = draft.laid[key].laid_end / 60
        chains = [draft.pasts[name] for name in node.chains if name in draft.pasts]
        pasts = [h.until(hour) for c in chains for h in c.pasts(node.task.faces)]
        found[key] = list({(h.events, h.stays, h.closed): h for h in pasts if h.events}.values())
    return found


def _told(problem: Problem, draft: Draft, pasts: list[Hist]) -> tuple[Ready, ...]:
    found = []
    for readiness in TOLD:
        worst: ReadyH | None = None
        for hist in pasts:
            one = _range(problem, draft, hist, readiness)
            if worst is None or one.likely > worst.likely:
                worst = one
        if worst and math.isfinite(worst.likely) and worst.likely > 0:
            found.append(_ready(problem, readiness, worst))
    return tuple(found)
