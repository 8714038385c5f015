"""What stands on the page of the stock: cans and jars, how much is left in each, and how long it keeps."""

from __future__ import annotations

from dataclasses import dataclass

from rakelight.log.stock import Can, Stock
from rakelight.papers.stock_text import age_words, left_words
from rakelight.papers.wrapping import upper_first
from rakelight.units import show_mass, show_volume


@dataclass(frozen=True)
class CanRow:
    """One can, bag or jar."""

    id: str
    name: str
    left: str
    age: str
    old: bool
    opened: bool
    counted: bool  # some of it is only counted as laid
    source: str


@dataclass(frozen=True)
class StockPage:
    """All that is in stock."""

    cans: tuple[CanRow, ...]
    empty: tuple[str, ...]
    untold: tuple[str, ...]


def stock_page(stock: Stock, unit: str) -> StockPage:
    """The stock in words; unit: in or mm, for the amounts."""
    return StockPage(
        tuple(_row(can, stock, unit) for can in stock.at_hand),
        tuple(upper_first(can.name) for can in stock.cans if can not in stock.at_hand),
        tuple(_untold(name, amount, unit) for name, amount in stock.untold.items()),
    )


def _row(can: Can, stock: Stock, unit: str) -> CanRow:
    cut = f", {can.cut_lb:g} lb cut" if can.cut_lb else ""
    opened = can.opened is not None or can.mixed is not None
    return CanRow(
        can.id,
        f"{upper_first(can.name)}{cut}",
        left_words(can, unit),
        age_words(can, stock.day),
        can.old,
        opened,
        can.counted,
        can.source,
    )


def _untold(name: str, amount: float, unit: str) -> str:
    weighed = name.endswith((", flakes", ", powder"))
    shown = show_mass(amount, "mm") if weighed else show_volume(amount, unit)
    return f"{upper_first(name)}: {shown} more was laid than the cans told of held."
