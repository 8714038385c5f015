"""How a dip or ripple in a film is seen, by how wide it is and from how far.

Source: bands of the structure spectrum (encyclopaedia article on orange peel, section on measurement, read): under
0.1 mm dullness, then Wa to 0.3, Wb to 1, Wc to 3, Wd to 10, We to 30 mm; the eye resolves about 60 cycles a degree
(National Research Council 1985, appendix A, after Campbell and Robson 1968).
"""

from __future__ import annotations

import math

from rakelight.units.factors import MM_PER_M

#: finest pattern an eye resolves, cycles a degree
EYE_LIMIT = 60.0
#: upper edge of each band, mm, its letter, and what a maker sees
BANDS = (
    (0.1, "", "dulls the shine"),
    (0.3, "Wa", "blurs what is mirrored, close up"),
    (1.0, "Wb", "shows as fine texture"),
    (3.0, "Wc", "shows as small orange peel"),
    (10.0, "Wd", "shows as orange peel"),
    (30.0, "We", "shows as long waves"),
)


def cycles_per_degree(width_mm: float, distance_m: float) -> float:
    """Waves of a width that fit into a degree of sight.

    Parameters: width_mm, of one wave, above 0; distance_m, of the eye, above 0. Raises ValueError for none.

    >>> round(cycles_per_degree(1.0, 0.4), 1)
    7.0
    """
    if width_mm <= 0 or distance_m <= 0:
        raise ValueError("a width and a distance are above nothing")
    return distance_m * MM_PER_M * math.pi / (180 * width_mm)


def resolved(width_mm: float, distance_m: float) -> bool:
    """Whether an eye at a distance sees single waves of a width; what it does not, it sees as less gloss."""
    return cycles_per_degree(width_mm, distance_m) <= EYE_LIMIT


def seen_as(width_mm: float) -> str:
    """What a structure of a width does to a surface, in a maker's words; "" wider than any band.

    >>> seen_as(0.2), seen_as(5)
    ('blurs what is mirrored, close up', 'shows as orange peel')
    """
    return next((words for most, _, words in BANDS if width_mm < most), "")
