"""Runs every rule over a piece and its work, and over a plan where there is one."""

from __future__ import annotations

from datetime import datetime

from rakelight.errors import Finding
from rakelight.facts.load import Facts
from rakelight.piece.model import Piece
from rakelight.plan.model import Plan
from rakelight.plan.waits import Waits
from rakelight.rules import (
    blush,
    cans,
    care,
    faces,
    no_good_hour,
    over_another,
    pores,
    recoat,
    rubbing,
    thinning,
    vapour,
    weather,
    woods,
)
from rakelight.rules.case import Case
from rakelight.rules.registry import run_all
from rakelight.schedule.tasks import Work
from rakelight.shop.model import Shop

#: the modules that hold the rules; naming them here registers them
HOLD_RULES = (
    blush, cans, care, faces, no_good_hour, over_another, pores, recoat, rubbing, thinning, vapour, weather, woods,
)  # fmt: skip


def check(
    piece: Piece,
    work: Work,
    shop: Shop,
    facts: Facts,
    plan: Plan | None = None,
    waits: Waits | None = None,
    origin: datetime | None = None,
) -> list[Finding]:
    """Every rule's findings, the severest first; rules of the plan only where there is one.

    `waits` are those the plan was made with and `origin` the whole hour they count from; without both the rules
    make their own, by the book. One finding a part and cause, its faces joined. Pure: nothing is read or written.
    """
    waits = waits if origin is not None else None
    return run_all(Case(piece, work, shop, facts, plan, waits, origin))
