"""What a finish costs: hours by step, materials, overhead, its share of a quote, and what a redo would cost."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from rakelight.choice.model import Cost, MaterialCost
from rakelight.facts.load import Facts
from rakelight.plan.model import Plan
from rakelight.schedule.amounts import Amounts, amounts
from rakelight.schedule.buying import BuyLine
from rakelight.schedule.tasks import Work
from rakelight.shop.choosing import Price
from rakelight.shop.model import Shop
from rakelight.spread import Spread, sum_independent
from rakelight.units import show_work

_MIN_PER_H = 60.0
#: steps that are not finishing: they cost the same whatever is laid
_NOT_FINISHING = ("join", "own")


@dataclass(frozen=True)
class Rates:
    """What an hour and a can cost, as far as the maker has said; None not said."""

    hour: float | None = None
    overhead_hour: float | None = None
    quote: float | None = None  # the whole job
    prices: Mapping[str, Price] = field(default_factory=dict)  # by id of the material, or name of a thinner
    currency: str = ""


def cost_of(work: Work, plan: Plan | None, shop: Shop, facts: Facts, rates: Rates) -> tuple[Cost, Amounts]:
    """Plain sums over the finishing steps of a piece, and its amounts."""
    days = {key: placed.start.date() for key, placed in plan.placed.items()} if plan else None
    needs = amounts(work, shop, facts, days)
    hours = hours_by_step(work)
    materials = tuple(_priced(line, rates) for line in needs.buy)
    found = Cost(hours, materials, currency=rates.currency)
    whole = found.all_hours
    paid = [m.money for m in materials if m.money is not None]
    work_money = whole * rates.hour if rates.hour is not None else None
    over_money = whole * rates.overhead_hour if rates.overhead_hour is not None else None
    stuff_money = sum_independent(paid) if paid else None
    total = _total(work_money, over_money, stuff_money)
    redo = redo_hours(work, facts).with_shared(whole)
    rate = (rates.hour or 0.0) + (rates.overhead_hour or 0.0)
    redo_money = redo * rate if rate > 0 else None
    if redo_money and stuff_money:
        redo_money = sum_independent([redo_money, stuff_money])
    cost = Cost(
        hours,
        materials,
        work_money,
        stuff_money,
        over_money,
        total,
        tuple(m.name for m in materials if m.money is None),
        _share(total, rates.quote),
        _whole_jobs(total, facts),
        redo,
        redo_money,
        _sums(whole, redo, rates, facts),
        rates.currency,
    )
    return cost, needs


def hours_by_step(work: Work) -> dict[str, Spread]:
    """Hours of the maker's work by verb, most first; joining and steps of the maker's own are left out."""
    found: dict[str, Spread] = {}
    for job in work.jobs.values():
        for task in job.tasks:
            if task.do in _NOT_FINISHING or task.minutes.likely <= 0:
                continue
            hours = task.minutes / _MIN_PER_H
            found[task.do] = found[task.do].with_shared(hours) if task.do in found else hours
    return dict(sorted(found.items(), key=lambda row: -row[1].likely))


def redo_hours(work: Work, facts: Facts) -> Spread:
    """Hours to sand a finish off every show face: so many papers over the area. Laying it again comes on top."""
    inner = {member for job in work.jobs.values() for member in job.begins_after}
    area = 0.0
    for name, job in work.jobs.items():
        if name in inner:
            continue
        faces = (f for f in job.part.faces if f.role == "show")
        area += job.part.count * sum(f.area_m2 for f in faces)
    return facts.labour["sand one grit"].minutes_per_m2 * (area * facts.likely("redo_papers") / _MIN_PER_H)


def _priced(line: BuyLine, rates: Rates) -> MaterialCost:
    price = rates.prices.get(line.material or line.name) or rates.prices.get(line.name)
    money = line.need * (price.money / price.per) if price and price.unit == line.unit else None
    return MaterialCost(
        line.name,
        line.material,
        line.need,
        line.buy,
        line.unit,
        line.cans,
        money,
        price.says if price else "",
    )


def _total(work: Spread | None, overhead: Spread | None, stuff: Spread | None) -> Spread | None:
    """Work and overhead share the maker's pace; materials err by themselves. None where no hour has a price."""
    if work is None:
        return None
    labour = work.with_shared(overhead) if overhead else work
    return sum_independent([labour, stuff]) if stuff else labour


def _share(total: Spread | None, quote: float | None) -> tuple[float, float] | None:
    return (total.low / quote, total.high / quote) if total and quote else None


def _whole_jobs(total: Spread | None, facts: Facts) -> tuple[float, float] | None:
    """Whole jobs of which this finishing would be the usual share."""
    if total is None:
        return None
    usual = facts.figures["finish_share_of_job"].value
    return total.likely / usual.high, total.likely / usual.low


def _sums(whole: Spread, redo: Spread, rates: Rates, facts: Facts) -> tuple[str, ...]:
    """How each figure was come by, in plain sums."""
    cur = f" {rates.currency}" if rates.currency else ""
    hours = round(whole.likely, 2)  # as it is shown, so that the sum comes out for who works it again
    said = [f"hours: the likely minutes of every finishing step added up, {hours:g} h"]
    if rates.hour is not None:
        said.append(f"work: {hours:g} h x {rates.hour:g}{cur} = {hours * rates.hour:.0f}{cur}")
    if rates.overhead_hour is not None:
        over = hours * rates.overhead_hour
        said.append(f"overhead: {hours:g} h x {rates.overhead_hour:g}{cur} = {over:.0f}{cur}")
    papers = facts.likely("redo_papers")
    said.append(
        f"redo: {show_work(redo.likely - whole.likely)} to sand it off with {papers:.0f} papers, "
        f"and {show_work(whole.likely)} to lay it again"
    )
    return tuple(said)
