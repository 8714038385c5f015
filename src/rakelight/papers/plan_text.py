"""A plan as text for the wall: what to do on which day, how long each wait is, what to buy, what is wrong."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date, datetime

from rakelight.errors import Finding, Severity
from rakelight.plan.model import Due, Placed, Plan, Ready
from rakelight.schedule.tasks import Task, Work

_MARK = {Severity.ERROR: "STOP", Severity.WARNING: "Warning", Severity.NOTE: "Note"}


def day_words(moment: datetime | date) -> str:
    """Tue 9 Feb."""
    return f"{moment:%a} {moment.day} {moment:%b}"


def clock_words(moment: datetime) -> str:
    """9:05."""
    return f"{moment.hour}:{moment:%M}"


def moment_words(moment: datetime) -> str:
    """Tue 9 Feb 9:05."""
    return f"{day_words(moment)} {clock_words(moment)}"


def range_words(ready: Ready | Due) -> str:
    """The earliest, likely and latest of a readiness, as a maker would say it."""
    if ready.likely is None:
        return "no date in this air"
    low, high = ready.low or ready.likely, ready.high
    if high is None:
        return f"likely {moment_words(ready.likely)}, perhaps never in this air"
    if (high - low).total_seconds() < 4 * 3600 and low.date() == high.date():
        return f"{day_words(ready.likely)}, {clock_words(low)} to {clock_words(high)}"
    if low.date() == high.date():
        return f"{day_words(ready.likely)}, likely {clock_words(ready.likely)}"
    return f"likely {moment_words(ready.likely)} ({day_words(low)} to {day_words(high)})"


def plan_lines(work: Work, plan: Plan) -> list[str]:
    """The plan day by day."""
    tasks = {t.id: t for job in work.jobs.values() for t in job.tasks}
    days: dict[date, list[tuple[datetime, str]]] = {}
    for key, placed in plan.placed.items():
        for number, (a, b) in enumerate(placed.spans):
            days.setdefault(a.date(), []).append((a, _line(key, tasks.get(key), placed, number, a, b)))
    lines: list[str] = []
    for day in sorted(days):
        lines.append(day_words(day))
        lines += [text for _, text in sorted(days[day], key=lambda row: row[0])]
    return lines


def _line(key: str, task: Task | None, placed: Placed, number: int, a: datetime, b: datetime) -> str:
    part = key.split("/")[0].replace("-", " ").capitalize()
    says = task.says if task else "Scuff: the coat beneath is past its recoat time"
    lot = f", {task.pieces[0]} to {task.pieces[1]}" if task and task.lot[1] > 1 else ""
    on = " (taken up again)" if number else ""
    mark = "x" if placed.done and not placed.hollow else ("o" if placed.done else " ")
    line = f" {mark} {clock_words(a):>5}-{clock_words(b):<5}  {part}{lot}: {says}{on}"
    if number == 0 and placed.waited_for and placed.waited_for.likely and not placed.done:
        line += f"\n                after {placed.waited_for.for_}: {range_words(placed.waited_for)}"
        if task and task.test:
            line += f"; test: {task.test}"
    return line


def due_lines(plan: Plan) -> list[str]:
    """Wanted dates against what is likely."""
    found = []
    for due in plan.due:
        part = f"{due.part.replace('-', ' ').capitalize()}: " if due.part else ""
        kept = "in time" if due.late_h <= 0 and due.likely else "TOO LATE"
        found.append(f"{part}{due.for_} wanted by {moment_words(due.by)}: {range_words(due)} - {kept}")
        if due.latest_start:
            found.append(f"    would have needed a start by {day_words(due.latest_start)}")
    return found


def finding_lines(found: Iterable[Finding]) -> list[str]:
    """Warnings, the severest first, each with what would mend it and where it comes from."""
    lines = []
    for f in found:
        where = f"{f.where}: " if str(f.where) else ""
        lines.append(f"{_MARK[f.severity]}: {where}{f.says}")
        if f.mend:
            lines.append(f"    {f.mend}")
        if f.source:
            kind = f" ({f.kind.value})" if f.kind else ""
            lines.append(f"    from: {f.source}{kind}")
    return lines
