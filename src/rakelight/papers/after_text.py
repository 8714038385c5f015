"""How the wood will move where the piece lives, in words for its maker and its buyer."""

from __future__ import annotations

from rakelight.schedule.after_delivery import After
from rakelight.units import show_length


def after_lines(after: After, unit: str) -> list[str]:
    """A sentence for each wood, and first in which air. Parameters: unit, in or mm."""
    lines = [f"{after.says}." if after.says[:1].isupper() else f"Reckoned for {after.says}."]
    for move in after.moves:
        low, high = (show_length(mm, unit) for mm in (move.change_mm.low, move.change_mm.high))
        by = low if low == high else f"{low} to {high}"
        lines.append(f"{move.shown}, {move.wood}: about {by} wider at its dampest than at its driest.")
    return lines
