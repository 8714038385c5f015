"""The planner's front: a piece's work, a shop and what has happened become a plan with dates and odds of them."""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping, Sequence
from contextlib import nullcontext
from dataclasses import replace
from datetime import datetime, timedelta
from typing import TYPE_CHECKING

from rakelight.facts.load import Facts
from rakelight.plan.beside import beside
from rakelight.plan.draft import Draft
from rakelight.plan.greedy import Manner, best_draft, lags_of, run_pass
from rakelight.plan.hands import Helping
from rakelight.plan.model import Due, Plan
from rakelight.plan.problem import Problem, Target, Trial, nodes_of
from rakelight.plan.solving import Ask, better
from rakelight.plan.timeline import Hours, Span
from rakelight.plan.together import finish_of, piece_of
from rakelight.plan.waits import Waits
from rakelight.plan.wishes import Wish as Wish
from rakelight.schedule.own_waits import own_name
from rakelight.schedule.steps import READINESSES
from rakelight.schedule.tasks import Work
from rakelight.shop.climate import hourly
from rakelight.shop.hours import windows
from rakelight.shop.model import Shop
from rakelight.spread import Z90
from rakelight.state.model import State

if TYPE_CHECKING:
    from rakelight.plan.odds import Outlook


def build_problem(
    work: Work,
    shop: Shop,
    facts: Facts,
    start: datetime,
    wishes: Sequence[Wish],
    state: State | None = None,
    begins: Mapping[str, datetime] | None = None,
) -> Problem:
    """The problem as plain data.

    `start`: no work before it (facts of `state` may lie earlier); `begins`, by piece where several are planned
    together: no work on that one before. The horizon is 400 days from the earlier of both.
    """
    state = state or State()
    earliest = min([start, *(f.start for f in state.done.values())])
    origin = earliest.replace(minute=0, second=0, microsecond=0)
    days = round(facts.figure("horizon_days").value.likely)
    hours = Hours(origin, windows(shop, origin, origin + timedelta(days=days)), shop.zone)
    if work.pieces:  # of several pieces, as much longer as their work takes, and half again
        share = sum(t.minutes.likely for j in work.jobs.values() for t in j.tasks) / max(1.0, hours.open)
        days = round(days * (1 + 1.5 * share))
        hours = Hours(origin, windows(shop, origin, origin + timedelta(days=days)), shop.zone)
    helping = None
    if shop.helper:
        his = windows(replace(shop, hours=shop.helper.hours), origin, origin + timedelta(days=days))
        helping = Helping(Hours(origin, his, shop.zone), frozenset(shop.helper.does)) if his else None
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
        {part: hours.minute(begins[key]) for part in work.jobs if (key := piece_of(part)) in begins} if begins else {},
        state.finished_jobs,
        helping,
    )


def _target(work: Work, hours: Hours, wish: Wish) -> Target:
    is_step = wish.for_ not in READINESSES
    tasks = [t for n, j in work.jobs.items() if is_step and piece_of(n) == wish.piece for t in j.tasks]
    for_ = own_name(tasks, wish.for_)
    if wish.part:
        parts: tuple[str, ...] = (wish.part,)
    elif is_step:
        parts = tuple(n for n, j in work.jobs.items() if any(t.step == for_ for t in j.tasks))
    else:
        parts = tuple(p.name for p in work.piece.ends if p.name in work.jobs)
    parts = tuple(p for p in parts if piece_of(p) == wish.piece)
    return Target(for_, hours.minute(wish.by), parts, is_step, wish.piece, wish.matters)


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


def make_plan(
    problem: Problem,
    now: datetime,
    ask: Ask | None = None,
    tell: Callable[[str], None] | None = None,
    odds: str = "",
    meanwhile: Callable[[Plan], object] | None = None,
) -> Plan:
    """The best plan found, with its dates as ranges, and how near to the best possible it is.

    `ask`: which solver, how long; `tell` is told where an exact one stands; `odds`: "dates" for the odds of each
    date, "all" for the latest start and what drives the dates as well; `meanwhile` is given the plan while its
    dates have their likely moments alone, to do what needs no more beside the reckoning of the rest.
    """
    draft, manner = best_draft(problem)
    found = better(problem, draft, ask or Ask(), tell)
    draft = found.draft
    likely = tuple(_due(problem, n, draft, (draft.reached[n],) * 3) for n in range(len(problem.targets)))
    outlook = _outlook(problem, draft, odds) if odds == "all" else None

    def ranges() -> tuple[Due, ...]:
        return _dues(problem, draft, manner, likely, outlook or _outlook(problem, draft, odds))

    with nullcontext(ranges) if outlook else beside(ranges) as reckoned:
        from rakelight.plan.judged import judged  # read in while the odds are reckoned beside it

        plan = judged(problem, found, likely, now, ask or Ask())
        if meanwhile:
            meanwhile(plan)
        dues = reckoned()
        plan = replace(plan, due=dues, finish=finish_of(dues))
    if outlook is None:
        return plan
    from rakelight.plan.drivers import drivers
    from rakelight.plan.latest import latest_keeping

    return replace(plan, drivers=drivers(outlook), keeps_90=latest_keeping(outlook))


def _outlook(problem: Problem, draft: Draft, odds: str) -> Outlook | None:
    """The plan ready to be followed in many scenarios, where odds are asked for and there is a date to have them."""
    if not odds or draft.stuck or not problem.targets:
        return None
    from rakelight.plan.odds import RECORDED, SCENARIOS, SCENARIOS_ASKED, Outlook

    finely = odds == "all" or problem.finished_jobs >= RECORDED
    return Outlook(problem, draft, SCENARIOS_ASKED if finely else SCENARIOS)


def _dues(
    problem: Problem, draft: Draft, manner: Manner, likely: tuple[Due, ...], outlook: Outlook | None
) -> tuple[Due, ...]:
    """Each date with its range: of the drawn outcomes where odds are asked for, else of the materials in turn."""
    if outlook:
        return tuple(_as_drawn(due) for due in outlook.of_dues(likely, problem.finished_jobs))
    found = reach_ranges(problem, draft, manner)
    return tuple(_due(problem, n, draft, found[n]) for n in range(len(likely)))


def _as_drawn(due: Due) -> Due:
    """A date with the tenth and ninetieth of a hundred outcomes as its ends."""
    if due.odds is None or due.likely is None:
        return due
    low, high = due.odds.p10 or due.likely, due.odds.p90
    return replace(due, low=min(low, due.likely), high=max(high, due.likely) if high else None)


def _due(problem: Problem, n: int, draft: Draft, ends: tuple[float, ...]) -> Due:
    target = problem.targets[n]
    at = [problem.hours.moment(m) if math.isfinite(m) else None for m in ends]
    part = target.parts[0] if len(target.parts) == 1 and not target.is_step else ""
    late = max(0.0, draft.reached[n] - target.by) / 60
    return Due(target.for_, problem.hours.moment(target.by), part, at[0], at[1], at[2], late, piece=target.piece)


def reach_ranges(problem: Problem, draft: Draft, manner: Manner) -> dict[int, tuple[float, float, float]]:
    """Low, likely and high minute of each target.

    Each material in turn is taken early and late (its error is shared by all its coats), the rest following in
    the plan's order as the maker would; the distances add in square, since materials err apart. Where parts wait
    side by side one material alone moves nothing: so those that matter are also moved together, each by its share
    1/sqrt(n) of the way, and the wider of the two is told.
    """
    nodes = nodes_of(problem.work)
    materials = sorted({t.lay.material for j in problem.jobs.values() for t in j.tasks if t.lay})

    known = run_pass(problem, manner, None, None, nodes, draft.floors, draft).reached  # as likely as followed

    def moved(z: Mapping[str, float]) -> dict[int, float]:
        other = run_pass(problem, manner, None, z, nodes, draft.floors, draft)
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
    wishes = [Wish(t.for_, hours.moment(t.by), "" if t.is_step or len(t.parts) > 1 else t.parts[0], t.piece)
              for t in problem.targets]  # fmt: skip
    earliest = now - timedelta(days=most_days)
    early = build_problem(problem.work, shop, problem.facts, earliest, wishes, State(factors=problem.waits.factors))
    late_by = max(0.0, run_pass(problem, Manner()).late)
    if not math.isfinite(late_by) or late_by >= 1e7:
        return None
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

    first = max(1, math.ceil(late_by / 1440 / 2))
    for days in [*range(first, min(most_days, first + _SCAN_DAYS)), *range(first + _SCAN_DAYS, most_days, 7)]:
        if meets(days):
            return early.hours.moment(starts[days])
    return None


#: days looked at one by one for the latest start, since a later start may finish sooner; beyond them by weeks
_SCAN_DAYS = 21
