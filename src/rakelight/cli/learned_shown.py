"""This shop's own figures on the screen, or as plain data."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

from rakelight.cli.plain import width
from rakelight.desk import open_shop
from rakelight.errors import Misread
from rakelight.log.learning import Row
from rakelight.papers.learned_text import learned_lines, told_lines
from rakelight.spread import Spread
from rakelight.units import read_date


def learned(file: Path | None, pin: tuple[str, str], reset: str, now: str, as_json: bool) -> None:
    """Show them; first hold one at a value, or begin one anew, where that is asked."""
    if pin[0] and reset:
        raise Misread("--pin and --reset at once are two things.", "Say one of them.")
    shop = open_shop(file, read_date(now) if now else None, create=False)
    try:
        lines = []
        if pin[0]:
            event = shop.pin(*pin)
            lines = told_lines(event, shop.learned().row(event.what))
        elif reset:
            lines = told_lines(shop.reset(reset), None)
        found = shop.learned()
    finally:
        shop.close()
    if as_json:
        print(json.dumps([row_json(row) for row in found.rows], indent=2, ensure_ascii=False))
        return
    for line in lines or learned_lines(found, width()):
        print(line)


def row_json(row: Row) -> dict[str, Any]:
    """One figure as plain data."""
    return {
        "what": row.what, "says": row.says, "unit": row.unit, "book": _three(row.book),
        "yours": _three(row.yours) if row.yours else None, "jobs": row.jobs, "used": _three(row.used),
        "pinned": row.pinned, "times": _tidy(row.times), "factor": _three(row.factor),
        "doubt_left": round(row.doubt, 3), "weight": round(row.weight, 3), "held": row.held, "seen": row.seen,
    }  # fmt: skip


def _three(spread: Spread) -> dict[str, float]:
    return {"low": _tidy(spread.low), "likely": _tidy(spread.likely), "high": _tidy(spread.high)}


def _tidy(value: float) -> float:
    return float(f"{value:.4g}")
