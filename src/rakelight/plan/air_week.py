"""A week of air in one place of a shop, with the hours in which each coming coat may be laid."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Any

from rakelight.facts.load import Facts
from rakelight.plan.air_answers import AirAnswer, Test
from rakelight.plan.chill import chill_figure
from rakelight.plan.clock import Stay
from rakelight.plan.doses import Happened
from rakelight.plan.good_hours import GO, WARM, GoodSpan, HourMargin, good_hours_each, hourly_margins
from rakelight.plan.waits import Waits
from rakelight.schedule.tasks import Lay
from rakelight.shop.climate import hourly
from rakelight.shop.hours import hours_between, windows
from rakelight.shop.model import Shop
from rakelight.units import show_above, show_delta_temp, show_temp

#: hours in which cold may yet spoil what flows together in water. Source: docs/decisions.md, "Too cold to lay"
_HARDENS_H = 96
#: moments are told to the quarter hour
_QUARTER_S = 900
#: hours of air beyond the week, for what is laid at its end
_AFTER_H = 24 * 60
#: readinesses told of a coat laid now
_TOLD = ("dust-free", "handle", "next coat")


@dataclass(frozen=True)
class CoatRow:
    """One coming coat."""

    label: str
    lay: Lay
    spans: tuple[GoodSpan, ...]

    def next(self, after: datetime) -> GoodSpan | None:
        """The span that holds a moment, else the first later one of the best grade."""
        later = [s for s in self.spans if s.end > after]
        return next((s for s in later if s.grade == GO), later[0] if later else None)


@dataclass(frozen=True)
class AirWeek:
    """What the picture and the command show."""

    shop: str
    place: str
    now: datetime
    begin: datetime  # midnight of the first day
    days: int
    windows: tuple[tuple[datetime, datetime], ...]  # the shop is open
    hours: tuple[HourMargin, ...]  # air and margin of the first coat
    chill_k: float
    rows: tuple[CoatRow, ...]
    guessed: bool

    @property
    def haze(self) -> tuple[HourMargin, ...]:
        """Hours in which water would settle in the first coat while it is wet."""
        return tuple(h for h in self.hours if h.margin_k < 0)

    def as_json(self) -> dict[str, Any]:
        """As plain data."""
        return {
            "place": self.place,
            "from": self.begin.isoformat(timespec="minutes"),
            "days": self.days,
            "chill_k": self.chill_k,
            "guessed": self.guessed,
            "hours": [
                {"at": h.at.isoformat(timespec="minutes"), "temp_c": round(h.temp_c, 2),
                 "dew_point_c": round(h.dew_point_c, 2), "margin_k": round(h.margin_k, 2)}
                for h in self.hours
            ],
            "good_hours": [{"for": r.label, "spans": [s.as_json() for s in r.spans]} for r in self.rows],
        }  # fmt: skip


def week_of(
    shop: Shop, facts: Facts, place: str, coats: Sequence[tuple[str, Lay]], now: datetime, days: int = 7
) -> AirWeek:
    """The air of a place from the midnight before now on, and the good hours of each coat.

    Parameters: coats, label and what is laid, at least one; now, zone-aware; days, 1 and up.
    Raises RakelightError for an unknown place or one without air.
    """
    begin = now.astimezone(shop.zone).replace(hour=0, minute=0, second=0, microsecond=0)
    end = begin + timedelta(days=days)  # wall time
    hours = round(hours_between(begin, end))
    air = hourly(shop, place, begin, hours + _AFTER_H)
    waits = Waits(facts, {place: air})
    opens = tuple(windows(shop, begin, end))
    first = coats[0][1]
    spans = good_hours_each(waits, facts, [lay for _, lay in coats], place, begin, opens)
    rows = tuple(CoatRow(label, lay, found) for (label, lay), found in zip(coats, spans, strict=True))
    return AirWeek(
        shop.name, place, now, begin, days, opens, hourly_margins(waits, facts, first, place, begin, (0, hours)),
        chill_figure(facts, facts.materials[first.material], first.by).value.likely, rows, air.guessed,
    )  # fmt: skip


@dataclass(frozen=True)
class Tonight:
    """What the hours after laying do to a coat."""

    hours: tuple[HourMargin, ...]  # until it is dust-free at the high end
    ready: tuple[tuple[str, datetime | None, datetime | None, datetime | None], ...]  # low, likely, high
    grade: str = GO  # as the good hours: go, warm (the piece first), or "" where they leave this moment out
    too_cold: HourMargin | None = None  # first hour under the least temperature while it must not be
    coldest_c: float = math.inf  # while it is wet

    @property
    def least_k(self) -> float:
        """Smallest margin."""
        return min((h.margin_k for h in self.hours), default=math.inf)

    def as_json(self) -> dict[str, Any]:
        """As plain data."""

        def told(at: datetime | None) -> str | None:
            return at.isoformat(timespec="minutes") if at else None

        return {
            "least_margin_k": None if math.isinf(self.least_k) else round(self.least_k, 2),
            "grade": self.grade or "wait",
            "too_cold_at": told(self.too_cold.at) if self.too_cold else None,
            "hours": [{"at": told(h.at), "margin_k": round(h.margin_k, 2)} for h in self.hours],
            "ready": [
                {"for": f, "low": told(a), "likely": told(b), "high": told(c)} for f, a, b, c in self.ready
            ],
        }


def tonight(shop: Shop, facts: Facts, place: str, lay: Lay, now: datetime) -> Tonight:
    """A coat laid now, hour by hour until it is dust-free, and when it is ready for what."""
    origin = now.astimezone(shop.zone).replace(minute=0, second=0, microsecond=0)
    waits = Waits(facts, {place: hourly(shop, place, origin, _AFTER_H)})
    end = hours_between(origin, now) + facts.likely("lay_release_h")
    events, stays = [Happened(end, "lay", lay)], [Stay(place, 0.0)]

    def moment(hour: float) -> datetime | None:
        if not math.isfinite(hour):
            return None
        return datetime.fromtimestamp(origin.timestamp() + round(hour * 60) * 60, shop.zone)

    ready = []
    dry = end
    for name in _TOLD:
        known = waits.explain(events, stays, name, over=lay)
        low, high = min(known.low, known.likely), max(known.high, known.likely)
        ready.append((name, moment(low), moment(known.likely), moment(high)))
        if name == "dust-free" and math.isfinite(known.high):
            dry = known.high
    first = int(hours_between(origin, now))
    margins = hourly_margins(waits, facts, lay, place, origin, (first, max(first + 1, math.ceil(dry))))
    grade = _grade(waits, facts, lay, place, hours_between(origin, now))
    least = facts.materials[lay.material].min_temp_c
    wet = margins
    if not grade and least is not None and not any(h.temp_c < least for h in margins):
        # what flows together in water must stay warm for longer than it is wet
        wet = hourly_margins(waits, facts, lay, place, origin, (first, first + _HARDENS_H))
    cold = next((h for h in wet if least is not None and h.temp_c < least), None)
    return Tonight(margins, tuple(ready), grade, None if grade else cold,
                   min((h.temp_c for h in wet), default=math.inf))  # fmt: skip


def _grade(waits: Waits, facts: Facts, lay: Lay, place: str, hour: float) -> str:
    """As `good_hours` grades its spans, whether or not the shop is open."""
    clear_k = facts.likely("blush_go_k")
    for grade, least_k in ((GO, clear_k), (WARM, clear_k - facts.likely("warm_piece_k"))):
        if any(begin <= hour <= end for begin, end in waits.hours_to_lay(lay, place, least_k)):
            return grade
    return ""


def night_test(answer: AirAnswer, night: Tonight, facts: Facts) -> Test | None:
    """What the hours after laying hold against it; None where they are as good as the air of now."""
    unit, row = answer.unit, answer.material
    dry = next((likely for name, _, likely, _ in night.ready if name == "dust-free"), None)
    still = f"; it is dust-free only {_when(dry)}" if dry else ""
    if night.too_cold and row.min_temp_c is not None:
        least, cold = show_temp(row.min_temp_c, unit), show_temp(night.coldest_c, unit)
        below = f"is at {cold}"
        if night.coldest_c < answer.temp_c:
            below = f"drops below {least} by {_when(night.too_cold.at)} and to {cold}"
        until = f"while it is wet{still}"
        if dry and night.too_cold.at >= dry:
            until = "before its film has flowed together and hardened enough to be sanded"
        says = f"Laid now it stands in a place that {below} {until}."
        return Test("tonight", "hold", says, row.source("min_temp_c"))
    if night.grade == GO:
        return None
    close = show_above(night.least_k, unit)
    coldest = show_temp(night.coldest_c, unit)
    says = f"Laid now the film comes to {close} the dew point before it is dust-free, the place at {coldest}{still}."
    figure = facts.figure("blush_go_k")
    return Test("tonight", "warn" if night.grade == WARM else "hold", says, figure.source)


def night_way(answer: AirAnswer, night: Tonight, facts: Facts) -> str:
    """What to do about it."""
    if night.too_cold:
        least = show_temp(answer.material.min_temp_c or 0.0, answer.unit)
        dry = next((likely for name, _, likely, _ in night.ready if name == "dust-free"), None)
        until = "it may be sanded" if dry and night.too_cold.at >= dry else "it is dust-free"
        return f"Keep the place at {least} or more until {until}, or begin in the good hours below."
    most = show_delta_temp(facts.likely("warm_piece_k"), answer.unit)
    return (
        f"Keep piece and place up to {most} warmer through the night than the shop is then, or begin early enough "
        "that it is dust-free by closing."
    )


def _when(moment: datetime) -> str:
    quarter = datetime.fromtimestamp(math.ceil(moment.timestamp() / _QUARTER_S) * _QUARTER_S, moment.tzinfo)
    return f"{quarter:%a} {quarter.day} {quarter:%b} {quarter.hour}:{quarter:%M}"
