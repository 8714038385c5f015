"""What stands on the page of a piece: its dates and odds, what is wrong or could be, amounts, and what moved."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from zoneinfo import ZoneInfo

from rakelight.desk import Answer
from rakelight.errors import Finding, Severity
from rakelight.log.events import Event
from rakelight.papers.findings_text import first_source, place_words
from rakelight.papers.moved_text import moved_lines
from rakelight.papers.odds_text import changes, odds_words
from rakelight.piece.model import part_words
from rakelight.plan.model import Driver, Due
from rakelight.schedule.words import ready_words
from rakelight.shop.hours import hours_between
from rakelight.units import show_late, show_mass, show_span, show_volume

#: beginnings of the names of what bars a step: fire, breath, harm
STOPPING = ("vapour", "fire", "flame", "breath", "rags", "dust-harm")
_ORDER = {"stop": 0, "mend": 1, "mind": 2, "note": 3}
_WORDS = {"stop": "Stop", "mend": "Mend", "mind": "Mind", "note": "Note"}


@dataclass(frozen=True)
class DueRow:
    """A wanted date."""

    name: str
    due: Due
    kept: str  # "in time, 9 days to spare"
    late: bool
    odds_words: str


@dataclass(frozen=True)
class Mark:
    """A warning with its chalk mark."""

    mark: str  # stop, mend, mind, note
    word: str
    where: str
    says: str
    mend: str
    why: str  # where the figure comes from
    also: tuple[str, ...] = ()  # other places the same holds for


@dataclass(frozen=True)
class BuyRow:
    """A material of the piece: how much, and what to buy."""

    name: str
    where: str
    need: str
    low: str
    high: str
    cans: str
    says: str
    shelf: str  # what of it stands in the shop; "" where no can was told of


@dataclass(frozen=True)
class TurnsOn:
    """What the date turns on."""

    says: str
    gain: str
    mend: str
    kind: str


def due_rows(answer: Answer) -> tuple[DueRow, ...]:
    """Wanted dates, the last of them first: it is the date of the piece."""
    rows = [_due(due) for due in answer.plan.due]
    return tuple(sorted(rows, key=lambda row: row.due.by, reverse=True))


def _due(due: Due) -> DueRow:
    words = ready_words(due.for_)
    name = words[:1].upper() + words[1:]
    odds = odds_words(due.odds) if due.odds else ""
    if due.likely is None:
        return DueRow(name, due, "cannot be reached in this air", True, odds)
    late = show_late(due.by, due.likely)
    kept = (
        f"too late by {late}"
        if late
        else f"{show_span(hours_between(due.likely, due.by))} to spare"
    )
    return DueRow(name, due, kept, bool(late), odds)


def turns_on(drivers: Sequence[Driver]) -> tuple[TurnsOn, ...]:
    """What the date turns on, the dearest first."""
    rows = []
    for driver in drivers[:3]:
        gain = driver.p90_gain_days
        cost = (
            ""
            if gain is None
            else f"{gain:.0f} days"
            if gain >= 1.5
            else "1 day"
            if gain >= 0.75
            else "some hours"
        )
        says = f"{driver.wait[:1].upper()}{driver.wait[1:]}"
        rows.append(TurnsOn(says, cost, driver.mend, driver.kind.value if driver.kind else ""))
    return tuple(rows)


def marks_of(found: Sequence[Finding]) -> tuple[Mark, ...]:
    """Warnings in order of how much they matter; what is said alike of several places stands once."""
    groups: dict[tuple[str, str, str], list[Finding]] = {}
    for f in found:
        groups.setdefault((mark_name(f), f.id, f.mend), []).append(f)
    rows = [_mark(mark, group) for (mark, _, _), group in groups.items()]
    return tuple(sorted(rows, key=lambda row: _ORDER[row.mark]))


def mark_name(found: Finding) -> str:
    """Which chalk mark a warning wears: a stop is for fire, breath and harm alone."""
    if found.severity is Severity.ERROR:
        return "stop" if found.id.startswith(STOPPING) else "mend"
    return "mind" if found.severity is Severity.WARNING else "note"


def _mark(mark: str, group: Sequence[Finding]) -> Mark:
    first = group[0]
    where = [place_words(f) for f in group]
    kind = f" ({first.kind.value})" if first.kind else ""
    why = f"{first_source(first.source)}{kind}" if first.source else ""
    also = tuple(dict.fromkeys(w for w in where[1:] if w and w != where[0]))
    return Mark(mark, _WORDS[mark], where[0], first.says, first.mend, why, also)


def buy_rows(answer: Answer) -> tuple[BuyRow, ...]:
    """What the piece takes and what to buy, in the order it is first needed."""
    parts: dict[str, list[str]] = {}
    for part, amounts in answer.amounts.parts.items():
        for material in amounts:
            parts.setdefault(material, []).append(part_words(part))
    unit = answer.piece.unit
    rows = []
    for line in answer.amounts.buy:
        show = show_volume if line.unit == "ml" else show_mass
        low, likely, high = (show(value, unit) for value in line.need)
        cans = ", ".join(f"{count} × {size}" for size, count in line.cans)
        where = ", ".join(parts.get(line.material, []))
        drawn = sum(d.amount for d in line.drawn)
        old = ", some of it old" if any(d.old for d in line.drawn) else ""
        shelf = f"{show(drawn, unit)}{old}" if drawn else "none" if line.stocked else ""
        rows.append(BuyRow(line.name, where, likely, low, high, cans, line.says, shelf))
    return tuple(rows)


def before_after(answer: Answer, events: Sequence[Event], zone: ZoneInfo) -> list[str]:
    """What moved between the plan kept before the last one and this plan, in words; nothing where there was none.

    Parameters: events of the piece that count, in the order told.
    """
    kept = [e for e in events if e.kind == "planned"]
    before = _before(kept, answer)
    if before is None:
        return []
    starts, dues, odds = before
    starts = {k: v.astimezone(zone) for k, v in starts.items()}
    dues = {k: v.astimezone(zone) for k, v in dues.items()}
    lines = moved_lines(starts, dues, answer.plan, answer.work, answer.state, changes(answer.plan, odds))
    told = any(not line.startswith("All ") and "(as before)" not in line for line in lines)
    return lines if told or any("its odds fall" in line or "its odds rise" in line for line in lines) else []


Kept = tuple[Mapping[str, datetime], Mapping[str, datetime], Mapping[str, float]]


def _before(kept: Sequence[Event], answer: Answer) -> Kept | None:
    """The plan kept last that is not this one."""
    now = {k: p.start.isoformat() for k, p in answer.plan.placed.items()}
    for event in reversed(kept):
        starts = {k: v[0] for k, v in event.plan.items()}
        if starts != now:
            return {k: datetime.fromisoformat(v) for k, v in starts.items()}, event.dues, event.odds
    return None
