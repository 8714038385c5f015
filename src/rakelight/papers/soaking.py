"""Flakes put to soak ahead: one jar for all coats of one cut, and by when it must stand."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from datetime import datetime
from typing import Protocol

from rakelight.errors import Finding, Severity, Where
from rakelight.facts.load import Facts
from rakelight.papers.plan_text import moment_words
from rakelight.papers.sheet_words import mass_words
from rakelight.papers.wrapping import upper_first
from rakelight.piece.model import Piece
from rakelight.plan.model import Plan
from rakelight.schedule.amounts import Amounts
from rakelight.schedule.coats import CoatAmount
from rakelight.shop.hours import hours_between, hours_later, open_from, windows
from rakelight.shop.model import Shop
from rakelight.spread import Spread
from rakelight.units import show_hours, show_jar

#: how long flakes take to dissolve, and on what it hangs: the row of facts/tables/practice.csv
DISSOLVE = "P86"
_LOOK_BACK_H = 24.0 * 30  # for an open hour before it
_MEND = "Begin with shellac already dissolved, or plan it a day later."
_TOO_SOON = ", before they can have dissolved: begin with shellac already dissolved, or plan it a day later"


class Mixed(Protocol):
    """A plan with what it takes."""

    @property
    def piece(self) -> Piece:
        """The piece."""

    @property
    def shop(self) -> Shop:
        """Where it is done."""

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
    by: datetime  # the last open moment that leaves the likely time to dissolve; where that is past, the first to come
    takes_h: Spread
    hangs_on: str  # what makes it quicker or slower, in the words of the row
    unit: str = "in"  # of the piece: how amounts are shown
    coats: tuple[CoatAmount, ...] = ()  # laid from it, those on a test board too

    @property
    def late(self) -> bool:
        """Whether the first coat comes before flakes put to soak by then can have dissolved."""
        return hours_between(self.by, self.first) < self.takes_h.low

    @property
    def made_ml(self) -> float:
        """What the jar makes, ml."""
        return sum(coat.mix.made_ml for coat in self.coats if coat.mix and not coat.board)


def soaks_of(piece: str, answer: Mixed, facts: Facts, now: datetime | None = None) -> Iterator[Soak]:
    """Every jar still to be mixed from flakes, by when it is first laid; of a jar begun none. Source: practice P86.

    Parameters: now, before which nothing can be put to soak; None, the moment of the plan.
    """
    found = soaks_in(answer.plan, answer.amounts, facts, answer.shop, answer.piece.unit, now)
    return (replace(soak, piece=piece) for soak in found)


def soaks_in(
    plan: Plan, amounts: Amounts, facts: Facts, shop: Shop, unit: str, now: datetime | None = None
) -> Iterator[Soak]:
    """The same of a plan and its amounts."""
    row = facts.practice[DISSOLVE]
    takes = row.value
    if takes is None:
        return
    jars: dict[tuple[str, float], list[tuple[datetime, CoatAmount]]] = {}
    begun: set[tuple[str, float]] = set()
    for id, placed in plan.placed.items():
        coat = amounts.of_task(id)
        if coat and coat.mix and coat.mix.flakes_g and coat.mix.cut_lb:
            if placed.done:
                begun.add((coat.name, coat.mix.cut_lb))
            else:
                jars.setdefault((coat.name, coat.mix.cut_lb), []).append((placed.start, coat))
    for (name, cut), rows in sorted(jars.items(), key=lambda jar: min(row[0] for row in jar[1])):
        mixes = [coat.mix for _, coat in rows if coat.mix and not coat.board]
        first = min(start for start, _ in rows)
        flakes, alcohol = sum(m.flakes_g for m in mixes), sum(m.thinner_ml for m in mixes)
        if flakes > 0 and (name, cut) not in begun:
            by, coats = _open_by(shop, first, takes.likely, now or plan.now), tuple(coat for _, coat in rows)
            yield Soak("", name, cut, flakes, alcohol, first, by, takes, row.condition, unit, coats)


def _open_by(shop: Shop, first: datetime, takes_h: float, now: datetime | None) -> datetime:
    """The last moment of work that leaves so many hours; the first from now on where there is none left."""
    latest = hours_later(first, -takes_h)
    begins = max(now, hours_later(latest, -_LOOK_BACK_H)) if now else hours_later(latest, -_LOOK_BACK_H)
    spans = windows(shop, begins, latest)
    if spans:
        return spans[-1][1]
    return min(open_from(shop, now), first) if now else latest


def flakes_late(soaks: Iterable[Soak], facts: Facts) -> Iterator[Finding]:
    """A note for each jar first laid before its flakes can have dissolved: it may stand mixed on the shelf, untold."""
    row = facts.practice[DISSOLVE]
    for soak in soaks:
        if not soak.late:
            continue
        begins = min(soak.coats, key=lambda coat: coat.board)
        has_h = hours_between(soak.by, soak.first)
        says = (
            f"{upper_first(soak.material)} of a {soak.cut_lb:g} lb cut is first laid {moment_words(soak.first)}; "
            f"flakes put to soak {moment_words(soak.by)} have {show_hours(has_h)}, and take "
            f"{soak.takes_h.low:.0f} to {soak.takes_h.high:.0f} h to dissolve, {soak.hangs_on}."
        )
        figures = {"has_h": has_h, "takes_h": soak.takes_h.low}
        where = Where(part=begins.part, step=begins.step)
        source = row.source
        yield Finding("flakes-not-dissolved", Severity.NOTE, where, says, _MEND, source.text, source.kind, figures)


def due_soon(soaks: Iterable[Soak], now: datetime) -> tuple[Soak, ...]:
    """Those to be put to soak within a day: the first coat is no further off than the longest soak and that day."""
    near = (
        s for s in soaks
        if s.first <= hours_later(now, s.takes_h.high + s.takes_h.likely) or s.by <= hours_later(now, s.takes_h.likely)
    )  # fmt: skip
    return tuple(sorted(near, key=lambda s: s.first))


def soak_words(soak: Soak, now: datetime | None = None) -> str:
    """What to put to soak, and by when."""
    unit = soak.unit
    jar = (
        f"{mass_words(soak.flakes_g, unit)} of flakes in {show_jar(soak.alcohol_ml, unit)} of alcohol, one jar of "
        f"{soak.cut_lb:g} lb {soak.material} for all its coats"
    )
    if soak.late:
        by = f"at once, {moment_words(soak.by)}" if now is None or soak.by > now else "now"
    else:
        by = "now" if now is not None and soak.by <= now else f"by {moment_words(soak.by)}"
    takes = f"{soak.takes_h.low:.0f} to {soak.takes_h.high:.0f} h"
    first = f"First laid {moment_words(soak.first)}{_TOO_SOON if soak.late else ''}."
    return f"Put to soak {by}: {jar}. Flakes dissolve in {takes}, {soak.hangs_on}. {first}"


def soak_lines(answer: Mixed, facts: Facts) -> list[str]:
    """The same for all that is planned of one piece, one line a jar."""
    return [soak_words(soak) for soak in soaks_of("", answer, facts)]
