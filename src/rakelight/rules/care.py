"""Rules: fire, rags, and coats left too heavy to dry."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise

from rakelight.facts.cans import thinner_of
from rakelight.facts.records import Material
from rakelight.rules.case import Case
from rakelight.rules.registry import ERROR, NOTE, WARNING, Hit, rule
from rakelight.rules.words import capital, number
from rakelight.schedule.mixes import lights_from_c
from rakelight.schedule.tasks import Task
from rakelight.shop.model import Place

_FLAMES = ("unvented", "wood stove")


def _laying(case: Case) -> Iterator[tuple[Task, Material, Place]]:
    for task in case.tasks.values():
        if task.lay and task.lot[0] == 1:
            placed = case.plan.placed.get(task.id) if case.plan else None
            first = case.shop.first_place.name
            name = placed.place if placed else task.place or case.shop.place_for(task.work, first)
            yield task, case.facts.materials[task.lay.material], case.shop.places[name]


@rule("flame", "piece", "A flame in the place where something is laid whose vapour it lights.")
def flame(case: Case) -> Iterator[Hit]:
    limit = case.facts.figure("flash_refuse_c")
    for task, row, place in _laying(case):
        flash = _lights_c(case, task, row)
        if flash is None or flash >= limit.value.likely or place.heater in ("", "none", "electric"):
            continue
        spray = task.lay is not None and task.lay.by == "spray"
        heater = "wood stove" if place.heater == "wood stove" else f"{place.heater} heater"
        below = f"its vapour lights from {case.shown.temp(flash)} up"
        figures = {"flash_c": flash, "limit_c": limit.value.likely}
        if place.heater in _FLAMES:
            says = (
                f"{capital(row.name)} {'sprayed' if spray else 'laid'} in {place.name} with a {heater}: "
                f"{below}."
            )
            mend = (
                "Stop: put every flame, pilot light and glowing element out before the can is opened and "
                "keep them out "
                "until the smell is gone; better lay it in another place. The product's sheet and local "
                "code rule."
            )
            yield Hit(ERROR, says, mend, row.source("flash_point_c"), task.part, "", task.id, figures)
        elif spray or flash < place_warm_c(place):
            says = f"{capital(row.name)} in {place.name}: {below}, and a heater's burner may start by itself."
            mend = "Switch the burner and its pilot off before the can is opened, until the smell is gone."
            yield Hit(NOTE, says, mend, row.source("flash_point_c"), task.part, "", task.id, figures)


@rule("spark", "piece", "An electric heater in the place where something is laid whose vapour it lights.")
def spark(case: Case) -> Iterator[Hit]:
    limit = case.facts.figure("flash_refuse_c")
    met: dict[str, dict[str, tuple[float, Task, Material]]] = {}
    for task, row, place in _laying(case):
        flash = _lights_c(case, task, row)
        sprayed = task.lay is not None and task.lay.by == "spray"
        if place.heater != "electric" or flash is None or flash >= limit.value.likely:
            continue
        if sprayed or flash < place_warm_c(place):
            met.setdefault(place.name, {}).setdefault(row.name, (flash, task, row))
    for name, rows in met.items():
        flash, task, lowest = min(rows.values(), key=lambda one: one[0])
        says = (
            f"The electric heater in {name} can light the vapour of {', '.join(sorted(rows))} with its wire, its "
            f"switch or its thermostat: it lights from {case.shown.temp(flash)} up."
        )
        mend = (
            "Heat the room beforehand; switch the heater off at the wall before the can is opened, and leave it off "
            "until the smell is gone."
        )
        figures = {"flash_c": flash, "limit_c": limit.value.likely}
        yield Hit(NOTE, says, mend, lowest.source("flash_point_c"), task=task.id, figures=figures)


def _lights_c(case: Case, task: Task, row: Material) -> float | None:
    """From where the vapour of a coat can light: thinned, by the lower flash point of finish and thinner."""
    thinner = thinner_of(row.carrier) if task.lay and task.lay.thin else None
    return lights_from_c(case.facts, row, thinner.name if thinner else "")


def place_warm_c(place: Place) -> float:
    """The warmest open air of a place."""
    return max((month.open_temp_c for month in place.air), default=0.0)


@rule("rags", "piece", "Rags that heat themselves.")
def rags(case: Case) -> Iterator[Hit]:
    hours = case.facts.figure("rags_fire_h")
    used: dict[str, Task] = {}
    for task, row, _ in _laying(case):
        if row.self_heating_rags:
            used.setdefault(row.name, task)
    if not used:
        return
    names = ", ".join(used)
    low, likely, high = (number(h) for h in hours.value)
    says = (
        f"Rags, wool and pads wet with {names} can take fire by themselves, about {likely} h after use "
        f"({low} to {high} h)."
    )
    text = next((c.text[0] for c in case.facts.cautions if c.id == "oil-rag"), "")
    first = next(iter(used.values()))
    yield Hit(NOTE, says, text, hours.source, task=first.id, figures={"fire_h": hours.value.likely})


@rule("oil-left-wet", "layers", "Oil whose surplus is wiped off long after it was laid.")
def oil_left_wet(case: Case) -> Iterator[Hit]:
    soak = case.facts.figure("oil_soak_min")
    for job in case.work.jobs.values():
        tasks = [t for t in job.tasks if not t.board and t.lot[0] == 1]
        for oil, after in pairwise(tasks):
            row = case.facts.materials[oil.lay.material] if oil.lay else None
            if row is None or not row.is_oil or after.do != "own" or "wipe" not in after.step.lower():
                continue
            waits = [w for w in (after.asks.at_least, oil.wait_after) if w]
            late = any(w.overnight or w.hours * 60 > 2 * soak.value.high for w in waits)
            if not late:
                continue
            low, likely, high = (number(m) for m in soak.value)
            says = (
                f"{capital(row.name)} is wiped off long after it was laid: surplus skins over and stays "
                "soft beneath for "
                "weeks, since a thick layer dries from the top."
            )
            mend = (
                f"Wipe it off {likely} min after laying ({low} to {high}), look again for weeping in the "
                "next two hours."
            )
            figures = {"soak_min": soak.value.likely}
            yield Hit(WARNING, says, mend, soak.source, job.part.name, ", ".join(oil.faces), oil.id, figures)


@rule("coat-too-heavy", "layers", "A flooded coat that dries on top and stays soft or cracks beneath.")
def coat_too_heavy(case: Case) -> Iterator[Hit]:
    for task, row, _ in _laying(case):
        if task.lay is None or not task.lay.flood or row.is_oil or "film" not in row.roles:
            continue
        if not (row.is_water_borne or row.mechanism == "oxidative"):
            continue
        by = task.lay.by if task.lay.by in row.wet_film_um else row.methods[0]
        wet = row.wet_film_um[by]
        says = (
            f"{capital(row.name)} flooded on: more than {case.shown.film(wet.high)} wet dries from the top, takes "
            "longer with "
            "the square of its thickness, and may craze."
        )
        mend = (
            f"Lay {case.shown.film(wet.likely)} wet ({case.shown.film(wet.low, wet.high)}), and one coat more."
        )
        source = row.wet_source(by)
        yield Hit(
            WARNING, says, mend, source, task.part, ", ".join(task.faces), task.id, {"wet_um": wet.high}
        )
