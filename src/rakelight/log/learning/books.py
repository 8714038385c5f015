"""What the book says of each figure a shop may have of its own, in the unit a maker reads."""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Iterable
from dataclasses import dataclass

from rakelight.errors import Misread
from rakelight.facts.load import Facts
from rakelight.facts.names import say_abrasive
from rakelight.facts.words import STAGE_WORDS
from rakelight.log.learning.seen import Seen
from rakelight.physics.gloss import GRAIN_UM
from rakelight.plan.chill import book_chill
from rakelight.schedule.coats import book_coverage
from rakelight.spread import Z90, Spread

#: the time of a material that stands for its drying, where no hand test names one
_TIMES = ("recoat_min", "sandable", "touch_dry", "handling", "full_cure")
#: kinds of factor, and what a value of theirs is in
UNITS = {
    "drying": "h", "coverage": "m2/l", "minutes": "min/m2", "coats": "coats", "filler coats": "coats",
    "chill": "K", "gloss": "um",
}  # fmt: skip


@dataclass(frozen=True)
class BookFigure:
    """A figure of the book that a shop may have of its own."""

    key: str
    says: str
    unit: str
    value: Spread

    @property
    def kind(self) -> str:
        """drying, coverage, minutes ..."""
        return self.key.split(":", 1)[0]

    @property
    def down(self) -> float:
        """Doubt of the logarithm below the likely figure, as a standard deviation."""
        return math.log(self.value.likely / self.value.low) / Z90 if self.value.low > 0 else 0.0

    @property
    def up(self) -> float:
        """The same above."""
        return math.log(self.value.high / self.value.likely) / Z90 if self.value.likely > 0 else 0.0

    @property
    def doubt(self) -> float:
        """Both as one."""
        return (self.down + self.up) / 2


def book_figure(key: str, facts: Facts, seen: Iterable[Seen] = ()) -> BookFigure:
    """The figure of a key. Raises Misread where no shop has such a figure of its own."""
    kind, _, name = key.partition(":")
    found = _FINDERS[kind](name, facts, list(seen)) if kind in _FINDERS else None
    if found is None or found[1].likely <= 0:
        raise Misread(f"{key!r} is no figure a shop has of its own.", "`rakelight learned` shows those there are.")
    return BookFigure(key, found[0], UNITS[kind], found[1])


_LAID = {"brush": ", brushed", "wipe": ", wiped on", "pad": ", padded", "spray": ", sprayed", "trowel": ", trowelled"}
_Found = tuple[str, Spread] | None


def _drying(name: str, facts: Facts, seen: list[Seen]) -> _Found:
    row = facts.materials.get(name)
    if row is None:
        return None
    tested = Counter(s.figure.removeprefix("time_h.") for s in seen if s.figure.startswith("time_h."))
    asked = [t for t, _ in tested.most_common()]
    time = next((t for t in (*asked, *_TIMES) if t in row.time_h), None)
    return (f"{row.name}, {STAGE_WORDS.get(time, time)} at 21 C", row.time_h[time]) if time else None


def _coverage(name: str, facts: Facts, seen: list[Seen]) -> _Found:
    id, _, by = name.partition(":")
    row = facts.materials.get(id)
    if row is None:
        return None
    return f"{row.name}{_LAID.get(by, '')}, what a litre covers", book_coverage(row, by, facts)


def _minutes(name: str, facts: Facts, seen: list[Seen]) -> _Found:
    row = facts.labour.get(name)
    return (f"{name}, minutes for a square metre", row.minutes_per_m2) if row else None


def _coats_on(name: str, facts: Facts, seen: list[Seen], what: str) -> _Found:
    if name not in facts.woods:
        return None
    expected = [s.expected for s in seen if s.expected > 0]
    likely = sum(expected) / len(expected) if expected else 1.0
    return f"{what} over the least on {facts.woods[name].name}", Spread(likely, likely, likely)


def _coats(name: str, facts: Facts, seen: list[Seen]) -> _Found:
    return _coats_on(name, facts, seen, "coats")


def _filler_coats(name: str, facts: Facts, seen: list[Seen]) -> _Found:
    return _coats_on(name, facts, seen, "coats of filler")


def _chill(name: str, facts: Facts, seen: list[Seen]) -> _Found:
    id, _, way = name.partition(":")
    row = facts.materials.get(id)
    if row is None or not way:
        return None
    by, _, retarded = way.partition(" ")
    figure = book_chill(facts, row, by, bool(retarded))
    how = "sprayed" if by == "spray" else "by hand"
    return f"{row.name}, {how}, how far its wet film cools", figure.value


def _gloss(name: str, facts: Facts, seen: list[Seen]) -> _Found:
    if name not in facts.abrasives:
        return None
    return f"grain that takes most of the shine, by {say_abrasive(name)}", GRAIN_UM


_FINDERS = {
    "drying": _drying, "coverage": _coverage, "minutes": _minutes, "coats": _coats, "filler coats": _filler_coats,
    "chill": _chill, "gloss": _gloss,
}  # fmt: skip
