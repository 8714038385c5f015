"""After delivery: how much wider and narrower the parts grow through the year of the house the piece lives in."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np

from rakelight.errors import Misread
from rakelight.facts.load import Facts
from rakelight.physics.emc import emc_pct
from rakelight.physics.movement import change_mm, coefficient
from rakelight.piece.model import Part
from rakelight.schedule.tasks import Work
from rakelight.schedule.wood_air import outdoor_year, town_year
from rakelight.spread import Spread

_ROOM_C = 20.0  # of a heated house. Assumption
#: solid parts narrower than this move too little to speak of. Assumption
_WIDE_MM = 150.0


@dataclass(frozen=True)
class PartMoves:
    """The widest solid part of one wood, and how much its width changes from the driest to the dampest, mm."""

    part: str
    shown: str
    wood: str
    cut: str
    wide_mm: float
    change_mm: Spread

    def as_json(self) -> dict[str, Any]:
        """As plain data."""
        change = {"low": self.change_mm.low, "likely": self.change_mm.likely, "high": self.change_mm.high}
        return {"part": self.part, "wood": self.wood, "cut": self.cut, "wide_mm": round(self.wide_mm, 1),
                "change_mm": {end: round(mm, 2) for end, mm in change.items()}}  # fmt: skip


@dataclass(frozen=True)
class After:
    """The year of the house in a sentence, moisture at its driest and dampest, and what moves how far."""

    says: str
    dry_pct: float
    damp_pct: float
    moves: tuple[PartMoves, ...]

    def as_json(self) -> dict[str, Any]:
        """As plain data."""
        return {"says": self.says, "dry_mc_pct": round(self.dry_pct, 1), "damp_mc_pct": round(self.damp_pct, 1),
                "moves": [move.as_json() for move in self.moves]}  # fmt: skip


def after_delivery(work: Work, facts: Facts) -> After | None:
    """Movement of the widest solid part of each wood where the piece will live; None where nothing wide is solid.

    The wood is taken to follow the air: a finish slows it and does not lessen it over a season.
    Source: `physics/movement.py` and `physics/emc.py`; spread of one board, `wood_moves_times` of the figures.
    """
    widest: dict[str, Part] = {}
    for job in work.jobs.values():
        part = job.part
        if not part.solid or part.kind not in ("panel", "slab") or not part.woods or _wide_mm(part) < _WIDE_MM:
            continue
        if part.woods[0] not in widest or _wide_mm(part) > _wide_mm(widest[part.woods[0]]):
            widest[part.woods[0]] = part
    if not widest:
        return None
    dry, damp, says = _swing(work, facts)
    times = facts.figure("wood_moves_times").value
    moves = [_moves(part, name, dry, damp, times, facts) for name, part in widest.items()]
    return After(says, dry, damp, tuple(m for m in moves if m))


def _wide_mm(part: Part) -> float:
    return part.sizes.wide_mm or max(part.sizes.wide_at_mm, default=0.0)


def _moves(part: Part, wood: str, dry: float, damp: float, times: Spread, facts: Facts) -> PartMoves | None:
    row = facts.woods.get(wood)
    rate = coefficient(part.cut, row.c_radial_per_pct, row.c_tangential_per_pct) if row else None
    if rate is None:
        return None
    change = float(np.asarray(change_mm(_wide_mm(part), rate, dry, damp)))
    return PartMoves(part.name, part.shown, wood, part.cut, _wide_mm(part), times * change)


def _swing(work: Work, facts: Facts) -> tuple[float, float, str]:
    """Moisture of the wood at the driest and the dampest of the year, per cent, and in which air that is."""
    piece = work.piece
    heated = piece.lives == "heated house"
    try:
        if piece.lives_town:
            year = town_year(facts, piece.lives_town) if heated else outdoor_year(facts, piece.lives_town)
            mc = np.asarray(emc_pct(year.temp_c, year.rh))
            return float(mc.min()), float(mc.max()), year.says
    except Misread as bad:
        lead = f"{bad.says} Reckoned for"
    else:
        lead = "Reckoned for"
    humid = facts.likely("house_dry_rh"), facts.likely("house_dampest_rh")
    dry, damp = (float(np.asarray(emc_pct(_ROOM_C, rh))) for rh in humid)
    says = f"{lead} a heated house, {humid[0]:.0%} humidity in a dry winter, {humid[1]:.0%} in a damp summer"
    if not heated:
        says += ': it will live elsewhere; write lives = "unheated house, TOWN" with a town to have its own year'
    return dry, damp, says
