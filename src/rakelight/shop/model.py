"""The shop as its file says it: places with their air, hours, gear."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field
from datetime import date, time
from zoneinfo import ZoneInfo

from rakelight.shop.choosing import Choosing, Money


@dataclass(frozen=True)
class MonthlyAir:
    """Air of a place in a month (0 all year): while the shop is open, and what a closed night comes to."""

    month: int
    open_temp_c: float
    open_rh: float
    closed_temp_c: float
    closed_rh: float


@dataclass(frozen=True)
class Place:
    """A room, warm box or house where parts are worked or stand to dry."""

    name: str
    use: str = "all"  # all, drying only, wet only, dusty only
    volume_m3: float | None = None
    air_changes_per_h: float = 0.5
    air_changes_given: bool = False
    heater: str = ""  # none, electric, vented, unvented, wood stove; "" not said
    drying_places: int = 4
    carry_min: float = 10.0
    air: tuple[MonthlyAir, ...] = ()
    air_guessed: bool = False  # from town and heated_to
    line: int = 0

    @property
    def months_untold(self) -> tuple[int, ...]:
        """Months the file says nothing of where it speaks of others: they have the air of the nearest of those."""
        told = {line.month for line in self.air}
        return () if not told or 0 in told else tuple(m for m in range(1, 13) if m not in told)

    @property
    def takes_dust(self) -> bool:
        """Whether dusty work is done here."""
        return self.use in ("all", "dusty only")

    @property
    def takes_wet(self) -> bool:
        """Whether coats are laid here."""
        return self.use in ("all", "wet only")


@dataclass(frozen=True)
class Gun:
    """A spray gun: minutes to set up and to clean."""

    set_up_min: float
    clean_min: float


@dataclass(frozen=True)
class Gear:
    """What the maker has to lay finish with."""

    brush: bool = True
    pad: bool = True
    gun: Gun | None = None


#: dry work that a helper may be given: it lays nothing. What needs a practised eye must be named
HELPS = ("sand", "scuff", "level", "rub", "turn", "points", "move")
#: what he does where nothing is said. Source: a choice of this project
HELPS_AT_LEAST = ("sand", "scuff", "turn", "move")


@dataclass(frozen=True)
class Helper:
    """Someone who does dry work beside the maker, in hours of his own."""

    hours: dict[int, tuple[tuple[time, time], ...]]  # weekday 0-6 -> spans; they may lie outside the maker's
    does: tuple[str, ...] = HELPS_AT_LEAST  # verbs of `HELPS`, and steps of the maker's own by their names


@dataclass(frozen=True)
class Shop:
    """One maker's shop."""

    name: str
    zone: ZoneInfo
    hours: dict[int, tuple[tuple[time, time], ...]]  # weekday 0-6 -> spans of work; the gap is a break
    off: frozenset[date] = frozenset()  # days off and holidays
    holidays: str = ""  # country code, "" none
    places: dict[str, Place] = field(default_factory=dict)  # in order of the file
    now_in: str = ""
    gear: Gear = Gear()
    book: str = ""
    file: str = ""
    choosing: Choosing = field(default_factory=Choosing)
    money: Money = field(default_factory=Money)
    helper: Helper | None = None

    @property
    def first_place(self) -> Place:
        """The place where work begins."""
        return self.places[self.now_in] if self.now_in else next(iter(self.places.values()))

    def place_for(self, work: str, standing_in: str) -> str:
        """Where work of a kind (wet, dusty, dirty, quiet) is done: where the part stands if it may, else the
        first place that takes it."""
        here = self.places[standing_in]
        takes: dict[str, Callable[[Place], bool]] = {
            "wet": lambda p: p.takes_wet,
            "dusty": lambda p: p.takes_dust,
            "dirty": lambda p: p.takes_dust,
            "": lambda p: p.use != "drying only",
        }
        may = takes.get(work, takes[""])
        if may(here):
            return standing_in
        return next((p.name for p in self.places.values() if may(p)), standing_in)
