"""What the command of a logger's file answers and prints."""

from __future__ import annotations

import calendar
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import numpy as np

from rakelight.as_json import finding_json
from rakelight.cli import at_hand
from rakelight.cli.air_told import coat_of, open_shop, place_of
from rakelight.cli.plain import data, width
from rakelight.desk import ShopDesk
from rakelight.desk.air_heard import Month, event_of_log
from rakelight.errors import Finding, Misread, Refused
from rakelight.facts import load
from rakelight.papers.air_text import heard_lines
from rakelight.papers.wrapping import wrapped
from rakelight.plan.days_to_lay import MonthDays, days_to_lay
from rakelight.shop.air_log import read_air_log
from rakelight.shop.air_year import MonthSeen, air_lines, year_of
from rakelight.shop.model import Shop
from rakelight.units import c_to_f


@dataclass(frozen=True)
class Hung:
    """Where the logger hung, and whether its air is to be kept."""

    shop: Path | None
    file: Path | None
    place: str
    keep: bool


def air_log(file: Path, hung: Hung, columns: dict[str, str], material: str, method: str, as_json: bool) -> int:
    """The command; returns its exit code."""
    if hung.keep and hung.shop:
        raise Misread("--keep writes into the shop's file, and --shop names another.", "Leave --shop out.")
    if hung.shop or (hung.file is None and Path("shop.toml").exists() and not hung.keep):
        path = hung.shop or Path("shop.toml")
        return _read(file, open_shop(path), path.name, hung, columns, material, method, as_json, None)
    with at_hand.opened(at_hand.Meant(file=hung.file)) as desk:
        return _read(file, desk.shop, desk.path.name, hung, columns, material, method, as_json, desk)


def kept(hung: Hung, as_json: bool) -> int:
    """What is kept of the air, month by month."""
    if hung.shop or hung.keep:
        raise Misread("Which logger's file?", "Write it as `rakelight air-log FILE.csv`; no file shows what is kept.")
    with at_hand.opened(at_hand.Meant(file=hung.file)) as desk:
        heard, unit = desk.air_heard(), _unit_of(desk.shop)
    if as_json:
        rows = {place: [_month_json(m) for m in months] for place, months in heard.items()}
        data({"schema": 1, "places": rows})
        return 0
    if not heard:
        print("No air is kept yet. `air-log FILE.csv --keep` keeps a logger's; a thermometer may tell it (`serve`).")
    for place, months in heard.items():
        print(f"[place.{place}], as it was read there:")
        for line in heard_lines(months, unit):
            print(f"  {line}")
    return 0


def _month_json(month: Month) -> dict[str, Any]:
    a = month.air
    return {"month": a.month, "hours": round(month.hours), "open": {"temp_c": a.open_temp_c, "rh": a.open_rh},
            "closed": {"temp_c": a.closed_temp_c, "rh": a.closed_rh}}  # fmt: skip


def _unit_of(shop: Shop) -> str:
    return "in" if shop.zone.key.startswith(("America/", "US/")) else ""


def _read(
    file: Path, shop: Shop, of: str, hung: Hung, columns: dict[str, str], material: str, method: str, as_json: bool,
    desk: ShopDesk | None,
) -> int:  # fmt: skip
    room = place_of(shop, hung.place)
    log, found = read_air_log(file, shop.zone, file.name, **columns)
    if log is None:
        if as_json:
            raise Refused(found)
        raise Misread(*_asked(file.name, found))
    year = year_of(log, shop)
    unit = _unit_of(shop)
    lines = air_lines(year, unit)
    told = None
    if hung.keep and desk:
        words = f"{file.name}, {log.rows:,} rows, {log.start:%-d %B %Y} to {log.end:%-d %B %Y}"
        told = desk.tell(event_of_log(desk, room, year, words))
    days: tuple[MonthDays, ...] = ()
    if material:
        facts = load()
        days = days_to_lay(log, shop, facts, coat_of(facts, material, method))
    if as_json:
        data(
            {
                "schema": 1,
                "place": room,
                "from": log.start.isoformat(timespec="minutes"),
                "to": log.end.isoformat(timespec="minutes"),
                "rows": log.rows,
                "left_out": log.left_out,
                "doubled": log.doubled,
                "gaps": [
                    {"from": at.isoformat(timespec="minutes"), "hours": round(h, 2)} for at, h in log.gaps
                ],
                "columns": log.columns,
                "months": [m.as_json() for m in year],
                "air": "\n".join(lines),
                "days": [d.as_json() for d in days],
                "notes": list(log.notes),
                "findings": [finding_json(f) for f in found],
                "kept": told.id if told else None,
            }
        )
        return 0
    wide = width()
    print("\n".join(wrapped(f"{log.rows:,} rows, {log.start:%-d %B %Y} to {log.end:%-d %B %Y}.", wide)))
    for note in (*log.notes, *(f"{f.says} {f.mend}".strip() for f in found)):
        print("\n".join(wrapped(note, wide, "  ")))
    print(f"\n{'':<11}{'temperature':<22}humidity   (a tenth of the hours below, half, nine tenths)")
    for seen in sorted(year, key=lambda m: (m.month - log.start.month) % 12):
        print(_month_line(seen, unit))
    if told:
        print(f"\nKept: {room} is planned in this air from now on. `rakelight undo` takes it back.")
    else:
        print(f"\nFor [place.{room}] in {of}:")
        print("\n".join(lines))
    for d in days:
        print("\n".join(wrapped(d.says, wide)))
    return 0


def _asked(name: str, found: list[Finding]) -> tuple[str, str]:
    """What must be asked, in one line, and what to write."""
    return f"{name}: {' '.join(f.says for f in found)}", " ".join(f.mend for f in found)


def _month_line(seen: MonthSeen, unit: str) -> str:
    temps = np.array(seen.temp_c)
    shown = [f"{c_to_f(float(t)):.0f}" if unit == "in" else f"{t:.1f}" for t in temps]
    mark = "F" if unit == "in" else "C"
    low, half, high = (f"{r * 100:.0f}" for r in seen.rh)
    return f"{calendar.month_name[seen.month]:<11}{', '.join(shown) + ' ' + mark:<22}{low}, {half}, {high} %"
