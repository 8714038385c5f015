"""This shop's own figures beside the book's, as they stand on the page of the shop."""

from __future__ import annotations

from dataclasses import dataclass

from rakelight.log.learning import Learned, Row
from rakelight.papers.learned_text import range_words, why_words


@dataclass(frozen=True)
class LearnedRow:
    """One figure."""

    key: str
    says: str
    book: str
    yours: str
    used: str
    why: str
    pinned: bool
    may_reset: bool


def learned_rows(learned: Learned) -> tuple[LearnedRow, ...]:
    """The figures this shop has taught, each with the book's, its own and what is planned with."""
    return tuple(_row(row) for row in learned.rows)


def _row(row: Row) -> LearnedRow:
    jobs = f"{row.jobs} job{'s' * (row.jobs != 1)}"
    yours = (
        range_words(row.yours, row.unit)
        if row.yours
        else "bounded on one side"
        if row.jobs
        else "nothing yet"
    )
    why = why_words(row).lstrip(", ")
    return LearnedRow(
        row.what,
        f"{row.says[:1].upper()}{row.says[1:]}",
        range_words(row.book, row.unit),
        f"{yours}, {jobs}",
        range_words(row.used, row.unit),
        why,
        row.pinned,
        row.pinned or row.jobs > 0,
    )
