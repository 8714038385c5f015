"""What is in stock, as text."""

from __future__ import annotations

from datetime import date

from rakelight.log.stock import Can, Stock
from rakelight.papers.wrapping import WIDTH, upper_first, wrapped
from rakelight.spread import Spread
from rakelight.units import show_mass, show_volume

_NOTHING = (
    'Nothing is told to be in stock. `rakelight stock bought "boiled linseed oil" --size "1 pint"` tells of a can.'
)


def stock_lines(stock: Stock, unit: str, width: int = WIDTH) -> list[str]:
    """Each can on two lines: its name, what is in it and how much is left; then how old it is and how long it keeps."""
    lines: list[str] = []
    for can in stock.at_hand:
        said = f"{can.id}: {upper_first(can.name)}{_cut(can)}; {left_words(can, unit)}"
        lines += wrapped(said, width, "  ", "      ")
        if said := age_words(can, stock.day):
            lines += wrapped(said, width, "      ")
    empty = [c.id for c in stock.cans if c not in stock.at_hand]
    if empty:
        lines += ["", *wrapped(f"Empty: {', '.join(empty)}.", width)]
    dry = (", flakes", ", powder")
    shown = {n: _amount(amount, "g" if n.endswith(dry) else "ml", unit) for n, amount in stock.untold.items()}
    had = {can.name for can in stock.cans}
    for name in [n for n in shown if n in had]:
        lines += ["", *wrapped(f"{upper_first(name)}: {shown[name]} more was laid than the cans told of held.", width)]
    never = ", ".join(f"{name} ({amount})" for name, amount in shown.items() if name not in had)
    if never:
        lines += ["", *wrapped(f"Laid, and no can of it told of: {never}.", width)]
    return lines or wrapped(_NOTHING, width)


def left_words(can: Can, unit: str) -> str:
    """6 fl oz (5 to 7) left of 1 quart."""
    if can.left.certain:
        said = f"{_amount(can.left.likely, can.unit, unit)} left"
    else:
        ends = _ends(can.left, can.unit, unit)
        said = f"about {_amount(can.left.likely, can.unit, unit)} left" + (f" ({ends})" if " to " in ends else "")
    return said + (f" of {_amount(can.size, can.unit, unit)}" if can.size and can.size > can.left.likely else "")


def age_words(can: Can, day: date) -> str:
    """Opened 3 Jan 2027, good until 3 Jan 2029."""
    said = [f"{word} {_day(moment)}" for word, moment in
            (("mixed", can.mixed), ("opened", can.opened), ("bought", can.bought)) if moment][:2]  # fmt: skip
    if can.use_by is None:
        return upper_first(", ".join(said)) + "." if said else ""
    if can.old:
        said.append(f"past its life since {_day(can.use_by)}: put a drop on glass before anything is laid from it")
    elif can.try_from and day > can.try_from:
        said.append(f"keeps until about {_day(can.use_by)}, at times no longer: try a drop on glass")
    else:
        said.append(f"keeps until about {_day(can.use_by)}")
    return upper_first(", ".join(said)) + "."


def told_words(can: Can, what: str, unit: str) -> str:
    """What was written about a can."""
    said = f"Written: {can.id}, {can.name}{_cut(can)}, {what}; "
    if what == "emptied":
        return f"{said}nothing is left in it."
    keeps = f"; it keeps until about {_day(can.use_by)}" if can.use_by and not can.old else ""
    return said + left_words(can, unit) + keeps + "."


def _cut(can: Can) -> str:
    return f", {can.cut_lb:g} lb cut" if can.cut_lb else ""


def _amount(amount: float, kind: str, unit: str) -> str:
    return show_volume(amount, unit) if kind == "ml" else show_mass(amount, "mm")


def _ends(left: Spread, kind: str, unit: str) -> str:
    low, high = _amount(left.low, kind, unit), _amount(left.high, kind, unit)
    return low if low == high else f"{low} to {high}"


def _day(day: date) -> str:
    return f"{day.day} {day:%b} {day.year}"
