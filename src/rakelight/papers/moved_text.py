"""What moved between two plans, in words."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime

from rakelight.papers.wrapping import and_words
from rakelight.plan.model import Due, Plan
from rakelight.schedule.tasks import Task, Work
from rakelight.schedule.words import ready_words
from rakelight.shop.hours import hours_between
from rakelight.state.model import State

#: days; a step that moves by less keeps its day
_KEEPS = 0.4
#: hours; a date that moves by less is as before
_SAME_H = 10.0


@dataclass(frozen=True)
class _Shift:
    """One step that moved."""

    key: str
    was: datetime
    now: datetime

    @property
    def days(self) -> float:
        return hours_between(self.was, self.now) / 24


def moved_lines(
    before: Mapping[str, datetime],
    due_before: Mapping[str, datetime],
    plan: Plan,
    work: Work | None = None,
    state: State | None = None,
    odds: Mapping[str, str] | None = None,
) -> list[str]:
    """Sentences that say which parts moved, by how much and why, and what became of the dates.

    Parameters: before, starts of the earlier plan by task; due_before, likely moments by what was wanted; work
    and state, for the reasons; odds, what became of the odds of each date, in words.
    """
    to_do = [k for k, p in plan.placed.items() if not p.done]
    by_part: dict[str, list[_Shift]] = {}
    for key in to_do:
        if key in before:
            shift = _Shift(key, before[key], plan.placed[key].start)
            if abs(shift.days) >= _KEEPS:
                by_part.setdefault(key.split("/")[0], []).append(shift)
    lines = [_part_line(part, rows, by_part, work, state) for part, rows in by_part.items()]
    lines += _come_and_gone(before, plan, to_do, state)
    same = [k for k in to_do if k in before]
    still = len(same) - sum(len(rows) for rows in by_part.values())
    if not to_do:
        lines.append("Nothing is left to do.")
    elif not by_part and same:
        keep = "The one step still to do keeps its day." if len(same) == 1 else ""
        lines.append(keep or f"All {len(same)} steps still to do keep their days.")
    elif still:
        keep = "keeps its day" if still == 1 else "keep their days"
        lines.append(f"{still} of the {len(same)} steps still to do {keep}.")
    lines += [_due_line(due, due_before.get(due.for_), (odds or {}).get(due.for_, "")) for due in plan.due]
    return lines


def _part_line(
    part: str, rows: list[_Shift], by_part: Mapping[str, list[_Shift]], work: Work | None, state: State | None
) -> str:
    first = min(rows, key=lambda row: row.now)
    why = _why(part, rows, by_part, work, state)
    line = f"{_name(part).capitalize()}: {_step(first.key, work)} moves from {_day(first.was)} to {_day(first.now)}"
    line += f" {why}" if why else ""
    rest = [row for row in rows if row is not first]
    if rest:
        far = max(rest, key=lambda row: abs(row.days))
        with_it = "1 later step moves" if len(rest) == 1 else f"{len(rest)} later steps move"
        sooner = "" if far.days > 0 else " sooner"
        line += f"; {with_it} with it, by up to {_days(abs(far.days))}{sooner}"
    return f"{line}."


def _why(
    part: str, rows: list[_Shift], by_part: Mapping[str, list[_Shift]], work: Work | None, state: State | None
) -> str:
    """Because a test failed, because of what was told, or with a part that is joined into it."""
    moved = {row.key for row in rows}
    for trial in state.trials if state else ():
        if trial.task.split("/")[0] == part and trial.task in moved:
            how = "passed" if trial.passed else "failed"
            return f"because the {_test(trial.task, work)} of {trial.at.day} {trial.at:%B} {how}"
    coats = {k: n for k, n in (state.coats_taken if state else {}).items() if k.split("/")[0] == part}
    if coats:
        step, number = next(iter(coats.items()))
        return f"because {step.split('/')[-1].replace('-', ' ')} took {number} coat{'s' * (number != 1)}"
    members = work.jobs[part].begins_after if work and part in work.jobs else ()
    with_them = [_name(m) for m in members if m in by_part]
    return f"with the {and_words(with_them)}" if with_them else ""


def _come_and_gone(before: Mapping[str, datetime], plan: Plan, to_do: list[str], state: State | None) -> list[str]:
    """Steps the earlier plan did not have, and those it had that are no more."""
    done = state.done if state else {}
    new = [k for k in to_do if k not in before]
    gone = [k for k in before if k not in plan.placed and k not in done]
    lines = []
    if new:
        lines.append(f"New: {_some(new)}.")
    if gone:
        lines.append(f"No longer needed: {_some(gone)}.")
    return lines


def _some(keys: list[str]) -> str:
    more = f" and {len(keys) - 3} more" if len(keys) > 3 else ""
    return "; ".join(f"{_name(k.split('/')[0])}, {_step(k, None)}" for k in keys[:3]) + more


def _task(key: str, work: Work | None) -> Task | None:
    part = key.split("/")[0]
    tasks = work.jobs[part].tasks if work and part in work.jobs else ()
    return next((t for t in tasks if t.id == key), None)


def _test(key: str, work: Work | None) -> str:
    part = key.split("/")[0]
    tasks = work.jobs[part].tasks if work and part in work.jobs else ()
    chain = [t for t in tasks if not t.board or t.id == key]
    at = next((n for n, t in enumerate(chain) if t.id == key), -1)
    words = ""
    for task in reversed(chain[: at + 1]):
        words = task.test
        if words or (task.id != key and task.do not in ("move", "turn", "points")):
            break
    return "thumbnail test" if "thumbnail" in words else f"test ({words})" if words else "hand test"


def _step(key: str, work: Work | None) -> str:
    """The step as others call it; what stands at the end of an id: its lot or face."""
    task = _task(key, work)
    if task and task.do == "move":
        return f"carrying to the {task.move_to}"
    if task and task.do == "join":
        return "the joining"
    words = key.split("/", 1)[-1].replace("/scuff-late", "/scuff before it").replace("-", " ")
    return words.replace("/", ", ")


def _name(part: str) -> str:
    return part.replace("-", " ")


def _due_line(due: Due, was: datetime | None, odds: str = "") -> str:
    words = ready_words(due.for_)
    name = words[:1].upper() + words[1:]
    if due.likely is None:
        return f"{name}: no date in this air."
    same = was is None or abs(hours_between(was, due.likely)) < _SAME_H
    change = "" if was is None else "as before" if same else f"was {_day(was)}"
    left = hours_between(due.likely, due.by) / 24
    kept = f"still {_days(left)} before the date" if left >= 0 else f"{_days(-left)} after the date"
    end = f"; {odds}." if odds else "."
    return f"{name}: likely {_day(due.likely)}{f' ({change})' if change else ''}, {kept} of {_day(due.by)}{end}"


def _day(moment: datetime) -> str:
    return f"{moment:%a} {moment.day} {moment:%b}"


def _days(days: float) -> str:
    if days < 0.75:
        hours = max(1, round(days * 24))
        return f"{hours} hour{'s' * (hours != 1)}"
    rounded = round(days)
    return f"{max(1, rounded)} day{'s' * (rounded > 1)}"
