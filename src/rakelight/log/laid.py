"""What a step took from the cans, and the same as plain data, so that it need not be worked out twice."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from typing import Any

from rakelight.facts.cans import thinners
from rakelight.schedule.coats import CoatAmount
from rakelight.schedule.mixes import Contents
from rakelight.spread import Spread

#: what of a recipe says from which cans it comes
_CONTENTS = ("cut_lb", "finish_ml", "flakes_g", "powder_g", "thinner_ml")


@dataclass(frozen=True)
class Laid:
    """What one step took, or counts as having taken."""

    at: datetime
    coat: CoatAmount
    told: Spread | None = None  # ml, where it was told
    can: str = ""  # where it was told


def as_plain(one: Laid) -> dict[str, Any]:
    """What a step took as plain data."""
    coat, made = one.coat, one.coat.recipe
    return {
        "at": one.at.isoformat(), "can": one.can, "told": list(one.told) if one.told else None,
        "task": coat.task, "part": coat.part, "step": coat.step, "material": coat.material, "name": coat.name,
        "area_m2": coat.area_m2, "liquid": list(coat.liquid), "gun_ml": coat.gun_ml,
        **{key: getattr(made, key) for key in _CONTENTS}, "thinner": made.thinner.carrier if made.thinner else "",
    }  # fmt: skip


def from_plain(row: dict[str, Any]) -> Laid:
    """The same again. Raises KeyError, ValueError or TypeError where it cannot be one."""
    thinner = next((t for t in thinners() if t.carrier == row["thinner"]), None)
    made = Contents(**{key: row[key] for key in _CONTENTS}, thinner=thinner)
    coat = CoatAmount(
        row["task"], row["part"], row["step"], row["material"], row["name"], row["area_m2"], Spread(*row["liquid"]),
        row["gun_ml"], recipe=made,
    )  # fmt: skip
    told = Spread(*row["told"]) if row["told"] else None
    return Laid(datetime.fromisoformat(row["at"]), coat, told, row["can"])
