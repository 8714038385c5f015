"""Film: wet and dry thickness, thinning, coverage. Exact relations of volume, area and thickness.

Source of all relations: `reference/surface/film_build.md`, "Exact relations". Numbers or arrays in and out.
"""

from __future__ import annotations

from typing import TypeVar

import numpy as np
from numpy.typing import NDArray

from rakelight.errors import RakelightError

Amount = TypeVar("Amount", float, NDArray[np.float64])

#: a litre spread one um thick covers so many m2: 1 dm3 / 1e-6 m, by definition
M2_UM_PER_L = 1000.0


def _positive(name: str, value: float | NDArray[np.float64]) -> None:
    if not np.all(np.asarray(value) > 0):
        raise RakelightError(f"{name} must be above 0, not {value}.")


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


def wet_for_um(dry_um: Amount, solids_volume: Amount) -> Amount:
    """Wet thickness to lay for a wanted film, um.

    >>> round(wet_for_um(100.0, 0.65), 1)
    153.8
    """
    _share("The share of solids", solids_volume)
    _positive("The share of solids", solids_volume)
    return dry_um / solids_volume


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


def coverage_m2_per_l(dry_um: Amount, solids_volume: float, transfer: float = 1.0) -> Amount:
    """Area that a litre covers with a wanted film.

    Parameters: dry_um, film wanted, above 0; solids_volume, 0-1; transfer, share that reaches the work, 0-1.

    >>> coverage_m2_per_l(125.0, 0.65)
    5.2
    """
    _positive("The film", dry_um)
    _share("The share of solids", solids_volume)
    _share("The share that reaches the work", transfer)
    return M2_UM_PER_L * solids_volume * transfer / dry_um


def coverage_wet_m2_per_l(wet_um: Amount) -> Amount:
    """Area that a litre covers, laid so thick.

    >>> coverage_wet_m2_per_l(100.0)
    10.0
    """
    _positive("The wet coat", wet_um)
    return M2_UM_PER_L / wet_um


def volume_l(area_m2: Amount, dry_um: float, solids_volume: float, transfer: float = 1.0) -> Amount:
    """Litres that a wanted film over an area takes; what stays in pot, gun and cloth is not in it.

    >>> round(volume_l(10.0, 50.0, 0.50), 3)
    1.0
    """
    return area_m2 / coverage_m2_per_l(dry_um, solids_volume, transfer)


def with_loss(theoretical: Amount, loss: float) -> Amount:
    """Area covered per litre (or gallon) when a share is lost on the way.

    >>> with_loss(100.0, 0.30)
    70.0
    """
    _share("The loss", loss)
    return theoretical * (1.0 - loss)


def needed(theoretical: Amount, use: float) -> Amount:
    """Volume to take when only a share of it ends on the work.

    >>> round(needed(9.310489, 0.7), 1)
    13.3
    """
    _share("The share used", use)
    _positive("The share used", use)
    return theoretical / use


def thickness_um(volume_l: Amount, area_m2: float) -> Amount:
    """Wet thickness of a volume spread evenly over an area, um.

    >>> thickness_um(1.0, 10.0)
    100.0
    """
    _positive("The area", area_m2)
    return M2_UM_PER_L * volume_l / area_m2


def dimple_um(pore_um: Amount, solids_volume: float, coats: int) -> Amount:
    """Dip left over a pore after coats that level when wet, none sanded, nothing soaking in, um.

    Source: film_build.md (each coat leaves the dip times one less its solids).

    >>> round(dimple_um(80.0, 0.30, 10), 2)
    2.26
    """
    _share("The share of solids", solids_volume)
    if coats < 0:
        raise RakelightError(f"A number of coats is 0 or more, not {coats}.")
    return pore_um * (1.0 - solids_volume) ** coats
