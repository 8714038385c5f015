"""Cutting through: the chance that rubbing takes more than the film that is there.

Film and removal vary from spot to spot; both are taken lognormal, so neither is ever below nothing. Source:
reliability of a margin in its standard form; the spreads come from the tables and are judgement, not record.
"""

from __future__ import annotations

import math
from collections.abc import Callable

from rakelight.errors import RakelightError


def _phi(x: float) -> float:
    return 0.5 * math.erfc(-x / math.sqrt(2.0))


def _check(**shares: float) -> None:
    for name, value in shares.items():
        if not (math.isfinite(value) and value >= 0):
            raise RakelightError(f"{name} is 0 or more, not {value}.")


def _log_sd(cv: float) -> float:
    return math.sqrt(math.log1p(cv * cv))


def chance(film_um: float, removal_um: float, film_cv: float, removal_cv: float) -> float:
    """Chance that one spot is cut through, 0-1.

    Parameters: film_um and removal_um, means, 0 and up; film_cv and removal_cv, standard deviation over mean from
    spot to spot, 0 and up. No film is always cut through by any removal; no removal never cuts.
    Source: lognormal margin, P = Phi(-(ln-mean film - ln-mean removal) / joint ln-deviation).

    >>> round(chance(50, 26, 0.25, 0.30), 4)
    0.0409
    """
    _check(film=film_um, removal=removal_um, film_cv=film_cv, removal_cv=removal_cv)
    if removal_um <= 0:
        return 0.0
    if film_um <= 0:
        return 1.0
    film_sd, removal_sd = _log_sd(film_cv), _log_sd(removal_cv)
    margin = math.log(film_um / removal_um) - film_sd**2 / 2 + removal_sd**2 / 2
    both = math.hypot(film_sd, removal_sd)
    if both == 0:
        return float(margin < 0)
    return _phi(-margin / both)


def chance_normal(
    film_um: float, film_sd_um: float, removal_um: float, removal_sd_um: float, rho: float = 0.0
) -> float:
    """The same with normal film and removal, which may go together (`rho`, -1 to 1): a check on `chance`.

    >>> round(chance_normal(50, 12.5, 26, 7.8), 4)
    0.0517
    """
    _check(film=film_um, removal=removal_um, film_sd=film_sd_um, removal_sd=removal_sd_um)
    if not -1 <= rho <= 1:
        raise RakelightError(f"A correlation runs from -1 to 1, not {rho}.")
    variance = film_sd_um**2 + removal_sd_um**2 - 2 * rho * film_sd_um * removal_sd_um
    if variance <= 0:
        return float(film_um < removal_um)
    return _phi(-(film_um - removal_um) / math.sqrt(variance))


def anywhere(one: float, spots: float) -> float:
    """Chance that at least one of so many independent spots is cut through; fewer than one spot counts as one.

    >>> round(anywhere(0.0517, 12), 3)
    0.471
    """
    if not 0 <= one <= 1:
        raise RakelightError(f"A chance runs from 0 to 1, not {one}.")
    return -math.expm1(max(1.0, spots) * math.log1p(-one)) if one < 1 else 1.0


def film_for(odds: float, removal_um: float, film_cv: float, removal_cv: float) -> float:
    """Mean film at which one spot is cut through with just these odds (0-1, both ends excluded), um.

    The inverse of `chance` in closed form.

    >>> round(film_for(0.0409, 26, 0.25, 0.30))
    50
    """
    if not 0 < odds < 1:
        raise RakelightError(f"Odds to keep to lie between 0 and 1, not {odds}.")
    _check(removal=removal_um, film_cv=film_cv, removal_cv=removal_cv)
    from statistics import NormalDist

    film_sd, removal_sd = _log_sd(film_cv), _log_sd(removal_cv)
    z = -NormalDist().inv_cdf(odds)
    return removal_um * math.exp(z * math.hypot(film_sd, removal_sd) + film_sd**2 / 2 - removal_sd**2 / 2)


def least_coats(enough: Callable[[int], bool], most: int) -> int | None:
    """Least number of further coats (0 to `most`) that is enough; None where none of them is.

    Every number is tried in turn, so the answer is exact whether or not more coats always help.

    >>> least_coats(lambda n: 0.9 * n - 0.3 * (n - 1) >= 3, 20)
    5
    """
    return next((n for n in range(most + 1) if enough(n)), None)
