"""How fast a wet film loses solvent to still air.

Source: drying_models.md a, stage 1 (constant rate).
"""

from __future__ import annotations

#: g/(m2 h) for each Pa and g/mol. Source: S5 of the table of sources, printed as 1464 micrograms
STILL_AIR = 1464e-6


def still_air_g_m2_h(vapour_pressure_pa: float, molar_g: float) -> float:
    """Solvent lost from a wet film in still room air.

    Parameters: vapour_pressure_pa at the film's temperature; molar_g, g/mol. Returns g/(m2 h).

    >>> round(still_air_g_m2_h(1245, 116.16))  # butyl acetate at 20 C
    212
    """
    return STILL_AIR * vapour_pressure_pa * molar_g
