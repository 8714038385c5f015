"""What a change to a schedule does: dates, odds, work, amounts and warnings, as it is and with the change."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from rakelight.desk import Answer
from rakelight.papers.moved_text import moved_lines
from rakelight.papers.odds_text import odds_words
from rakelight.plan.model import Due
from rakelight.schedule.buying import BuyLine
from rakelight.units import show_mass, show_volume, show_work
from rakelight.web.content.piece_list import date_words
from rakelight.web.content.piece_page import Mark, due_rows, marks_of


@dataclass(frozen=True)
class Beside:
    """One figure, as it is and with the change."""

    name: str
    was: str
    now: str

    @property
    def changed(self) -> bool:
        """Whether the change changes it."""
        return self.was != self.now


@dataclass(frozen=True)
class Told:
    """All that a change does."""

    rows: tuple[Beside, ...]
    new_marks: tuple[Mark, ...]
    gone_marks: tuple[Mark, ...]
    moved: tuple[str, ...]


def told(before: Answer | None, after: Answer) -> Told:
    """A change beside the plan as it is; before: None where there is no plan yet."""
    rows: list[Beside] = []
    was = {(d.due.for_, d.due.part): d.due for d in due_rows(before)} if before else {}
    for row in due_rows(after):
        old = was.get((row.due.for_, row.due.part))
        rows.append(Beside(row.name, _date(old, before), _date(row.due, after)))
        rows.append(Beside("All as planned", _planned(old), _planned(row.due)))
        if row.due.odds:
            rows.append(
                Beside("Odds", odds_words(old.odds) if old and old.odds else "not known", row.odds_words)
            )
    rows.append(Beside("Work still to do", _work(before), _work(after)))
    rows += _amounts(before, after)
    old_marks, new_marks = (_by_id(a) if a else {} for a in (before, after))
    lines: list[str] = []
    if before:
        starts = {k: p.start for k, p in before.plan.placed.items()}
        dues = {d.for_: d.likely for d in before.plan.due if d.likely}
        lines = moved_lines(starts, dues, after.plan, after.work, after.state)
    return Told(
        tuple(rows), tuple(m for k, m in new_marks.items() if k not in old_marks),
        tuple(m for k, m in old_marks.items() if k not in new_marks), tuple(lines),
    )  # fmt: skip


def _date(due: Due | None, answer: Answer | None) -> str:
    if due is None or answer is None or answer.plan.now is None:
        return "not known"
    words = date_words(due, answer.plan.now)
    return f"{words.likely_day}, {words.span}"


def _planned(due: Due | None) -> str:
    return f"{due.likely:%a} {due.likely.day} {due.likely:%B}" if due and due.likely else "not known"


def _work(answer: Answer | None) -> str:
    if answer is None:
        return "not known"
    minutes = [
        t.minutes.likely for job in answer.work.jobs.values() for t in job.tasks
        if t.id in answer.plan.placed and not answer.plan.placed[t.id].done
    ]  # fmt: skip
    return f"{show_work(sum(minutes) / 60)} in {len(minutes)} steps"


def _amounts(before: Answer | None, after: Answer) -> Iterable[Beside]:
    was = {line.name: line for line in before.amounts.buy} if before else {}
    now = {line.name: line for line in after.amounts.buy}
    for name in dict.fromkeys([*now, *was]):
        yield Beside(
            name[:1].upper() + name[1:], _amount(was.get(name), after), _amount(now.get(name), after)
        )


def _amount(line: BuyLine | None, answer: Answer) -> str:
    if line is None:
        return "none"
    unit = answer.piece.unit
    show = show_volume if line.unit == "ml" else show_mass
    low, likely, high = (show(value, unit) for value in line.need)
    cans = ", ".join(f"{count} × {size}" for size, count in line.cans)
    return f"{likely} ({low} to {high}); buy {cans or 'nothing'}"


def _by_id(answer: Answer) -> dict[tuple[str, str, str], Mark]:
    """Marks by what they are about: the same warning with other figures is the same."""
    found: dict[tuple[str, str, str], Mark] = {}
    for f in answer.findings:
        found.setdefault((f.id, f.where.part, f.where.step), marks_of([f])[0])
    return found
