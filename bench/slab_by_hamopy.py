"""A slab of wood by hamopy 0.4.0, a finite-element package for damp in walls, where it is installed.

It prints the rows of `tests/published/wood/slab_by_hamopy.csv`: `python -m bench.slab_by_hamopy`. The package is not
among the dependencies; its published wall exercises give inputs and pictures, no figures, and carry heat and liquid
water too, so a slab of its own equation for vapour is what can be held against this core. Material as hamopy takes it:
sorption a cubic through four points of this house's isotherm, permeability = density x diffusivity x slope / p_sat.
"""

from __future__ import annotations

import numpy as np

from rakelight.physics.emc import emc_pct
from rakelight.physics.film_damp import face_resistance
from rakelight.physics.moisture import diffusivity_m2_per_s

GRAVITY, THICK_MM, TEMP_C, FROM_RH, TO_RH, TIMES = 0.55, 22.0, 20.0, 0.40, 0.65, 1.5
CASES = {"three coats over a bare underside": (163.0, None), "bare": (None, None)}  # top, underside: ng/(Pa m2 s)
DAYS, ELEMENTS, STEP_S = (1, 3, 7, 14), 60, 3600.0


def main() -> None:
    """Print each case and day: mean moisture (%), tilt (% a mm)."""
    from hamopy import ham_library as ham  # type: ignore
    from hamopy.algorithm import calcul  # type: ignore
    from hamopy.classes import Boundary, Material, Mesh, Time  # type: ignore
    from hamopy.postpro import distribution  # type: ignore

    kelvin, density, thick_m = TEMP_C + 273.15, 1000.0 * GRAVITY, THICK_MM / 1000.0
    points = np.linspace(FROM_RH - 0.02, TO_RH + 0.02, 4)
    held = [density * float(emc_pct(TEMP_C, float(h))) / 100.0 for h in points]
    cubic, humid = np.polyfit(points, held, 3), np.linspace(0.30, 0.75, 91)
    spread = diffusivity_m2_per_s(np.polyval(cubic, humid) / density, TEMP_C, GRAVITY, TIMES)
    wood = Material("wood", rho=density, cp=1600)
    wood.set_conduc(lambda_0=0.12)
    wood.set_isotherm("polynomial", HR=points, W=held)
    wood.set_perm_vapor("interp", HR=humid, dp=spread * np.polyval(np.polyder(cubic), humid) / ham.p_sat(kelvin))
    x = np.linspace(0.0, thick_m, 2001)
    z = (x - thick_m / 2.0) * 1000.0
    for name, (top, under) in CASES.items():
        faces = [Boundary("Fourier", T=kelvin, HR=TO_RH, h_t=1e3, h_m=1.0 / face_resistance(p)) for p in (under, top)]
        mesh = Mesh(materials=[wood], sizes=[thick_m], nbr_elements=[ELEMENTS])
        clock = Time("variable", delta_t=STEP_S, t_max=(DAYS[-1] + 0.1) * 86400.0, iter_max=20, delta_min=1e-3,
                     delta_max=STEP_S)  # fmt: skip
        found = calcul(mesh, faces, {"T": kelvin, "HR": FROM_RH}, clock)
        for day in DAYS:
            pct = 100.0 * np.polyval(cubic, distribution(found, "HR", x, day * 86400.0)) / density
            mean = np.trapezoid(pct, x) / thick_m
            tilt = 12.0 / THICK_MM**3 * np.trapezoid((pct - mean) * z, z)
            print(f"{name},{day},{mean:.4f},{tilt:.5f}")


if __name__ == "__main__":
    main()
