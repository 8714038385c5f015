"""May the coat in hand be laid in the air of this moment: one word and one sentence for the bench."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

from rakelight.desk import ShopDesk
from rakelight.desk.air_heard import air_read
from rakelight.errors import RakelightError
from rakelight.facts.load import Facts
from rakelight.papers.today import Doing
from rakelight.plan.air_answers import air_answer
from rakelight.shop.climate import air_at
from rakelight.shop.model import Place, Shop
from rakelight.units import show_delta_temp

_WORDS = {"go": "Go.", "warn": "Mind.", "hold": "Not now.", "refuse": "Not now."}


@dataclass(frozen=True)
class AirNow:
    """The air of a place at this moment: as it was read there, or as the shop's settings have it."""

    place: str
    temp_c: float
    rh: float
    read: datetime | None = None  # None: nobody read it lately


def air_of(desk: ShopDesk, place: str) -> AirNow | None:
    """The air of a place now; None where nothing is known of it."""
    read = air_read(desk, place)
    if read:
        return AirNow(place, read.temp_c, read.rh, read.at)
    try:
        return AirNow(place, *air_at(desk.shop, place, desk.now))
    except RakelightError:
        return None


def place_of(shop: Shop, doing: Doing) -> Place:
    """Where a step is done."""
    return shop.places.get(doing.place or shop.first_place.name, shop.first_place)


def air_now(shop: Shop, facts: Facts, doing: Doing, now: datetime, air: AirNow | None) -> tuple[str, str] | None:
    """Go or not now for a coat, by the air of its place.

    None where no coat is laid, where it is not of today, or where the air is not known.
    """
    lay, place = doing.step.lay if doing.step else None, place_of(shop, doing)
    if lay is None or air is None or doing.start.astimezone(now.tzinfo).date() > now.date():
        return None
    unit = "in" if doing.unit == "in" else ""
    try:
        answer = air_answer(facts, lay.material, lay.by, air.temp_c, air.rh, heater=place.heater, unit=unit)
    except RakelightError:
        return None
    by = f"By the air read at {air.read.hour}:{air.read:%M}." if air.read else ""
    if answer.verdict != "go":
        return _WORDS[answer.verdict], f"{answer.tests[0].says} {answer.mend} {by}".replace("  ", " ").strip()
    if answer.chill.high <= 1:
        return _WORDS["go"], by
    margin = show_delta_temp(answer.margin.likely, unit)
    return _WORDS["go"], f"The wet film stays about {margin} above the dew point. {by}".strip()
