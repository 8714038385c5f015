"""What the command of a logger's file answers and prints."""

from __future__ import annotations

import calendar
from pathlib import Path

import numpy as np

from rakelight.as_json import finding_json
from rakelight.cli.air_told import coat_of, open_shop, place_of
from rakelight.cli.plain import data, width
from rakelight.errors import Refused
from rakelight.facts import load
from rakelight.papers.wrapping import wrapped
from rakelight.plan.days_to_lay import MonthDays, days_to_lay
from rakelight.shop.air_log import read_air_log
from rakelight.shop.air_year import MonthSeen, air_lines, year_of
from rakelight.units import c_to_f


def air_log(
    file: Path,
    shop_path: Path,
    place: str,
    columns: dict[str, str],
    material: str,
    method: str,
    as_json: bool,
) -> int:
    """The command; returns its exit code."""
    shop = open_shop(shop_path)
    room = place_of(shop, place)
    log, found = read_air_log(file, shop.zone, file.name, **columns)
    if log is None:
        raise Refused(found)
    year = year_of(log, shop)
    unit = "in" if shop.zone.key.startswith(("America/", "US/")) else ""
    lines = air_lines(year, unit)
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
            }
        )
        return 0
    wide = width()
    print("\n".join(wrapped(f"{log.rows:,} rows, {log.start:%-d %B %Y} to {log.end:%-d %B %Y}.", wide)))
    for note in (*log.notes, *(f"{f.says} {f.mend}".strip() for f in found)):
        print("\n".join(wrapped(note, wide, "  ")))
    print(f"\n{'':<11}{'temperature':<22}humidity   (a tenth of the hours below, half, nine tenths)")
    for seen in year:
        print(_month_line(seen, unit))
    print(f"\nFor [place.{room}] in {shop_path.name}:")
    print("\n".join(lines))
    for d in days:
        print("\n".join(wrapped(d.says, wide)))
    return 0


def _month_line(seen: MonthSeen, unit: str) -> str:
    temps = np.array(seen.temp_c)
    shown = [f"{c_to_f(float(t)):.0f}" if unit == "in" else f"{t:.1f}" for t in temps]
    mark = "F" if unit == "in" else "C"
    low, half, high = (f"{r * 100:.0f}" for r in seen.rh)
    return f"{calendar.month_name[seen.month]:<11}{', '.join(shown) + ' ' + mark:<22}{low}, {half}, {high} %"
