"""The air a piece lives in through the year: a town's with people and heat indoors, or a maker's own readings."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from rakelight.errors import Misread
from rakelight.facts.load import Facts
from rakelight.facts.records import MonthAir
from rakelight.physics.air import rh_of, vapour_pa

Floats = NDArray[np.float64]

DAYS = 365
#: the middle day of each month of a year that is no leap year
_MIDDLES = np.array([15.5, 45.0, 74.5, 105.0, 135.5, 166.0, 196.5, 227.5, 258.0, 288.5, 319.0, 349.5])
MONTHS = ("January", "February", "March", "April", "May", "June", "July", "August", "September", "October",
          "November", "December")  # fmt: skip
#: warmth at which people open windows: no vapour of theirs stays from here up. Source: figure lived_in_vapour_pa
_OPEN_C = 20.0
_INDOORS_C = 20.0
_COLDEST_DAY, _HALF_TURN = 20.0, 2.0 * np.pi / DAYS


@dataclass(frozen=True, eq=False)
class YearAir:
    """Indoor air on each day of a year, low, likely and high where it is a guess; and where it is from."""

    temp_c: Floats  # (365,)
    rh: Floats  # (365,)
    says: str
    dated: bool  # whether the days are those of a calendar

    def season(self, day: int) -> str:
        """Its month, where the air is dated; else the half of the year."""
        return month_of(day) if self.dated else ("winter" if day < 90 or day > 280 else "summer")


def month_of(day: float) -> str:
    """Month in which a day of the year (0 to 364) lies.

    >>> month_of(0), month_of(200), month_of(364)
    ('January', 'July', 'December')
    """
    ends = np.cumsum([31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31])
    return MONTHS[int(np.searchsorted(ends, day % DAYS, side="right"))]


def town_year(facts: Facts, words: str, heated_to_c: float | None = None) -> YearAir:
    """Air in a lived-in house of a town, day by day: outdoor vapour and that of the people, at the house's warmth.

    Parameters: words, a town of the table, "Chicago" or "Chicago, IL"; heated_to_c, 20 unless said.
    Raises Misread for a town that is not in the table: the nearest climate is the maker's choice.
    Validity: a guess; a house that is cooled, dried or aired in summer, without a humidifier in winter. The mean lies
    within the ranges of the Wood Handbook's table of moisture indoors (tests/published/test_wood_indoors.py).
    """
    year = _months(facts, words)
    added = facts.likely("lived_in_vapour_pa")
    outdoor = np.array([m.temp_c for m in year])
    warm_c, cooled_c = _INDOORS_C if heated_to_c is None else heated_to_c, facts.likely("house_cooled_c")
    indoor = np.clip(outdoor, warm_c, max(warm_c, cooled_c))
    dampest = facts.likely("house_dampest_rh")
    people = added * np.clip(1.0 - outdoor / _OPEN_C, 0.0, 1.0)
    water = np.asarray(vapour_pa(outdoor, np.array([m.rh for m in year]))) + people
    rh = np.minimum(rh_of(indoor, water), dampest)
    kept = f", kept under {100 * dampest:.0f} % in summer" if float(np.max(rh)) >= dampest else ""
    says = f"a heated house in {year[0].town}{kept}, guessed from the town's mean year and what people add"
    return YearAir(_days(indoor), _days(rh), says, True)


def outdoor_year(facts: Facts, words: str) -> YearAir:
    """Air of a town out of doors, day by day, as under a roof with no heat. Raises Misread for an unknown town."""
    year = _months(facts, words)
    temp, rh = np.array([m.temp_c for m in year]), np.array([m.rh for m in year])
    return YearAir(_days(temp), _days(rh), f"the open air of {year[0].town}, under a roof, the town's mean year", True)


def _months(facts: Facts, words: str) -> list[MonthAir]:
    """The twelve months of a town of the table."""
    name, _, state = (part.strip().casefold() for part in words.partition(","))
    year = sorted((m for m in facts.towns if m.town.casefold() == name and state in ("", m.state.casefold())),
                  key=lambda m: m.month)  # fmt: skip
    if len(year) != 12:
        known = ", ".join(sorted({m.town for m in facts.towns}))
        raise Misread(
            f"The year of {words!r} is not known.",
            f"Choose the town with the nearest climate: {known}; or give your own readings, --dry-rh and --damp-rh.",
        )
    return year


def own_year(dry_rh: float, damp_rh: float, temp_c: float = _INDOORS_C) -> YearAir:
    """Air that swings evenly between the driest and the dampest weeks of a maker's own readings (0 to 1)."""
    if dry_rh > damp_rh:
        raise Misread("The driest reading is damper than the dampest.", "Write --dry-rh 30 --damp-rh 60.")
    turn = np.cos(_HALF_TURN * (np.arange(DAYS) - _COLDEST_DAY))
    rh = (dry_rh + damp_rh) / 2.0 - (damp_rh - dry_rh) / 2.0 * turn
    says = f"your own readings, {100 * dry_rh:.0f} to {100 * damp_rh:.0f} %"
    return YearAir(np.full(DAYS, temp_c), rh, says, False)


def _days(by_month: Any) -> Floats:
    return np.asarray(np.interp(np.arange(DAYS) + 0.5, _MIDDLES, by_month, period=DAYS))
