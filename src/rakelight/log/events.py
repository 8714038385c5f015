"""The log of one piece: a file that is only ever added to, one line of JSON an event."""

from __future__ import annotations

import json
import uuid
from dataclasses import asdict, dataclass, field
from datetime import datetime
from pathlib import Path
from typing import Any

from rakelight.errors import RakelightError
from rakelight.plan.model import Plan

KINDS = ("planned", "done", "tested", "coats", "confirmed", "note", "taken back")


@dataclass(frozen=True)
class Event:
    """Something that happened, with when it happened and when it was written. `id` makes a repeated send one."""

    kind: str
    happened: datetime
    written: datetime
    id: str = field(default_factory=lambda: uuid.uuid4().hex)
    task: str = ""
    start: datetime | None = None
    readiness: str = ""
    passed: bool | None = None
    again_h: float | None = None
    number: int | None = None  # coats it took
    words: str = ""
    takes_back: str = ""  # id of an earlier event
    plan: dict[str, list[str]] = field(default_factory=dict)  # task -> start, end, place
    dues: dict[str, datetime] = field(default_factory=dict)  # what was wanted -> likely moment

    @classmethod
    def planned(cls, plan: Plan, now: datetime) -> Event:
        """A plan kept: what was to be done when."""
        times = {k: [p.start.isoformat(), p.end.isoformat(), p.place] for k, p in plan.placed.items()}
        dues = {d.for_: d.likely for d in plan.due if d.likely}
        return cls("planned", now, now, plan=times, dues=dues)


def _plain(event: Event) -> dict[str, Any]:
    found: dict[str, Any] = {}
    for key, value in asdict(event).items():
        if key == "dues" and value:
            found[key] = {k: v.isoformat() for k, v in value.items()}
        elif value not in ("", None, {}):
            found[key] = value.isoformat() if isinstance(value, datetime) else value
    return found


def _event(row: dict[str, Any]) -> Event:
    times = {k: datetime.fromisoformat(row[k]) for k in ("happened", "written", "start") if k in row}
    dues = {k: datetime.fromisoformat(v) for k, v in row.get("dues", {}).items()}
    return Event(**{**row, **times, "dues": dues})


class Log:
    """The events of a piece, in the order they were written."""

    def __init__(self, path: Path) -> None:
        self.path = path

    @property
    def began(self) -> bool:
        """Whether anything has been written."""
        return self.path.exists() and self.path.stat().st_size > 0

    def events(self) -> list[Event]:
        """All events; raises RakelightError naming the line that cannot be read."""
        if not self.path.exists():
            return []
        found: dict[str, Event] = {}
        for number, line in enumerate(self.path.read_text("utf-8").splitlines(), 1):
            if not line.strip():
                continue
            try:
                event = _event(json.loads(line))
            except (ValueError, TypeError, KeyError) as bad:
                raise RakelightError(f"{self.path.name}:{number}: this line of the log cannot be read ({bad}).") from bad
            found.setdefault(event.id, event)
        return list(found.values())

    def add(self, event: Event) -> None:
        """Write one event at the end; what is written is never changed."""
        line = json.dumps(_plain(event), ensure_ascii=False)
        with self.path.open("a", encoding="utf-8") as file:
            file.write(line + "\n")
