"""Flakes put to soak ahead: one jar for all coats of one cut, and by when it must stand."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import datetime
from typing import Protocol

from rakelight.facts.load import Facts
from rakelight.papers.plan_text import moment_words
from rakelight.papers.sheet_words import mass_words, volume_words
from rakelight.piece.model import Piece
from rakelight.plan.model import Plan
from rakelight.schedule.amounts import Amounts
from rakelight.schedule.coats import CoatAmount
from rakelight.shop.hours import hours_later
from rakelight.spread import Spread

#: how long flakes take to dissolve, and on what it hangs: the row of facts/tables/practice.csv
DISSOLVE = "P86"


class Mixed(Protocol):
    """A plan with what it takes."""

    @property
    def piece(self) -> Piece:
        """The piece."""

    @property
    def plan(self) -> Plan:
        """Where the steps stand."""

    @property
    def amounts(self) -> Amounts:
        """What they take."""


@dataclass(frozen=True)
class Soak:
    """Flakes for one jar."""

    piece: str
    material: str  # as a person reads it
    cut_lb: float
    flakes_g: float
    alcohol_ml: float
    first: datetime  # when it is first laid
    by: datetime  # when it should stand at the latest, with the likely time to dissolve
    takes_h: Spread
    hangs_on: str  # what makes it quicker or slower, in the words of the row
    unit: str = "in"  # of the piece: how amounts are shown


def soaks_of(piece: str, answer: Mixed, facts: Facts) -> Iterator[Soak]:
    """Every jar still to be mixed from flakes, by when it is first laid. Source: practice P86."""
    row = facts.practice[DISSOLVE]
    takes = row.value
    if takes is None:
        return
    jars: dict[tuple[str, float], list[tuple[datetime, CoatAmount]]] = {}
    for id, placed in answer.plan.placed.items():
        coat = answer.amounts.of_task(id)
        if coat and coat.mix and coat.mix.flakes_g and coat.mix.cut_lb and not placed.done:
            jars.setdefault((coat.name, coat.mix.cut_lb), []).append((placed.start, coat))
    for (name, cut), rows in sorted(jars.items(), key=lambda jar: min(row[0] for row in jar[1])):
        mixes = [coat.mix for _, coat in rows if coat.mix and not coat.board]
        first = min(start for start, _ in rows)
        flakes, alcohol = sum(m.flakes_g for m in mixes), sum(m.thinner_ml for m in mixes)
        if flakes > 0:
            by, unit = hours_later(first, -takes.likely), answer.piece.unit
            yield Soak(piece, name, cut, flakes, alcohol, first, by, takes, row.condition, unit)


def due_soon(soaks: Iterable[Soak], now: datetime) -> tuple[Soak, ...]:
    """Those to be put to soak within a day: the first coat is no further off than the longest soak and that day."""
    near = (s for s in soaks if s.first <= hours_later(now, s.takes_h.high + s.takes_h.likely))
    return tuple(sorted(near, key=lambda s: s.first))


def soak_words(soak: Soak, now: datetime | None = None) -> str:
    """What to put to soak, and by when."""
    unit = soak.unit
    jar = (
        f"{mass_words(soak.flakes_g, unit)} of flakes in {volume_words(soak.alcohol_ml, unit)} of alcohol, one jar of "
        f"{soak.cut_lb:g} lb {soak.material} for all its coats"
    )
    by = "now" if now is not None and soak.by <= now else f"by {moment_words(soak.by)}"
    takes = f"{soak.takes_h.low:.0f} to {soak.takes_h.high:.0f} h"
    first = f"First laid {moment_words(soak.first)}."
    return f"Put to soak {by}: {jar}. Flakes dissolve in {takes}, {soak.hangs_on}. {first}"


def soak_lines(answer: Mixed, facts: Facts) -> list[str]:
    """The same for all that is planned of one piece, one line a jar."""
    return [soak_words(soak) for soak in soaks_of("", answer, facts)]
