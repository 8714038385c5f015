"""What is chosen among: looks wanted, finishes of a part, and whole answers. Plain data."""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import datetime

from rakelight.errors import Finding
from rakelight.piece.model import part_words
from rakelight.piece.want import Want as Want
from rakelight.plan.model import Plan
from rakelight.schedule.steps import Schedule
from rakelight.schedule.tasks import Work
from rakelight.spread import Spread


@dataclass(frozen=True)
class Limits:
    """What holds for the whole shop and job."""

    odds: float = 0.8
    smell: str = "any"
    no_flammable: bool = False
    without: frozenset[str] = frozenset()  # ids of materials that are not to be used
    only: frozenset[str] = frozenset()  # ids of materials in stock, where nothing else is to be bought
    likes: frozenset[str] = frozenset()  # names of schedules the maker likes


@dataclass(frozen=True)
class Look:
    """What a finish is once all its steps are done: read from its layers, never looked up."""

    sheen: str = ""
    grain: str = "open"
    warmth: str = ""
    colour: str = "natural"
    build: str = "in the wood"
    feel: str = "wood"
    repair: str = ""
    film_um: float = 0.0
    dip_um: float | None = None
    stands: dict[str, int] = field(default_factory=dict)  # use -> grade of 5
    top: str = ""  # id of the material that is worn

    def get(self, key: str) -> str:
        """One of its words."""
        return str(getattr(self, key))


@dataclass(frozen=True)
class Spot:
    """A schedule named on a part, under a face, a role or "all"; `half` where only a stretch of it is used."""

    part: str
    key: str
    half: str = ""  # "first" up to a step, "rest" from one on, "" the whole


@dataclass(frozen=True)
class Slot:
    """Parts that are finished as one: what a maker decides about in one word."""

    name: str
    parts: tuple[str, ...]
    spots: tuple[Spot, ...]
    wished: str  # name of the schedule in the piece
    woods: tuple[str, ...] = ()
    must_stand: tuple[str, ...] = ()
    begun: bool = False  # something is done already: its finish is no longer open

    @property
    def shown(self) -> str:
        """The name as a person reads it."""
        return part_words(self.name)


@dataclass(frozen=True)
class Make:
    """A schedule as it might be laid: of the book, or one of its variations."""

    schedule: Schedule
    base: str  # name of the schedule of the book it comes from
    changed: tuple[str, ...] = ()  # what is different, in words
    wished: bool = False  # as the piece itself says: nothing is put in its place

    @property
    def name(self) -> str:
        """Name of its schedule."""
        return self.schedule.name


@dataclass(frozen=True)
class Alone:
    """A finish on one slot that may be had, as far as the slot alone can tell."""

    make: Make
    look: Look
    apart: float  # how far its look is from what is wanted; 0 the same
    rank: float = 0.0  # the same with what orders makes that are as near
    margin_min: float = (
        0.0  # past the worst date, by itself and where its materials dry late; less than 0 in hand
    )


@dataclass(frozen=True)
class Change:
    """What is gained or lost against the wished finish: of a slot, or of the whole where slot is ""."""

    what: str  # a key of the look, a use, or days, odds, hours, money, solvent
    better: bool
    was: str = ""
    now: str = ""
    by: float = 0.0  # of days, hours, money and solvent
    slot: str = ""


@dataclass(frozen=True)
class Fail:
    """A count on which a finish fails, and by how much."""

    what: str  # date, odds, use, look, warning
    says: str
    by: float = 0.0  # days, tenths of the odds, grades, steps of the look
    slot: str = ""


@dataclass(frozen=True)
class MaterialCost:
    """One thing that is bought, with its money where a price is known."""

    name: str
    material: str
    need: Spread
    buy: Spread
    unit: str
    cans: tuple[tuple[str, int], ...]
    money: Spread | None = None
    price: str = ""


@dataclass(frozen=True)
class Cost:
    """Plain sums: material, work, overhead; money None where no price or rate is known."""

    hours: dict[str, Spread]  # by kind of work
    materials: tuple[MaterialCost, ...]
    work_money: Spread | None = None
    material_money: Spread | None = None
    overhead_money: Spread | None = None
    total_money: Spread | None = None
    unpriced: tuple[str, ...] = ()
    share: tuple[float, float] | None = None  # its share of a quote that was said, least and most
    quote: tuple[float, float] | None = None  # whole jobs of which it is the usual share
    redo_hours: Spread | None = None
    redo_money: Spread | None = None
    sums: tuple[str, ...] = ()  # how each figure was come by
    currency: str = ""

    @property
    def all_hours(self) -> Spread:
        """Hours in all: the maker's pace is shared by all steps, so ends add."""
        total = Spread.exact(0.0)
        for hours in self.hours.values():
            total = total.with_shared(hours)
        return total


@dataclass(frozen=True)
class Option:
    """A finish for every slot, planned whole."""

    makes: dict[str, Make]  # by slot
    looks: dict[str, Look]
    plan: Plan
    work: Work
    odds: float
    short_days: (
        float | None
    )  # by which the date is missed at the wanted odds; 0 it is met; None never reached
    short_likely_days: float | None  # the same by the likely finish
    over_min: float  # minutes past the worst date at the wanted odds; less than 0 in hand, inf never
    apart: float
    cost: Cost
    findings: tuple[Finding, ...] = ()
    hazards: tuple[Finding, ...] = ()
    changes: tuple[Change, ...] = ()
    fails: tuple[Fail, ...] = ()
    solvent_g: float = 0.0

    @property
    def key(self) -> tuple[str, ...]:
        """Its schedules, slot by slot."""
        return tuple(make.name for make in self.makes.values())

    @property
    def fits(self) -> bool:
        """Ready by the date at the wanted odds, passing every rule, its uses and wants met."""
        return not self.fails

    @property
    def gained(self) -> tuple[Change, ...]:
        """What is better than in the wished finish."""
        return tuple(c for c in self.changes if c.better)

    @property
    def lost(self) -> tuple[Change, ...]:
        """What is worse."""
        return tuple(c for c in self.changes if not c.better)

    @property
    def likely(self) -> datetime | None:
        """When all is ready."""
        return self.plan.finish.likely if self.plan.finish else None


@dataclass(frozen=True)
class Dropped:
    """A finish that is not offered, and why."""

    option: str
    why: str
    kind: str  # gear, limits, use, look, date, rules, dominated, odds, farther
    slot: str = ""
    by: str = ""  # what is better, where it is dominated
    key: tuple[str, ...] = ()


@dataclass(frozen=True)
class Rescue:
    """What would bring the wished finish nearer the date."""

    says: str
    saves_days: float
    fits: bool
    odds: float | None = None
    warns: tuple[str, ...] = ()  # heat, mist or a worse solvent it would bring in: said first
    likely: datetime | None = None
    short_days: float | None = None
    kind: str = ""  # heat, room, less, other, batch


@dataclass(frozen=True)
class Contradiction:
    """The fewest wishes of a slot that no finish meets together."""

    slot: str
    wishes: tuple[
        tuple[str, str], ...
    ]  # what is wanted of which: ("sheen", "gloss"), ("stand", "water"), ("date", "")
    looked_at: int  # finishes looked at


@dataclass(frozen=True)
class Choice:
    """The whole answer."""

    slots: tuple[Slot, ...]
    limits: Limits
    wished: Option
    latest_start: datetime | None  # of the wished one, at the wanted odds
    options: tuple[Option, ...]  # all of them fit
    nearest: tuple[Option, ...]  # where none fits
    rescues: tuple[Rescue, ...]
    dropped: tuple[Dropped, ...]
    contradictions: tuple[Contradiction, ...] = ()
    possible: int = 0  # wholes that could be put together of what the slots allow
    looked_at: int = 0  # of these, laid on the calendar once
    planned: int = 0  # planned whole, with rules and odds
