"""What a material asks of the air: how far its wet film cools, and how long it can be harmed."""

from __future__ import annotations

from dataclasses import replace

from rakelight.facts.load import Facts
from rakelight.facts.records import Figure, Material
from rakelight.facts.this_shop import OWN


def is_lacquer(row: Material) -> bool:
    """Whether it is a lacquer in fast solvent."""
    return "lacquer" in row.caution_class


def chill_figure(facts: Facts, row: Material, by: str, retarded: bool = False) -> Figure:
    """How far a wet film cools below the piece, K, by finish and method.

    Lacquer laid by hand counts as sprayed. Oil, varnish, colour, size, wax and fillers in solvent are taken as
    oil: nothing in them turns white. Source: docs/decisions.md, "Air".
    """
    figure = book_chill(facts, row, by, retarded)
    own = facts.shop.get(chill_key(row, by, retarded)) if facts.shop else None
    return replace(figure, value=own.of(figure.value), source=OWN) if own else figure


def chill_key(row: Material, by: str, retarded: bool = False) -> str:
    """The key of this shop's own chill: by material, and sprayed or by hand."""
    way = "spray" if by == "spray" or is_lacquer(row) else "hand"
    return f"chill:{row.id}:{way}{' retarded' if retarded else ''}"


def book_chill(facts: Facts, row: Material, by: str, retarded: bool = False) -> Figure:
    """The same by the tables alone."""
    if is_lacquer(row):
        return facts.figure("chill_lacquer_retarded_k" if retarded else "chill_lacquer_spray_k")
    if row.is_shellac:
        return facts.figure("chill_shellac_spray_k" if by == "spray" else "chill_shellac_hand_k")
    return facts.figure("chill_water_borne_k" if row.is_water_borne else "chill_oil_k")
