"""Joints: each coat with what lies beneath it, and the row of the pairs that speaks of them."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from rakelight.facts.records import Pair
from rakelight.rules.case import Case, OnFace
from rakelight.schedule.layers import Layer
from rakelight.schedule.over import BARRIER


@dataclass(frozen=True)
class Joint:
    """A coat over a layer."""

    on: OnFace
    under: Layer
    over: Layer
    pair: Pair | None
    through: str = ""  # "" directly; "filler" beside the filled pores; "barrier" with a barrier between

    @property
    def verdict(self) -> str:
        """The row's verdict, "unknown" where there is none."""
        return self.pair.verdict if self.pair else "unknown"


def joints(case: Case) -> Iterator[Joint]:
    """Every coat of a part's own steps with what it lies on."""
    for on in case.faces:
        layers = on.stack.layers
        if on.stack.old_of and layers:
            old = Layer(on.stack.old_of, "film", "", on.part, "coat", "", on.stack.old_um, on.stack.old_um)
            layers = (old, *layers)
        for at in range(1, len(layers)):
            if layers[at].part == on.part:
                yield from _below(case, on, layers, at)


def _below(case: Case, on: OnFace, layers: tuple[Layer, ...], at: int) -> Iterator[Joint]:
    over, under = layers[at], layers[at - 1]
    yield Joint(on, under, over, case.facts.pair(under.material, over.material, over.by))
    if under.kind == "filler":
        land = next((layer for layer in reversed(layers[: at - 1]) if layer.kind != "filler"), None)
        if land and over.kind != "filler":
            yield Joint(on, land, over, case.facts.pair(land.material, over.material, over.by), "filler")
    if under.material == BARRIER and not over.material.startswith("shellac"):
        beneath = next((layer for layer in reversed(layers[: at - 1]) if layer.material != BARRIER), None)
        if beneath and beneath.kind in ("film", "oil", "wax"):
            yield Joint(
                on, beneath, over, case.facts.pair(beneath.material, over.material, over.by), "barrier"
            )


def special(case: Case, joint: Joint) -> str:
    """The rule that speaks of this joint in place of the general ones; "" where none does."""
    under, over = joint.under.material, joint.over.material
    upper = case.material(joint.over)
    if {under, over} & {"dye_alcohol"} and {under, over} & {"shellac_dewaxed", "shellac_waxy"}:
        return "alcohol-dye-over-shellac"
    if joint.under.kind == "wax":
        return "wax-beneath"
    water_borne = upper.is_water_borne and joint.over.kind != "filler"
    if (
        under == "shellac_waxy"
        and (water_borne or upper.mechanism == "oxidative")
        and joint.over.kind == "film"
    ):
        return "waxed-shellac-under-urethane"
    lower = case.material(joint.under)
    if water_borne and lower.mechanism == "oxidative" and joint.under.kind in ("oil", "colour", "filler"):
        return "no-barrier-oil-water-borne" if joint.verdict != "never" else ""
    return ""
