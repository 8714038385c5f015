"""What is in stock as plain data, schema 1: keys are only ever added."""

from __future__ import annotations

from datetime import date
from typing import Any

from rakelight.log.stock import Can, Stock


def stock_json(stock: Stock) -> dict[str, Any]:
    """Every can, those at hand first, and what was laid that no can is told for."""
    return {
        "schema": 1,
        "day": stock.day.isoformat(),
        "cans": [can_json(c) for c in stock.cans],
        "untold": [{"name": name, "amount": round(amount, 1)} for name, amount in stock.untold.items()],
    }


def can_json(can: Can) -> dict[str, Any]:
    """One can, bag or jar."""
    return {
        "id": can.id,
        "material": can.material,
        "name": can.name,
        "form": can.form,
        "cut_lb": can.cut_lb,
        "unit": can.unit,
        "size": round(can.size, 1) if can.size is not None else None,
        "left": {"low": round(can.left.low, 1), "likely": round(can.left.likely, 1), "high": round(can.left.high, 1)},
        "counted": can.counted,
        "bought": _day(can.bought),
        "opened": _day(can.opened),
        "mixed": _day(can.mixed),
        "try_from": _day(can.try_from),
        "use_by": _day(can.use_by),
        "old": can.old,
        "price": can.price,
        "went_in": {"flakes_g": can.flakes_g, "powder_g": can.powder_g, "finish_ml": can.finish_ml,
                    "thinner_ml": can.thinner_ml} if can.mixed else None,
        "source": can.source,
    }  # fmt: skip


def _day(day: date | None) -> str | None:
    return day.isoformat() if day else None
