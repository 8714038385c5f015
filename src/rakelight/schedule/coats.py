"""What one coat takes: millilitres to the square metre by material, method and wood.

Litres come from the coverage of the row, never from the film. Source: docs/decisions.md, "Litres".
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass, field
from typing import Any

from rakelight.facts.load import Facts
from rakelight.facts.records import Material
from rakelight.schedule.bare import Patch
from rakelight.schedule.mixes import Contents, Mix
from rakelight.spread import Spread
from rakelight.units import ML_PER_L

#: a row whose coverage is the mean of its coats, as its basis says
_MEAN_OF_COATS = "per coat, two coats"


@dataclass(frozen=True)
class CoatAmount:
    """What one session takes: the liquid as laid, and what is mixed for it."""

    task: str
    part: str
    step: str
    material: str
    name: str  # of the material, as a person reads it
    area_m2: float
    liquid: Spread  # ml, thinned and at its cut as laid, overspray in it
    gun_ml: float = 0.0  # what stays in the gun
    on_bare: bool = False  # first coat on bare wood, on any of its faces
    mix: Mix | None = None  # where something is mixed for it
    recipe: Contents = field(default=Contents(), compare=False)
    faces: tuple[str, ...] = ()
    board: bool = False  # on the test board
    jars: tuple[str, ...] = ()  # jars in stock it is laid from
    from_jar: float = 0.0  # share of it that they hold

    @property
    def taken(self) -> Spread:
        """Liquid with what stays in the gun, ml."""
        return self.liquid.with_shared(Spread.exact(self.gun_ml))

    def as_json(self) -> dict[str, Any]:
        """As plain data; `value` is the likely liquid in ml."""
        row: dict[str, Any] = {
            "value": _tidy(self.liquid.likely),
            "unit": "ml",
            "low": _tidy(self.liquid.low),
            "high": _tidy(self.liquid.high),
            "area_m2": round(self.area_m2, 4),
        }
        row |= {"mix": self.mix.as_json()} if self.mix else {}
        return row | ({"jars": list(self.jars)} if self.jars else {})


def ml_per_m2(material: Material, by: str, facts: Facts, patch: Patch, first: bool) -> Spread:
    """Liquid as laid that a square metre takes, ml.

    Parameters: by, how it is laid ("" or a way the row does not have counts as the row's first);
    first, whether it is the first coat of this material on bare wood.

    What soaks in takes as much whatever it is laid with: its wet film is what stays on top, and says nothing of it.
    A row that tells the mean of two coats on bare wood (as of hard-wax oil) has the thirstier first coat in it.
    """
    factors = _flat(material, by, facts)
    methods = material.wet_film_um
    wet = methods.get(by) or methods.get(next(iter(methods), ""))
    own = facts.shop.get(coverage_key(material, by)) if facts.shop else None
    if own:
        factors = [own.under(product(factors))]
    if by == "spray" and patch.slender:
        factors.append(_over(facts.figures["slender_transfer"].value))
    on_bare = facts.figures["bare_first_coat"].value
    if "filler" not in material.roles:
        if first and patch.end_grain:
            factors.append(facts.figures["end_grain_first"].value)
        if first and not material.basis_is_bare:
            factors.append(on_bare)
        if not first and material.basis_is_bare and _MEAN_OF_COATS not in material.coverage_basis:
            factors.append(_over(on_bare))
    if patch.stands and wet is not None and "film" in material.roles:
        most = facts.figures["stand_shellac_um" if material.is_shellac else "stand_other_um"].value.likely
        factors.append(Spread.exact(min(1.0, most / wet.likely)))
    return product(factors)


def coverage_key(material: Material, by: str) -> str:
    """The key of this shop's own coverage: by material and way of laying, "" being the row's first."""
    methods = material.wet_film_um
    return f"coverage:{material.id}:{by if by in methods or by == 'spray' else next(iter(methods), '')}"


def book_coverage(material: Material, by: str, facts: Facts) -> Spread:
    """Square metres a litre covers by the tables, as it is laid and on a sealed flat; losses of spraying in it."""
    return _over(product(_flat(material, by, facts)) / ML_PER_L)


def _flat(material: Material, by: str, facts: Facts) -> list[Spread]:
    """What makes the millilitres to the square metre of a flat: coverage, the way of laying, transfer."""
    factors = [_over(material.coverage_m2_per_l) * ML_PER_L]
    methods = material.wet_film_um
    basis = next(iter(methods), "")
    if by in methods and by != basis and material.coats_join != "absorbed":
        factors.append(Spread.exact(methods[by].likely / methods[basis].likely))
    if by == "spray":
        factors.append(_over(material.transfer or facts.figures["hvlp_transfer"].value))
    return factors


def product(factors: Iterable[Spread]) -> Spread:
    """Product of positive factors with errors of their own: likely values multiply, ends in square of logs.

    >>> product([Spread(0.5, 1.0, 2.0), Spread.exact(3.0)])
    Spread(low=1.5, likely=3.0, high=6.0)
    """
    parts = list(factors)
    likely = math.prod(s.likely for s in parts)
    down = math.sqrt(sum(math.log(s.likely / s.low) ** 2 for s in parts))
    up = math.sqrt(sum(math.log(s.high / s.likely) ** 2 for s in parts))
    return Spread(likely * math.exp(-down), likely, likely * math.exp(up))


def _over(share: Spread) -> Spread:
    return Spread(1 / share.high, 1 / share.likely, 1 / share.low)


def _tidy(value: float) -> float:
    return round(value, 1 if value < 100 else 0)
