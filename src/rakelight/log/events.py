"""The log of one piece: a file that is only ever added to, one line of JSON an event."""

from __future__ import annotations

import json
import uuid
from collections.abc import Mapping, Sequence
from dataclasses import asdict, dataclass, field, fields
from datetime import datetime
from pathlib import Path
from typing import Any

from rakelight.errors import Finding, RakelightError, Severity, Where
from rakelight.plan.model import Plan
from rakelight.plan.problem import nodes_of
from rakelight.schedule.tasks import Work

#: what a maker tells, and may take back; "planned" is written by the planner
TOLD = ("done", "tested", "coats", "confirmed", "note")
KINDS = ("planned", *TOLD, "taken back")


@dataclass(frozen=True)
class Event:
    """Something that happened, with when it happened and when it was written. `id` makes a repeated send one."""

    kind: str
    happened: datetime
    written: datetime
    id: str = field(default_factory=lambda: uuid.uuid4().hex)
    task: str = ""
    also: list[str] = field(default_factory=list)  # other tasks it settles: waits of a test passed, steps before
    start: datetime | None = None
    readiness: str = ""
    passed: bool | None = None
    again_h: float | None = None
    number: int | None = None  # coats it took in fact
    step: str = ""  # "case/oil": the step of the schedule those coats are of
    words: str = ""  # a note; of a kept plan, the name of the piece
    takes_back: str = ""  # id of an earlier event
    plan: dict[str, list[str]] = field(default_factory=dict)  # task -> start, end, place; confirmed: start, end
    after: dict[str, list[str]] = field(default_factory=dict)  # task -> what must be done before it
    dues: dict[str, datetime] = field(default_factory=dict)  # what was wanted -> likely moment
    odds: dict[str, float] = field(default_factory=dict)  # what was wanted -> chance of its date

    @classmethod
    def planned(cls, plan: Plan, now: datetime, work: Work | None = None) -> Event:
        """A plan kept: what was to be done when, and after what."""
        times = {k: [p.start.isoformat(), p.end.isoformat(), p.place] for k, p in plan.placed.items()}
        dues = {d.for_: d.likely for d in plan.due if d.likely}
        odds = {d.for_: round(d.odds.chance, 3) for d in plan.due if d.odds}
        nodes = nodes_of(work) if work else {}
        after = {k: list(nodes[k].before) for k in times if k in nodes and nodes[k].before}
        name = work.piece.name if work else ""
        return cls("planned", now, now, words=name, plan=times, after=after, dues=dues, odds=odds)

    @classmethod
    def confirmed(cls, times: Mapping[str, tuple[datetime, datetime]], now: datetime) -> Event:
        """Tasks done as they were planned, all at once."""
        plan = {k: [a.isoformat(), b.isoformat()] for k, (a, b) in times.items()}
        return cls("confirmed", max(b for _, b in times.values()), now, plan=plan)


def as_plain(event: Event) -> dict[str, Any]:
    """An event as plain data, without what does not apply."""
    found: dict[str, Any] = {}
    for key, value in asdict(event).items():
        if key == "dues" and value:
            found[key] = {k: v.isoformat() for k, v in value.items()}
        elif value not in ("", None, {}, []):
            found[key] = value.isoformat() if isinstance(value, datetime) else value
    return found


_KEYS = {f.name for f in fields(Event)}
_WORDS = ("kind", "id", "task", "readiness", "step", "words", "takes_back")


def _moment(words: object) -> datetime:
    moment = datetime.fromisoformat(words) if isinstance(words, str) else None
    if moment is None or moment.tzinfo is None:
        raise ValueError(f"{words!r} is no moment with its offset")
    return moment


def _event(row: Any) -> Event:
    """An event from its line; raises ValueError, TypeError or KeyError where it cannot be one."""
    if not isinstance(row, dict):
        raise ValueError("it is no record")
    kept = {k: v for k, v in row.items() if k in _KEYS}  # a later version may say more
    if "kind" not in kept or "id" not in kept or not all(isinstance(kept.get(k, ""), str) for k in _WORDS):
        raise ValueError("it does not say what happened")
    times = {k: _moment(kept[k]) for k in ("happened", "written", "start") if k in kept}
    plan = {str(k): [str(word) for word in v] for k, v in kept.get("plan", {}).items()}
    for spell in plan.values():
        _moment(spell[0]), _moment(spell[1])
    after = {str(k): [str(word) for word in v] for k, v in kept.get("after", {}).items()}
    dues = {str(k): _moment(v) for k, v in kept.get("dues", {}).items()}
    odds = {str(k): float(v) for k, v in kept.get("odds", {}).items()}
    also = [str(word) for word in kept.get("also", [])]
    number, again = kept.get("number"), kept.get("again_h")
    if not (number is None or (type(number) is int and 1 <= number <= 99)):
        raise ValueError(f"{number!r} is no number of coats")
    if not (again is None or (isinstance(again, int | float) and 0 < again < 1e5)):
        raise ValueError(f"{again!r} is no number of hours")
    return Event(**{**kept, **times, "plan": plan, "after": after, "dues": dues, "odds": odds, "also": also})


class Log:
    """The events of a piece, in the order they were written."""

    def __init__(self, path: Path) -> None:
        self.path = path

    @property
    def began(self) -> bool:
        """Whether anything has been written."""
        return bool(self._lines())

    def _lines(self) -> Sequence[str]:
        try:
            if not self.path.exists():
                return ()
            return self.path.read_text("utf-8", errors="replace").split("\n")
        except OSError as bad:
            raise RakelightError(f"The log {self.path} cannot be read: {bad.strerror}.") from bad

    def read(self) -> tuple[list[Event], list[Finding]]:
        """All events, each id once, and a warning for each line that cannot be read and is not counted.

        Raises RakelightError where the file itself cannot be read.
        """
        found: dict[str, Event] = {}
        faults = []
        for number, line in enumerate(self._lines(), 1):
            if not line.strip():
                continue
            try:
                event = _event(json.loads(line))
            except (ValueError, TypeError, KeyError, IndexError, AttributeError, RecursionError):
                faults.append(_unread(self.path.name, number))
                continue
            found.setdefault(event.id, event)
        return list(found.values()), faults

    def events(self) -> list[Event]:
        """All events that can be read."""
        return self.read()[0]

    def add(self, event: Event) -> None:
        """Write one event at the end; what is written is never changed.

        Raises RakelightError where it cannot be written.
        """
        line = json.dumps(as_plain(event), ensure_ascii=False) + "\n"
        try:
            with self.path.open("a+b") as file:
                if file.tell():
                    file.seek(-1, 2)
                    line = line if file.read(1) == b"\n" else f"\n{line}"  # after a line that was cut short
                file.write(line.encode("utf-8"))
        except OSError as bad:
            raise RakelightError(f"The log {self.path} cannot be written: {bad.strerror}.") from bad

    def last_told(self) -> Event | None:
        """The last thing the maker told and did not take back; None where there is none."""
        events = self.events()
        gone = {e.takes_back for e in events if e.kind == "taken back"}
        return next((e for e in reversed(events) if e.kind in TOLD and e.id not in gone), None)


def _unread(name: str, number: int) -> Finding:
    says = "This line of the log cannot be read, and is not counted."
    mend = "Mend the line, or tell again what it told; nothing else of the log is touched."
    return Finding("log-line-unread", Severity.WARNING, Where(file=name, line=number), says, mend)
