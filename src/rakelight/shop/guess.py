"""The air of a shop whose owner has no figures yet: guessed from the mean year of a town, and marked so."""

from __future__ import annotations

from collections.abc import Iterable

from rakelight.facts.records import MonthAir
from rakelight.physics.air import rh_of, vapour_pa
from rakelight.shop.climate import DAMPEST_RH
from rakelight.shop.model import MonthlyAir


def guessed_air(
    year: Iterable[MonthAir], heated_to_c: float | None, keeps: float, burner_pa_per_k: float = 0.0
) -> tuple[MonthlyAir, ...]:
    """Air indoors, month by month, from the outdoor air of a town.

    The air indoors holds the vapour of the air outdoors, warmed: never cooled, for a guess knows no cooler.
    Open it is at heated_to_c, closed part of the way back to the outdoors; without heat it is the outdoor air.

    Parameters: year, months of one town; heated_to_c, None where not heated; keeps, share of its
    lead over the outdoors that it has when closed (1: heated day and night); burner_pa_per_k,
    vapour that a burner without a flue adds for each degree
    it warms. Returns one MonthlyAir a month, humidity at most 0.98. Validity: a guess. Moisture that
    people, wet finish and a cold floor add is not in it, so winters come out dry.
    """
    found = []
    for month in year:
        open_temp_c = month.temp_c if heated_to_c is None else max(month.temp_c, heated_to_c)
        closed_temp_c = month.temp_c + keeps * (open_temp_c - month.temp_c)
        water_pa = vapour_pa(month.temp_c, month.rh)
        open_rh, closed_rh = (
            min(DAMPEST_RH, rh_of(t, water_pa + burner_pa_per_k * (t - month.temp_c)))
            for t in (open_temp_c, closed_temp_c)
        )
        found.append(MonthlyAir(month.month, open_temp_c, open_rh, closed_temp_c, closed_rh))
    return tuple(found)
