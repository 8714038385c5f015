"""Events, and the log of one piece: a file that is only ever added to, one line of JSON an event."""

from __future__ import annotations

import json
import math
import uuid
from collections.abc import Mapping, Sequence
from dataclasses import MISSING, Field, asdict, dataclass, field, fields, replace
from datetime import datetime
from pathlib import Path
from typing import Any, Protocol

from rakelight.errors import Finding, RakelightError, Severity, Where
from rakelight.plan.model import Plan
from rakelight.plan.problem import nodes_of
from rakelight.schedule.tasks import Work

#: what a maker tells, and may take back; "planned" is written by the planner, "piece" by the shop's file
TOLD = (
    "done", "started", "skipped", "tested", "coats", "confirmed", "reading", "fault", "rework", "note", "photo", "can",
    "learned", "corrected",
)  # fmt: skip
KINDS = ("planned", *TOLD, "piece", "taken back")
#: what a kind may be about, where it must say so; what a fault may be stands in the tables
ABOUT: dict[str, tuple[str, ...]] = {
    "reading": ("air", "wood", "wet film", "gloss", "minutes", "air log"),
    "can": ("bought", "opened", "mixed", "weighed", "emptied"),
    "piece": ("added", "changed", "finished", "put away", "taken out"),
}


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
    piece: str = ""  # key of the piece in the shop's file
    maker: str = ""
    device: str = ""
    used_ml: float | None = None
    used_g: float | None = None
    before_g: float | None = None  # a can weighed before and after
    after_g: float | None = None
    took_min: float | None = None
    what: str = ""  # what a reading, fault, can, factor or piece event is about: `ABOUT`, or an id of the tables
    values: dict[str, float] = field(default_factory=dict)  # of a reading, can or factor, unit in the name
    material: str = ""
    can: str = ""  # id of a can or jar
    face: str = ""
    faces: list[str] = field(default_factory=list)  # of a rework; none: those of the steps done again
    did: str = ""  # what was done about a fault
    photo: str = ""  # SHA-256 of the photograph, in hex
    corrects: str = ""  # id of an earlier event in whose place this one stands
    use_by: str = ""
    text_hash: str = ""  # SHA-256 of the piece's file as it was, in hex
    place: str = ""  # of a reading of the air: the place it was read in; "" the first of the shop

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

    def is_plan_of(self, other: Event | None) -> bool:
        """Whether another entry keeps the same plan: then there is nothing new to keep."""
        return other is not None and all(
            getattr(self, name) == getattr(other, name) for name in ("kind", "words", "plan", "after", "dues", "odds")
        )

    @classmethod
    def confirmed(cls, times: Mapping[str, tuple[datetime, datetime]], now: datetime) -> Event:
        """Tasks done as they were planned, all at once."""
        plan = {k: [a.isoformat(), b.isoformat()] for k, (a, b) in times.items()}
        return cls("confirmed", max(b for _, b in times.values()), now, plan=plan)

    @classmethod
    def correction(cls, earlier: Event, now: datetime, **said: Any) -> Event:
        """What was told before, with some of it (`said`, by field) told otherwise; the rest stays as it was."""
        told = {"happened": earlier.happened, "piece": earlier.piece, **said}
        return cls("corrected", written=now, corrects=earlier.id, **told)

    @property
    def poured_g(self) -> float | None:
        """Grams used: as told, or by weighing the can before and after; None where neither was."""
        if self.used_g is None and self.before_g is not None and self.after_g is not None:
            return self.before_g - self.after_g
        return self.used_g


def in_force(events: Sequence[Event]) -> list[Event]:
    """The events that count, in the order told: each id once, nothing taken back, corrections in their place.

    A correction keeps the id and the place of what it corrects; the last one told rules. One whose earlier event
    is not there stands by itself, unless it is of the kind "corrected", which says nothing alone. A step told as
    done a second time, by another device under another id, is done once: as it was told first.
    """
    once: dict[str, Event] = {}
    for event in events:
        once.setdefault(event.id, event)
    gone = {e.takes_back for e in once.values() if e.kind == "taken back"}
    found: dict[str, Event] = {}
    root: dict[str, str] = {}  # id of a correction -> id of what it corrects in the end
    for event in once.values():
        if event.kind == "taken back" or event.id in gone:
            continue
        first = root.get(event.corrects, event.corrects)
        if first in found:
            root[event.id] = first
            found[first] = _corrected(found[first], event)
        elif event.kind != "corrected" and event.corrects not in gone:
            found[event.id] = event
    return _once_done(list(found.values()))


def _once_done(events: list[Event]) -> list[Event]:
    """The same, each step of a piece done once until it is told as left out."""
    done: set[tuple[str, str]] = set()
    found = []
    for event in events:
        step = (event.piece, event.task)
        if event.kind == "done" and event.task:
            if step in done:
                continue
            done.add(step)
        elif event.kind == "skipped":
            done.discard(step)
        found.append(event)
    return found


def told_twice(events: Sequence[Event]) -> list[Event]:
    """Entries that tell a step as done which was told as done already: they do not count."""
    others = {e.id for e in in_force(events)} | {e.takes_back for e in events if e.kind == "taken back"}
    return [e for e in events if e.kind == "done" and not e.corrects and e.id not in others]


def _corrected(earlier: Event, by: Event) -> Event:
    """An event with what its correction says laid over it, or another told in its place."""
    if by.kind != "corrected":
        return replace(by, id=earlier.id, corrects="")
    said = {f.name: value for f in fields(Event) if (value := getattr(by, f.name)) != _default(f)}
    for name in ("kind", "id", "corrects"):
        said.pop(name, None)
    return replace(earlier, **said)


def _default(of: Field[Any]) -> Any:
    return of.default_factory() if of.default_factory is not MISSING else of.default


def as_plain(event: Event) -> dict[str, Any]:
    """An event as plain data, without what does not apply."""
    found: dict[str, Any] = {}
    for key, value in asdict(event).items():
        if key == "dues" and value:
            found[key] = {k: v.isoformat() for k, v in value.items()}
        elif value not in ("", None, {}, []):
            found[key] = value.isoformat() if isinstance(value, datetime) else value
    return found


#: what an event may say
KEYS = frozenset(f.name for f in fields(Event))
_WORDS = {
    "kind", "id", "task", "readiness", "step", "words", "takes_back", "piece", "maker", "device", "what", "material",
    "can", "face", "did", "photo", "corrects", "use_by", "text_hash", "place",
}  # fmt: skip
_AMOUNTS = ("used_ml", "used_g", "before_g", "after_g", "took_min")
_LISTS = ("also", "faces")
_MOST = 1e7  # no figure of a shop is larger


def _moment(words: object) -> datetime:
    moment = datetime.fromisoformat(words) if isinstance(words, str) else None
    if moment is None or moment.tzinfo is None:
        raise ValueError(f"{words!r} is no moment with its offset")
    return moment


def event_of(row: Any) -> Event:
    """An event from plain data, as `as_plain` made it; keys it does not know are passed over.

    Raises ValueError, TypeError, KeyError, IndexError or AttributeError where it cannot be one.
    """
    if not isinstance(row, dict):
        raise ValueError("it is no record")
    kept = {k: v for k, v in row.items() if k in KEYS}  # a later version may say more
    if "kind" not in kept or "id" not in kept or any(k in _WORDS and not isinstance(v, str) for k, v in kept.items()):
        raise ValueError("it does not say what happened")
    kept |= {k: _moment(kept[k]) for k in ("happened", "written", "start") if k in kept}
    kept |= {k: [str(word) for word in kept[k]] for k in _LISTS if k in kept}
    for key in ("plan", "after"):
        if key in kept:
            kept[key] = {str(k): [str(word) for word in v] for k, v in kept[key].items()}
    for spell in kept.get("plan", {}).values():
        _moment(spell[0]), _moment(spell[1])
    if "dues" in kept:
        kept["dues"] = {str(k): _moment(v) for k, v in kept["dues"].items()}
    for key in ("odds", "values"):
        if key in kept:
            kept[key] = {str(k): _finite(v) for k, v in kept[key].items()}
    number, again = kept.get("number"), kept.get("again_h")
    if not (number is None or (type(number) is int and 1 <= number <= 99)):
        raise ValueError(f"{number!r} is no number of coats")
    if not (again is None or (isinstance(again, int | float) and 0 < again < 1e5)):
        raise ValueError(f"{again!r} is no number of hours")
    for key in _AMOUNTS:
        if kept.get(key) is not None and not 0 <= _finite(kept[key]) < _MOST:
            raise ValueError(f"{kept[key]!r} is no amount")
    return Event(**kept)


def _finite(value: object) -> float:
    if isinstance(value, bool) or not isinstance(value, int | float) or not math.isfinite(value):
        raise ValueError(f"{value!r} is no number")
    return float(value)


class EventLog(Protocol):
    """Where the events of one piece are kept: a file beside it, or the shop's file."""

    @property
    def path(self) -> Path:
        """The file they stand in."""

    @property
    def began(self) -> bool:
        """Whether anything has been written."""

    def read(self) -> tuple[list[Event], list[Finding]]:
        """All events, each id once, and what cannot be read."""

    def faults(self) -> list[Finding]:
        """What cannot be read."""

    def events(self) -> list[Event]:
        """All events that can be read."""

    def for_state(self, now: datetime) -> list[Event]:
        """Those that the state at a moment folds from; others may be left out."""

    def add(self, event: Event) -> Event:
        """Write one event; what is kept: one whose id is there already is not written again."""

    def find(self, id: str) -> Event | None:
        """What is written under an id; None where nothing is."""

    def last_told(self) -> Event | None:
        """The last thing the maker told and did not take back; None where there is none."""


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
            read = _read_line(line)
            faults += [] if read else [_unread(self.path.name, number)]
            for event in read:
                found.setdefault(event.id, event)
        return list(found.values()), faults

    def faults(self) -> list[Finding]:
        """What cannot be read."""
        return self.read()[1]

    def events(self) -> list[Event]:
        """All events that can be read."""
        return self.read()[0]

    def for_state(self, now: datetime) -> list[Event]:
        """All events: the log of one piece is short."""
        return self.events()

    def add(self, event: Event) -> Event:
        """Write one event at the end; what is written is never changed, and an id written already is not again.

        Returns what is kept. Raises RakelightError where it cannot be written.
        """
        for line in self._lines() if event.id else ():
            if event.id in line and (kept := [e for e in _read_line(line) if e.id == event.id]):
                return kept[0]
        line = json.dumps(as_plain(event), ensure_ascii=False) + "\n"
        try:
            with self.path.open("a+b") as file:
                if file.tell():
                    file.seek(-1, 2)
                    line = line if file.read(1) == b"\n" else f"\n{line}"  # after a line that was cut short
                file.write(line.encode("utf-8"))
        except OSError as bad:
            raise RakelightError(f"The log {self.path} cannot be written: {bad.strerror}.") from bad
        return event

    def find(self, id: str) -> Event | None:
        """What is written under an id; None where nothing is."""
        return next((e for e in self.events() if e.id == id), None)

    def last_told(self) -> Event | None:
        """The last thing the maker told and did not take back; None where there is none."""
        return last_told(self.events())


def last_told(events: Sequence[Event]) -> Event | None:
    """The last thing the maker told and did not take back; None where there is none."""
    gone = {e.takes_back for e in events if e.kind == "taken back"}
    return next((e for e in reversed(events) if e.kind in TOLD and e.id not in gone), None)


def _read_line(line: str) -> list[Event]:
    """The event of a line, where it can be read."""
    try:
        return [event_of(json.loads(line))]
    except (ValueError, TypeError, KeyError, IndexError, AttributeError, RecursionError):
        return []


def _unread(name: str, number: int) -> Finding:
    says = "This line of the log cannot be read, and is not counted."
    mend = "Mend the line, or tell again what it told; nothing else of the log is touched."
    return Finding("log-line-unread", Severity.WARNING, Where(file=name, line=number), says, mend)
