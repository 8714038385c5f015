"""Days off, holidays and gear of the shop: read out of its file, and written back into it."""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from typing import Any

from rakelight.errors import Misread
from rakelight.piece.write import replaced
from rakelight.shop.model import Shop
from rakelight.toml_lines import sections
from rakelight.units.dates import read_day_range
from rakelight.web.forms.typed import day_words


@dataclass(frozen=True)
class DayOff:
    """One entry of the days off."""

    said: str  # as the file has it
    words: str


def days_off(text: str, today: date) -> tuple[DayOff, ...]:
    """The days off that are not past, by their first day."""
    rows: list[tuple[date, DayOff]] = []
    for said in _off(text):
        try:
            days = read_day_range(said)
        except Misread:
            continue
        if days[-1] >= today:
            words = _words(days[0]) if len(days) == 1 else f"{_words(days[0])} to {_words(days[-1])}"
            rows.append((days[0], DayOff(_said(said), words)))
    return tuple(row for _, row in sorted(rows, key=lambda r: r[0]))


def with_day_off(text: str, first: str, last: str) -> str:
    """The shop's file with one more day off, or with all from a first to a last one. Raises Misread."""
    words = day_words(first)
    if not words:
        raise Misread("No day is said.", "Choose the first day off.")
    said = f"{words} - {day_words(last)}" if last and day_words(last) != words else words
    days = read_day_range(said)
    known = {day for row in _off(text) for day in _days(row)}
    if set(days) <= known:
        raise Misread(f"{_words(days[0])} is off already.", "Choose another day.")
    return _with_top(text, off=[*_off(text), said])


def without_day_off(text: str, said: str) -> str:
    """The shop's file without one entry of its days off; as it was where there is none such."""
    kept = [row for row in _off(text) if _said(row) != said]
    return text if len(kept) == len(_off(text)) else _with_top(text, off=kept)


def with_holidays(text: str, country: str) -> str:
    """The shop's file with the holidays of a country off too; "" for none."""
    return _with_top(text, holidays=country)


def gear_fields(shop: Shop) -> dict[str, str]:
    """What stands in the fields of the gear."""
    gear = shop.gear
    there = {"brush": gear.brush, "pad": gear.pad}
    fields = {name: "yes" if has else "" for name, has in there.items()} | {"gun": "", "set_up": "", "clean": ""}
    if gear.gun:
        fields |= {"gun": "yes", "set_up": f"{gear.gun.set_up_min:g} min", "clean": f"{gear.gun.clean_min:g} min"}
    return fields


def with_gear(text: str, typed: Mapping[str, str]) -> str:
    """The shop's file with the gear as it is typed; minutes left empty are those of the book."""
    gear: dict[str, Any] = {"brush": typed.get("brush") == "yes", "pad": typed.get("pad") == "yes"}
    if typed.get("gun") == "yes":
        gear["gun"] = {name: _minutes(typed[name]) for name in ("set_up", "clean") if typed.get(name)}
    return replaced(text, ("gear",), gear)


def _minutes(typed: str) -> str:
    return f"{typed} min" if typed.replace(".", "", 1).isdigit() else typed


def _off(text: str) -> list[Any]:
    said = tomllib.loads(text).get("off", [])
    return said if isinstance(said, list) else [said]


def _said(row: Any) -> str:
    return row if isinstance(row, str) else str(row)


def _days(row: Any) -> list[date]:
    try:
        return read_day_range(row)
    except Misread:
        return []


def _words(day: date) -> str:
    return f"{day:%a} {day.day} {day:%B %Y}"


def _with_top(text: str, **keys: Any) -> str:
    """The file with other values of keys above its first heading; an empty one is taken out."""
    lines, heads = text.splitlines(keepends=True), sections(text)
    top = tomllib.loads("".join(lines[: heads[0][1] - 1] if heads else lines))
    top |= keys
    return replaced(text, (), {key: value for key, value in top.items() if value or key not in keys})
