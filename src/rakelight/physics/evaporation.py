"""How fast a wet film loses solvent to still and to moving air.

Source: drying_models.md a, stage 1 (constant rate).
"""

from __future__ import annotations

from rakelight.physics.vapour import GAS_CONSTANT
from rakelight.units.factors import KELVIN_AT_0_C

#: g/(m2 h) for each Pa and g/mol. Source: S5 of the table of sources, printed as 1464 micrograms
STILL_AIR = 1464e-6
#: of the mass-transfer coefficient in moving air, m/s. Source: S6 of the table of sources
MOVING, WIND_POWER, LENGTH_POWER, SCHMIDT_POWER = 0.0048, 7 / 9, -1 / 9, -2 / 3
_S_PER_H = 3600.0


def still_air_g_m2_h(vapour_pressure_pa: float, molar_g: float) -> float:
    """Solvent lost from a wet film in still room air.

    Parameters: vapour_pressure_pa at the film's temperature; molar_g, g/mol. Returns g/(m2 h).

    >>> round(still_air_g_m2_h(1245, 116.16))  # butyl acetate at 20 C
    212
    """
    return STILL_AIR * vapour_pressure_pa * molar_g


def moving_air_g_m2_h(
    vapour_pressure_pa: float, molar_g: float, wind_m_s: float, length_m: float, schmidt: float, temp_c: float
) -> float:
    """Solvent lost from a wet film in moving air.

    Parameters: as `still_air_g_m2_h`; wind_m_s, over 0; length_m along the wind; schmidt, 0.6 water, 1.3 ethanol,
    2.5 spirits; temp_c of the film. Returns g/(m2 h).
    """
    k = float(MOVING * wind_m_s**WIND_POWER * length_m**LENGTH_POWER * schmidt**SCHMIDT_POWER)
    return k * molar_g * vapour_pressure_pa / (GAS_CONSTANT * (temp_c + KELVIN_AT_0_C)) * _S_PER_H
