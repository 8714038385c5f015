"""Labels for the jars a plan mixes: what is in them, when it was mixed, how long it keeps, how it may burn."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from rakelight.facts.load import Facts
from rakelight.facts.records import Material
from rakelight.log.stock import Can, Stock, thinner_name
from rakelight.papers.plan_text import part_words
from rakelight.papers.sheet_words import mass_words, short
from rakelight.papers.soaking import soaks_in
from rakelight.papers.wrapping import upper_first
from rakelight.physics.flammable import flammable_class
from rakelight.plan.model import Plan
from rakelight.schedule.amounts import Amounts
from rakelight.schedule.coats import CoatAmount
from rakelight.schedule.mixes import lights_from_c, thinner_solvents
from rakelight.schedule.shelf import keeps_months, past
from rakelight.shop.model import Shop
from rakelight.units import ML_PER_L, show_hours, show_jar

#: signal word and what it means, by class. Source: GHS chapter 2.6 and 29 CFR 1910.1200 Appendix C: classes 3 and 4
#: read in a digest of OSHA's letter of 10 March 2023, classes 1 and 2 from memory
SIGNALS = {
    1: ("Danger", "Extremely flammable liquid and vapour."),
    2: ("Danger", "Highly flammable liquid and vapour."),
    3: ("Warning", "Flammable liquid and vapour."),
    4: ("Warning", "Combustible liquid."),
}
_KEEP_AWAY = "Keep from flame, spark and heat. Lid tight."
_RAGS = "Rags with it can take fire by themselves: lay flat outdoors, or sink in water in a lidded metal can."
_SHEET = "The product's own sheet comes first."


@dataclass(frozen=True)
class JarLabel:
    """One label."""

    name: str
    cut: str  # "2 lb cut", "thinned", ""
    contents: tuple[str, ...]
    mixed: str
    piece: str
    keeps: str
    uses: str  # what it is for
    signal: str  # Danger, Warning, ""
    hazard: tuple[str, ...]


@dataclass(frozen=True)
class Labels:
    """The labels of a plan, by the day they are wanted."""

    labels: tuple[JarLabel, ...]


def labels(
    plan: Plan, amounts: Amounts, facts: Facts, piece: str, unit: str, shop: Shop | None = None
) -> Labels:
    """A label for each jar still to mix: flakes put to soak for one cut, else what is mixed on one day, is one jar.

    Hazard words follow from the lower flash point of finish and thinner, the low end of what is known; how long it
    keeps from the warmth of the shop, as in the stock.
    """
    jars: dict[tuple[date, str, str], list[CoatAmount]] = {}
    soaked = list(soaks_in(plan, amounts, facts, shop, unit)) if shop else []
    days = {coat.task: soak.by.date() for soak in soaked for coat in soak.coats}
    for key, placed in plan.placed.items():
        coat = amounts.of_task(key)
        if coat and coat.mix and not coat.board and not placed.done:
            jars.setdefault((days.get(key, placed.start.date()), coat.material, _cut(coat)), []).append(coat)
    made = [
        _label(day, cut, coats, facts.materials[material], facts, piece, unit, shop)
        for (day, material, cut), coats in sorted(jars.items(), key=lambda jar: jar[0])
    ]
    return Labels(tuple(made))


def stock_labels(stock: Stock, facts: Facts, unit: str) -> Labels:
    """A label for each jar in stock that was mixed: what went into it, as it was told.

    Parameters: unit, in or mm: what is shown beside ml and g.
    """
    return Labels(tuple(_of_jar(can, facts, unit) for can in stock.at_hand if can.mixed))


def _of_jar(can: Can, facts: Facts, unit: str) -> JarLabel:
    row, thinner = facts.materials[can.material], thinner_name(facts.materials[can.material])
    went_in = (
        (can.flakes_g, "of flakes", mass_words), (can.powder_g, "of powder", mass_words),
        (can.finish_ml, "from the can", show_jar), (can.thinner_ml, f"of {thinner}", show_jar),
    )  # fmt: skip
    lines = [f"{show(amount, unit)} {what}" for amount, what, show in went_in if amount]
    lines += [f"made {show_jar(can.size, unit)}"] if can.size else []
    signal, hazard = hazard_words(row, thinner if can.thinner_ml else "", facts)
    return JarLabel(
        upper_first(row.name), _jar_cut(can), tuple(lines), f"Mixed {_day(can.mixed)}" if can.mixed else "",
        can.id, _jar_keeps(can, row), "", signal, hazard,
    )  # fmt: skip


def _jar_cut(can: Can) -> str:
    if can.cut_lb:
        return f"{can.cut_lb:g} lb cut"
    if can.powder_g and can.thinner_ml:
        return f"{can.powder_g / can.thinner_ml * ML_PER_L:.0f} g to the litre"
    return f"thinned {can.thinner_ml / can.finish_ml:.0%}" if can.finish_ml and can.thinner_ml else ""


def _jar_keeps(can: Can, row: Material) -> str:
    if row.pot_life_h:
        return f"Use within {show_hours(row.pot_life_h.low)} of mixing."
    if can.use_by is None:
        return "Not back into the can."
    return _until(can.use_by, can.try_from)


def _cut(coat: CoatAmount) -> str:
    mix = coat.mix
    if mix is None:
        return ""
    if mix.cut_lb is not None:
        return f"{mix.cut_lb:g} lb cut"
    if mix.powder_g and mix.thinner_ml:
        return f"{mix.powder_g / mix.thinner_ml * ML_PER_L:.0f} g to the litre"
    return f"thinned {mix.thinner_ml / mix.finish_ml:.0%}" if mix.finish_ml else ""


def _label(
    day: date, cut: str, coats: list[CoatAmount], row: Material, facts: Facts, piece: str, unit: str, shop: Shop | None
) -> JarLabel:
    signal, hazard = hazard_words(row, coats[0].mix.thinner if coats[0].mix else "", facts)
    return JarLabel(
        upper_first(row.name), cut, _contents(coats, unit), f"Mixed {_day(day)}", short(piece),
        _keeps(row, facts, shop, day), _for(coats), signal, hazard,
    )  # fmt: skip


def _contents(coats: list[CoatAmount], unit: str) -> tuple[str, ...]:
    mixes = [coat.mix for coat in coats if coat.mix]
    thinner = mixes[0].thinner or "thinner"
    amounts = (
        (sum(m.flakes_g for m in mixes), "of flakes", mass_words),
        (sum(m.powder_g for m in mixes), "of powder", mass_words),
        (sum(m.finish_ml for m in mixes), "from the can", show_jar),
        (sum(m.thinner_ml for m in mixes), f"of {thinner}", show_jar),
    )
    lines = [f"{show(amount, unit)} {what}" for amount, what, show in amounts if amount]
    return (*lines, f"makes {show_jar(sum(m.made_ml for m in mixes), unit)}")


def _for(coats: list[CoatAmount]) -> str:
    parts: dict[str, list[str]] = {}
    for coat in coats:
        parts.setdefault(part_words(coat.part), []).append(coat.step)
    said = [f"{part}: {', '.join(dict.fromkeys(steps))}" for part, steps in parts.items()]
    return "; ".join(said)


def _keeps(row: Material, facts: Facts, shop: Shop | None, day: date) -> str:
    if row.pot_life_h:
        return f"Use within {show_hours(row.pot_life_h.low)} of mixing."
    life = keeps_months(row, facts, shop) if row.is_shellac else None
    if life:
        return _until(past(day, life.likely), past(day, life.low))
    return "Not back into the can. Mix anew for another job."


def _until(use_by: date, try_from: date | None) -> str:
    said = f"Use by {_day(use_by)}."
    if try_from and try_from < use_by:
        said += f" From {_day(try_from)} on try a drop on glass first: it must dry hard."
    return said


def hazard_words(row: Material, thinner: str, facts: Facts) -> tuple[str, tuple[str, ...]]:
    """Signal word ("" none) and sentences of a mix, in plain words: by the lower flash point of finish and thinner."""
    flash = lights_from_c(facts, row, thinner)
    held = {*row.vapour_solvents_mass, *thinner_solvents(facts, row, thinner)}
    boils = [facts.solvents[s].figures["boil_low_c"] for s in held if _boils(facts, s)]
    found = flammable_class(flash, min(boils, default=None)) if flash is not None else None
    signal, says = SIGNALS[found] if found else ("", "")
    said = [says, _KEEP_AWAY] if found else []
    if row.self_heating_rags:
        said.append(_RAGS)
    return signal, (*said, _SHEET)


def _boils(facts: Facts, solvent: str) -> bool:
    return solvent in facts.solvents and "boil_low_c" in facts.solvents[solvent].figures


def _day(day: date) -> str:
    return f"{day.day} {day:%b} {day.year}"
