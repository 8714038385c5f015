"""The latest start that keeps nine in ten: shop days are scanned with the same draws for each."""

from __future__ import annotations

from datetime import datetime

from rakelight.plan.odds import Outlook

#: scenarios for each day looked at
_SCENARIOS = 240
KEEP = 0.9


def latest_keeping(outlook: Outlook, keep: float = KEEP) -> datetime | None:
    """The last shop day on which work may begin with that chance of all dates; None where none does.

    Only for a plan of which nothing is done. The last good day is found by halving; weekends make the chance go in
    steps, so the second day after it is tried too.
    """
    problem = outlook.problem
    if problem.done or not problem.targets:
        return None
    first_by = min(t.by for t in problem.targets)
    openings = _days(outlook, first_by)
    known: dict[int, bool] = {}

    def keeps(at: int) -> bool:
        if at not in known:
            reached = outlook.reached(_SCENARIOS, start=float(openings[at]))
            known[at] = outlook.chance(reached) >= keep
        return known[at]

    if not openings or not keeps(0):
        return None
    low, high = 0, len(openings)
    while high - low > 1:
        middle = (low + high) // 2
        low, high = (middle, high) if keeps(middle) else (low, middle)
    if low + 2 < len(openings) and keeps(low + 2):
        low += 2
    return problem.hours.moment(openings[low])


def _days(outlook: Outlook, end: int) -> list[int]:
    """The first opening of each shop day from the start on."""
    hours, start = outlook.problem.hours, outlook.problem.start
    found: dict[int, int] = {}
    for a, b in hours.windows:
        if b > start and a < end:
            found.setdefault(hours.day(max(a, start)), max(a, start))
    return list(found.values())
