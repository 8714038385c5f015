"""What a step lays and how: the material behind the words, the way it is laid, cut, thinning, strength."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from difflib import get_close_matches
from typing import Any

from rakelight.errors import Misread
from rakelight.facts.load import Facts
from rakelight.facts.names import find_abrasive, find_lubricant, find_material
from rakelight.facts.records import Material
from rakelight.reading import Table
from rakelight.schedule.parsers import words
from rakelight.schedule.verbs import METHODS, RULES, Verb, is_dye, lays, verbs_for
from rakelight.units import read_cut, read_date, read_percent, read_strength
from rakelight.units.numbers import said

#: rules of thumb that give the cut where none is written: build coats, and a wash coat
_CUT_BUILD, _CUT_WASH = "P05", "P06"
#: last words of what wax may be laid with
_WAXES_BY = ("pad", "cloth", "rag", "wool", "brush", "towel", "wipe", "sponge")


@dataclass(frozen=True)
class Laying:
    """What a step lays."""

    material: str = ""
    by: str = ""
    cut_lb: float | None = None
    thin: float | None = None
    strength_g_per_l: float | None = None
    opened: date | None = None


def read_laying(table: Table, verb: str, facts: Facts) -> Laying:
    """What a step lays and how, defaults filled in; what is wrong stands in the table's findings."""
    rule = RULES[verb]
    if not rule.roles:
        return Laying()
    name = table.need("with", words(), f'Write with = "..." and what you {verb} with.')
    material = material_of(table, verb, name, facts) if name is not None else None
    if material is None:
        return Laying()
    return Laying(
        material=material.id,
        by=_by(table, verb, rule, material, facts),
        cut_lb=_cut(table, verb, material, facts),
        thin=_thin(table),
        strength_g_per_l=_strength(table, material),
        opened=table.take("opened", lambda value: read_date(value).day),
    )


def material_of(table: Table, verb: str, name: str, facts: Facts) -> Material | None:
    """The material a maker's words mean here; several are narrowed to those the verb lays."""
    match = find_material(facts, name)
    meant = [facts.materials[id] for id in match.ids]
    fitting = [m for m in meant if lays(verb, m)]
    if len(fitting) == 1:
        return fitting[0]
    if fitting:
        names = [m.name for m in fitting]
        says = f"{said(name)} may mean {', '.join(names[:-1])} or {names[-1]}."
        table.fault("ambiguous-material", says, f"Write which: {_or(names)}.", "with")
    elif meant:
        _misfit(table, verb, name, meant)
    else:
        table.fault("unknown-material", f"{said(name)} is not a material we know.", match.ask, "with")
    return None


def _misfit(table: Table, verb: str, name: str, meant: list[Material]) -> None:
    """A material whose role does not fit the verb: say which verb lays it."""
    other = [v for v in verbs_for(meant[0])]
    does = {"fill": "a filler", "oil": "an oil", "wax": "a wax", "coat": "a finish that builds a film"}
    wants = does.get(verb, f"what one can {verb} with")
    mend = f'Write do = "{other[0]}" for {meant[0].name}, or name {wants}.' if other else f"Name {wants}."
    table.fault("wrong-material", f"{verb}: {said(name)} is not {wants}.", mend, "with")


def _or(names: list[str]) -> str:
    quoted = [f'"{name}"' for name in names]
    return quoted[0] if len(quoted) == 1 else f"{', '.join(quoted[:-1])} or {quoted[-1]}"


def _by(table: Table, verb: str, rule: Verb, material: Material, facts: Facts) -> str:
    """How it is laid: as name, else the only way the material has, else the usual way of the verb."""
    name = table.take("by", words())
    if name is None:
        if "by" in table:
            return ""
        if len(material.methods) == 1:
            return material.methods[0]
        if rule.hand in material.methods:
            return rule.hand
        mend = f"Write by = {_or(list(material.methods))}."
        table.fault("missing", f"by is missing: {material.name} is laid in several ways.", mend)
        return ""
    if name in material.methods:
        return name
    if verb == "wax":
        return _wax_by(table, name, facts)
    if name in METHODS:
        says = f"{material.name} is not laid by {name}."
        table.fault("wrong-method", says, f"Write by = {_or(list(material.methods))}.", "by")
        return ""
    near = get_close_matches(name, METHODS, 1, 0.5)
    mend = f"Did you mean {near[0]}?" if near else f"Write by = {_or(list(material.methods))}."
    table.fault("misread", f"by: {said(name)} is no way to lay a finish.", mend, "by")
    return ""


def _wax_by(table: Table, name: str, facts: Facts) -> str:
    """The pad or cloth wax is laid with."""
    last = name.casefold().split()[-1]
    if last.rstrip("s") in _WAXES_BY or find_abrasive(facts, name).one:
        return name
    mend = 'Write by = "cloth", or a pad as "white pad".'
    table.fault("misread", f"by: {said(name)} is neither a pad nor a cloth.", mend, "by")
    return ""


def _cut(table: Table, verb: str, material: Material, facts: Facts) -> float | None:
    if not material.binder.startswith("shellac"):
        if "cut" in table:
            says = f"cut: {material.name} has no cut, only shellac has."
            table.fault("wrong-key", says, 'Leave cut out; thinner is written thin = "25 %".', "cut")
        return None
    cut = table.take("cut", read_cut)
    usual = facts.practice[_CUT_WASH if verb == "size" else _CUT_BUILD].value
    return cut if cut is not None or usual is None else usual.likely


def _thin(table: Table) -> float | None:
    def parse(value: Any) -> float:
        share = read_percent(value)
        if share <= 0:
            raise Misread(f"{said(value)} adds no thinner.", "Leave thin out.")
        return share

    return table.take("thin", parse)


def _strength(table: Table, material: Material) -> float | None:
    if "strength" in table and not is_dye(material):
        says = f"strength: {material.name} is not mixed from powder, only a dye is."
        table.fault("wrong-key", says, "Leave strength out, or name a dye.", "strength")
        return None
    return table.take("strength", read_strength)


def read_abrasive(table: Table, facts: Facts) -> str:
    """The key of the abrasive a step rubs with, "" where none is named or it cannot be known."""
    name = table.take("with", words())
    if name is None:
        return ""
    match = find_abrasive(facts, name)
    if match.one:
        return match.one
    if match.ids:
        table.fault("ambiguous-abrasive", f"{said(name)} may mean several.", match.ask, "with")
    elif find_material(facts, name).ids:
        mend = 'Write with = "0000 wool" or another abrasive; what it is wet with is written wet = "...".'
        table.fault("wrong-material", f"rub: {said(name)} is not an abrasive.", mend, "with")
    else:
        table.fault("unknown-abrasive", f"{said(name)} is not an abrasive we know.", match.ask, "with")
    return ""


def wet_material(name: str, facts: Facts) -> str:
    """The id of the material a surface is rubbed wet with, "" where it is none (water, spirits)."""
    lubricant = find_lubricant(facts, name).one
    if lubricant:
        return facts.lubricants[lubricant].material
    return find_material(facts, name).one or ""
