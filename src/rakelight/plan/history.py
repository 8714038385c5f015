"""What has happened on the faces of a part while a plan is laid out: shared, never changed in place."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from rakelight.plan.waits import Happened, ReadyH, Stay, Waits
from rakelight.schedule.tasks import Lay

FaceKey = str


class Hist:
    """Events on a face and the places it has stood in. Faces with one past share one object."""

    __slots__ = ("_next", "closed", "events", "stays")

    def __init__(self, events: tuple[Happened, ...], stays: tuple[Stay, ...], closed: bool = False) -> None:
        self.events = events
        self.stays = stays
        self.closed = closed  # inside of a space with no open side: still air
        self._next: dict[object, Hist] = {}

    def then(self, event: Happened) -> Hist:
        """The past with one more event."""
        found = self._next.get(event)
        if found is None:
            found = self._next[event] = Hist((*self.events, event), self.stays, self.closed)
        return found

    def moved(self, stay: Stay) -> Hist:
        """The past with one more stay."""
        found = self._next.get(stay)
        if found is None:
            found = self._next[stay] = Hist(self.events, (*self.stays, stay), self.closed)
        return found

    def until(self, hour: float) -> Hist:
        """The past as it was at an hour."""
        return Hist(tuple(e for e in self.events if e.hour <= hour + 1e-6), self.stays, self.closed)

    def ready(self, waits: Waits, readiness: str, over: Lay | None = None, clamps: bool = False,
              z: Mapping[str, float] | None = None) -> float:  # fmt: skip
        """Hour at which this past is ready for something."""
        return waits.ready(self.events, self.stays, readiness, over, self.closed, clamps, z)

    def explain(self, waits: Waits, readiness: str, over: Lay | None = None, clamps: bool = False) -> ReadyH:
        """The same as a range, with the figure that drives it."""
        return waits.explain(self.events, self.stays, readiness, over, self.closed, clamps)


@dataclass
class Chain:
    """One lot of one part on its way: its faces, where it stands, when it was last worked."""

    place: str
    faces: dict[FaceKey, tuple[Hist, ...]]
    free_from: int = 0  # minute after which it may be worked (end of the last work, and any wait written)
    last_end: int = 0
    steps: dict[str, int] = field(default_factory=dict)  # end of each step of the schedule done so far
    bare: Hist = field(default_factory=lambda: Hist((), ()))

    def pasts(self, faces: tuple[str, ...]) -> list[Hist]:
        """The distinct pasts of some faces."""
        seen: dict[int, Hist] = {}
        for name in faces:
            for hist in self.faces.get(name, ()):
                seen[id(hist)] = hist
        return list(seen.values())

    def all_pasts(self) -> list[Hist]:
        """The distinct pasts of all faces."""
        return self.pasts(tuple(self.faces))

    def since(self, step: str) -> int:
        """End of the last step of the schedule other than this one: turning and carrying do not count."""
        return max((end for name, end in self.steps.items() if name != step), default=self.last_end)

    def happen(self, faces: tuple[str, ...], event: Happened) -> None:
        """An event on some faces."""
        for name in faces:
            old = self.faces.get(name) or (self.bare,)
            self.faces[name] = tuple(hist.then(event) for hist in old)

    def move(self, stay: Stay) -> None:
        """The part is carried to another place."""
        self.place = stay.place
        self.bare = self.bare.moved(stay)
        self.faces = {name: tuple(h.moved(stay) for h in hists) for name, hists in self.faces.items()}
