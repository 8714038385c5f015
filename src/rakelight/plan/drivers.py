"""Which waits make a date late: each is taken as planned, all else as drawn, and the late end compared."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np

from rakelight.plan.doses import Need
from rakelight.plan.many_hours import Floats
from rakelight.plan.model import Driver
from rakelight.plan.odds import Outlook
from rakelight.plan.together import own_name, piece_of

_SCENARIOS = 160
#: waits tried, and told
_TRIED, _TOLD = 5, 4
#: days; a wait that costs less does not drive anything
_MATTERS = 0.3
#: more minutes than any date: a late end that is never without it stands first
_FIRST = 1e9


def drivers(outlook: Outlook) -> tuple[Driver, ...]:
    """The waits whose doubt costs most at the late end (P90) of the date that is least likely kept."""
    if not outlook.problem.targets:
        return ()
    base = outlook.reached(_SCENARIOS)
    target = int(np.argmin([np.mean(base[:, n] <= by) for n, by in enumerate(outlook.by)]))
    late = _late(base[:, target])
    found: list[tuple[float, Driver]] = []
    for (part, says), wants in _candidates(outlook, base[:, target])[:_TRIED]:
        then = _late(outlook.reached(_SCENARIOS, calm=frozenset(wants))[:, target])
        if not math.isfinite(then) or (late - then) / 1440 < _MATTERS:
            continue  # no date either way, or one that hardly moves
        need = max((outlook.ground.waiting(by_name=True).wants.needs[w] for w in wants), key=_doubt_h)
        if math.isfinite(late):
            gain = (late - then) / 1440
            found.append((-gain, _driver(part, says, need, gain)))
        else:
            driver = replace(_driver(part, says, need, None), p90_then=outlook.problem.hours.moment(then))
            found.append((then - _FIRST, driver))
    return tuple(d for _, d in sorted(found, key=lambda f: f[0])[:_TOLD])


def _late(minutes: Floats) -> float:
    """The late end (P90), inf where it is never: a drawn minute itself, none between a date and never."""
    return float(np.quantile(minutes, 0.9, method="inverted_cdf"))


def _doubt_h(need: Need) -> float:
    return need.dose.high - need.dose.likely


def _candidates(outlook: Outlook, minutes: Floats) -> list[tuple[tuple[str, str], list[int]]]:
    """Waits by part and what they are for: first those of much doubt whose material the date follows."""
    groups: dict[tuple[str, str], list[int]] = {}
    wants = outlook.ground.waiting(by_name=True).wants
    for w, need in enumerate(wants.needs):
        if not need.sure and not need.dose.certain:
            part = outlook.course.moves[wants.own[w]].task.part
            groups.setdefault((part, need.says), []).append(w)
    follows = _follows(outlook, minutes)

    def weight(item: tuple[tuple[str, str], list[int]]) -> float:
        return max(_doubt_h(wants.needs[w]) * follows.get(wants.needs[w].material, 0.0) for w in item[1])

    return sorted(groups.items(), key=weight, reverse=True)


def _follows(outlook: Outlook, minutes: Floats) -> dict[str, float]:
    """How closely the date follows each material's error: rank correlation, not below a tenth."""
    ranks = np.argsort(np.argsort(minutes)).astype(np.float64)
    drawn = outlook.drawn(_SCENARIOS).material
    return {m: max(0.1, float(np.corrcoef(ranks, np.argsort(np.argsort(z)))[0, 1])) for m, z in drawn.items()}


def _driver(part: str, says: str, need: Need, gain: float | None) -> Driver:
    name = f"{own_name(part).replace('-', ' ')}: {says}"
    days = None if gain is None else round(gain, 1)
    return Driver(name, days, need.figure, need.source.text, need.source.kind, _mend(need), piece_of(part))


def _mend(need: Need) -> str:
    """What to do about a wait, by what its drying follows."""
    if need.law.kind == "clock":
        return "Nothing shortens it but another finish; plan the time."
    if need.law.kind == "water":
        return "Keep the air dry and moving while it dries, and test early."
    if need.law.kind == "oxidative":
        return "Dry it in the warmest place there is, with moving air, and lay it thin; test early."
    return "Dry it in the warmest place there is, lay fewer or thinner coats, and test early."
