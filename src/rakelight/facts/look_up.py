"""Rows of the tables that match a word, with figures, unit and source, for people to read."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from rakelight.facts.load import Facts
from rakelight.facts.names import find_anything, plain, say_abrasive
from rakelight.facts.opinions import opinion
from rakelight.facts.records import Material, Pair, Practice, Source, Wood
from rakelight.facts.words import STAGE_WORDS, VERDICT_WORDS
from rakelight.spread import Spread

#: words of the trade for the columns of the materials, and their unit
_MATERIAL = {
    "solids_volume": ("solids by volume", "share"),
    "density_kg_per_l": ("density", "kg/L"),
    "coverage_m2_per_l": ("coverage of one coat", "m2/L"),
    "transfer": ("reaches the work when sprayed", "share"),
    "min_temp_c": ("not laid below", "C"),
    "max_rh": ("not laid above, humidity", "share"),
    "mfft_c": ("lowest temperature at which it forms a film", "C"),
    "max_film_um": ("ceiling of the whole film", "um"),
    "refractive_index": ("refractive index", ""),
    "flash_point_c": ("flash point", "C"),
    "shelf_life_months": ("keeps", "months"),
    "pot_life_h": ("life of the mixed pot", "h"),
    "voc_g_per_l": ("solvent set free", "g/L"),
    "mee_pct_14d_3coats": ("keeps damp out, three coats, 14 days", "%"),
}
_WOOD_WORDS = {
    "porosity": "pores",
    "grain": "grain",
    "fill_for_level_film": "filled for a level film",
    "blotch": "blotches",
    "oily": "oily",
    "extractive": "holds",
    "dust": "dust",
}


@dataclass(frozen=True)
class Entry:
    """One fact of a row: what it is, its value with unit, and where it comes from."""

    what: str
    value: str
    source: str
    kind: str


@dataclass(frozen=True)
class Row:
    """A row of a table with its facts."""

    table: str
    name: str
    entries: tuple[Entry, ...]


def look_up(words: str, facts: Facts | None = None) -> list[Row]:
    """Every row of any table that matches.

    Args:
        words: a name as people say it, an id, or words that stand in a row.

    Returns:
        Rows in the order of the tables; empty where nothing matches.
    """
    if facts is None:
        from rakelight.facts.load import load

        facts = load()
    if not plain(words):
        return []
    ids = [id.split(":", 1) for id in find_anything(facts, words).ids]
    named = {kind: [id for k, id in ids if k == kind] for kind, _ in ids}
    found = list(_named(facts, named))
    said = set(plain(words).split())
    found += _pairs(facts, named.get("material", []))
    found += _by_words(facts, said)
    return found


def _named(facts: Facts, named: dict[str, list[str]]) -> Iterator[Row]:
    for id in named.get("material", []):
        yield material_row(facts.materials[id])
    for id in named.get("wood", []):
        yield wood_row(facts.woods[id])
    for id in named.get("abrasive", []):
        one = facts.abrasives[id]
        figures = (("grain size", one.size_um), ("rubs like", one.acts_like_um))
        yield Row(
            "abrasives",
            say_abrasive(id),
            tuple(_entry(w, f"{v:g} um", one.source) for w, v in figures if v is not None),
        )
    for id in named.get("lubricant", []):
        thing = facts.lubricants[id]
        yield Row("lubricants", thing.name, (_entry("remark", thing.note, thing.source),))
    for id in named.get("solvent", []):
        solvent = facts.solvents[id]
        yield Row(
            "solvents",
            id,
            tuple(
                _entry(name.replace("_", " "), f"{value:g}", solvent.sources.get(name, solvent.source))
                for name, value in solvent.figures.items()
                if not name.startswith("antoine")
            ),
        )


def material_row(material: Material) -> Row:
    """A material with all its figures."""
    entries = []
    for name, (what, unit) in _MATERIAL.items():
        value = getattr(material, name)
        if value is not None:
            entries.append(_entry(what, _show(value, unit), material.source(name)))
    for by, wet in material.wet_film_um.items():
        entries.append(_entry(f"wet film, {by}", _show(wet, "um"), material.wet_source(by)))
    for stage, hours in material.time_h.items():
        what = STAGE_WORDS.get(stage, stage)
        if "wax" in material.roles and stage == "rub_out_ready":
            what = "ready to buff"
        entries.append(_entry(f"{what}, at 21 C", _show(hours, "h"), material.time_source(stage)))
    for against, grade in material.resistance.items():
        what = "wear" if against == "abrasion" else against
        entries.append(_entry(f"stands {what}", f"{grade} of 5", material.source("resistance")))
    for what, words in (
        ("coverage is for", material.coverage_basis),
        ("binder", material.binder),
        ("thinned with, carried by", material.carrier),
        ("cast", material.colour_cast),
        ("food", material.food_contact),
        ("remark", material.note),
    ):
        if words:
            entries.append(_entry(what, words, material.source("binder" if what == "binder" else "default")))
    return Row("materials", material.name, tuple(entries))


def wood_row(wood: Wood) -> Row:
    """A wood with all that is known of it."""
    entries = []
    for name, what in _WOOD_WORDS.items():
        if getattr(wood, name) and name in wood.sources:
            entries.append(_entry(what, getattr(wood, name), wood.sources[name]))
    if wood.pore_depth_um is not None:
        entries.append(
            _entry("depth of pores", _show(wood.pore_depth_um, "um"), wood.sources["pore_depth_um"])
        )
    if wood.pore_area is not None:
        entries.append(
            _entry("open pores on a face", _show(wood.pore_area, "share"), wood.sources["pore_area"])
        )
    for what, value in (("radial", wood.c_radial_per_pct), ("tangential", wood.c_tangential_per_pct)):
        if value is not None:
            entries.append(
                _entry(f"moves, {what}", f"{value:g} per percent moisture", wood.sources["movement"])
            )
    if wood.specific_gravity is not None:
        entries.append(
            _entry("specific gravity", f"{wood.specific_gravity:g}", wood.sources["specific_gravity"])
        )
    if wood.aliases:
        entries.append(_entry("also called", ", ".join(wood.aliases), wood.sources["name"]))
    if wood.note:
        entries.append(_entry("remark", wood.note, wood.sources["name"]))
    return Row("woods", wood.name, tuple(entries))


def pair_row(facts: Facts, pair: Pair) -> Row:
    """May one go over the other, as a row."""
    over = "any finish" if pair.over == "*" else facts.materials[pair.over].name
    under = "any finish" if pair.under == "*" else facts.materials[pair.under].name
    how = "" if pair.method == "any" else f", {'sprayed' if pair.method == 'spray' else 'by hand'}"
    entries = [_entry("may it", VERDICT_WORDS[pair.verdict], pair.source)]
    wait = facts.pair_wait(pair)
    if wait is not None:
        entries.append(_entry("wait at 21 C", _show(wait, "h"), pair.source))
    entries.append(_entry("because", pair.reason, pair.source))
    other = opinion(facts, pair.under, pair.over) if "*" not in (pair.under, pair.over) else None
    if other:
        entries.append(_entry("makers disagree", other.says, other.source))
    return Row("one over another", f"{over} over {under}{how}", tuple(entries))


def practice_row(rule: Practice) -> Row:
    """A rule of thumb as a row."""
    value = _show(rule.value, rule.unit) if rule.value is not None else ""
    entries = [_entry(rule.quantity, value or rule.condition, rule.source)]
    if rule.condition and value:
        entries.append(_entry("when", rule.condition, rule.source))
    return Row("rules of thumb", rule.id, tuple(entries))


def _pairs(facts: Facts, ids: list[str]) -> list[Row]:
    if len(ids) != 1:
        return []
    return [pair_row(facts, pair) for pair in facts.pairs if ids[0] in (pair.under, pair.over)]


def _by_words(facts: Facts, said: set[str]) -> Iterator[Row]:
    for rule in facts.practice.values():
        if _in(said, f"{rule.id} {rule.quantity} {rule.condition}"):
            yield practice_row(rule)
    for figure in facts.figures.values():
        if _in(said, f"{figure.id} {figure.what}"):
            yield Row(
                "figures", figure.id, (_entry(figure.what, _show(figure.value, figure.unit), figure.source),)
            )
    for labour in facts.labour.values():
        if _in(said, labour.work):
            value = _show(labour.minutes_per_m2, "min per m2")
            yield Row("minutes of work", labour.work, (_entry(labour.basis, value, labour.source),))
    for sheen in facts.sheens.values():
        if _in(said, f"sheen {sheen.sheen}"):
            top = "and more" if sheen.gloss_high is None else f"to {sheen.gloss_high:g}"
            yield Row(
                "sheen",
                sheen.sheen,
                (_entry("gloss at 60 degrees", f"{sheen.gloss_low:g} {top}", sheen.source),),
            )
    for limit in facts.filler_limits.values():
        if _in(said, f"filled pore {limit.sheen}"):
            dips = (limit.strict_um, limit.likely_um, limit.lenient_um)
            value = " / ".join("open" if dip is None else f"{dip:g}" for dip in dips)
            entry = _entry(
                "dip that passes as filled, strict / likely / lenient", f"{value} um", limit.source
            )
            yield Row("filled pores", limit.sheen, (entry,))
    for film in facts.film_permeance:
        if _in(said, film.finish):
            after = ", ".join("?" if pct is None else f"{pct:g}" for pct in film.mee_pct)
            entry = _entry("keeps damp out after 1, 7, 14 days", f"{after} %", film.source)
            yield Row("films and damp", f"{film.finish}, coats: {film.coats}", (entry,))
    for fault in facts.film_faults.values():
        if _in(said, " ".join((fault.name, *fault.aliases))):
            entry = _entry("stands above the film", _show(fault.height_um, "um"), fault.source)
            yield Row("faults of a film", fault.name, (entry,))
    for caution in facts.cautions:
        if _in(said, f"{caution.id} {caution.material_class} {caution.operation}".replace("_", " ")):
            yield Row(
                "cautions",
                caution.id,
                tuple(_entry(caution.operation, t, caution.source) for t in caution.text),
            )
    for town in facts.towns:
        if _in(said, f"{town.town} {town.state}"):
            value = f"{town.temp_c:g} C, {town.rh:.0%}"
            yield Row(
                "air of towns",
                f"{town.town}, {town.state}",
                (_entry(f"month {town.month}", value, town.source),),
            )


def _in(said: set[str], text: str) -> bool:
    return said <= set(plain(text).replace(":", " ").split())


def _entry(what: str, value: str, source: Source) -> Entry:
    return Entry(what, value, source.text, source.kind.value)


def _show(value: Spread | float, unit: str) -> str:
    """A range as read in a table: likely, with low to high beside it; a share as percent."""
    if unit == "share":
        value, unit = value * 100.0, "%"
    if not isinstance(value, Spread):
        return f"{value:g} {unit}".strip()
    if value.certain:
        return f"{value.likely:g} {unit}".strip()
    return f"{value.likely:g} ({value.low:g} to {value.high:g}) {unit}".strip()
