"""Odds as a maker says them: in tenths, never certain, and by which figures."""

from __future__ import annotations

from collections.abc import Mapping

from rakelight.papers.wrapping import WIDTH, wrapped
from rakelight.plan.model import YOURS, Driver, Due, Odds, Plan
from rakelight.plan.tenths import hundredths_words, in_tenths, tenths_words


def tenths(chance: float) -> str:
    """A chance in tenths.

    >>> tenths(0.78), tenths(0.999), tenths(0.01)
    ('about 8 in 10', 'better than 9 in 10', 'less than 1 in 10')
    """
    count = in_tenths(chance)
    return f"about {tenths_words(count)}" if 1 <= count <= 9 else tenths_words(count)


def odds_words(odds: Odds) -> str:
    """The odds of a date: "about 8 in 10, by book figures"."""
    if odds.basis != YOURS:
        return f"{tenths(odds.chance)}, by book figures"
    return f"{hundredths_words(odds.chance)}, by this shop's own record"


def driver_lines(plan: Plan, width: int = WIDTH) -> list[str]:
    """What drives the dates, and the latest start; nothing where it was not asked for."""
    lines: list[str] = []
    if plan.keeps_90:
        day = f"{plan.keeps_90:%a} {plan.keeps_90.day} {plan.keeps_90:%b}"
        lines += wrapped(f"Begun by {day} at the latest, all dates keep nine in ten.", width, "  ", "    ")
    for n, driver in enumerate(plan.drivers):
        kind = driver.kind.value if driver.kind else ""
        says = f"{driver.wait[:1].upper()}{driver.wait[1:]}: its doubt moves the late end {_cost(driver)} ({kind})."
        lines += wrapped(says, width, "  ", "    ")
        if n < 2 and driver.mend:
            lines += wrapped(f"> {driver.mend}", width, "    ", "      ")
    return ["What drives the dates", *lines, ""] if lines else []


def _cost(driver: Driver) -> str:
    """By how many days, or from never to which day."""
    gain, then = driver.p90_gain_days, driver.p90_then
    if gain is None:
        return f"from never in this air to {then:%a} {then.day} {then:%b %Y}" if then else "from never in this air"
    return f"by {gain:.0f} days" if gain >= 1.5 else f"by {gain:.1f} days"


def changed(due: Due, was: float | None) -> str:
    """What became of the odds of a date: "the odds fall from about 9 in 10 to about 8 in 10"."""
    if due.odds is None:
        return ""
    words = hundredths_words if due.odds.basis == YOURS else tenths
    now = words(due.odds.chance)
    if was is None:
        return f"the odds of the date are {now}"
    before = words(was)
    if before == now:
        return f"its odds stay {now}"
    verb = "fall" if due.odds.chance < was else "rise"
    return f"its odds {verb} from {before} to {now}"


def changes(plan: Plan, before: Mapping[str, float]) -> dict[str, str]:
    """For each wanted thing, what became of its odds."""
    return {due.for_: changed(due, before.get(due.for_)) for due in plan.due if due.odds}
