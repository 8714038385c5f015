"""What stands on the page of the air: what was read, what is kept of it, and a logger's file being read."""

from __future__ import annotations

from collections import OrderedDict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

from rakelight.desk import ShopDesk
from rakelight.desk.air_heard import LOG
from rakelight.errors import Finding, Severity
from rakelight.log.events import Event, in_force
from rakelight.papers.air_text import heard_lines
from rakelight.shop.air_log import AirLog, headings, read_air_log
from rakelight.shop.air_year import MonthSeen, year_of
from rakelight.units import show_percent, show_temp
from rakelight.units.dates import MONTHS

#: files kept in mind between two pages
_MOST_FILES = 6
_MOST_READ = 12
#: what is asked back, by the field in which it is answered; the words of the command's options are not the page's
_ASKED = (("--time-column", "time"), ("--temp-column", "temp"), ("--rh-column", "rh"), ("--unit", "unit"))


@dataclass
class Files:
    """Files that were sent and are not kept yet: what is asked about one is answered without sending it again."""

    rows: OrderedDict[str, tuple[str, bytes]] = field(default_factory=OrderedDict)

    def put(self, id: str, name: str, content: bytes) -> None:
        """Keep one in mind; the oldest is let go of."""
        self.rows[id] = (name, content)
        while len(self.rows) > _MOST_FILES:
            self.rows.popitem(last=False)


@dataclass(frozen=True)
class Reading:
    """A logger's file as it was read, or what must be said first."""

    id: str
    name: str
    place: str
    said: Mapping[str, str]
    heads: tuple[str, ...] = ()
    asked: frozenset[str] = frozenset()
    faults: tuple[tuple[str, str], ...] = ()
    notes: tuple[str, ...] = ()
    span: str = ""
    months: tuple[tuple[str, str, str, str], ...] = ()  # month, hours, temperature, humidity
    year: tuple[MonthSeen, ...] = ()

    @property
    def may_be_kept(self) -> bool:
        """Whether anything of it can be learned from."""
        return any(month.learned for month in self.year)

    @property
    def words(self) -> str:
        """How it is called in the log."""
        return f"{self.name}, {self.span}"


def reading_of(
    desk: ShopDesk, id: str, file: tuple[str, bytes], place: str, said: Mapping[str, str], unit: str
) -> Reading:
    """Read a logger's file; said, columns, unit and order of day and month where they were asked for."""
    name, content = file
    told = {key: value for key, value in said.items() if value}
    log, found = read_air_log(content, desk.shop.zone, name, **told)
    heads = headings(content)
    if log is None:
        wrong = [f for f in found if f.severity is Severity.ERROR]
        asked = frozenset(key for f in wrong for key in _wanted(f))
        return Reading(id, name, place, told, heads, asked, tuple((f.says, _mend(f)) for f in wrong))
    year = year_of(log, desk.shop)
    rows = tuple((MONTHS[m.month - 1].capitalize(), f"{m.hours:,}", *_spread(m, unit)) for m in year)
    notes = (*log.notes, *(f"{f.says} {f.mend}".strip() for f in found))
    return Reading(id, name, place, told, heads, frozenset(), (), notes, _span(log), rows, year)


def _wanted(found: Finding) -> list[str]:
    keys = [key for option, key in _ASKED if option in found.mend]
    if found.id == "air-log-date":
        keys.append("order")
    if found.id == "air-log-empty" and keys:
        keys = [key for _, key in _ASKED]
    return keys


def _mend(found: Finding) -> str:
    """What to do, in the words of the page."""
    return "Choose it below; the file is kept meanwhile." if _wanted(found) else found.mend


def _span(log: AirLog) -> str:
    return f"{log.rows:,} rows, {log.start.day} {log.start:%B %Y} to {log.end.day} {log.end:%B %Y}"


def _spread(month: MonthSeen, unit: str) -> tuple[str, str]:
    low, half, high = (show_temp(t, unit) for t in month.temp_c)
    dry, middle, damp = (show_percent(r) for r in month.rh)
    return f"{half} ({low} to {high})", f"{middle} ({dry} to {damp})"


@dataclass(frozen=True)
class Told:
    """One reading that counts."""

    event: Event
    says: str


def told_of_air(desk: ShopDesk, unit: str) -> tuple[Told, ...]:
    """Readings of the air that were told last, and logger's files, the last first."""
    last = desk.store.last_seq()
    late = in_force(desk.store.events(None, ("reading", "taken back", "corrected"), last - 400))
    rows = [e for e in late if e.kind == "reading" and e.what in ("air", LOG)]
    return tuple(Told(e, _says(e, desk.shop.first_place.name, unit)) for e in reversed(rows[-_MOST_READ:]))


def _says(event: Event, first: str, unit: str) -> str:
    place = event.place or first
    if event.what == LOG:
        return f"{place}: {event.words}"
    temp, rh = show_temp(event.values["temp_c"], unit), show_percent(event.values["rh"])
    return f"{place}: {temp}, {rh}{f', {event.device}' if event.device else ''}"


def months_of(desk: ShopDesk, unit: str) -> tuple[tuple[str, tuple[str, ...]], ...]:
    """What is planned with because it was read, by place."""
    heard = desk.air_heard()
    return tuple((place, tuple(heard_lines(months, unit))) for place, months in heard.items())


def picks(heads: Sequence[str]) -> tuple[tuple[str, str], ...]:
    """Headings to choose from."""
    return tuple((head, head) for head in heads if head)
