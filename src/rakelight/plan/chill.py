"""What a material asks of the air: how far its wet film cools, and how long it can be harmed."""

from __future__ import annotations

from rakelight.facts.load import Facts
from rakelight.facts.records import Figure, Material


def is_lacquer(row: Material) -> bool:
    """Whether it is a lacquer in fast solvent."""
    return "lacquer" in row.caution_class


def chill_figure(facts: Facts, row: Material, by: str, retarded: bool = False) -> Figure:
    """How far a wet film cools below the piece, K, by finish and method.

    Lacquer laid by hand counts as sprayed. Oil, varnish, colour, size, wax and fillers in solvent are taken as
    oil: nothing in them turns white. Source: docs/decisions.md, "Air".
    """
    if is_lacquer(row):
        return facts.figure("chill_lacquer_retarded_k" if retarded else "chill_lacquer_spray_k")
    if row.is_shellac:
        return facts.figure("chill_shellac_spray_k" if by == "spray" else "chill_shellac_hand_k")
    return facts.figure("chill_water_borne_k" if row.is_water_borne else "chill_oil_k")
