"""What has happened on the faces of a part while a plan is laid out: shared, never changed in place."""

from __future__ import annotations

from dataclasses import dataclass, field

from rakelight.plan.waits import Event, Stay

FaceKey = str


class Hist:
    """Events on a face and the places it has stood in. Faces with one past share one object."""

    __slots__ = ("_next", "events", "stays")

    def __init__(self, events: tuple[Event, ...], stays: tuple[Stay, ...]) -> None:
        self.events = events
        self.stays = stays
        self._next: dict[object, Hist] = {}

    def then(self, event: Event) -> Hist:
        """The past with one more event."""
        found = self._next.get(event)
        if found is None:
            found = self._next[event] = Hist((*self.events, event), self.stays)
        return found

    def moved(self, stay: Stay) -> Hist:
        """The past with one more stay."""
        found = self._next.get(stay)
        if found is None:
            found = self._next[stay] = Hist(self.events, (*self.stays, stay))
        return found


@dataclass
class Chain:
    """One lot of one part on its way: its faces, where it stands, when it was last worked."""

    place: str
    faces: dict[FaceKey, tuple[Hist, ...]]
    free_from: int = 0  # minute after which it may be worked (end of the last work, and any wait written)
    last_end: int = 0
    last_task: str = ""
    stands: tuple[str, int, int] | None = None  # drying place held: place, from, until
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

    def happen(self, faces: tuple[str, ...], event: Event) -> None:
        """An event on some faces."""
        for name in faces:
            old = self.faces.get(name) or (self.bare,)
            self.faces[name] = tuple(hist.then(event) for hist in old)

    def move(self, stay: Stay) -> None:
        """The part is carried to another place."""
        self.place = stay.place
        self.bare = self.bare.moved(stay)
        self.faces = {name: tuple(h.moved(stay) for h in hists) for name, hists in self.faces.items()}
