"""How much of each finish goes on each part, coat by coat and in all."""

from __future__ import annotations

from functools import reduce

from rakelight.papers.sheet_words import spread_words, volume_words
from rakelight.piece.model import part_words
from rakelight.schedule.amounts import Amounts, steps_words
from rakelight.schedule.coats import CoatAmount
from rakelight.spread import Spread


def amount_lines(amounts: Amounts, unit: str) -> list[str]:
    """One line for each part and finish: what it takes in all, and each coat of it; the test board is left out."""
    rows: dict[tuple[str, str], list[CoatAmount]] = {}
    for coat in amounts.tasks.values():
        if not coat.board and coat.liquid.likely > 0:
            rows.setdefault((coat.part, coat.material), []).append(coat)
    return [_line(coats, unit) for coats in rows.values()]


def _line(coats: list[CoatAmount], unit: str) -> str:
    first = coats[0]
    steps: dict[str, float] = {}
    for coat in coats:  # sessions of several lots are one coat
        steps[coat.step] = steps.get(coat.step, 0.0) + coat.liquid.likely
    whole = reduce(Spread.with_shared, (c.liquid for c in coats))
    said = f"{first.name}, {spread_words(whole, unit)}"
    if len(steps) == 1:
        return f"{part_words(first.part)}, {next(iter(steps))}: {said}."
    alike: dict[str, list[str]] = {}
    for step, ml in steps.items():
        alike.setdefault(volume_words(ml, unit), []).append(step)
    coat_by_coat = ", ".join(f"{steps_words(names)} {ml}" for ml, names in alike.items())
    return f"{part_words(first.part)}: {said}; {coat_by_coat}."
