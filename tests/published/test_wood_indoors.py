"""The guessed year of a house against the moisture of furniture by region.

Source: Wood Handbook (FPL-GTR-190, 2010), Table 13-2, from memory, its means 8, 6 and 11 % read besides in a forum
post quoting Figure 13-1; low and high are those of single pieces. Which region a town lies in: the map of that figure.
"""

import numpy as np
import pytest

from rakelight.facts import load
from rakelight.physics.emc import emc_pct
from rakelight.schedule.wood_air import town_year

MOST, DRY, COAST = (6.0, 8.0, 10.0), (4.0, 6.0, 9.0), (8.0, 11.0, 13.0)


@pytest.mark.parametrize(
    ("town", "region"),
    [("Chicago", MOST), ("Newark", MOST), ("Boulder", MOST), ("Las Vegas", DRY), ("Phoenix", DRY), ("Miami", COAST)],
)
def test_a_house_of_a_town_is_as_damp_as_furniture_of_its_region(
    town: str, region: tuple[float, float, float]
) -> None:
    low, mean, high = region
    year = town_year(load(), town)
    mc = np.asarray(emc_pct(year.temp_c, year.rh))
    assert float(mc.mean()) == pytest.approx(mean, abs=1.5)
    assert low <= float(np.median(mc)) <= high
    assert low - 1.5 <= float(mc.min()) and float(mc.max()) <= high + 1.5  # a month is further out than a year's mean


def test_a_heated_house_of_the_north_dries_in_frost_and_not_in_summer() -> None:
    """A finisher's measure of a Chicago house: January 5 to 6 %, summer 9 to 11 %; from memory."""
    year = town_year(load(), "Chicago")
    mc = np.asarray(emc_pct(year.temp_c, year.rh))
    assert 4.8 <= mc[:31].mean() <= 6.2 and 9.0 <= mc[181:243].mean() <= 11.1
    assert 0.20 <= year.rh[:31].mean() <= 0.35  # what hygrometers show there in January; common practice
