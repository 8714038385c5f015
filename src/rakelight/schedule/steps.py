"""A schedule as written: the order of finishing steps, in words of the trade."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

VERBS = (
    "sand", "raise grain", "stain", "dye", "oil", "size", "seal", "fill", "coat", "scuff", "level", "rub",
    "wax", "wait", "turn", "points", "move",
)  # fmt: skip

READINESSES = (
    "dust-free", "next coat", "sand", "handle", "turn", "assemble", "pack", "rub", "wax", "show", "use",
)  # fmt: skip

#: verbs that lay something wet from a can
LAYING = ("stain", "dye", "oil", "size", "seal", "fill", "coat", "wax")


@dataclass(frozen=True)
class Grit:
    """A grade of paper: FEPA P unless the US scale was written."""

    number: int
    us: bool = False

    def __str__(self) -> str:
        return f"US {self.number}" if self.us else f"P{self.number}"


@dataclass(frozen=True)
class Count:
    """How many coats: least, likely, most."""

    least: int
    likely: int
    most: int


@dataclass(frozen=True)
class Duration:
    """Clock time; `overnight` is to the next opening after a night."""

    hours: float = 0.0
    overnight: bool = False


@dataclass(frozen=True)
class Step:
    """One step of a schedule, defaults filled in. `do` is a verb, or "own" with the maker's words in `own`."""

    do: str
    own: str = ""
    name: str = ""  # what others call it: the verb, the own words, or as given
    material: str = ""  # id of the materials table ("" none)
    abrasive: str = ""  # "kind grade" of the abrasives table, for rub; "" none
    wet: str = ""  # what is rubbed or levelled with, as written
    wet_material: str = ""  # its id where it is a material (paste wax)
    by: str = ""  # brush, wipe, pad, spray, trowel; a pad or cloth for wax
    grits: tuple[Grit, ...] = ()
    coats: Count = Count(1, 1, 1)
    a_day: int | None = None
    scuff: Grit | None = None
    cut_lb: float | None = None
    thin: float | None = None  # parts thinner to one of finish (0.25)
    warm: bool = False
    flood: bool = False
    strength_g_per_l: float | None = None
    opened: date | None = None  # when the can was opened, or the jar mixed
    on: str = "all"  # a face, a role, show, all
    when: str = ""  # readiness it waits for
    for_: str = ""  # of a wait
    at_least: Duration | None = None
    at_most: Duration | None = None
    wait: Duration | None = None
    test: str = ""
    minutes: float | None = None
    before: str = ""
    after: str = ""
    work: str = "quiet"  # wet, dusty, dirty, quiet, none
    tools: tuple[str, ...] = ()
    by_date: str = ""  # as read back; resolved by the plan
    to: str = ""  # of a move
    line: int = 0


@dataclass(frozen=True)
class Schedule:
    """The order of finishing steps, reusable."""

    name: str  # file name without .toml, or NAME of [schedule.NAME]
    title: str
    steps: tuple[Step, ...]
    sheen: str = ""  # flat, eggshell, satin, semi-gloss, gloss, high gloss; "" what the last step leaves
    gloss_gu: float | None = None  # at 60 degrees as the can has it, of a finish left as laid
    file: str = ""
    book: str = ""  # "shipped", "own", "piece": where it was found
    note: str = ""  # the comment a maker reads first
