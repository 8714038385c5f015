"""Hours of work by weekday, as a shop's file writes them for the maker and for a helper."""

from __future__ import annotations

from datetime import time
from difflib import get_close_matches

from rakelight.reading import Table
from rakelight.units import read_hours

WEEK = ("mon", "tue", "wed", "thu", "fri", "sat", "sun")

Spans = tuple[tuple[time, time], ...]


def read_week(above: Table, mend: str) -> dict[int, Spans]:
    """Work of each weekday, Monday 0, of the key `hours` of a table; a later key beats an earlier one.

    Parameters: above, the table that has the key; mend, how hours are written. Returns only days with work; a
    finding where there is none.
    """
    table = above.child("hours")
    if table is None:
        return {}
    found: dict[int, Spans] = {}
    faults = len(above.doc.findings)
    for key in table.data:
        days = _weekdays(table, key)
        spans = table.take(key, read_hours)
        if days and spans is not None:
            found |= {day: spans for day in days}
    found = {day: spans for day, spans in sorted(found.items()) if spans}
    if not found and len(above.doc.findings) == faults:
        above.fault("no-hours", "hours name no day with work.", mend, "hours")
    return found


def _weekdays(table: Table, key: str) -> list[int]:
    """Weekdays, Monday 0, that a key of `hours` names: mon, or mon-fri, over the week's end too."""
    first, dash, last = (word.strip().casefold() for word in key.partition("-"))
    ends = (first, last if dash else first)
    wrong = [word for word in ends if word not in WEEK]
    if wrong:
        near = get_close_matches(wrong[0][:3], WEEK, 1, 0.5)
        known = f"Days are {', '.join(WEEK)}, or a range as mon-fri."
        mend = f"Did you mean {near[0]}? {known}" if near else known
        table.fault("unknown-key", f"{key} is not a day of the week.", mend, key)
        return []
    begin, end = (WEEK.index(word) for word in ends)
    return [(begin + step) % 7 for step in range((end - begin) % 7 + 1)]
