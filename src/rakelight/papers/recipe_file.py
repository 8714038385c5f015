"""A finished part written as a schedule of the book: what was done, with what it really took as remarks."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from typing import Any

from rakelight.log.again import JobDone, StepDone
from rakelight.log.events import Event
from rakelight.papers.plan_text import clock_words, day_words
from rakelight.papers.sheet_words import volume_words
from rakelight.piece.write import inline
from rakelight.units import (
    H_PER_DAY,
    MIN_PER_H,
    show_area,
    show_percent,
    show_span,
    show_temp,
    show_volume,
    show_work,
)

#: keys of a piece's own steps that no schedule takes
_NOT_IN_BOOK = ("before", "after", "by_date")
#: as a remark, no longer than this
_MOST = 200
_IN_MINUTES = 120
#: a wait from three days on is written in days
_IN_DAYS_H = 72.0


def recipe_file(
    job: JobDone, written: Mapping[str, Any], own: Mapping[str, Mapping[str, Any]], unit: str, title: str = "",
    minutes: float | None = None,
) -> str:
    """The schedule as TOML, readable as any other: with the coats it took, and waits no shorter than they were.

    Parameters: written, the schedule it was done by, as its file has it; own, the maker's own steps of the piece by
    their words; unit, in or mm, for the remarks; title, else made from the schedule and the piece; minutes, to hold
    each step to the minutes it took, times this (None: they follow from the area).
    """  # fmt: skip
    steps = list(written.get("steps", []))
    name = title or f"{written.get('schedule', job.schedule)}, as on {job.piece}"
    lines = [
        f"# As it was done on {_plain(job.piece)}, {_plain(job.part)} ({job.wood}, {show_area(job.area_m2, unit)}).",
        "#",
        *_remarks(f"From {_day(job.begun)} to {_day(job.ended)}; {_trust(job)}", ""),
        f"schedule = {inline(name[:_MOST])}",
        *([f"sheen = {inline(written['sheen'])}"] if written.get("sheen") else []),
        "steps = [",
    ]
    placed = sorted(((s, _keys(s, steps, own, minutes)) for s in job.steps), key=lambda row: row[0].begun)
    done = [s.at for s, _ in placed if s.at is not None]
    told: set[int] = set()
    for step, keys in placed:
        between = [dict(steps[at]) for at in _between(steps, done, step.at, told)]
        lines += [f"  {inline(bare)}," for bare in _before(step, between)]
        lines += [*_remarks(said(step, unit), "  "), f"  {inline(keys)},"]
    return "\n".join([*lines, "]", ""])


def _between(steps: Sequence[Any], done: Sequence[int], at: int | None, told: set[int]) -> list[int]:
    """Steps that are no sessions of their own (a wait, turning, carrying) and stand before this one."""
    if at is None:
        return []
    first = min(done)
    found = [n for n in range(first, at) if n not in done and n not in told and _is_bare(steps[n])]
    told |= set(found)
    return found


def _is_bare(step: Any) -> bool:
    return isinstance(step, Mapping) and step.get("do") in ("wait", "move", "turn", "points")


def _keys(
    step: StepDone, steps: Sequence[Any], own: Mapping[str, Mapping[str, Any]], minutes: float | None
) -> dict[str, Any]:
    if step.at is None:
        kept = {k: v for k, v in own.get(step.step.own, {"own": step.step.own}).items() if k not in _NOT_IN_BOOK}
        return {**kept, "minutes": max(1, round(step.minutes * (minutes or 1.0)))}
    keys = {k: v for k, v in dict(steps[step.at]).items() if k != "opened"}
    if step.coats and ("coats" in keys or step.coats > 1):
        keys["coats"] = step.coats
    if minutes and step.each_min:
        keys["minutes"] = max(1, round(step.each_min * minutes))
    stood = _held(step, step.stood_h if step.between_h is None else step.between_h)
    return {**keys, "at_least": stood} if stood else keys


def _held(step: StepDone, hours: float | None) -> str:
    """A wait that really was, as a schedule has it; "" where it was none, or longer than the step may stand."""
    most = step.step.at_most
    return "" if most and hours and hours > most.hours else wait_words(hours)


def _before(step: StepDone, between: list[dict[str, Any]]) -> list[dict[str, Any]]:
    """The steps that are no sessions before one; where it has coats of its own, its first wait is held there."""
    stood = _held(step, step.stood_h) if step.between_h is not None else ""
    if not stood:
        return between
    at = next((n for n in reversed(range(len(between))) if between[n].get("do") == "wait"), None)
    if at is None:
        return [*between, {"do": "wait", "at_least": stood}]
    return [{**b, "at_least": stood} if n == at else b for n, b in enumerate(between)]


def wait_words(hours: float | None) -> str:
    """A wait as a schedule has it, in whole hours, from three days on whole days; "" below an hour.

    >>> wait_words(17.6), wait_words(200.0), wait_words(0.5)
    ('17 h', '8 days', '')
    """
    if hours is None or hours < 1:
        return ""
    return f"{math.floor(hours)} h" if hours < _IN_DAYS_H else f"{math.floor(hours / H_PER_DAY)} days"


def said(step: StepDone, unit: str) -> str:
    """What a step really took, in one sentence."""
    parts = [_day(step.begun)]
    if step.waited_h is not None and step.waited_h >= 1:
        parts.append(f"{show_span(step.waited_h)} after the step before")
    how = "" if step.took_min is not None else " as planned, not told"
    parts.append(f"{work_words(step.minutes)} of work{how}")
    if step.took_min is not None and step.planned_min and round(step.took_min) != round(step.planned_min):
        parts.append(f"planned {work_words(step.planned_min)}")
    if step.coats:
        parts.append(f"{step.coats} coat{'s' * (step.coats != 1)}")
    if step.ml is not None and step.planned_ml is not None:
        how = "" if step.used_ml is not None else " as planned, not told"
        parts.append(f"{volume_words(step.ml, unit)} laid{how}")
        if step.used_ml is not None:
            parts.append(f"planned {show_volume(step.planned_ml.likely, unit)}")
    parts += [words for event in step.seen if (words := _event(event, unit))]
    return "; ".join(parts)


def work_words(minutes: float) -> str:
    """Minutes as they were told; from two hours on to the quarter hour."""
    return f"{minutes:.0f} min" if minutes < _IN_MINUTES else show_work(minutes / MIN_PER_H)


def _event(event: Event, unit: str) -> str:
    """A reading, test, fault or note in a few words."""
    values = event.values
    note = f": {_plain(event.words)}" if event.words else ""
    if event.kind == "reading" and "temp_c" in values:
        damp = f", {show_percent(values['rh'])}" if "rh" in values else ""
        return f"air {show_temp(values['temp_c'], unit)}{damp}{note}"
    if event.kind == "reading" and "mc_pct" in values:
        return f"wood {values['mc_pct']:g} %{note}"
    if event.kind == "reading" and "wet_um" in values:
        return f"wet film {values['wet_um']:.0f} um{note}"
    if event.kind == "reading" and "gu" in values:
        return f"gloss {values['gu']:g}{note}"
    if event.kind == "tested":
        return f"hand test {'passed' if event.passed else 'failed'} {day_words(event.happened)}{note}"
    if event.kind == "fault":
        return f"seen: {_plain(event.what)}" + (f", {_plain(event.did)}" if event.did else "") + note
    return f"noted{note}" if note else ""


def _remarks(words: str, before: str) -> list[str]:
    """A sentence as lines of remarks."""
    from textwrap import wrap

    return [f"{before}# {line}" for line in wrap(words, 96)]


def _plain(words: str) -> str:
    """Words on one line, without what a file cannot hold."""
    return "".join(c if c.isprintable() else " " for c in " ".join(words.split()))[:_MOST]


def _day(moment: Any) -> str:
    return f"{day_words(moment)} {moment.year} {clock_words(moment)}"


def _trust(job: JobDone) -> str:
    told, of = job.told
    times = job.times_planned
    more = f"; the work took {times:.2g} times what was planned" if times else ""
    return f"{told} of {of} sessions were told, the rest counts as planned{more}."
