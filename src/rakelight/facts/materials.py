"""The table of materials turned into records."""

from __future__ import annotations

import tomllib
from typing import Any

from rakelight.facts.read_tables import TABLES
from rakelight.facts.records import Material, Source
from rakelight.facts.sources import Sources
from rakelight.spread import Spread

#: columns that go into a record under the same name
_SPREADS = (
    "solids_weight", "transfer", "mfft_c", "refractive_index", "flash_point_c", "shelf_life_months",
    "pot_life_h",
)  # fmt: skip
_PLAIN = (
    "redissolves", "binder", "carrier", "colour_cast", "hardness", "sandability", "mee_pct_14d_3coats",
    "food_contact", "note", "uv_yellowing", "min_temp_c", "max_film_um",
)  # fmt: skip
#: every other key a material may have in the table
KEYS = frozenset(
    {
        "name", "roles", "mechanism", "coats_join", "solids_volume", "density_kg_per_l", "coverage_m2_per_l",
        "coverage_basis", "max_rh_pct", "voc_g_per_l", "voc_actual_g_per_l", "voc_basis", "self_heating_rags",
        "caution_class", "vapour_solvents_mass", "wet_film_um", "time_h", "resistance", "source",
    }
).union(_SPREADS, _PLAIN)  # fmt: skip

def read_raw() -> dict[str, dict[str, Any]]:
    """Tables of the file of materials by id, as they stand."""
    with (TABLES / "materials.toml").open("rb") as file:
        whole: dict[str, dict[str, Any]] = tomllib.load(file)["material"]
    return whole


def read_materials(sources: Sources) -> dict[str, Material]:
    """Every material by id."""
    return {id: _material(id, raw, sources) for id, raw in read_raw().items()}


def _material(id: str, raw: dict[str, Any], sources: Sources) -> Material:
    more: dict[str, Any] = {name: Spread.of(raw[name]) for name in _SPREADS if name in raw}
    more.update({name: raw[name] for name in _PLAIN if name in raw})
    if "max_rh_pct" in raw:
        more["max_rh"] = raw["max_rh_pct"] / 100.0
    set_free = raw.get("voc_actual_g_per_l") or raw.get("voc_g_per_l")
    if set_free:
        more["voc_g_per_l"] = Spread.of(set_free)
    return Material(
        id=id,
        name=raw["name"],
        roles=frozenset(raw["roles"]),
        mechanism=raw["mechanism"],
        coats_join=raw["coats_join"],
        solids_volume=Spread.of(raw["solids_volume"]),
        density_kg_per_l=Spread.of(raw["density_kg_per_l"]),
        coverage_m2_per_l=Spread.of(raw["coverage_m2_per_l"]),
        coverage_basis=raw["coverage_basis"],
        basis_is_bare="bare" in raw["coverage_basis"].lower(),
        wet_film_um={by: Spread.of(v) for by, v in raw["wet_film_um"].items()},
        time_h={stage: Spread.of(v) for stage, v in raw["time_h"].items()},
        resistance=dict(raw["resistance"]),
        vapour_solvents_mass=dict(raw.get("vapour_solvents_mass", {})),
        caution_class=tuple(raw.get("caution_class", ())),
        self_heating_rags=raw["self_heating_rags"],
        sources=_sources(raw["source"], "voc_actual_g_per_l" in raw, sources),
        **more,
    )


def _sources(raw: dict[str, str], actual: bool, sources: Sources) -> dict[str, Source]:
    """Sources by field of the record: ``time_h.sandable``, ``wet_film_um.brush``."""
    found: dict[str, Source] = {}
    for key, cell in raw.items():
        source = sources.read(cell)
        if key.startswith("time_"):
            found[f"time_h.{key[5:]}"] = source
        elif key.startswith("wet_"):
            found[f"wet_film_um.{key[4:]}"] = source
        elif key == "max_rh_pct":
            found["max_rh"] = source
        elif not (key == "voc_g_per_l" and actual):
            found["voc_g_per_l" if key == "voc_actual_g_per_l" else key] = source
    return found
