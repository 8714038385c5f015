"""The planner's front: a piece's work, a shop and what has happened become a plan with dates and odds of them."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import datetime, timedelta

from rakelight.facts.load import Facts
from rakelight.plan.draft import Draft
from rakelight.plan.greedy import Manner, best_draft, lags_of, run_pass
from rakelight.plan.model import Due, Plan
from rakelight.plan.problem import Problem, Target, Trial, nodes_of
from rakelight.plan.result import plan_of
from rakelight.plan.timeline import Hours, Span
from rakelight.plan.waits import Waits
from rakelight.schedule.steps import READINESSES
from rakelight.schedule.tasks import Work
from rakelight.shop.climate import hourly
from rakelight.shop.hours import windows
from rakelight.shop.model import Shop
from rakelight.spread import Z90
from rakelight.state.model import State


@dataclass(frozen=True)
class Wish:
    """A wanted date on the clock."""

    for_: str
    by: datetime
    part: str = ""


def build_problem(
    work: Work,
    shop: Shop,
    facts: Facts,
    start: datetime,
    wishes: Sequence[Wish],
    state: State | None = None,
) -> Problem:
    """The problem as plain data.

    `start`: no work before it (facts of `state` may lie earlier). The horizon is 400 days from the earlier of both.
    """
    state = state or State()
    earliest = min([start, *(f.start for f in state.done.values())])
    origin = earliest.replace(minute=0, second=0, microsecond=0)
    days = round(facts.figure("horizon_days").value.likely)
    hours = Hours(origin, windows(shop, origin, origin + timedelta(days=days)), shop.zone)
    air = {name: hourly(shop, name, origin, days * 24) for name in shop.places}
    waits = Waits(facts, air, state.factors, day_of=hours.day_of_hour)
    settle = facts.figure("dust_settle_h").value.likely
    return Problem(
        work,
        shop,
        facts,
        hours,
        waits,
        hours.minute(start),
        tuple(_target(work, hours, w) for w in wishes),
        {key: (_spans(f.start, f.end, hours), "") for key, f in state.done.items() if f.end},
        _trials(state, hours),
        {key: hours.minute(moment) for key, moment in state.kept.items()},
        round(settle * 60),
        round(facts.figure("dry_least_min").value.likely),
    )


def _target(work: Work, hours: Hours, wish: Wish) -> Target:
    is_step = wish.for_ not in READINESSES
    if wish.part:
        parts: tuple[str, ...] = (wish.part,)
    elif is_step:
        parts = tuple(n for n, j in work.jobs.items() if any(t.step == wish.for_ for t in j.tasks))
    else:
        parts = tuple(p.name for p in work.piece.ends if p.name in work.jobs)
    return Target(wish.for_, hours.minute(wish.by), parts, is_step)


def _spans(start: datetime, end: datetime | None, hours: Hours) -> tuple[Span, ...]:
    first = hours.minute(start)
    return ((first, max(first, hours.minute(end)) if end else first),)


def _trials(state: State, hours: Hours) -> dict[str, Trial]:
    found: dict[str, Trial] = {}
    for trial in state.trials:
        minute = hours.minute(trial.at)
        again = minute + round(trial.retry_h * 60) if trial.retry_h else None
        found[trial.task] = Trial(minute, trial.passed, again)
    return found


def make_plan(problem: Problem, now: datetime) -> Plan:
    """The best plan found, with its dates as ranges and, where a date is missed, the latest start."""
    draft, manner = best_draft(problem)
    ranges = reach_ranges(problem, draft, manner)
    dues = tuple(_due(problem, n, draft, ranges) for n in range(len(problem.targets)))
    return plan_of(problem, draft, dues, now)


def _due(problem: Problem, n: int, draft: Draft, ranges: Mapping[int, tuple[float, float, float]]) -> Due:
    target = problem.targets[n]
    at = [problem.hours.moment(m) if math.isfinite(m) else None for m in ranges[n]]
    part = target.parts[0] if len(target.parts) == 1 and not target.is_step else ""
    late = max(0.0, draft.reached[n] - target.by) / 60
    return Due(target.for_, problem.hours.moment(target.by), part, at[0], at[1], at[2], late)


def reach_ranges(problem: Problem, draft: Draft, manner: Manner) -> dict[int, tuple[float, float, float]]:
    """Low, likely and high minute of each target.

    Each material in turn is taken early and late (its error is shared by all its coats), the rest following in
    the plan's order as the maker would; the distances add in square, since materials err apart. Where parts wait
    side by side one material alone moves nothing: so those that matter are also moved together, each by its share
    1/sqrt(n) of the way, and the wider of the two is told.
    """
    nodes = nodes_of(problem.work)
    materials = sorted({t.lay.material for j in problem.jobs.values() for t in j.tasks if t.lay})

    def moved(z: Mapping[str, float]) -> dict[int, float]:
        other = run_pass(problem, manner, None, z, nodes, draft.floors, draft)
        known = draft.reached
        return {n: other.reached[n] - known[n] if math.isfinite(known[n]) else 0.0 for n in known}

    late = {m: moved({m: Z90}) for m in materials}
    found = {}
    for n, likely in draft.reached.items():
        gaps = [max(0.0, gap[n]) for gap in late.values()]
        matter = [m for m in materials if late[m][n] > _MATTERS_MIN]
        share = Z90 / math.sqrt(max(1, len(matter)))
        together = max(0.0, moved(dict.fromkeys(matter, share))[n]) if matter else 0.0
        early = max(0.0, -moved(dict.fromkeys(materials, -share))[n])
        found[n] = (likely - early, likely, likely + max(math.hypot(*gaps), together))
    return found


#: minutes: a material that moves a date by less does not count as one that matters
_MATTERS_MIN = 240.0


def latest_start(problem: Problem, most_days: int = 120) -> datetime | None:
    """The latest start, going back day by day from the planned one, from which all dates would have been met.

    Only asked where a date is missed and nothing is done yet. None where no start within `most_days` would do.
    """
    hours, shop = problem.hours, problem.shop
    now = hours.moment(problem.start)
    wishes = [Wish(t.for_, hours.moment(t.by), "" if t.is_step or len(t.parts) > 1 else t.parts[0])
              for t in problem.targets]  # fmt: skip
    earliest = now - timedelta(days=most_days)
    early = build_problem(problem.work, shop, problem.facts, earliest, wishes)
    late_by = max(0.0, run_pass(problem, Manner()).late)
    if not math.isfinite(late_by) or late_by >= 1e7:
        return None
    low, high = 0, most_days  # days before `now`: low misses, high is hoped to meet
    starts = {}

    def meets(days: int) -> bool:
        start = early.hours.minute(now - timedelta(days=days))
        shifted = replace(early, start=start)
        first = run_pass(shifted, Manner())
        nodes = nodes_of(shifted.work)
        again = run_pass(shifted, Manner(), lags_of(first, nodes), None, nodes)
        starts[days] = min(
            [laid.start for laid in again.laid.values() if laid.spans[0][1] > laid.start], default=start
        )
        return min(first.late, again.late) <= 0

    guess = min(most_days, math.ceil(late_by / 1440) + 1)
    while guess < most_days and not meets(guess):
        low, guess = guess, min(most_days, guess * 2)
    high = guess
    if high not in starts and not meets(high):
        return None
    while high - low > 1:
        mid = (low + high) // 2
        low, high = (low, mid) if meets(mid) else (mid, high)
    return early.hours.moment(starts[high]) if high in starts else None
