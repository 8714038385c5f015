"""The part of the check of a plan that speaks of hands: the maker's hours, and what a helper does and when.

It reads the helper as the shop's file has him, and shares no code with what gives him steps.
"""

from __future__ import annotations

import math
from bisect import bisect_right
from collections.abc import Iterable, Iterator

from rakelight.plan.problem import Problem
from rakelight.plan.replay import Deed


def in_his_hours(problem: Problem, deed: Deed) -> Iterator[str]:
    """Each stretch of a step lies in the hours of who does it; a helper's step is his to do, and done in a day."""
    who = deed.laid.who
    hours = problem.hours
    if who:
        if problem.helper is None or problem.shop.helper is None:
            yield f"is done by {who}, and the shop has none"
            return
        hours = problem.helper.hours
        yield from _his(problem, deed)
    for a, b in deed.laid.spans:
        at = bisect_right(hours.starts, a) - 1
        if b > a and (at < 0 or b > hours.ends[at]):
            yield "works outside the helper's hours" if who else "works outside the shop's hours or across a break"


def _his(problem: Problem, deed: Deed) -> Iterator[str]:
    task, does = deed.task, problem.shop.helper.does if problem.shop.helper else ()
    named = task.step.lower() if task.do == "own" else task.do
    if task.lay is not None or task.work == "wet" or named not in does:
        yield "is not the helper's work"
    midnight = problem.hours.next_day(deed.laid.start)
    if deed.laid.end > midnight:
        yield "is left half done by the helper for another day"
    if deed.laid.before_min or deed.laid.after_min:
        yield "has the helper set up or clean for a coat"


def one_thing_at_a_time(deeds: Iterable[Deed]) -> list[str]:
    """Nobody does two things at once."""
    found = []
    by_hand: dict[str, list[tuple[int, int, str]]] = {}
    for deed in deeds:
        if not deed.laid.done:
            by_hand.setdefault(deed.laid.who, []).extend((a, b, deed.key) for a, b in deed.laid.spans if b > a)
    for who, spans in by_hand.items():
        last, busy = "", -math.inf
        for a, b, key in sorted(spans):
            if a < busy:
                found.append(f"{key}: the {who or 'maker'} is still at {last}")
            if b > busy:
                last, busy = key, b
    return found
