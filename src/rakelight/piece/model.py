"""The piece as its file says it: parts, their wood, sizes and faces. Lengths in mm, areas in m2."""

from __future__ import annotations

from dataclasses import dataclass, field

from rakelight.piece.want import Want
from rakelight.reading import Table
from rakelight.units import DateWords as DateWords


def part_words(name: str) -> str:
    """A part, or a name of the maker's, as it is shown: "Drawer side"."""
    return name.replace("-", " ").capitalize()


@dataclass(frozen=True)
class Face:
    """One face of one of the alike parts: what it is to be, and its area with masked spots taken off."""

    name: str  # top, underside, edges, ends, inside, sides, rims ... or the maker's front/back/outside
    role: str  # show, hidden, inside, sliding, bare, glue, fitting
    area_m2: float  # of ONE part, masked spots taken off
    masked_m2: float = 0.0
    end_grain: bool = False
    broad: bool = False  # one of the two broad faces of a panel or slab
    stands: bool = False  # upright while it is coated (faces of a box or frame, legs)
    closed: bool = False  # inside of a space with no open side
    of: str = ""  # the member it comes from, on a joined part ("drawer-front"); else ""
    count: int = 1  # how many such faces the joined part has of that member (drawer-side: 2)
    # on a joined part: (member part, name of its face) of every face that became this one
    members: tuple[tuple[str, str], ...] = ()

    @property
    def coated(self) -> bool:
        """Whether finish may lie on it at all."""
        return self.role in ("show", "hidden", "inside")


@dataclass(frozen=True)
class FinishUse:
    """A schedule laid on a face, from and to a named step (both included); "" is the first, the last."""

    schedule: str
    from_step: str = ""
    to_step: str = ""
    line: int = 0


@dataclass(frozen=True)
class TestBoard:
    """A board of the same wood that goes ahead through a step and is judged at an age."""

    through: str
    age_h: float = 24.0
    long_mm: float = 304.8
    wide_mm: float = 152.4
    line: int = 0


@dataclass(frozen=True)
class OldFilm:
    """Film of an earlier finish that stays beneath, flat and sound, on some faces (none named: all that are coated)."""

    film_um: float
    material: str = ""  # id of the table of materials; "" not known
    faces: tuple[str, ...] = ()
    line: int = 0


@dataclass(frozen=True)
class Sizes:
    """Sizes as given, mm; None where not given or not of that kind."""

    long_mm: float | None = None
    wide_mm: float | None = None
    thick_mm: float | None = None
    deep_mm: float | None = None
    high_mm: float | None = None
    round_mm: float | None = None
    rail_mm: float | None = None
    taper_mm: float | None = None
    girth_mm: float | None = None
    turned_mm: tuple[float, ...] = ()
    wide_at_mm: tuple[float, ...] = ()
    outline_mm: tuple[tuple[float, float], ...] = ()


@dataclass(frozen=True)
class Part:
    """One part, or several alike (`count`), cut from wood or joined from other parts (`of`)."""

    name: str
    kind: str  # panel, box, frame, leg, stick, moulding, slab, joined
    count: int = 1
    woods: tuple[str, ...] = ()  # names of the wood table
    cut: str = "flat"
    veneer_on: str = ""  # plywood, mdf, chipboard; "" solid
    sizes: Sizes = Sizes()
    natural: str = ""
    open_sides: tuple[str, ...] = ()
    faces: tuple[Face, ...] = ()
    arris_mm: float = 1.0  # radius; 0 is sharp
    arris_length_mm: float = 0.0  # all arrises of one part; 0 not known
    finish: dict[str, FinishUse] = field(default_factory=dict)  # by face, role or "all"
    both_faces: str = "turned"  # turned, on points, hung, stands
    cures_in: str = ""
    takes: float = 1.0  # drying places one part stands on
    must_stand: tuple[str, ...] = ()
    test_board: TestBoard | None = None
    extra: tuple[Table, ...] = ()  # further steps, read by the schedule room
    of: dict[str, int] = field(default_factory=dict)  # members of ONE joined part
    join: str = ""  # glue, screws, dry
    join_minutes: float = 30.0
    clamped: str | float | None = None  # hours, or "overnight"; None no clamps
    line: int = 0
    want: Want = field(default_factory=Want)
    old: OldFilm | None = None

    def old_on(self, face: str) -> OldFilm | None:
        """The old film that stays on a face, if any."""
        if self.old is None or (self.old.faces and face not in self.old.faces):
            return None
        return self.old if any(f.name == face and f.coated for f in self.faces) else None

    @property
    def shown(self) -> str:
        """The name as a person reads it: drawer-side is Drawer side."""
        return part_words(self.name)

    @property
    def joined(self) -> bool:
        """Whether it is joined from parts."""
        return bool(self.of)

    def face(self, name: str) -> Face | None:
        """A face by name."""
        return next((f for f in self.faces if f.name == name), None)

    @property
    def solid(self) -> bool:
        """Solid wood, not veneer."""
        return not self.veneer_on and not self.joined


@dataclass(frozen=True)
class Wanted:
    """What must be so by when: a readiness or the name of an own step, of the piece or of a part."""

    by: DateWords
    for_: str = "pack"
    part: str = ""
    line: int = 0
    matters: float = 1.0  # an hour late here against an hour late of another date


@dataclass(frozen=True)
class Piece:
    """What is made."""

    name: str
    unit: str  # in, mm or ""
    parts: dict[str, Part]
    wanted: tuple[Wanted, ...] = ()
    start: DateWords | None = None
    lives: str = "heated house"
    lives_town: str = ""
    must_stand: tuple[str, ...] = ("handling",)
    schedules: dict[str, Table] = field(default_factory=dict)  # [schedule.NAME] in the piece's own file
    file: str = ""
    lines: dict[str, int] = field(default_factory=dict)
    want: Want = field(default_factory=Want)
    quote: float | None = None  # the price of the whole job, in the shop's money

    def users_of(self, part: str) -> list[Part]:
        """Joined parts in which a part is used."""
        return [p for p in self.parts.values() if part in p.of]

    @property
    def ends(self) -> list[Part]:
        """Parts that are used nowhere: the piece is finished when they are."""
        return [p for p in self.parts.values() if not self.users_of(p.name)]
