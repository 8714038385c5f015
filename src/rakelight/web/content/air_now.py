"""May the coat in hand be laid in the air of this moment: one word and one sentence for the bench."""

from __future__ import annotations

from datetime import datetime

from rakelight.errors import RakelightError
from rakelight.facts.load import Facts
from rakelight.papers.today import Doing
from rakelight.plan.air_answers import air_answer
from rakelight.shop.climate import air_at
from rakelight.shop.model import Shop
from rakelight.units import show_delta_temp

_WORDS = {"go": "Go.", "warn": "Mind.", "hold": "Not now.", "refuse": "Not now."}


def air_now(shop: Shop, facts: Facts, doing: Doing, now: datetime) -> tuple[str, str] | None:
    """Go or not now for a coat, by the air of its place as the shop's file or its thermometer has it.

    None where no coat is laid, where it is not of today, or where the air is not known.
    """
    lay = doing.step.lay if doing.step else None
    place = shop.places.get(doing.place or shop.first_place.name, shop.first_place)
    if lay is None or not place.air or doing.start.astimezone(now.tzinfo).date() > now.date():
        return None
    unit = "in" if doing.unit == "in" else ""
    try:
        temp_c, rh = air_at(shop, place.name, now)
        answer = air_answer(facts, lay.material, lay.by, temp_c, rh, heater=place.heater, unit=unit)
    except RakelightError:
        return None
    if answer.verdict != "go":
        return _WORDS[answer.verdict], f"{answer.tests[0].says} {answer.mend}".strip()
    if answer.chill.high <= 1:
        return _WORDS["go"], ""
    return _WORDS["go"], f"The wet film stays about {show_delta_temp(answer.margin.likely, unit)} above the dew point."
