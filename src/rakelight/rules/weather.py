"""Rules: the air of the shop against the range a material asks."""

from __future__ import annotations

import calendar
from collections.abc import Collection, Iterator
from datetime import date, timedelta

from rakelight.facts.records import Material
from rakelight.rules.case import Case
from rakelight.rules.registry import ERROR, WARNING, Hit, rule
from rakelight.rules.words import capital, number
from rakelight.schedule.tasks import Task
from rakelight.shop.climate import month_air
from rakelight.shop.model import MonthlyAir, Place


@rule("air-outside-range", "piece", "Air of the open shop colder or damper than a material asks.")
def air_outside_range(case: Case) -> Iterator[Hit]:
    met: dict[tuple[str, str, str], tuple[Task, Material, Place]] = {}
    months: dict[tuple[str, str, str], set[int]] = {}
    for task in case.tasks.values():
        if task.lay is None or task.lot[0] != 1:
            continue
        place, when = _place(case, task), _months(case, task)
        if not place.air:
            continue
        key = (task.part, task.lay.material, place.name)
        met.setdefault(key, (task, case.facts.materials[task.lay.material], place))
        months.setdefault(key, set()).update(when)
    for key, (task, row, place) in met.items():
        air = {month: month_air(place, month) for month in months[key]}
        yield from _cold(case, task, row, place, air)
        yield from _damp(task, row, place, air)


def _place(case: Case, task: Task) -> Place:
    placed = case.plan.placed.get(task.id) if case.plan else None
    first = case.shop.first_place.name
    name = placed.place if placed else task.place or case.shop.place_for(task.work, first)
    return case.shop.places[name]


def _months(case: Case, task: Task) -> set[int]:
    """The month it is planned in; without a plan, every month from the start to the last wanted date."""
    placed = case.plan.placed.get(task.id) if case.plan else None
    if placed:
        return {placed.start.month}
    if case.piece.start is None or not case.piece.wanted:
        return {m.month or 1 for p in case.shop.places.values() for m in p.air}
    day, last = case.piece.start.day, max(w.by.day for w in case.piece.wanted)
    return set(_between(day, min(last, day + timedelta(days=365))))


def _between(day: date, last: date) -> Iterator[int]:
    yield day.month
    while (day.year, day.month) < (last.year, last.month):
        day = (day.replace(day=1) + timedelta(days=32)).replace(day=1)
        yield day.month


def _cold(case: Case, task: Task, row: Material, place: Place, air: dict[int, MonthlyAir]) -> Iterator[Hit]:
    least = row.min_temp_c
    if least is None:
        return
    bad = {month: a.open_temp_c for month, a in air.items() if a.open_temp_c < least}
    if not bad:
        return
    severity = ERROR if len(bad) == len(air) and not row.only_wax else WARNING
    does = "is stiff, and buffs badly," if row.only_wax else "is not laid"
    says = (
        f"{capital(row.name)} {does} below {case.shown.temp(least)}; {place.name} is open at "
        f"{_just_below(case, bad.values(), least)} in {_named(bad)}."
    )
    figures = {"min_temp_c": least, "temp_c": min(bad.values())}
    mend = _ways_out(case, row, place, max(bad.values()))
    yield Hit(severity, says, mend, row.source("min_temp_c"), task.part, "", task.id, figures)


def _just_below(case: Case, temps_c: Collection[float], least_c: float) -> str:
    """The temperatures; "just under it" where in whole degrees they are what is asked."""
    shown = case.shown.temp(*temps_c)
    return "just under it" if shown == case.shown.temp(least_c) else shown


def _ways_out(case: Case, row: Material, place: Place, temp_c: float) -> str:
    ways = [
        f"heat {place.name} to {case.shown.temp(row.min_temp_c or 0.0)} before it is laid and until it is dust-free"
    ]
    warm = [
        p.name
        for p in case.shop.places.values()
        if p.takes_wet
        and p.name != place.name
        and p.air
        and min(a.open_temp_c for a in p.air) >= (row.min_temp_c or 0)
    ]
    ways += [f"lay it in {name}" for name in warm]
    ways.append("warm the piece and the can in a warm box and carry it back there after an hour")
    others = [
        m.name
        for m in case.facts.materials.values()
        if "film" in m.roles and m.mechanism == "solvent_evaporation" and (m.min_temp_c or 0) <= temp_c
    ]
    if others and row.name not in others:
        ways.append(f"lay a finish that dries by losing solvent ({', '.join(others[:2])})")
    return "Ways out: " + "; ".join(ways) + "."


def _damp(task: Task, row: Material, place: Place, air: dict[int, MonthlyAir]) -> Iterator[Hit]:
    most = row.max_rh
    if most is None:
        return
    bad = {month: a.open_rh for month, a in air.items() if a.open_rh > most}
    if not bad:
        return
    says = (
        f"{capital(row.name)}: labels ask {number(most * 100)} % humidity at most; {place.name} is open at "
        f"{_range([rh * 100 for rh in bad.values()])} % in {_named(bad)}."
    )
    mend = (
        "Dry the air, warm the piece above it, or wait for a drier day; what decides is how far the dew "
        "point lies below."
    )
    figures = {"max_rh": most, "rh": max(bad.values())}
    yield Hit(WARNING, says, mend, row.source("max_rh"), task.part, "", task.id, figures)


def _range(values: list[float]) -> str:
    low, high = number(min(values)), number(max(values))
    return low if low == high else f"{low} to {high}"


def _named(months: dict[int, float]) -> str:
    return ", ".join(calendar.month_name[m] for m in sorted(months))
