"""The tables of woods (spellings, pores, movement) joined into one record a wood."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from rakelight.errors import SourceKind
from rakelight.facts.read_tables import Row, listed, number, rows, triple
from rakelight.facts.records import Source, Wood
from rakelight.facts.sources import Sources


@dataclass(frozen=True)
class _Movement:
    radial: float | None
    tangential: float | None
    source: Source | None


def read_woods(sources: Sources) -> dict[str, Wood]:
    """Every wood by the one spelling used here."""
    pores = {row["species"]: row for row in rows("pores.csv")}
    moves = {row["species"]: row for row in rows("dimensional_change.csv")}
    return {
        row["species"]: _wood(row, pores.get(row["species"]), moves, sources) for row in rows("species.csv")
    }


def _wood(row: Row, pores: Row | None, moves: dict[str, dict[str, str]], sources: Sources) -> Wood:
    kept: dict[str, Source] = {"name": sources.read(row["source"])}
    more: dict[str, Any] = {}
    if pores:
        more.update(_pores(pores, kept, sources))
    stand_in = row["movement_from"]
    move_row = moves.get(row["species"]) or moves.get(stand_in)
    if move_row:
        move = _movement(move_row, sources)
        more["c_radial_per_pct"], more["c_tangential_per_pct"] = move.radial, move.tangential
        if move.source:
            kept["movement"] = _as(stand_in, move.source) if stand_in else move.source
        if move_row["specific_gravity_12mc"]:
            more["specific_gravity"] = number(move_row["specific_gravity_12mc"])
            gravity = sources.read(move_row["specific_gravity_source"])
            kept["specific_gravity"] = _as(stand_in, gravity) if stand_in else gravity
    notes = [row["note"], pores["note"] if pores else ""]
    if move_row and not stand_in:
        notes.append(move_row["note"])
    return Wood(
        name=row["species"],
        botanical=row["botanical"],
        aliases=listed(row["aliases"]),
        movement_from=stand_in,
        note="; ".join(note for note in notes if note),
        sources=kept,
        **more,
    )


def _as(stand_in: str, source: Source) -> Source:
    return Source(f"as {stand_in}, which stands in for it ({source.text})", SourceKind.MEMORY)


def _pores(row: Row, kept: dict[str, Source], sources: Sources) -> dict[str, Any]:
    cells = {
        "porosity": "porosity_source", "vessels": "vessels_source", "pore_depth_um": "pore_depth_source",
        "pore_area": "pore_area_source", "grain": "grain_source", "fill_for_level_film": "grain_source",
        "blotch": "blotch_source", "oily": "oily_source", "extractive": "oily_source", "dust": "dust_source",
    }  # fmt: skip
    for name, cell in cells.items():
        if row[cell]:
            kept[name] = sources.read(row[cell])
    low, high = row["vessel_diam_low_um"], row["vessel_diam_high_um"]
    kept["pores"] = kept.get("pore_depth_um", kept["porosity"])
    return {
        "porosity": row["porosity"],
        "pore_depth_um": triple(row, "pore_depth_low_um", "pore_depth_likely_um", "pore_depth_high_um"),
        "pore_area": triple(row, "pore_area_low", "pore_area_likely", "pore_area_high"),
        "pore_width_um": (float(low), float(high)) if low and high else None,
        "grain": row["grain"],
        "fill_for_level_film": row["fill_for_level_film"],
        "blotch": row["blotch"],
        "oily": row["oily"],
        "extractive": row["extractive"],
        "dust": row["dust"],
    }


def _movement(row: Row, sources: Sources) -> _Movement:
    """Printed coefficients; from the shrinkage only where neither is printed."""
    printed = row["c_r_per_percent_mc"] or row["c_t_per_percent_mc"]
    end = "per_percent_mc" if printed else "from_shrinkage"
    source = sources.read(row["c_source"]) if row["c_source"] else None
    return _Movement(number(row[f"c_r_{end}"]), number(row[f"c_t_{end}"]), source)
