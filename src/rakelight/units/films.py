"""Thickness of film as people write it: mil (thousandths of an inch) or um."""

from __future__ import annotations

import math
import re

from rakelight.errors import Misread
from rakelight.units.factors import UM_PER_IN, UM_PER_MIL, UM_PER_MM
from rakelight.units.numbers import NUMBER, decimal_comma, number_of, plain, refuse_comma, said

#: a film thicker than this is not meant
THICKEST_UM = 5000.0

_EXAMPLE = '"2 mil" or "50 um"'
_UNITS = {"mil": UM_PER_MIL, "mils": UM_PER_MIL, "thou": UM_PER_MIL, "um": 1.0, "µm": 1.0, "μm": 1.0,
          "micron": 1.0, "microns": 1.0, "micrometres": 1.0, "micrometers": 1.0, "mm": UM_PER_MM,
          "in": UM_PER_IN, "inch": UM_PER_IN, "inches": UM_PER_IN}  # fmt: skip
_FILM = re.compile(rf"({NUMBER})\s*([a-zµμ]+)?$")


def film_unit(words: str) -> str:
    """Unit to answer in to one who writes a film so: "in" for mil, else "mm".

    >>> film_unit("2 mil"), film_unit("50 um")
    ('in', 'mm')
    """
    found = _FILM.match(decimal_comma(plain(words)))
    return "in" if found and _UNITS.get(found[2] or "") in (UM_PER_MIL, UM_PER_IN) else "mm"


def read_film(value: object) -> float:
    """A thickness of film in um.

    Raises Misread for what is no thickness, has no unit, is negative or over 5 mm.

    >>> read_film("50 um"), round(read_film("2 mil"), 1), round(read_film("0.002 in"), 1)
    (50.0, 50.8, 50.8)
    """
    words = decimal_comma(plain(value)) if isinstance(value, str) else ""
    refuse_comma(words, _EXAMPLE)
    found = _FILM.match(words)
    if not found:
        raise Misread(f"{said(value)} cannot be read as a thickness of film.", f"Write it as {_EXAMPLE}.")
    if found[2] is None:
        raise Misread(f"{said(value)} has no unit.", f'Write "{found[1]} um" or "{found[1]} mil".')
    if found[2] not in _UNITS:
        raise Misread(f"{said(value)} has a unit no film is told in.", f"Write it as {_EXAMPLE}.")
    um = number_of(found[1]) * _UNITS[found[2]]
    if not math.isfinite(um) or um > THICKEST_UM:
        raise Misread(f"{said(value)} is over 5 mm.", f"Look at the unit; write it as {_EXAMPLE}.")
    return um
