"""The buying list by the day things are needed, in whole cans."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from rakelight.papers.plan_text import day_words
from rakelight.papers.wrapping import upper_first
from rakelight.plan.model import Plan
from rakelight.schedule.amounts import Amounts
from rakelight.schedule.buying import BuyLine
from rakelight.schedule.tasks import Work

_NOTE = "Look on the shelf first: what stands there is not counted here."
_STOCKED = "What is told to stand on the shelf is taken off."


@dataclass(frozen=True)
class ToBuy:
    """One line."""

    by: str  # the day it is first needed
    name: str
    takes: str
    notes: tuple[str, ...]
    cans: str


@dataclass(frozen=True)
class BuyingList:
    """All there is to buy, what is needed first at the top."""

    note: str
    lines: tuple[ToBuy, ...]


def buying_list(work: Work, plan: Plan, amounts: Amounts) -> BuyingList:
    """Each thing with the day it is first needed; what no step of the plan dates comes last."""
    rows: list[tuple[date, ToBuy]] = []
    for line in amounts.buy:
        day = first_day(line, work, plan, amounts)
        rows.append((day or date.max, _line(line, day)))
    rows.sort(key=lambda row: row[0])
    stocked = any(line.stocked for line in amounts.buy)
    return BuyingList(_STOCKED if stocked else _NOTE, tuple(line for _, line in rows))


def first_day(line: BuyLine, work: Work, plan: Plan, amounts: Amounts, done: bool = False) -> date | None:
    """The day of the first step that takes it: of those not yet done, or of those done; None where none does."""
    wet = {t.id: t.scheduled.wet_material for job in work.jobs.values() for t in job.tasks if t.scheduled}
    days = []
    for key, placed in plan.placed.items():
        coat = amounts.of_task(key)
        if placed.done is not done:
            continue
        takes = {coat.material} if coat else set()
        if coat and coat.recipe.thinner:
            takes.add(coat.recipe.thinner.name)
        if coat and coat.mix and coat.mix.powder_g:
            takes.add(f"{coat.material} powder")
        takes.add(wet.get(key, ""))
        if line.name in takes or (line.material and line.material in takes):
            days.append(placed.start.date())
    return min(days, default=None)


def _line(line: BuyLine, day: date | None) -> ToBuy:
    """The line of the list, from the pieces of what is known of it."""
    notes = [f"{amount} for the jars to be mixed." for amount in line.words("jars")]
    notes += [f"{upper_first(words)}." for words in line.words("why", "shelf", "old")]
    notes += [f"If it drinks, {cans}." for cans in line.words("drinks")]
    nothing = "nothing" if line.stocked and not line.missing else "sizes not known"
    (takes,) = line.words("takes")
    when = day_words(day) if day else "not dated"
    cans = " and ".join(line.words("buy")) or nothing
    return ToBuy(when, upper_first(line.name), upper_first(takes), tuple(notes), cans)
