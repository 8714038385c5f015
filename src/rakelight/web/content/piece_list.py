"""What stands in the list of pieces: each with its date, its odds and what comes next."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

from rakelight.desk import Answer
from rakelight.plan.model import Due, Odds
from rakelight.store.piece_row import PieceRow
from rakelight.web.content.parts import days_of
from rakelight.web.content.piece_page import due_rows

_NBSP = "\N{NO-BREAK SPACE}"


@dataclass(frozen=True)
class DateWords:
    """A date with its range."""

    likely_day: str
    span: str
    wanted: str
    kept: str
    odds: Odds | None


@dataclass(frozen=True)
class ListRow:
    """One piece."""

    key: str
    name: str
    says: str  # where no date is known
    due: DateWords | None = None
    next: str = ""


def day_year(moment: datetime, now: datetime) -> str:
    """Tue 16 March, in one piece; with the year where it is another."""
    year = f"{_NBSP}{moment.year}" if moment.year != now.year else ""
    return f"{moment:%a}{_NBSP}{moment.day}{_NBSP}{moment:%B}{year}"


def ends_of(due: Due) -> tuple[datetime | None, datetime | None, datetime | None]:
    """Earliest, likely, latest: by the odds where they are known, since waits run late further than early."""
    if due.odds and due.odds.p50:
        return due.odds.p10, due.odds.p50, due.odds.p90
    return due.low, due.likely, due.high


def date_words(due: Due, now: datetime, kept: str = "") -> DateWords:
    """A wanted date in words."""
    low, likely, high = ends_of(due)
    odds = due.odds
    if likely is None:
        return DateWords(
            "No date in this air", "It stays too cold or too damp to dry.", day_year(due.by, now), kept, odds
        )
    if high is None:
        span = f"earliest {day_year(low or likely, now)}; now and then much later"
    elif low and (high - low).days < 1:
        span = f"{low.hour}:{low:%M} to {high.hour}:{high:%M}"
    else:
        span = f"earliest {day_year(low or likely, now)}, latest {day_year(high, now)}"
    return DateWords(day_year(likely, now), span, day_year(due.by, now), kept, odds)


def list_row(row: PieceRow, answer: Answer | None, now: datetime, says: str = "") -> ListRow:
    """One piece of the list.

    Parameters: answer, its plan as far as it is known; says, why it has none.
    """
    if row.put_away or row.finished:
        when = f"finished {day_year(row.finished, now)}" if row.finished else "put away"
        return ListRow(row.key, row.name, when)
    if answer is None or not answer.plan.due:
        return ListRow(row.key, row.name, says or "Its days are being counted.")
    first = due_rows(answer)[0]
    days = days_of(answer)
    step = next((s for d in days for s in d.steps), None)
    coming = (
        f"{step.part}: {step.says.split(';')[0]}, {day_year(step.start, now)}"
        if step
        else "nothing is left to do"
    )
    return ListRow(row.key, row.name, "", date_words(first.due, now, first.kept), coming)
