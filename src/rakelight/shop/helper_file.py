"""Reads the helper of a shop's file: his hours, and the dry work he may be given."""

from __future__ import annotations

from difflib import get_close_matches

from rakelight.reading import Table, text
from rakelight.shop.model import HELPS, HELPS_AT_LEAST, Helper
from rakelight.shop.week import read_week

HELPER_KEYS = ("hours", "does")

_HOURS_MEND = 'Write hours = { sat = "9:00-13:00" }.'
_DOES_MEND = f"Name dry work ({', '.join(HELPS)}), or a step of your own by its name."
#: the same work in other words
_WORDS = {
    "sanding": "sand", "scuffing": "scuff", "levelling": "level", "leveling": "level", "rubbing": "rub",
    "turning": "turn", "carrying": "move", "carry": "move", "moving": "move",
}  # fmt: skip
#: verbs of a schedule that lay something, or ask for the maker's eye: never a helper's
_MAKERS = (
    "raise grain", "stain", "dye", "oil", "size", "seal", "fill", "coat", "wax", "wait", "judge", "join", "spray",
    "brush",
)  # fmt: skip


def read_helper(root: Table) -> Helper | None:
    """The helper of a shop, with a finding for all that is wrong; None where there is none, or no hours of his."""
    table = root.child("helper")
    if table is None:
        return None
    table.only(HELPER_KEYS, "a helper")
    if "hours" not in table:
        table.fault("missing", "hours are missing: a helper without hours does no work.", _HOURS_MEND)
        hours = {}
    else:
        hours = read_week(table, _HOURS_MEND)
    does = _does(table)
    return Helper(hours, does) if hours and does else None


def _does(table: Table) -> tuple[str, ...]:
    """What he does: verbs, and names of the maker's own steps in small letters."""
    if "does" not in table:
        return HELPS_AT_LEAST
    value = table.data["does"]
    rows = value if isinstance(value, list) else [value]
    if not rows:
        table.fault("misread", "does names no work.", _DOES_MEND, "does")
    found: list[str] = []
    for row in rows:
        said = table.take_value("does", row, text)
        if said is None:
            continue
        word = " ".join(said.casefold().split())
        word = _WORDS.get(word, word)
        near = get_close_matches(word, (*HELPS, *_WORDS), 1, 0.74) if word not in HELPS else []
        if word in _MAKERS:
            table.fault("misread", f"does: {word} is not a helper's work: it stays with the maker.", _DOES_MEND, "does")
        elif near and " " not in word:
            table.fault("misread", f"does: {word!r} is not known here.", f"Did you mean {near[0]}?", "does")
        else:
            found.append(word)
    return tuple(dict.fromkeys(found))
