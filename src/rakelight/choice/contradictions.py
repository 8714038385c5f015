"""Wishes that no finish of the book meets together: the fewest of them that contradict each other."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from itertools import combinations

from rakelight.choice.alone import Found
from rakelight.choice.model import Contradiction, Slot, Want
from rakelight.choice.near import unmet
from rakelight.choice.trying import Trying

#: wishes named together at most: of more nobody could say which to give up
_MOST = 3


def contradiction(trying: Trying, slot: Slot, found: Found) -> Contradiction | None:
    """The fewest wishes of a slot that no finish looked at meets together; None where some finish meets all."""
    want = trying.want(slot)
    wishes = [*want.said.items(), *(("stand", use) for use in slot.must_stand if use != "handling")]
    rows: list[set[tuple[str, str]]] = []
    for _, look, _ in found.seen:
        row = set()
        for key, aim in wishes:
            one = Want(**{key: aim}) if key != "stand" else Want()
            only = Slot(
                slot.name, slot.parts, slot.spots, slot.wished, must_stand=(aim,) if key == "stand" else ()
            )
            if unmet(look, one, only, trying.facts):
                row.add((key, aim))
        rows.append(row)
    out = {d.key[0]: d for d in found.dropped if d.kind in ("date", "rules")}
    whys = [("rules", ""), ("date", "")]
    for (make, _, _), row in zip(found.seen, rows, strict=True):
        if make.name in out:
            row.add((out[make.name].kind, ""))
    clash = _fewest([*wishes, *whys], rows, slot)
    if clash is None or ("rules", "") not in clash.wishes:
        return clash
    says = next((d.why for d in found.dropped if d.kind == "rules"), "")
    return replace(clash, wishes=tuple((k, says if k == "rules" else v) for k, v in clash.wishes))


def _fewest(
    wishes: Sequence[tuple[str, str]], rows: Sequence[set[tuple[str, str]]], slot: Slot
) -> Contradiction | None:
    if not rows:
        return None
    for number in range(1, _MOST + 1):
        for some in combinations(wishes, number):
            if all(row & set(some) for row in rows):
                return Contradiction(slot.name, some, len(rows))
    return None
