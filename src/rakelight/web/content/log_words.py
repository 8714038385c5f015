"""The log of a piece in words, the last thing told first."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from zoneinfo import ZoneInfo

from rakelight.log.events import Event
from rakelight.piece.model import part_words
from rakelight.units import show_film, show_mass, show_percent, show_span, show_temp, show_volume, show_work

_PIECE = {
    "added": "Put in.", "changed": "Its file was changed.", "finished": "Finished.", "put away": "Put away.",
    "taken out": "Taken out again.",
}  # fmt: skip


@dataclass(frozen=True)
class Told:
    """One line of the log."""

    id: str
    happened: datetime
    says: str
    who: str
    photo: str
    back: bool  # it may be taken back


def told_rows(events: Sequence[Event], zone: ZoneInfo, unit: str, most: int = 60) -> tuple[Told, ...]:
    """What was told and counts, the last first; plans kept are left out."""
    rows = [_row(event, zone, unit) for event in events if event.kind not in ("planned", "taken back")]
    return tuple(sorted(rows, key=lambda row: row.happened, reverse=True)[:most])


def _row(event: Event, zone: ZoneInfo, unit: str) -> Told:
    who = ", ".join(word for word in (event.maker, event.device) if word)
    back = event.kind != "piece"
    return Told(event.id, event.happened.astimezone(zone), says_of(event, unit), who, event.photo, back)


def says_of(event: Event, unit: str) -> str:
    """One thing told, as a sentence."""
    says = _SAYS.get(event.kind, _other)(event, unit)
    note = event.words.strip() if event.kind not in ("note", "piece") else ""
    return f"{says} {note[:1].upper()}{note[1:]}" if note else says


def step_words(task: str) -> str:
    """A step by its part and name: "Case, coat 3"."""
    part, _, step = task.partition("/")
    return f"{part_words(part)}, {step.replace('-', ' ').replace('/', ', ')}" if step else part_words(part)


def _done(event: Event, unit: str) -> str:
    more = []
    if event.number:
        more.append(f"{event.number} coat{'s' * (event.number != 1)}")
    if event.used_ml is not None:
        more.append(show_volume(event.used_ml, unit))
    if event.poured_g is not None:
        more.append(show_mass(event.poured_g, unit))
    if event.took_min is not None:
        more.append(show_work(event.took_min / 60))
    return f"{step_words(event.task)}: done{', ' if more else ''}{', '.join(more)}."


def _tested(event: Event, unit: str) -> str:
    again = f", look again after {show_span(event.again_h)}" if event.again_h else ""
    return f"{step_words(event.task)}: the test before it {'passed' if event.passed else 'failed'}{again}."


def _coats(event: Event, unit: str) -> str:
    count = event.number or 0
    if "open" in event.values:
        seen = "it lies white in open pores" if event.values["open"] else "pores filled"
        return f"Dust over {step_words(event.task)}: {seen}."
    return f"{step_words(event.step)} took {count} coat{'s' * (count != 1)}."


def _reading(event: Event, unit: str) -> str:
    if event.what == "air log":
        return f"A logger's air of {event.place or 'the shop'}: {event.words}."
    shown = ", ".join(_value(name, value, unit) for name, value in event.values.items())
    of = f" of {step_words(event.task)}" if event.task else ""
    return f"{(event.what or 'Reading').capitalize()}{of}: {shown}."


def _value(name: str, value: float, unit: str) -> str:
    if name == "temp_c":
        return show_temp(value, unit)
    if name == "rh":
        return show_percent(value)
    if name.endswith("_um"):
        return show_film(value, unit)
    if name.endswith("_ml"):
        return show_volume(value, unit)
    words, _, ending = name.rpartition("_")
    ending = {"pct": "%", "gu": "gloss units", "min": "min", "g": "g", "lb": "lb cut"}.get(ending, ending)
    return f"{words.replace('_', ' ')} {value:g} {ending}".strip()


def _fault(event: Event, unit: str) -> str:
    did = f" {event.did[:1].upper()}{event.did[1:]}." if event.did else ""
    return f"{step_words(event.task) if event.task else 'Fault'}: {event.what.replace('-', ' ')}.{did}"


def _rework(event: Event, unit: str) -> str:
    steps = ", ".join(step_words(task) for task in event.also)
    return f"To be done again: {steps}."


def _can(event: Event, unit: str) -> str:
    name = event.material.replace("_", " ") or "Can"
    return f"{name.capitalize()}: {event.what}."


def _other(event: Event, unit: str) -> str:
    if event.kind == "piece":
        return _PIECE.get(event.what, event.what)
    if event.kind == "note":
        return event.words or "Note."
    if event.kind == "photo":
        return "Picture."
    if event.kind == "confirmed":
        count = len(event.plan)
        return f"{count} step{'s' * (count != 1)} went as planned."
    words = {"started": "begun", "skipped": "left out for good"}.get(event.kind, event.kind)
    return f"{step_words(event.task)}: {words}." if event.task else f"{words.capitalize()}."


_SAYS = {
    "done": _done, "tested": _tested, "coats": _coats, "reading": _reading, "fault": _fault, "rework": _rework,
    "can": _can,
}  # fmt: skip
