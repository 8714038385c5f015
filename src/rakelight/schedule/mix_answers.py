"""Answers about one jar: mix this cut, thin that, what is in it. Amounts come in words as people write them.

Every answer is a value with a sentence (`says`) and plain data (`as_json`).
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from rakelight.errors import Misread
from rakelight.facts.load import Facts
from rakelight.facts.names import find_material
from rakelight.physics import film, mixing
from rakelight.spread import Spread
from rakelight.units import (
    G_PER_OZ,
    ML_PER_TEASPOON,
    read_amount,
    read_cut,
    read_percent,
    show_mass,
    show_volume,
)

#: below this, spoons are said beside millilitres
_SPOONS_UNDER_ML = 30.0


@dataclass(frozen=True)
class MixAnswer:
    """Flakes and alcohol for a cut, and what they make; or the cut of what was put together."""

    cut_lb: Spread
    alcohol_ml: float
    flakes_g: Spread
    made_ml: Spread
    solids_volume: Spread
    solids_weight: float
    density_kg_per_l: float
    says: str
    rough: bool = False  # flakes by the cup

    def as_json(self) -> dict[str, Any]:
        """As plain data: likely figures by name, ranges in `ranges`."""
        likely = {
            "cut_lb": round(self.cut_lb.likely, 3),
            "alcohol_ml": round(self.alcohol_ml, 1),
            "flakes_g": round(self.flakes_g.likely, 1),
            "made_ml": round(self.made_ml.likely, 1),
            "solids_volume": round(self.solids_volume.likely, 4),
            "solids_weight": round(self.solids_weight, 4),
            "density_kg_per_l": round(self.density_kg_per_l, 4),
        }
        spreads = {"cut_lb": self.cut_lb, "flakes_g": self.flakes_g, "made_ml": self.made_ml,
                   "solids_volume": self.solids_volume}  # fmt: skip
        ranges = {key: _range(spread) for key, spread in spreads.items() if not spread.certain}
        return {"schema": 1, **likely, "ranges": ranges, "rough": self.rough, "says": self.says}


@dataclass(frozen=True)
class ThinAnswer:
    """Thinner to add to what is there, and what it makes."""

    of_ml: float
    add_ml: float
    made_ml: float
    says: str
    thinner: str = ""
    cut_lb: float | None = None  # what it becomes
    flakes_g: float | None = None  # in it
    solids_volume: float | None = None  # what it becomes

    def as_json(self) -> dict[str, Any]:
        """As plain data, without what does not apply."""
        row: dict[str, Any] = {
            "schema": 1,
            "of_ml": round(self.of_ml, 1),
            "add_ml": round(self.add_ml, 1),
            "made_ml": round(self.made_ml, 1),
        }
        rest = {
            "thinner": self.thinner or None,
            "cut_lb": None if self.cut_lb is None else round(self.cut_lb, 3),
            "flakes_g": None if self.flakes_g is None else round(self.flakes_g, 1),
            "solids_volume": None if self.solids_volume is None else round(self.solids_volume, 4),
        }
        return row | {key: value for key, value in rest.items() if value is not None} | {"says": self.says}


def mix_answer(
    facts: Facts, cut: object = None, *, alcohol: object = None, flakes: object = None, make: object = None,
    unit: str = "",
) -> MixAnswer:  # fmt: skip
    """Shellac from flakes, from two of cut, alcohol and flakes, or from the cut and what is to be made.

    Parameters: cut, 2 or "2 lb"; alcohol and make, volumes in words; flakes, a weight in words, or a volume
    where they were measured by the cup (then roughly); unit, "in" or "mm", for the sentence.
    Raises Misread for words that cannot be read, or where too few or too many are given.
    """
    cut, alcohol, flakes, make = (word or None for word in (cut, alcohol, flakes, make))
    resin = facts.figure("resin_density_kg_per_l").value
    given = [word is not None for word in (cut, alcohol, flakes, make)]
    if given not in _ENOUGH:
        raise Misread(
            "That is not enough to mix by, or it says the same thing twice.",
            "Give the cut with one of alcohol, flakes or what to make; or alcohol with flakes.",
        )
    rough = False
    if cut is not None:
        cuts = Spread.exact(read_cut(cut))
        if alcohol is not None:
            alcohol_ml = _volume(alcohol, "alcohol")
        elif make is not None:
            alcohol_ml = mixing.alcohol_ml(cuts.likely, _volume(make, "what to make"), resin.likely)
        else:
            weighed, rough = _flakes(flakes, facts)
            alcohol_ml = weighed.likely / mixing.grams_per_ml(cuts.likely)
            cuts = cuts if weighed.certain else _cuts(weighed, alcohol_ml)
    else:
        weighed, rough = _flakes(flakes, facts)
        alcohol_ml = _volume(alcohol, "alcohol")
        cuts = _cuts(weighed, alcohol_ml)
    return _mixed(cuts, alcohol_ml, resin, facts, rough, unit)


#: cut, alcohol, flakes, make: what settles a mix and says nothing twice
_ENOUGH = (
    [True, True, False, False],
    [True, False, True, False],
    [True, False, False, True],
    [False, True, True, False],
)


def _mixed(cuts: Spread, alcohol_ml: float, resin: Spread, facts: Facts, rough: bool, unit: str) -> MixAnswer:
    spirit = facts.likely("alcohol_density_kg_per_l")
    middle, densities = cuts.likely, (resin.high, resin.likely, resin.low)  # dense resin makes least
    made = [mixing.made_ml(c, alcohol_ml, r) for c, r in zip(cuts, densities, strict=True)]
    solids = [mixing.solids_volume(c, r) for c, r in zip(cuts, densities, strict=True)]
    flakes = cuts * mixing.flakes_g(1.0, alcohol_ml)
    says = (
        f"{_mass(flakes.likely, unit)} of flakes in {_vol(alcohol_ml, unit)} of alcohol make "
        f"{_vol(made[1], unit)}, {_cut_words(cuts, facts, resin)}."
    )
    if rough:
        says += " Flakes by the cup are a rough measure: weigh them where you can."
    return MixAnswer(
        cuts,
        alcohol_ml,
        flakes,
        Spread.of(made),
        Spread.of(solids),
        mixing.solids_weight(middle, spirit),
        mixing.density_kg_per_l(middle, resin.likely, spirit),
        says,
        rough,
    )


def thin_answer(
    facts: Facts, material: str = "shellac", *, of: object = None, make: object = None,
    from_cut: object = None, to_cut: object = None, by: object = None, unit: str = "",
) -> ThinAnswer:  # fmt: skip
    """Thinner to add: shellac from one cut to another, anything else by a share of its volume.

    Parameters: of, volume there is; or make, volume wanted; from_cut and to_cut, for shellac; by, "25 %" of
    the volume taken, for anything else; unit, "in" or "mm", for the sentence.
    Raises Misread for words that cannot be read or do not fit.
    """
    of, make, from_cut, to_cut, by = (word or None for word in (of, make, from_cut, to_cut, by))
    if (of is None) == (make is None):
        raise Misread("Say how much there is, or how much is wanted.", 'Write for example "100 ml".')
    if by is not None:
        return _thinned(facts, material, of, make, read_percent(by), unit)
    if from_cut is None or to_cut is None:
        raise Misread("Say from which cut to which, or by how much.", "Write from 3 to 1 (lb), or by 25 %.")
    resin = facts.likely("resin_density_kg_per_l")
    strong, weak = read_cut(from_cut), read_cut(to_cut)
    if weak > strong:
        raise Misread(
            f"Alcohol makes a cut weaker, so {strong:g} lb cannot become {weak:g} lb.",
            "Add flakes, or exchange the two cuts.",
        )
    share = mixing.part_of_stock(strong, weak, resin)
    of_ml = _volume(of, "what there is") if of is not None else _volume(make, "what is wanted") * share
    add_ml = of_ml * mixing.thin_parts(strong, weak, resin)
    flakes = mixing.flakes_g(strong, mixing.alcohol_ml(strong, of_ml, resin))
    words = _cut_words(Spread.exact(weak), facts, facts.figure("resin_density_kg_per_l").value)
    says = (
        f"Add {_vol(add_ml, unit)} of alcohol to {_vol(of_ml, unit)} of {strong:g} lb cut: it makes "
        f"{_vol(of_ml + add_ml, unit)}, {words}, with {_mass(flakes, unit)} of flakes in it."
    )
    solids = mixing.solids_volume(weak, resin)
    return ThinAnswer(of_ml, add_ml, of_ml + add_ml, says, "denatured alcohol", weak, flakes, solids)


def _thinned(facts: Facts, said: str, of: object, make: object, share: float, unit: str) -> ThinAnswer:
    from rakelight.facts.cans import thinner_of

    found = find_material(facts, said)
    meant = [facts.materials[id] for id in found.ids]
    if not meant:
        raise Misread(f"{said!r} is not a material we know.", found.ask)
    thinners = {t.name for m in meant if (t := thinner_of(m.carrier))}
    thinner = thinners.pop() if len(thinners) == 1 else ""
    of_ml = _volume(of, "what there is") if of is not None else mixing.neat_ml(
        _volume(make, "what is wanted"), share
    )  # fmt: skip
    add_ml = of_ml * share
    spoons = f" ({add_ml / ML_PER_TEASPOON:.2g} teaspoons)" if add_ml < _SPOONS_UNDER_ML else ""
    says = (
        f"Add {_vol(add_ml, unit)}{spoons} of {thinner or 'thinner'} to {_vol(of_ml, unit)} of {said}: "
        f"it makes {_vol(of_ml + add_ml, unit)}."
    )
    one = meant[0] if len(meant) == 1 and not meant[0].is_shellac else None
    solids = film.thinned_solids(one.solids_volume.likely, share) if one else None
    return ThinAnswer(of_ml, add_ml, of_ml + add_ml, says, thinner, solids_volume=solids)


def share_answer(of: object, by: object, unit: str = "") -> ThinAnswer:
    """A share of a batch in millilitres and spoons, as of colour added by per cent.

    Parameters: of, the batch; by, "2 %". Raises Misread for words that cannot be read.

    >>> share_answer("1 cup", "2 %").says
    '2 % of 237 ml is 4.7 ml (0.96 teaspoons).'
    """
    of_ml, share = _volume(of, "the batch"), read_percent(by)
    add_ml = of_ml * share
    spoons = f"{add_ml / ML_PER_TEASPOON:.2g} teaspoons"
    says = f"{share * 100:.3g} % of {_vol(of_ml, unit)} is {_vol(add_ml, unit)} ({spoons})."
    return ThinAnswer(of_ml, add_ml, of_ml + add_ml, says)


def reverse_answer(facts: Facts, *, cut: object, of: object, add: object, unit: str = "") -> ThinAnswer:
    """What a jar of a known cut becomes with so much alcohol added.

    Parameters: cut and of, what is in the jar; add, alcohol put in.
    Raises Misread for words that cannot be read.
    """
    resin = facts.figure("resin_density_kg_per_l").value
    strong, of_ml, add_ml = read_cut(cut), _volume(of, "what there is"), _volume(add, "alcohol")
    became = mixing.cut_after(strong, of_ml, add_ml, resin.likely)
    flakes = mixing.flakes_g(strong, mixing.alcohol_ml(strong, of_ml, resin.likely))
    says = (
        f"{_vol(of_ml, unit)} of {strong:g} lb cut with {_vol(add_ml, unit)} of alcohol is "
        f"{_vol(of_ml + add_ml, unit)}, {_cut_words(Spread.exact(became), facts, resin)}."
    )
    solids = mixing.solids_volume(became, resin.likely)
    return ThinAnswer(of_ml, add_ml, of_ml + add_ml, says, "denatured alcohol", became, flakes, solids)


def _volume(said: object, what: str) -> float:
    amount = read_amount(said)
    if amount.unit != "ml":
        raise Misread(f"{said!r} is a weight, and {what} is a volume.", "Write it as 100 ml or 16 fl oz.")
    return amount.value


def _flakes(said: object, facts: Facts) -> tuple[Spread, bool]:
    """Grams of flakes, and whether only roughly."""
    amount = read_amount(said)
    if amount.unit == "g":
        return Spread.exact(amount.value), False
    return facts.figure("loose_flake_g_per_ml").value * amount.value, True


def _cuts(weighed: Spread, alcohol_ml: float) -> Spread:
    return Spread.of([mixing.cut_of(grams, alcohol_ml) for grams in weighed])


def _cut_words(cuts: Spread, facts: Facts, resin: Spread) -> str:
    thin = mixing.solids_volume(cuts.likely, resin.likely) < facts.likely("film_low_solids")
    name = f"a {cuts.likely:.2g} lb cut"
    if not cuts.certain:
        name = f"about {name} ({cuts.low:.2g} to {cuts.high:.2g})"
    return name + (", a wash coat" if thin else "")


def _vol(volume_ml: float, unit: str) -> str:
    shown = f"{volume_ml:.0f} ml" if volume_ml >= 9.95 else f"{volume_ml:.1f} ml"
    if unit != "in":
        return shown
    ounces = show_volume(volume_ml, unit)
    return f"{ounces} ({shown})" if "oz" in ounces or "quart" in ounces else shown


def _mass(mass_g: float, unit: str) -> str:
    shown = f"{mass_g:.0f} g" if mass_g >= 9.95 else f"{mass_g:.1f} g"
    return f"{shown} ({show_mass(mass_g, unit)})" if unit == "in" and mass_g >= G_PER_OZ else shown


def _range(spread: Spread) -> dict[str, float]:
    return {"low": round(spread.low, 4), "likely": round(spread.likely, 4), "high": round(spread.high, 4)}
