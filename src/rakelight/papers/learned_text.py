"""This shop's own figures beside the book's, as lines for a person."""

from __future__ import annotations

from typing import Any

from rakelight.log.learning import Learned, Row
from rakelight.papers.wrapping import wrapped
from rakelight.spread import Spread
from rakelight.units import L_PER_US_GALLON, M2_PER_FT2

_NOTHING = (
    "This shop has taught nothing yet: its plans go by the book. `done STEP --used \"6 fl oz\" --took \"35 min\"`, "
    "`failed STEP` and a test that passed teach it."
)
#: a maker of inches reads these units so, and how many of ours one is
_IN_INCHES = {"m2/l": ("ft2/gal", M2_PER_FT2 / L_PER_US_GALLON), "min/m2": ("min/ft2", 1 / M2_PER_FT2)}


def learned_lines(learned: Learned, width: int = 100) -> list[str]:
    """One entry a figure: what the book has, what this shop's jobs have, what is planned with."""
    if not learned.rows:
        return wrapped(_NOTHING, width)
    lines = []
    for row in learned.rows:
        lines += [f"{row.says[0].upper()}{row.says[1:]} ({row.what})", *_figures(row, width)]
    for says in learned.odd:
        lines += wrapped(f"Not counted: {says}", width)
    return lines


def _figures(row: Row, width: int) -> list[str]:
    jobs = f"{row.jobs} job{'s' * (row.jobs != 1)}"
    yours = range_words(row.yours, row.unit) if row.yours else "bounded on one side only" if row.jobs else "nothing yet"
    found = [f"    book   {range_words(row.book, row.unit)}", f"    yours  {yours} ({jobs})"]
    found.append(f"    used   {range_words(row.used, row.unit)}{why_words(row)}")
    inches = _IN_INCHES.get(row.unit)
    if inches:
        unit, per = inches
        three = [("book", row.book), ("yours", row.yours), ("used", row.used)]
        said = ", ".join(f"{name} {_number(s.likely / per)}" for name, s in three if s)
        found.append(f"           likely, in {unit}: {said}")
    return found


def why_words(row: Row) -> str:
    """How a figure in use came about: ", 1.3 times the book: 40 in 100 of the way from the book to yours"."""
    times = f"{row.times:.2g} times the book"
    if row.pinned:
        return f", pinned: {times}"
    if row.held:
        return f", {times}: held to the book's range until more jobs have taught it"
    if not row.jobs:
        return ""
    return f", {times}: {round(100 * row.weight)} in 100 of the way from the book to yours"


def range_words(spread: Spread, unit: str) -> str:
    """A figure with its ends: "1.2 h (0.9 to 1.6)"."""
    low, likely, high = (_number(v) for v in spread)
    if low == high:
        return f"{likely} {unit}"
    return f"{likely} {unit} ({low} to {high})"


def _number(value: float) -> str:
    """Two or three digits, as they are known."""
    if value >= 100:
        return f"{value:.0f}"
    return f"{value:.1f}" if value >= 10 else f"{value:.2f}".rstrip("0").rstrip(".")


def told_lines(event: Any, row: Row | None) -> list[str]:
    """What was done with a figure, in one line."""
    if event.values:
        says = row.says if row else event.what
        used = f", {range_words(row.used, row.unit)}" if row else ""
        return [f"Written: {says} is held at {event.values['times']:g} times the book{used}. `undo` takes it back."]
    if not event.what:
        return ["Written: all figures begin anew from the book. `undo` takes it back."]
    return [f"Written: {event.what} begins anew from the book. `undo` takes it back."]
