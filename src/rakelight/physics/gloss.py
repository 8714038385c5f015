"""Gloss: what a film can shine at most, and what the last abrasive leaves of it.

Gloss units (GU) are those of ISO 2813: polished glass of index 1.567 reads 100 at every angle.
"""

from __future__ import annotations

import math

from rakelight.errors import RakelightError
from rakelight.spread import Spread

#: index of the glass that reads 100 (ISO 2813, ASTM D523)
REFERENCE_INDEX = 1.567
#: what a dead flat film still reads at 60 degrees, GU (judgement)
FLOOR_GU = 2.0
#: grain at which roughness takes all but 1/e of the shine at 60 degrees, um: set so that P1000 leaves about 12 and
#: P2000 about 48 GU (judgement; no table of gloss by grit for rubbed furniture was found)
GRAIN_UM = Spread(9.0, 12.6, 17.6)
#: angle at which a sheen word is meant, and from which bright and dull films are better told apart
ANGLE_DEG, BRIGHT_DEG, DULL_DEG = 60.0, 20.0, 85.0


def reflectance(index: float, angle_deg: float = ANGLE_DEG) -> float:
    """Share of unpolarised light a smooth film reflects (Fresnel).

    Parameters: index, of refraction, above 1; angle_deg, from the upright, 0 up to 90 (excluded). Returns 0-1.

    >>> round(reflectance(1.567), 6)
    0.100056
    """
    if not index > 1 or not math.isfinite(index):
        raise RakelightError(f"An index of refraction is above 1, not {index}.")
    if not 0 <= angle_deg < 90:
        raise RakelightError(f"An angle runs from 0 to under 90 degrees, not {angle_deg}.")
    across = math.cos(math.radians(angle_deg))
    within = math.sqrt(index**2 - math.sin(math.radians(angle_deg)) ** 2)
    upright = ((across - within) / (across + within)) ** 2
    level = ((index**2 * across - within) / (index**2 * across + within)) ** 2
    return (upright + level) / 2


def most_gu(index: float, angle_deg: float = ANGLE_DEG) -> float:
    """Gloss of a perfectly smooth film, GU.

    >>> [round(most_gu(1.516, angle), 1) for angle in (20, 60, 85)]
    [86.3, 91.8, 99.3]
    """
    return 100.0 * reflectance(index, angle_deg) / reflectance(REFERENCE_INDEX, angle_deg)


def roughness_loss(grain_um: float, angle_deg: float = ANGLE_DEG, scale_um: float = GRAIN_UM.likely) -> float:
    """Exponent of the shine lost to scratches: (grain / scale) squared, by the square of the cosine of the angle."""
    if grain_um < 0 or scale_um <= 0:
        raise RakelightError("A grain is 0 or more, and its scale above 0.")
    lean = math.cos(math.radians(angle_deg)) / math.cos(math.radians(ANGLE_DEG))
    return (grain_um / scale_um * lean) ** 2


def rubbed_gu(
    grain_um: float, index: float, angle_deg: float = ANGLE_DEG, scale_um: float = GRAIN_UM.likely
) -> float:
    """Gloss of a film rubbed evenly with a last abrasive, GU.

    Parameters: grain_um, size it acts like, 0 and up; index, of the film (or of wax upon it); angle_deg, 20, 60, 85;
    scale_um, `GRAIN_UM` or the shop's own. Validity: earlier scratches are gone; a class either way at 60 degrees.
    Source: roughness relation exp(-g) with a floor; the sizes powders act like are fitted to the trade's order.

    >>> [round(rubbed_gu(d, 1.516)) for d in (25.8, 15.0, 10.3, 4.0)]
    [3, 24, 48, 83]
    """
    top = max(most_gu(index, angle_deg), FLOOR_GU)
    return FLOOR_GU + (top - FLOOR_GU) * math.exp(-roughness_loss(grain_um, angle_deg, scale_um))


def rubbed_range_gu(
    grain_um: float, index: float, angle_deg: float = ANGLE_DEG, scale_um: Spread = GRAIN_UM
) -> Spread:
    """The same with its spread: hand, lubricant, worn paper and film move it by a class.

    >>> [round(gu) for gu in rubbed_range_gu(15.0, 1.516)]
    [8, 24, 45]
    """
    return Spread.of([rubbed_gu(grain_um, index, angle_deg, scale) for scale in scale_um])


def scale_from_reading(gu: float, grain_um: float, index: float) -> float | None:
    """This shop's own scale from one reading of a gloss meter at 60 degrees, um; None where it tells nothing.

    A reading within 1 GU of the most the film can shine, or of the least, fixes no scale.

    >>> round(scale_from_reading(48, 10.3, 1.516), 1)
    12.6
    """
    top = most_gu(index)
    if grain_um <= 0 or not FLOOR_GU + 1 <= gu <= top - 1:
        return None
    return grain_um / math.sqrt(-math.log((gu - FLOOR_GU) / (top - FLOOR_GU)))
