"""The air of a shop in words."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Protocol

from rakelight.shop.model import MonthlyAir
from rakelight.units import show_percent, show_temp
from rakelight.units.dates import MONTHS


class _Month(Protocol):
    @property
    def hours(self) -> float: ...

    @property
    def air(self) -> MonthlyAir: ...


def heard_lines(months: Iterable[_Month], unit: str) -> list[str]:
    """Each month of a place as it was read there.

    Parameters: unit, "in" for Fahrenheit.
    """
    lines = []
    for month in months:
        a = month.air
        opened = f"{show_temp(a.open_temp_c, unit)}, {show_percent(a.open_rh)}"
        closed = f"{show_temp(a.closed_temp_c, unit)}, {show_percent(a.closed_rh)}"
        name = f"{MONTHS[a.month - 1].capitalize()}:"
        lines.append(f"{name:<11}{opened} open; {closed} on a closed night ({month.hours:,.0f} hours read)")
    return lines
