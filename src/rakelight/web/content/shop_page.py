"""What stands on the page of the shop: hours, places with their air."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from rakelight.desk.air_heard import Month
from rakelight.shop.model import Place, Shop
from rakelight.units import show_percent, show_temp
from rakelight.units.factors import M3_PER_FT3

_WEEK = ("Monday", "Tuesday", "Wednesday", "Thursday", "Friday", "Saturday", "Sunday")
_MONTHS = ("all year", "January", "February", "March", "April", "May", "June", "July", "August", "September",
           "October", "November", "December")  # fmt: skip
_USE = {
    "all": "all work",
    "drying only": "drying only",
    "wet only": "wet work only",
    "dusty only": "dusty work only",
}


@dataclass(frozen=True)
class PlaceRow:
    """One place."""

    name: str
    facts: tuple[tuple[str, str], ...]
    air: tuple[tuple[str, str, str], ...]  # month, while open, on a closed night
    guessed: bool
    heard: tuple[str, ...] = ()  # months in which it is as it was read there


@dataclass(frozen=True)
class ShopPage:
    """The shop in words."""

    name: str
    hours: tuple[tuple[str, str], ...]
    places: tuple[PlaceRow, ...]


def temp_unit(shop: Shop) -> str:
    """Fahrenheit ("in") where the shop's clock is an American one, else Celsius ("mm")."""
    return "in" if shop.zone.key.startswith(("America/", "US/")) else "mm"


def shop_page(shop: Shop, heard: Mapping[str, Sequence[Month]]) -> ShopPage:
    """The shop in words; heard, the months in which the air of a place was read there."""
    unit = temp_unit(shop)
    places = []
    for place in shop.places.values():
        months = tuple(_MONTHS[month.air.month] for month in heard.get(place.name, ()))
        places.append(replace(_place(place, unit), heard=months))
    return ShopPage(shop.name, _hours(shop), tuple(places))


def _hours(shop: Shop) -> tuple[tuple[str, str], ...]:
    """Hours, days that are alike together."""
    rows: list[tuple[int, int, str]] = []
    for day in range(7):
        spans = shop.hours.get(day, ())
        words = ", ".join(f"{a.hour}:{a:%M} to {b.hour}:{b:%M}" for a, b in spans) or "closed"
        if rows and rows[-1][2] == words:
            rows[-1] = (rows[-1][0], day, words)
        else:
            rows.append((day, day, words))
    return tuple((_WEEK[a] if a == b else f"{_WEEK[a]} to {_WEEK[b]}", words) for a, b, words in rows)


def _place(place: Place, unit: str) -> PlaceRow:
    facts = [
        ("Used for", _USE.get(place.use, place.use)),
        ("Stand and dry there", f"{place.drying_places} things"),
    ]
    if place.volume_m3:
        shown = f"{place.volume_m3:.0f} m³"
        facts.append(("Room", f"{place.volume_m3 / M3_PER_FT3:,.0f} ft³ ({shown})" if unit == "in" else shown))
    if place.heater:
        facts.append(("Heat", place.heater))
    guess = "" if place.air_changes_given else ", guessed"
    facts.append(("Air changes", f"{place.air_changes_per_h:g} an hour{guess}"))
    rows = sorted(place.air, key=lambda row: row.month)
    air = [
        (
            _MONTHS[row.month],
            _air(row.open_temp_c, row.open_rh, unit),
            _air(row.closed_temp_c, row.closed_rh, unit),
        )
        for row in rows
    ]
    return PlaceRow(place.name, tuple(facts), tuple(air), place.air_guessed)


def _air(temp_c: float, rh: float, unit: str) -> str:
    return f"{show_temp(temp_c, unit)}, {show_percent(rh)}"
