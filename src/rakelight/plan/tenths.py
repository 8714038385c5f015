"""A chance as it is said everywhere: in tenths, never as certain and never as hopeless."""

from __future__ import annotations

import math

#: at and beyond these the tenths would deny or promise too much. Assumption
LEAST, MOST = 0.05, 0.95
#: the same in hundredths: a thousand drawn outcomes know no more. Assumption
MOST_OF_100 = 98


def in_tenths(chance: float) -> int:
    """A chance (0-1) in tenths, half up: 1 to 9 between 5 and 95 in a hundred; 0 below, 10 above.

    >>> [in_tenths(x) for x in (0.04, 0.25, 0.45, 0.65, 0.85, 0.96)]
    [0, 3, 5, 7, 9, 10]
    """
    if chance >= MOST:
        return 10
    if chance <= LEAST:
        return 0
    return min(9, max(1, math.floor(chance * 10 + 0.5 + 1e-9)))  # 1e-9: no half is lost to binary fractions


def tenths_words(tenths: int) -> str:
    """Tenths in words.

    >>> tenths_words(8), tenths_words(10), tenths_words(0)
    ('8 in 10', 'better than 9 in 10', 'less than 1 in 10')
    """
    if tenths >= 10:
        return "better than 9 in 10"
    return f"{tenths} in 10" if tenths >= 1 else "less than 1 in 10"


def hundredths_words(chance: float) -> str:
    """A chance (0-1) in hundredths, for a shop that has a record; never as certain and never as hopeless.

    >>> hundredths_words(0.834), hundredths_words(0.999), hundredths_words(0.004)
    ('about 83 in 100', 'better than 98 in 100', 'less than 2 in 100')
    """
    count = math.floor(chance * 100 + 0.5 + 1e-9)
    if count > MOST_OF_100:
        return f"better than {MOST_OF_100} in 100"
    return f"about {count} in 100" if count >= 100 - MOST_OF_100 else f"less than {100 - MOST_OF_100} in 100"
