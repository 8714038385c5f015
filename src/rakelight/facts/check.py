"""What is wrong with the tables of facts themselves; run by the house tests."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Collection, Iterator

from rakelight.errors import NotFound
from rakelight.facts.load import VERDICTS, Facts
from rakelight.facts.materials import KEYS, read_raw
from rakelight.facts.names import find_abrasive, find_material, find_wood, say_abrasive
from rakelight.facts.read_tables import TABLES, rows
from rakelight.facts.records import Material

#: columns of each table that hold a source; "?" after the name: may be empty where the figure is
SOURCE_COLUMNS: dict[str, tuple[str, ...]] = {
    "abrasives.csv": ("source",),
    "aliases.csv": ("source",),
    "blush_rules.csv": ("source",),
    "can_sizes.csv": ("source",),
    "climate_monthly.csv": ("source",),
    "dimensional_change.csv": ("c_source?", "shrinkage_source?", "specific_gravity_source?"),
    "fault_causes.csv": ("source",),
    "faults.csv": ("source",),
    "figures.csv": ("source",),
    "filler_limits.csv": ("source",),
    "film_faults.csv": ("source",),
    "film_of_material.csv": ("source",),
    "film_permeance.csv": ("source", "permeance_source?"),
    "heaters.csv": ("source",),
    "labour.csv": ("source",),
    "looks.csv": ("source",),
    "lubricants.csv": ("source",),
    "opinions.csv": ("source",),
    "pairs.csv": ("source",),
    "pores.csv": ("porosity_source", "grain_source", "blotch_source", "oily_source", "vessels_source?",
                  "pore_depth_source?", "pore_area_source?", "dust_source?"),
    "practice.csv": ("source",),
    "sheen_classes.csv": ("source",),
    "solvent_classes.csv": ("source",),
    "solvent_sources.csv": ("source",),
    "solvents.csv": ("source",),
    "species.csv": ("source",),
    "thinners.csv": ("source",),
}  # fmt: skip
#: figure column -> the column that must name its source when the figure stands
_OWED = {
    "pores.csv": {"vessel_diam_low_um": "vessels_source", "pore_depth_likely_um": "pore_depth_source",
                  "pore_area_likely": "pore_area_source", "dust": "dust_source"},
    "dimensional_change.csv": {"c_t_per_percent_mc": "c_source", "c_t_from_shrinkage": "c_source",
                               "shrinkage_tangential_percent": "shrinkage_source",
                               "specific_gravity_12mc": "specific_gravity_source"},
    "film_permeance.csv": {"permeance_us_perm": "permeance_source"},
}  # fmt: skip
#: keys of each table that must not come twice
_ONCE = {
    "abrasives.csv": ("kind", "grade"), "aliases.csv": ("kind", "say"), "figures.csv": ("id",),
    "opinions.csv": ("under", "over"),
    "pairs.csv": ("under", "over", "method"), "practice.csv": ("id",), "species.csv": ("species",),
    "pores.csv": ("species",), "dimensional_change.csv": ("species",), "sources.csv": ("code",),
    "climate_monthly.csv": ("town", "month"), "film_permeance.csv": ("finish", "coats"),
    "film_of_material.csv": ("material",),
    "labour.csv": ("work",), "looks.csv": ("material",), "lubricants.csv": ("name",), "solvents.csv": ("name",),
    "blush_rules.csv": ("id",), "faults.csv": ("fault",),
    "fault_causes.csv": ("fault", "cause"), "heaters.csv": ("kind",), "solvent_classes.csv": ("say",),
}  # fmt: skip
#: a figure that also stands as a rule of thumb, and the factor between their units
SAME: dict[str, tuple[str, float]] = {
    "scuff_um": ("P68", 1.0), "level_brushed_um": ("P69", 1.0), "rub_floor_um": ("P70", 1.0),
    "wax_after_rub_h": ("P73", 1.0), "pack_h": ("P81", 24.0),
    "dust_settle_h": ("P92", 1.0), "bare_first_coat": ("P93", 1.0), "buy_reserve": ("P94", 0.01),
    "oil_soak_min": ("P26", 1.0),
    "rags_fire_h": ("P31", 1.0), "hvlp_transfer": ("P64", 1.0), "shrink_back_days": ("P83", 1.0),
}  # fmt: skip
UNITS = frozenset(
    ("kJ/mol", "um", "ratio", "C", "h", "min", "mm", "m2", "ml", "g/ml", "kg/L", "share", "days", "coats",
     "K", "places", "jobs", "1/h", "Pa", "log", "of 5", "g/l", "count", "grit")
)  # fmt: skip
METHODS = frozenset(("brush", "wipe", "spray", "pad", "trowel"))
MECHANISMS = frozenset(
    ("oxidative", "solvent_evaporation", "coalescence", "two_part_after_coalescence",
     "evaporation_then_crosslink", "water_evaporation", "hydration_or_solvent_evaporation")
)  # fmt: skip
JOINS = frozenset(("fuse", "witness", "fuse_then_witness", "absorbed", "keyed"))
#: earlier stage, later stage: at every quantile the later is not sooner
ORDER = (
    ("touch_dry", "sandable"),
    ("touch_dry", "handling"),
    ("touch_dry", "recoat_min"),
    ("recoat_min", "recoat_max_without_abrading"),
    ("sandable", "rub_out_ready"),
    ("handling", "full_cure"),
    ("rub_out_ready", "full_cure"),
)
_MACHINE = re.compile(r"\.\./|/home/|/tmp/|https?://|\bREADME\b", re.IGNORECASE)
_PROMISE = re.compile(r"\bsaf(?:e|er|est|ely)\b", re.IGNORECASE)


def check_tables(facts: Facts) -> list[str]:
    """Every fault of the tables, one sentence each; empty where there is none."""
    return [
        *_sources(facts),
        *_twice(),
        *_text(),
        *_materials(facts),
        *_woods(facts),
        *_pairs(facts),
        *_figures(facts),
        *_names(facts),
        *_solvents(facts),
    ]


def _sources(facts: Facts) -> Iterator[str]:
    for table, columns in SOURCE_COLUMNS.items():
        for number, row in enumerate(rows(table), start=2):
            for column in columns:
                name = column.rstrip("?")
                if not row[name] and column.endswith("?"):
                    continue
                try:
                    facts.sources.read(row[name])
                except NotFound as fault:
                    yield f"{table}:{number}: {name}: {fault}"
            for figure, owed in _OWED.get(table, {}).items():
                if row[figure] and not row[owed]:
                    yield f"{table}:{number}: {figure} without a source in {owed}"
    listed = {path.name for path in TABLES.glob("*.csv")} - {"sources.csv"}
    for table in sorted(listed - set(SOURCE_COLUMNS)):
        yield f"{table}: not in the list of tables with a source"


def _twice() -> Iterator[str]:
    for table, keys in _ONCE.items():
        counted = Counter(tuple(row[key] for key in keys) for row in rows(table))
        yield from (f"{table}: {' '.join(key)} stands {n} times" for key, n in counted.items() if n > 1)


def _text() -> Iterator[str]:
    for path in sorted(TABLES.iterdir()):
        if path.suffix not in (".csv", ".toml"):
            continue
        for number, line in enumerate(path.read_text(encoding="utf-8").splitlines(), start=1):
            if _MACHINE.search(line) and not line.startswith("#"):
                yield f"{path.name}:{number}: names a path or an address"
            if _PROMISE.search(line):
                yield f"{path.name}:{number}: holds a word that promises"


def _materials(facts: Facts) -> Iterator[str]:
    raw = read_raw()
    for id, material in facts.materials.items():
        for key in set(raw[id]) - KEYS:
            yield f"{id}: unknown key {key}"
        for key in set(raw[id]["source"]) - {"default", "note"}:
            name = key.removeprefix("time_").removeprefix("wet_")
            if name not in raw[id] and name not in material.time_h and name not in material.wet_film_um:
                yield f"{id}: a source for {key}, which is not there"
        if "default" not in material.sources:
            yield f"{id}: no default source"
        yield from _one_material(material)
        for solvent in material.vapour_solvents_mass:
            if solvent not in facts.solvents:
                yield f"{id}: no solvent {solvent}"
        classes = {caution.material_class for caution in facts.cautions}
        for word in material.caution_class:
            if word not in classes:
                yield f"{id}: no caution of class {word}"


def _one_material(material: Material) -> Iterator[str]:
    id = material.id
    if material.mechanism not in MECHANISMS:
        yield f"{id}: unknown mechanism {material.mechanism}"
    if material.coats_join not in JOINS:
        yield f"{id}: coats join by {material.coats_join}"
    for by in set(material.wet_film_um) - METHODS:
        yield f"{id}: unknown way of laying {by}"
    if not 0 < material.solids_volume.low <= material.solids_volume.high <= 1:
        yield f"{id}: solids outside 0 to 1"
    if not 0.7 < material.density_kg_per_l.low <= material.density_kg_per_l.high < 2:
        yield f"{id}: density {material.density_kg_per_l} is not one in kg/L"
    if material.max_rh is not None and not 0.4 < material.max_rh < 1:
        yield f"{id}: highest humidity {material.max_rh} is not a share"
    for grade in material.resistance.values():
        if grade not in range(1, 6):
            yield f"{id}: resistance {grade} is not 1 to 5"
    if material.vapour_solvents_mass and abs(sum(material.vapour_solvents_mass.values()) - 1) > 1e-9:
        yield f"{id}: shares of its solvents do not add up"
    for early, late in ORDER:
        if "wax" in material.roles and "rub_out_ready" in (early, late):
            continue  # of a wax it is the haze before buffing
        first, then = material.time_h.get(early), material.time_h.get(late)
        if first is None or then is None:
            continue
        for word, a, b in zip(("low", "likely", "high"), first, then, strict=True):
            if a > b:
                yield f"{id}: {early} {word} {a:g} h is later than {late} {b:g} h"


def _woods(facts: Facts) -> Iterator[str]:
    for table in ("pores.csv", "dimensional_change.csv"):
        for row in rows(table):
            if row["species"] not in facts.woods:
                yield f"{table}: {row['species']} has no row in species.csv"
    for wood in facts.woods.values():
        if wood.movement_from and wood.movement_from not in facts.woods:
            yield f"species.csv: {wood.movement_from}, which stands in for {wood.name}, is not there"
        if not wood.porosity and wood.c_tangential_per_pct is None:
            yield f"species.csv: nothing is known of {wood.name}"


def _pairs(facts: Facts) -> Iterator[str]:
    for pair in facts.pairs:
        where = f"{pair.under} under {pair.over}"
        for id in (pair.under, pair.over):
            if id != "*" and id not in facts.materials:
                yield f"pairs.csv: {where}: no material {id}"
        if pair.verdict not in VERDICTS:
            yield f"pairs.csv: {where}: verdict {pair.verdict}"
        if pair.method not in ("any", "hand", "spray"):
            yield f"pairs.csv: {where}: method {pair.method}"
        if (pair.wait_h is None) != (pair.verdict == "never"):
            yield f"pairs.csv: {where}: a wait stands with never, or none with {pair.verdict}"
        if pair.under == pair.over and pair.wait_h is not None and pair.under in facts.materials:
            own = facts.materials[pair.under].time_h["recoat_min"].likely
            if abs(pair.wait_h - own) > 1e-9:
                yield f"pairs.csv: {where}: {pair.wait_h:g} h, but the next coat goes on after {own:g} h"


def _figures(facts: Facts) -> Iterator[str]:
    for figure in facts.figures.values():
        if figure.unit not in UNITS:
            yield f"figures.csv: {figure.id}: unknown unit {figure.unit}"
        if not figure.what:
            yield f"figures.csv: {figure.id}: does not say what it is"
    for id, (rule, factor) in SAME.items():
        value = facts.practice[rule].value
        if id not in facts.figures or value is None:
            yield f"figures.csv: {id} or {rule} of the rules of thumb is not there"
            continue
        plus = 1.0 if id == "buy_reserve" else 0.0
        pairs = zip(facts.figures[id].value, value, strict=True)
        if any(abs(mine - plus - theirs * factor) > 1e-9 for mine, theirs in pairs):
            yield f"figures.csv: {id} is not what {rule} says"
    for limit in facts.filler_limits.values():
        if limit.sheen not in facts.sheens:
            yield f"filler_limits.csv: no sheen {limit.sheen}"


def _names(facts: Facts) -> Iterator[str]:
    for id, material in facts.materials.items():
        if find_material(facts, material.name).one != id:
            yield f"materials.toml: the name {material.name} does not mean {id} alone"
    for name in facts.woods:
        if find_wood(facts, name).one != name:
            yield f"species.csv: {name} does not mean itself alone"
    tables: dict[str, Collection[str]] = {
        "material": facts.materials,
        "wood": facts.woods,
        "abrasive": facts.abrasives,
        "solvent": facts.solvents,
    }
    for alias in facts.aliases:
        known = tables.get(alias.kind)
        if known is None:
            yield f"aliases.csv: {alias.say}: no kind {alias.kind}"
            continue
        for id in alias.means:
            if id not in known:
                yield f"aliases.csv: {alias.say}: no {alias.kind} {id}"
    for id, abrasive in facts.abrasives.items():
        if find_abrasive(facts, say_abrasive(id)).one != id:
            yield f"abrasives.csv: {abrasive.kind} {abrasive.grade} does not mean itself alone"


def _solvents(facts: Facts) -> Iterator[str]:
    for solvent in facts.solvents.values():
        for column in solvent.figures:
            if column.startswith("antoine") or column in solvent.sources:
                continue
            yield f"solvents.csv: {solvent.name}: {column} has no source"
        if "antoine" not in solvent.sources:
            yield f"solvents.csv: {solvent.name}: vapour pressure has no source"
