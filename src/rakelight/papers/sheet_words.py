"""Words that several papers share: amounts in both systems, hours, a moment rounded as it is known."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

from rakelight.papers.plan_text import clock_words, day_words, moment_words
from rakelight.piece.model import part_words
from rakelight.plan.model import Due, Ready
from rakelight.schedule.tasks import Task
from rakelight.shop.hours import hours_between, hours_later
from rakelight.spread import Spread
from rakelight.units import show_mass, show_volume

#: a wait with wider ends than this is told in days, without an hour
_DAYS_FROM_H = 60.0
_HALF_STEP_H = 5 / 60


@dataclass(frozen=True)
class Head:
    """What stands at the head of every paper."""

    piece: str
    shop: str
    title: str
    as_of: str  # "as of Mon 8 Feb 2027 8:00"


def volume_words(volume_ml: float, unit: str) -> str:
    """A volume in the maker's unit, ml beside fluid ounces.

    >>> volume_words(70, "in"), volume_words(70, "mm")
    ('2 1/2 fl oz (70 ml)', '70 ml')
    """
    said, metric = show_volume(volume_ml, unit), show_volume(volume_ml, "mm")
    return said if said == metric else f"{said} ({metric})"


def mass_words(mass_g: float, unit: str) -> str:
    """A mass in grams, ounces beside it: flakes are weighed in grams.

    >>> mass_words(30, "in"), mass_words(30, "mm")
    ('30 g (1 oz)', '30 g')
    """
    grams = f"{mass_g:.1f} g" if mass_g < 10 else f"{mass_g:.0f} g"
    ounces = show_mass(mass_g, unit)
    return grams if unit != "in" or ounces.endswith(" g") else f"{grams} ({ounces})"


def spread_words(amount: Spread, unit: str) -> str:
    """A volume with its ends: "2 1/2 fl oz (70 ml), between 2 fl oz and 3 fl oz"."""
    low, high = show_volume(amount.low, unit), show_volume(amount.high, unit)
    return volume_words(amount.likely, unit) + (f", between {low} and {high}" if low != high else "")


def ends_words(ready: Ready | Due) -> tuple[str, str, str]:
    """Earliest, likely and latest on the clock; without the hour where the ends lie days apart."""
    if ready.likely is None:
        return ("", "no date in this air", "")
    low, high = ready.low or ready.likely, ready.high
    wide = high is None or hours_between(low, high) > _DAYS_FROM_H
    show = day_words if wide else _ten_words
    return show(low), show(ready.likely), show(high) if high else "perhaps never in this air"


def _ten_words(moment: datetime) -> str:
    moment = hours_later(moment, _HALF_STEP_H)
    return moment_words(moment.replace(minute=moment.minute // 10 * 10, second=0, microsecond=0))


def full_day(moment: datetime) -> str:
    """Mon 8 February 2027."""
    return f"{moment:%a} {moment.day} {moment:%B} {moment.year}"


def span_words(start: datetime, end: datetime) -> str:
    """"8:00 to 9:30"; "8:00 to Wed 7:00" over a night."""
    late = clock_words(end) if end.date() == start.date() else f"{end:%a} {clock_words(end)}"
    return f"{clock_words(start)} to {late}"


def part_of(task: Task) -> str:
    """A part with what sets the task apart: "Stool 1 to 4", "Case, test board"."""
    first, last = task.pieces
    lot = (f" {first}" if first == last else f" {first} to {last}") if task.lot[1] > 1 else ""
    board = ", test board" if task.board or task.do == "judge" else ""
    return f"{part_words(task.part)}{lot}{board}"


def short(words: str, most: int = 64) -> str:
    """Words cut to a length, with a sign that they go on; whole where they fit.

    >>> short("A cabinet for sheet music", 12)
    'A cabinet…'
    """
    words = " ".join(words.split())
    return words if len(words) <= most else words[: most - 1].rsplit(" ", 1)[0].rstrip() + "…"
