"""Reads a shop's file: zone, hours, days off, gear; `place_file` reads its places and their air."""

from __future__ import annotations

from datetime import date
from difflib import get_close_matches
from pathlib import Path
from typing import Any
from zoneinfo import ZoneInfo, available_timezones

from rakelight.errors import Finding, Misread
from rakelight.reading import Table, flag, read_toml, text
from rakelight.shop.choosing import read_choosing, read_money
from rakelight.shop.helper_file import read_helper
from rakelight.shop.model import Gear, Gun, Shop
from rakelight.shop.place_file import read_places
from rakelight.shop.week import Spans, read_week
from rakelight.units import read_day_range, read_minutes

SHOP_KEYS = (
    "shop", "zone", "hours", "off", "holidays", "book", "now_in", "place", "gear", "helper", "choose", "money",
)  # fmt: skip
GEAR_KEYS = ("brush", "pad", "gun")
GUN_KEYS = ("set_up", "clean")

_AREAS = ("Africa", "America", "Asia", "Atlantic", "Australia", "Europe", "Indian", "Pacific")
_ZONE_WORDS = {
    "eastern": "America/New_York", "est": "America/New_York", "edt": "America/New_York",
    "central": "America/Chicago", "cst": "America/Chicago", "cdt": "America/Chicago",
    "mountain": "America/Denver", "mst": "America/Denver", "mdt": "America/Denver",
    "pacific": "America/Los_Angeles", "pst": "America/Los_Angeles", "pdt": "America/Los_Angeles",
    "gmt": "Europe/London", "bst": "Europe/London", "cet": "Europe/Paris", "cest": "Europe/Paris",
}  # fmt: skip

_HOURS_MEND = 'Write hours = { mon-fri = "8:00-12:00, 12:45-17:00", sat = "9:00-13:00" }.'
_GUN_MEND = 'Write gun = { set_up = "10 min", clean = "15 min" }.'

def read_shop(source: Path | str | bytes, name: str = "") -> tuple[Shop | None, list[Finding]]:
    """A shop from its file, or from the file's content, with everything that is wrong in it.

    Parameters: source, a path, or the content as text or bytes; name, shown in the findings (default: of
    the file).
    Returns the shop, None where zone, hours or places cannot be known, and the findings, each with its
    line.
    Raises NotFound where a path leads to no file. Source of every key: language of the files, section 6.
    """
    doc = read_toml(source, name)
    if not doc.ok:
        return None, doc.findings
    root = doc.root
    root.only(SHOP_KEYS, "a shop")
    title = root.need("shop", text, 'Write shop = "My shop".')
    zone = root.need("zone", read_zone, 'Write zone = "America/Chicago".')
    hours = _hours(root)
    off = _off(root)
    holidays = root.take("holidays", read_country)
    book = root.take("book", text)
    places = read_places(root)
    now_in = _now_in(root, list(places))
    gear = _gear(root)
    helper = read_helper(root)
    choosing, money = read_choosing(root), read_money(root)
    if zone is None or not hours or not places:
        return None, _by_line(doc.findings)
    shop = Shop(
        name=title or "Shop",
        zone=zone,
        hours=hours,
        off=off,
        holidays=holidays or "",
        places=places,
        now_in=now_in,
        gear=gear,
        book=book or "",
        file=doc.name,
        choosing=choosing,
        money=money,
        helper=helper,
    )
    return shop, _by_line(doc.findings)


def _by_line(findings: list[Finding]) -> list[Finding]:
    return sorted(findings, key=lambda found: found.where.line)


def read_zone(value: Any) -> ZoneInfo:
    """A time zone by its name in the public time-zone table; raises Misread, with the nearest name.

    A bare abbreviation is refused: those of the table (EST, MST) have no summer time.
    """
    said = text(value)
    if "/" in said or said == "UTC":
        try:
            return ZoneInfo(said)
        except (KeyError, ValueError, OSError):
            pass
    near = _nearest_zone(said)
    mend = f'Did you mean "{near}"?' if near else 'Write for example "America/Chicago".'
    raise Misread(f"{said[:60]!r} is not a time zone.", mend)


def _nearest_zone(said: str) -> str:
    wanted = said.casefold().replace(" ", "_")
    if wanted in _ZONE_WORDS:
        return _ZONE_WORDS[wanted]
    names = sorted(name for name in available_timezones() if name.partition("/")[0] in _AREAS)
    by_word = {name.casefold(): name for name in names}
    by_word |= {name.rpartition("/")[2].casefold(): name for name in names}
    city = wanted.rpartition("/")[2]
    near = get_close_matches(wanted, by_word, 1, 0.7) or get_close_matches(city, by_word, 1, 0.7)
    return by_word[near[0]] if near else ""


def read_country(value: Any) -> str:
    """A country whose public holidays are known, as its two-letter code; raises Misread, with the nearest."""
    from holidays import registry

    said = text(value)
    known: dict[str, str] = {}
    for name, (_, code, *others) in registry.COUNTRIES.items():
        known |= {word.casefold(): code for word in (name.replace("_", " "), code, *others)}
    wanted = " ".join(said.casefold().replace("_", " ").split())
    if wanted in known:
        return known[wanted]
    near = get_close_matches(wanted, [word for word in known if len(word) > 3], 1, 0.6)
    mend = f'Did you mean "{near[0].title()}"?' if near else 'Write a country, as "United States".'
    raise Misread(f"the holidays of {said[:60]!r} are not known.", mend)


def _hours(root: Table) -> dict[int, Spans]:
    """Work of each weekday; a later key beats an earlier one."""
    if "hours" not in root:
        root.fault("missing", "hours are missing: a shop without hours has no work.", _HOURS_MEND)
        return {}
    return read_week(root, _HOURS_MEND)


def _off(root: Table) -> frozenset[date]:
    """Days off: one, or a list of days and ranges."""
    value = root.data.get("off", [])
    days: set[date] = set()
    for at, item in enumerate(value if isinstance(value, list) else [value]):
        try:
            days.update(read_day_range(item))
        except Misread as bad:
            path = ("off", at) if isinstance(value, list) else ("off",)
            root.fault("misread", f"off: {bad.says}", bad.mend, *path)
    return frozenset(days)


def _now_in(root: Table, places: list[str]) -> str:
    said = root.take("now_in", text) or ""
    if said and said not in places:
        near = get_close_matches(said, places, 1, 0.5)
        mend = f"Did you mean {near[0]}?" if near else f"Places here: {', '.join(places) or 'none'}."
        root.fault("unknown-place", f"now_in: {said!r} is not a place of this shop.", mend, "now_in")
        return ""
    return said


def _gear(root: Table) -> Gear:
    table = root.child("gear")
    if table is None:
        return Gear()
    from rakelight.facts import load

    table.only(GEAR_KEYS, "gear")
    brush, pad = table.take("brush", flag), table.take("pad", flag)
    gun = None
    if "gun" in table and not isinstance(table.data["gun"], dict):
        table.fault("misread", "gun must be a table of its minutes.", _GUN_MEND, "gun")
    elif (below := table.child("gun")) is not None:
        below.only(GUN_KEYS, "a gun")
        set_up, clean = below.take("set_up", gun_minutes), below.take("clean", gun_minutes)
        facts = load()
        gun = Gun(
            facts.likely("gun_set_up_min") if set_up is None else set_up,
            facts.likely("gun_clean_min") if clean is None else clean,
        )
    return Gear(brush is not False, pad is not False, gun)


def gun_minutes(value: Any) -> float:
    """Minutes to set a gun up or to clean it; 0 where it stands ready."""
    return read_minutes(value, zero=True)
