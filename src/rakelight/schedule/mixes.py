"""What goes into a finish as it is laid: flakes and alcohol, finish and thinner, dye and its liquid."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Any

from rakelight.facts.cans import Thinner, thinner_of
from rakelight.facts.load import Facts
from rakelight.facts.names import find_solvent
from rakelight.facts.records import Material
from rakelight.physics import mixing
from rakelight.schedule.steps import Step
from rakelight.schedule.tasks import Lay
from rakelight.units import G_PER_OZ, ML_PER_L, show_jar, show_mass


@dataclass(frozen=True)
class Mix:
    """One jar: what to put in and what it makes."""

    made_ml: float
    says: str
    cut_lb: float | None = None
    flakes_g: float = 0.0
    powder_g: float = 0.0
    finish_ml: float = 0.0  # as it comes from the can
    thinner: str = ""
    thinner_ml: float = 0.0  # all the alcohol, for shellac

    def as_json(self) -> dict[str, Any]:
        """As plain data, without what does not apply."""
        row = {
            "says": self.says,
            "made_ml": self.made_ml,
            "cut_lb": self.cut_lb,
            "flakes_g": self.flakes_g,
            "powder_g": self.powder_g,
            "finish_ml": self.finish_ml,
            "thinner": self.thinner,
            "thinner_ml": self.thinner_ml,
        }
        return {key: value for key, value in row.items() if value}


@dataclass(frozen=True)
class Contents:
    """Contents of one millilitre of a finish as it is laid."""

    laid_share: float = 1.0  # liquid laid, of the litres the coverage speaks of
    cut_lb: float | None = None
    finish_ml: float = 1.0  # from the can
    flakes_g: float = 0.0
    powder_g: float = 0.0
    thinner_ml: float = 0.0
    thinner: Thinner | None = None
    name: str = ""

    def mixed(self, least_ml: float, unit: str) -> Mix | None:
        """A jar of at least so much, rounded up as a maker measures; None where nothing is mixed.

        >>> Contents(cut_lb=2, finish_ml=0, flakes_g=0.2, thinner_ml=0.8333).mixed(151, "mm").says
        '32 g of flakes in 133 ml of alcohol make 160 ml, a 2 lb cut.'
        """
        if not (self.flakes_g or self.powder_g or self.thinner_ml) or least_ml <= 0:
            return None
        step = 5 if least_ml <= 100 else 10 if least_ml <= 500 else 50
        made = float(step * math.ceil(least_ml / step - 1e-9))
        return Mix(
            made,
            self._says(made, unit),
            self.cut_lb,
            round(self.flakes_g * made, 1),
            round(self.powder_g * made, 2),
            round(self.finish_ml * made, 1),
            self.thinner.name if self.thinner else "",
            round(self.thinner_ml * made, 1),
        )

    def _says(self, made_ml: float, unit: str) -> str:
        thinner_ml, made = show_jar(self.thinner_ml * made_ml, unit), show_jar(made_ml, unit)
        if self.cut_lb:
            flakes = _g(self.flakes_g * made_ml, unit)
            return f"{flakes} of flakes in {thinner_ml} of alcohol make {made}, a {self.cut_lb:g} lb cut."
        name = self.thinner.name if self.thinner else "thinner"
        if self.powder_g:
            return f"{_g(self.powder_g * made_ml, unit)} of dye in {thinner_ml} of {name}."
        return f"{show_jar(self.finish_ml * made_ml, unit)} and {thinner_ml} of {name} make {made}."


def recipe(material: Material, lay: Lay, step: Step | None, facts: Facts) -> Contents:
    """What one millilitre of this coat holds, at its cut, strength and thinning."""
    thinner = thinner_of(material.carrier)
    if material.is_shellac:
        return _shellac(material, lay, facts, thinner)
    if step is not None and step.strength_g_per_l:
        return Contents(1.0, None, 0.0, 0.0, step.strength_g_per_l / ML_PER_L, 1.0, thinner, material.name)
    thin = lay.thin or 0.0
    neat = mixing.neat_ml(1.0, thin)
    share = 1.0
    if "as-mixed" in material.coverage_basis and not thin:
        share = facts.figures["tung_mixed_share"].value.likely
    return Contents(share, None, neat, 0.0, 0.0, 1.0 - neat, thinner, material.name)


def _shellac(material: Material, lay: Lay, facts: Facts, thinner: Thinner | None) -> Contents:
    resin = facts.figures["resin_density_kg_per_l"].value.likely
    cut = lay.cut_lb
    if not cut:  # the row's own, to the half pound
        cut = round(2 * mixing.cut_of_solids(material.solids_volume.likely, resin)) / 2
    alcohol = mixing.alcohol_ml(cut, mixing.neat_ml(1.0, lay.thin or 0.0), resin)
    flakes = mixing.flakes_g(cut, alcohol)
    if lay.thin:
        alcohol += 1.0 - mixing.neat_ml(1.0, lay.thin)
        cut = round(mixing.cut_of(flakes, alcohol), 2)
    return Contents(1.0, cut, 0.0, flakes, 0.0, alcohol, thinner, material.name)


def _g(mass_g: float, unit: str) -> str:
    shown = f"{mass_g:.0f} g" if mass_g >= 9.95 else f"{mass_g:.1f} g"
    return f"{shown} ({show_mass(mass_g, unit)})" if unit == "in" and mass_g >= G_PER_OZ else shown


def thinner_solvents(facts: Facts, row: Material, name: str) -> dict[str, float]:
    """Solvents of a thinner by share: the one it is, else those of the material it thins; none of water.

    >>> from rakelight.facts import load
    >>> thinner_solvents(load(), load().materials["tung_pure"], "mineral spirits")
    {'mineral spirits (Stoddard type)': 1.0}
    """
    if name in ("", "water"):
        return {}
    found = find_solvent(facts, name).one
    return {found: 1.0} if found else dict(row.vapour_solvents_mass)


def lights_from_c(facts: Facts, row: Material, thinner: str = "") -> float | None:
    """The temperature from which the vapour of a finish can light, thinned or not; None where none is known.

    The lower flash point of the finish and of what thins it: the lighter part leaves first (common practice).
    """
    own = [row.flash_point_c.low] if row.flash_point_c and not row.is_water_borne else []
    more = (facts.solvents[name].figures.get("flash_cc_c") for name in thinner_solvents(facts, row, thinner))
    return min([*own, *(flash for flash in more if flash is not None)], default=None)
