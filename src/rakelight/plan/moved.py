"""What moved between two plans, in words."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import datetime

from rakelight.plan.model import Due, Plan


def moved_lines(before: Mapping[str, datetime], due_before: Mapping[str, datetime], plan: Plan) -> list[str]:
    """Sentences that say which parts moved and by how much, and what became of the dates.

    `before`: starts of the earlier plan by task; `due_before`: likely moments by what was wanted.
    """
    lines: list[str] = []
    shifts: dict[str, list[tuple[float, str]]] = {}
    for key, placed in plan.placed.items():
        if placed.done or key not in before:
            continue
        days = (placed.start - before[key]).total_seconds() / 86400
        if abs(days) >= 0.4:
            shifts.setdefault(key.split("/")[0], []).append((days, key))
    for part, rows in shifts.items():
        name = part.replace("-", " ").capitalize()
        first = min(rows, key=lambda row: plan.placed[row[1]].start)
        step = first[1].split("/", 1)[-1].replace("-", " ").replace("/", ", ")
        was, now = before[first[1]], plan.placed[first[1]].start
        far = max(rows, key=lambda row: abs(row[0]))[0]
        rest = f"; {len(rows) - 1} later steps with it, by up to {_days(abs(far))}" if len(rows) > 1 else ""
        lines.append(f"{name}: {step} moves from {_day(was)} to {_day(now)}{rest}.")
    same = [k for k, p in plan.placed.items() if not p.done and k in before]
    still = len(same) - sum(len(rows) for rows in shifts.values())
    lines.append(
        f"{still} of {len(same)} steps still to do keep their day." if same else "Nothing is left to do."
    )
    lines += [_due_line(due, due_before.get(due.for_)) for due in plan.due]
    return lines


def _due_line(due: Due, was: datetime | None) -> str:
    if due.likely is None:
        return f"{due.for_.capitalize()}: no date in this air."
    change = (
        "as before"
        if was is None or abs((due.likely - was).total_seconds()) < 3600 * 10
        else f"was {_day(was)}"
    )
    left = (due.by - due.likely).total_seconds() / 86400
    kept = f"still {_days(left)} before the date" if left >= 0 else f"{_days(-left)} after the date"
    return f"{due.for_.capitalize()}: likely {_day(due.likely)} ({change}), {kept} of {_day(due.by)}."


def _day(moment: datetime) -> str:
    return f"{moment:%a} {moment.day} {moment:%b}"


def _days(days: float) -> str:
    if days < 0.75:
        return f"{max(1, round(days * 24))} hours"
    rounded = round(days * 2) / 2
    return f"{rounded:g} day{'s' if rounded != 1 else ''}"
