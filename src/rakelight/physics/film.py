"""Film: what a wet coat leaves when it has dried, and what thinner does to it.

Source of both relations: `reference/surface/film_build.md`, "Exact relations". Numbers or arrays in and out.
"""

from __future__ import annotations

from typing import TypeVar

import numpy as np
from numpy.typing import NDArray

from rakelight.errors import RakelightError

Amount = TypeVar("Amount", float, NDArray[np.float64])


def _share(name: str, value: float | NDArray[np.float64]) -> None:
    found = np.asarray(value)
    if not np.all((found >= 0) & (found <= 1)):
        raise RakelightError(f"{name} is a share from 0 to 1, not {value}.")


def dry_um(wet_um: Amount, solids_volume: Amount) -> Amount:
    """Film left when a wet coat has dried.

    Parameters: wet_um, 0 and up; solids_volume, 0-1 of the liquid as laid. Returns um.
    Valid where nothing soaks in. Source: film_build.md (dry = wet x volume solids).

    >>> dry_um(100.0, 0.50)
    50.0
    """
    _share("The share of solids", solids_volume)
    return wet_um * solids_volume


def thinned_solids(solids_volume: Amount, thin: float) -> Amount:
    """Share of solids after thinner is added.

    Parameters: solids_volume, 0-1 before; thin, parts of thinner to one of the finish taken (0.25), 0 and up.

    >>> round(thinned_solids(0.30, 0.10), 4)
    0.2727
    """
    _share("The share of solids", solids_volume)
    if not thin >= 0:
        raise RakelightError(f"Thinner is added, so its share is 0 or more, not {thin}.")
    return solids_volume / (1.0 + thin)
