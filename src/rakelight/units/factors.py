"""Conversion factors: the only place where they stand. All are exact by definition."""

from __future__ import annotations

# Inch, foot, mil, pound: international yard and pound agreement, 1 July 1959 (1 yd = 0.9144 m,
# 1 lb = 0.45359237 kg); restated in NIST Handbook 44, appendix C. US gallon: 231 cubic inches (same place).
# Imperial gallon: 4.54609 l (UK Units of Measurement Regulations 1995). From memory, not read for this file.
MM_PER_IN = 25.4
IN_PER_FT = 12
MM_PER_FT = IN_PER_FT * MM_PER_IN
MM_PER_CM = 10.0
MM_PER_M = 1000.0
UM_PER_MM = 1000.0
UM_PER_IN = MM_PER_IN * UM_PER_MM
UM_PER_MIL = 25.4

MM2_PER_M2 = 1e6
M2_PER_FT2 = 0.09290304
M3_PER_FT3 = 0.028316846592
L_PER_M3 = 1000.0

ML_PER_L = 1000.0
ML_PER_US_GALLON = 3785.411784
L_PER_US_GALLON = ML_PER_US_GALLON / ML_PER_L
ML_PER_QUART = ML_PER_US_GALLON / 4
ML_PER_PINT = ML_PER_US_GALLON / 8
ML_PER_CUP = ML_PER_US_GALLON / 16
ML_PER_FL_OZ = ML_PER_US_GALLON / 128
ML_PER_TABLESPOON = ML_PER_US_GALLON / 256
ML_PER_TEASPOON = ML_PER_US_GALLON / 768
ML_PER_IMPERIAL_GALLON = 4546.09
ML_PER_IMPERIAL_QUART = ML_PER_IMPERIAL_GALLON / 4
ML_PER_IMPERIAL_PINT = ML_PER_IMPERIAL_GALLON / 8
ML_PER_IMPERIAL_FL_OZ = ML_PER_IMPERIAL_GALLON / 160

G_PER_KG = 1000.0
G_PER_LB = 453.59237
G_PER_OZ = G_PER_LB / 16

PPM_PER_PCT = 10_000.0
MIN_PER_H = 60.0
S_PER_H = 3600.0
H_PER_DAY = 24.0
H_PER_WEEK = 168.0
KELVIN_AT_0_C = 273.15
K_PER_DEGREE_F = 5.0 / 9.0


def f_to_c(temp_f: float) -> float:
    """Celsius of a Fahrenheit temperature.

    >>> f_to_c(212)
    100.0
    """
    return (temp_f - 32.0) * 5.0 / 9.0


def c_to_f(temp_c: float) -> float:
    """Fahrenheit of a Celsius temperature.

    >>> c_to_f(-40)
    -40.0
    """
    return temp_c * 9.0 / 5.0 + 32.0


def delta_f_to_k(difference_f: float) -> float:
    """Kelvin of a difference of temperature in Fahrenheit degrees.

    >>> delta_f_to_k(9)
    5.0
    """
    return difference_f * 5.0 / 9.0
