"""Shellac and thinning by mass balance: flakes, alcohol, what is made, and the way back from a jar.

A cut of n pounds is n pounds of dry flakes dissolved in one US gallon of *alcohol*, and volumes add: resin of
1.20 kg/l takes up a tenth of a gallon a pound, so a gallon of alcohol with 2 lb of flakes makes 1.2 gallons.
Valid for cuts up to about 10 lb. Source: reference/materials/shellac.md (S1, S2, S3).
"""

from __future__ import annotations

from rakelight.errors import RakelightError
from rakelight.spread import Spread
from rakelight.units import G_PER_LB, ML_PER_US_GALLON


def grams_per_ml(cut_lb: float) -> float:
    """Flakes to each millilitre of alcohol.

    Parameters: cut_lb, pounds to a US gallon of alcohol, 0 and up. Returns g/ml. Exact by definition.

    >>> round(1000 * grams_per_ml(2), 1)
    239.7
    """
    if not 0 <= cut_lb < float("inf"):
        raise RakelightError(f"A cut is a number of pounds from 0 up, not {cut_lb}.")
    return cut_lb * G_PER_LB / ML_PER_US_GALLON


def swelling(cut_lb: float, resin_kg_per_l: float) -> float:
    """Volume of resin to one volume of alcohol: what the flakes add to the jar.

    Parameters: cut_lb; resin_kg_per_l, density of the dissolved resin. Returns 0.2 for a 2 lb cut.
    """
    if not resin_kg_per_l > 0:
        raise RakelightError(f"The density of resin is above 0 kg/l, not {resin_kg_per_l}.")
    return grams_per_ml(cut_lb) / resin_kg_per_l


def flakes_g(cut_lb: float, alcohol_ml: float) -> float:
    """Flakes to weigh for some alcohol.

    >>> round(flakes_g(2, 473.2), 1)
    113.4
    """
    return grams_per_ml(cut_lb) * alcohol_ml


def made_ml(cut_lb: float, alcohol_ml: float, resin_kg_per_l: float) -> float:
    """Volume that alcohol and its flakes make together."""
    return alcohol_ml * (1.0 + swelling(cut_lb, resin_kg_per_l))


def alcohol_ml(cut_lb: float, made_ml: float, resin_kg_per_l: float) -> float:
    """Alcohol to take so that a wanted volume is made."""
    return made_ml / (1.0 + swelling(cut_lb, resin_kg_per_l))


def solids_volume(cut_lb: float, resin_kg_per_l: float) -> float:
    """Share of the volume that stays as film, 0 to 1.

    Parameters: cut_lb, pounds to a US gallon of alcohol; resin_kg_per_l. Source: shellac_cuts.csv.

    >>> round(solids_volume(2, 1.20), 3)
    0.166
    """
    room = swelling(cut_lb, resin_kg_per_l)
    return room / (1.0 + room)


def solids_volume_spread(cut_lb: float, resin_kg_per_l: Spread) -> Spread:
    """Share of the volume that stays as film for an uncertain density of resin: dense resin, less."""
    low, likely, high = (solids_volume(cut_lb, density) for density in resin_kg_per_l)
    return Spread(high, likely, low)


def solids_weight(cut_lb: float, alcohol_kg_per_l: float) -> float:
    """Share of the weight that stays as film, 0 to 1."""
    flakes = grams_per_ml(cut_lb)
    return flakes / (flakes + alcohol_kg_per_l)


def density_kg_per_l(cut_lb: float, resin_kg_per_l: float, alcohol_kg_per_l: float) -> float:
    """Density of the solution.

    >>> round(density_kg_per_l(2, 1.20, 0.80), 3)
    0.867
    """
    return (grams_per_ml(cut_lb) + alcohol_kg_per_l) / (1.0 + swelling(cut_lb, resin_kg_per_l))


def thin_parts(from_lb: float, to_lb: float, resin_kg_per_l: float) -> float:
    """Alcohol to add to one part by volume of a cut so that it becomes a weaker one.

    Parameters: from_lb and to_lb, cuts, to_lb above 0 and not above from_lb. Returns parts.
    Raises RakelightError where the wanted cut is stronger than what is in the jar.
    Source: shellac.md, (a/b - 1) / (1 + a v).

    >>> round(thin_parts(3, 1, 1.20), 2)
    1.54
    """
    if not 0 < to_lb <= from_lb:
        raise RakelightError(
            f"Alcohol makes a cut weaker: {from_lb:g} lb to {to_lb:g} lb needs flakes, not alcohol."
        )
    return (from_lb / to_lb - 1.0) / (1.0 + swelling(from_lb, resin_kg_per_l))


def part_of_stock(from_lb: float, to_lb: float, resin_kg_per_l: float) -> float:
    """Share of a stronger cut in a wanted volume of a weaker one; the rest is alcohol.

    >>> round(1000 * part_of_stock(3, 1, 1.20))
    394
    """
    return 1.0 / (1.0 + thin_parts(from_lb, to_lb, resin_kg_per_l))


def cut_after(cut_lb: float, of_ml: float, add_ml: float, resin_kg_per_l: float) -> float:
    """What cut a jar becomes when alcohol is added (the way back).

    Parameters: cut_lb and of_ml, what is in the jar; add_ml, alcohol added. Returns pounds to a US gallon.

    >>> round(cut_after(3, 100, 400, 1.20), 2)
    0.48
    """
    alcohol = alcohol_ml(cut_lb, of_ml, resin_kg_per_l)
    if not alcohol + add_ml > 0:
        raise RakelightError("There is no alcohol in that jar, so it has no cut.")
    return cut_lb * alcohol / (alcohol + add_ml)


def cut_of(flakes_g: float, alcohol_ml: float) -> float:
    """The cut of flakes weighed into alcohol."""
    if not alcohol_ml > 0:
        raise RakelightError("There is no alcohol in that jar, so it has no cut.")
    return flakes_g / G_PER_LB / (alcohol_ml / ML_PER_US_GALLON)


def cut_of_solids(solids_volume: float, resin_kg_per_l: float) -> float:
    """The cut that leaves a share of its volume as film.

    >>> round(cut_of_solids(0.167, 1.20), 1)
    2.0
    """
    if not 0 <= solids_volume < 1:
        raise RakelightError(f"A share of solids is from 0 to below 1, not {solids_volume}.")
    return cut_of(resin_kg_per_l * solids_volume, 1.0 - solids_volume)


def thinned_ml(of_ml: float, thin: float) -> float:
    """Volume made by thinning with a share of the volume taken (0.25 is 25 ml to 100 ml); volumes add."""
    if not thin >= 0:
        raise RakelightError(f"Thinner is added, so its share is 0 or more, not {thin}.")
    return of_ml * (1.0 + thin)


def neat_ml(made_ml: float, thin: float) -> float:
    """Finish to take, before thinning, so that a wanted volume is made; the rest is thinner."""
    return made_ml / thinned_ml(1.0, thin)
