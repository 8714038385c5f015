"""A whole finish planned in full: dates, odds, rules, cost, and on which counts it fails."""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping
from dataclasses import replace

import numpy as np

from rakelight import rules
from rakelight.choice.changes import changes
from rakelight.choice.costs import Rates, cost_of
from rakelight.choice.looks import look_of
from rakelight.choice.model import Fail, Look, Make, Option
from rakelight.choice.near import apart, unmet
from rakelight.choice.planned import planned
from rakelight.choice.trying import Trying
from rakelight.choice.wholes import unmatched
from rakelight.errors import Finding, Severity
from rakelight.facts.load import Facts
from rakelight.plan.model import Plan
from rakelight.plan.odds import Outlook
from rakelight.schedule.amounts import Amounts
from rakelight.schedule.layers import stacks_of_work
from rakelight.schedule.tasks import Work

#: rules that speak of fire, breath, rags and haze
HAZARDS = frozenset(
    {"flame", "rags", "vapour-over-limit", "may-haze", "can-past-its-life", "air-outside-range"}
)
_MIN_PER_DAY = 1440.0
_ML_PER_L = 1000.0


def looks_of(trying: Trying, work: Work, makes: Mapping[str, Make]) -> dict[str, Look]:
    """What every slot looks like."""
    stacks = stacks_of_work(work, trying.facts)
    found = {}
    for slot in trying.slots:
        look = look_of(work, stacks, slot, trying.facts, makes[slot.name].schedule.sheen)
        if look:
            found[slot.name] = look
    return found


def judged(trying: Trying, makes: Mapping[str, Make], rates: Rates, wished: Option | None = None) -> Option:
    """A finish for every slot, planned with its odds; `wished`, what it is compared with (None: it is the wished)."""
    piece, work = trying.dressed(makes)
    problem = trying.asked(work)
    plan, outlook = planned(problem, trying.now)
    findings = rules.check(piece, work, trying.shop, trying.facts, plan, problem.waits, problem.hours.origin)
    findings = [*(f for f in work.findings if f.severity is Severity.ERROR), *plan.findings, *findings]
    looks = looks_of(trying, work, makes)
    cost, needs = cost_of(work, plan, trying.shop, trying.facts, rates)
    chance, over = _at_odds(outlook, trying.limits.odds)
    short = max(0.0, over / _MIN_PER_DAY) if math.isfinite(over) else None
    likely = _short_likely(plan)
    far = sum(
        apart(look, trying.want(slot), wished.looks.get(slot.name) if wished else look)
        for slot in trying.slots
        if (look := looks.get(slot.name))
    )
    fails = (
        *_late(plan, chance, short, likely, trying.limits.odds),
        *(fail for slot in trying.slots if (look := looks.get(slot.name))
          for fail in unmet(look, trying.want(slot), slot, trying.facts)),
        *_unmatched(trying, looks),
        *(Fail("warning", f.says, 1.0, f.where.part) for f in once(_stopping(findings))),
    )  # fmt: skip
    option = Option(
        dict(makes), looks, plan, work, chance, short, likely, over, far, cost, tuple(findings),
        tuple(once(f for f in findings if f.id in HAZARDS)), (), fails, solvent_g(needs, trying.facts),
    )  # fmt: skip
    if wished is None:
        return option
    return _with_changes(option, wished, trying)


def _with_changes(option: Option, wished: Option, trying: Trying) -> Option:
    return replace(option, changes=changes(option, wished, trying.slots, trying.wants))


def _at_odds(outlook: Outlook | None, odds: float) -> tuple[float, float]:
    """The chance that all dates are met, and minutes by which the worst is missed at the wanted odds."""
    if outlook is None:
        return 0.0, math.inf
    reached = outlook.plain
    worst = (reached - outlook.by).max(axis=1)
    return outlook.chance(reached), float(np.quantile(worst, odds, method="inverted_cdf"))


def _short_likely(plan: Plan) -> float | None:
    if not plan.due or any(due.likely is None for due in plan.due):
        return None
    return max(due.late_h for due in plan.due) / 24


def _late(plan: Plan, chance: float, short: float | None, likely: float | None, wanted: float) -> list[Fail]:
    if likely is None:
        return [Fail("date", "it never dries in this air in the days looked at", math.inf)]
    if likely > 0:
        return [Fail("date", f"likely {_days(likely)} too late", likely)]
    if chance < wanted:
        more = f", {_days(short)} short of it" if short else ""
        says = f"the odds of the date are {chance:.0%}, {wanted:.0%} is wanted{more}"
        return [Fail("odds", says, wanted - chance)]
    return []


def _days(days: float) -> str:
    count = max(1, math.ceil(days - 0.25))
    return f"{count} day{'s' * (count != 1)}"


def _unmatched(trying: Trying, looks: Mapping[str, Look]) -> list[Fail]:
    sheens = {slot.name: look.sheen if (look := looks.get(slot.name)) else "" for slot in trying.slots}
    return [
        Fail(
            "look",
            f"its sheen is {sheens[a.name]}, that of {b.name} is {sheens[b.name]}",
            float(steps),
            a.name,
        )
        for a, b, steps in unmatched(trying, sheens)
    ]


def once(findings: Iterable[Finding]) -> list[Finding]:
    """What is said of one coat after another of a step, said of the worst of them, with the coats counted."""
    groups: dict[tuple[str, Severity, str, str, str], list[Finding]] = {}
    for f in findings:
        kind = "" if f.where.step else f.says
        groups.setdefault((f.id, f.severity, f.where.part, f.where.step.rstrip("0123456789 "), kind), []).append(f)
    return [_worst_of(alike) for alike in groups.values()]


def _worst_of(alike: list[Finding]) -> Finding:
    worst = min(alike, key=lambda f: f.figures.get("margin_k", 0.0))
    steps = len({f.where.step for f in alike})
    if steps < 2:
        return worst
    return replace(worst, says=f"{worst.says.rstrip('.')} (so with {steps} coats; this one is the worst).")


def _stopping(findings: list[Finding]) -> list[Finding]:
    return [f for f in findings if f.severity is not Severity.NOTE]


def solvent_g(needs: Amounts, facts: Facts) -> float:
    """Grams of solvent that go into the air in all, thinner included, by the likely amounts."""
    total = 0.0
    for coat in needs.tasks.values():
        row = facts.materials[coat.material]
        if row.voc_g_per_l:
            total += coat.taken.likely / _ML_PER_L * row.voc_g_per_l.likely
    return total
