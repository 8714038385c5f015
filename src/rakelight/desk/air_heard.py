"""The air of the shop as it was read there: by a thermometer that tells it, by hand, or out of a logger's file.

Readings are gathered hour by hour and kept beside the events, so that only what was told since is looked at. Each
month of which enough hours are known gives the open and the closed air of its place; logs and readings of one month
count by their hours. All that is planned stands in that air.
"""

from __future__ import annotations

import json
from collections.abc import Iterable, Mapping
from contextlib import suppress
from dataclasses import dataclass, field
from datetime import datetime
from hashlib import sha256
from typing import TYPE_CHECKING, Any

import numpy as np

from rakelight.errors import Finding, RakelightError, Severity, SourceKind, Where
from rakelight.log.events import Event
from rakelight.shop.air_log import HOUR_S, AirLog
from rakelight.shop.air_year import MonthSeen, with_air, year_of
from rakelight.shop.hours import hours_between
from rakelight.shop.model import MonthlyAir, Shop
from rakelight.units.dates import MONTHS

if TYPE_CHECKING:
    from rakelight.desk.shop_file import ShopDesk

#: name of the setting it is kept in, and the form it is kept in: another form is gathered anew
_KEPT, _FORM = "air heard", 1
#: what was told before this many entries is no reading of now: a thermometer that tells every half minute is seen
_LOOKED_BACK = 600
#: a reading of a whole logger's file, month by month
LOG = "air log"
_ENDS = ("open_temp_c", "open_rh", "closed_temp_c", "closed_rh")

Hours = dict[str, dict[str, list[float]]]  # place -> whole hour since 1970 -> readings, sum of C, sum of humidity


@dataclass(frozen=True)
class Month:
    """One month of a place: how many hours are known of it, and what they come to."""

    hours: float
    air: MonthlyAir


@dataclass(frozen=True)
class AirRead:
    """The air of a place as it was read there last."""

    temp_c: float
    rh: float
    at: datetime


@dataclass
class _Heard:
    seq: int = 0
    of: str = ""
    hours: Hours = field(default_factory=dict)
    logs: dict[str, list[list[float]]] = field(default_factory=dict)  # place -> month, hours, the four ends
    months: dict[str, list[list[float]]] = field(default_factory=dict)


def air_read(shop: ShopDesk, place: str) -> AirRead | None:
    """The air of a place as it was read last, where that still stands; None where it was read too long ago.

    Source: the figure `air_read_stands_h`.
    """
    stands_h = shop.facts.likely("air_read_stands_h")
    first, now = shop.shop.first_place.name, shop.now
    kinds = ("reading", "taken back", "corrected")
    told = _in_force(shop.store.events(None, kinds, shop.store.last_seq() - _LOOKED_BACK))
    read = [
        e for e in told
        if e.kind == "reading" and e.what == "air" and (e.place or first) == place and "temp_c" in e.values
        and 0.0 < e.values.get("rh", 0.0) <= 1.0 and 0 <= hours_between(e.happened, now) <= stands_h
    ]  # fmt: skip
    last = max(read, key=lambda e: e.happened, default=None)
    zone = shop.shop.zone
    return AirRead(last.values["temp_c"], last.values["rh"], last.happened.astimezone(zone)) if last else None


def event_of_log(shop: ShopDesk, place: str, seen: Iterable[MonthSeen], words: str) -> Event:
    """A logger's file to be told: the months of it that can be learned from. Raises RakelightError where none can."""
    values: dict[str, float] = {}
    for month in seen:
        if month.learned:
            ends = (month.learned.open_temp_c, month.learned.open_rh, month.learned.closed_temp_c,
                    month.learned.closed_rh)  # fmt: skip
            values[f"hours_{month.month}"] = float(month.hours)
            values |= {f"{name}_{month.month}": round(v, 4) for name, v in zip(_ENDS, ends, strict=True)}
    if not values:
        raise RakelightError("No month of it has three days of hours: there is too little to learn from.")
    return Event("reading", shop.now, shop.now, what=LOG, values=values, place=place, words=words)


def months_heard(shop: ShopDesk, said: Shop) -> dict[str, tuple[Month, ...]]:
    """What was read of each place, month by month; places of which too little is known are not there."""
    heard = _gathered(shop, said)
    return {
        place: tuple(Month(row[1], MonthlyAir(int(row[0]), *row[2:])) for row in rows)
        for place, rows in heard.months.items()
        if place in said.places and rows
    }


def in_heard_air(said: Shop, heard: Mapping[str, tuple[Month, ...]]) -> Shop:
    """The shop with the air of its places as it was read there."""
    found = said
    for place, months in heard.items():
        seen = tuple(MonthSeen(m.air.month, int(m.hours), (0.0, 0.0, 0.0), (0.0, 0.0, 0.0), m.air) for m in months)
        found = with_air(found, place, seen)
    return found


def heard_findings(heard: Mapping[str, tuple[Month, ...]]) -> list[Finding]:
    """That a plan stands in air that was read, and not in what the shop's settings say."""
    found = []
    for place, months in heard.items():
        told = ", ".join(f"{MONTHS[m.air.month - 1].capitalize()} ({m.hours:,.0f} hours)" for m in months)
        says = f"The air of {place} is as it was read there: {told}."
        mend = "Other months stay as the shop's settings have them. `rakelight air-log` shows what is kept."
        source = "readings of this shop"
        found.append(
            Finding("air-heard", Severity.NOTE, Where(file="shop.toml"), says, mend, source, SourceKind.MEASURED)
        )
    return found


def _gathered(shop: ShopDesk, said: Shop) -> _Heard:
    store = shop.store
    of = sha256(f"{_FORM}\0{shop.shop_text}".encode()).hexdigest()
    heard = _read(store.setting(_KEPT))
    new = store.events("", ("reading", "taken back", "corrected"), heard.seq)
    if any(e.kind != "reading" for e in new):  # something may be undone that was counted
        heard, new = _Heard(), [e for e in _in_force(store.events("")) if e.kind == "reading"]
    air = [e for e in new if e.what in ("air", LOG)]
    if not air and heard.of == of:
        return heard
    for event in air:
        _take(heard, event, said.first_place.name)
    heard.seq, heard.of = store.last_seq(), of
    heard.months = {place: _months(heard, place, said) for place in {*heard.hours, *heard.logs}}
    with suppress(RakelightError):  # a file that may only be read is gathered each time
        store.put_setting(_KEPT, json.dumps(vars(heard)))
    return heard


def _in_force(events: list[Event]) -> list[Event]:
    from rakelight.log.events import in_force

    return in_force(events)


def _take(heard: _Heard, event: Event, first: str) -> None:
    place, values = event.place or first, event.values
    if event.what == LOG:
        for month in range(1, 13):
            names = [f"{name}_{month}" for name in ("hours", *_ENDS)]
            if all(name in values for name in names):
                heard.logs.setdefault(place, []).append([float(month), *(values[name] for name in names)])
        return
    if "temp_c" not in values or not 0.0 < values.get("rh", 0.0) <= 1.0:
        return
    hour = str(int(event.happened.timestamp() // HOUR_S))
    known = heard.hours.setdefault(place, {}).setdefault(hour, [0.0, 0.0, 0.0])
    for n, more in enumerate((1.0, values["temp_c"], values["rh"])):
        known[n] += more


def _months(heard: _Heard, place: str, said: Shop) -> list[list[float]]:
    """Months of a place: those of its logs and of its single readings, each counting by its hours."""
    rows = list(heard.logs.get(place, []))
    hours = heard.hours.get(place, {})
    if hours:
        each = np.array(sorted((int(h), t / n, rh / n) for h, (n, t, rh) in hours.items()))
        seconds = (each[:, 0] + 0.5) * HOUR_S
        log = AirLog(seconds, each[:, 1], each[:, 2], said.zone, len(each), 0, 0, ())
        rows += [
            [float(m.month), float(m.hours), m.learned.open_temp_c, m.learned.open_rh, m.learned.closed_temp_c,
             m.learned.closed_rh]
            for m in year_of(log, said) if m.learned
        ]  # fmt: skip
    found = []
    for month in sorted({row[0] for row in rows}):
        same = np.array([row for row in rows if row[0] == month])
        ends = np.average(same[:, 2:], axis=0, weights=same[:, 1])
        found.append([month, float(same[:, 1].sum()), *(round(float(v), 3) for v in ends)])
    return found


def _read(text: str) -> _Heard:
    try:
        found: Any = json.loads(text) if text else {}
        return _Heard(**found) if isinstance(found.get("seq"), int) else _Heard()
    except (ValueError, TypeError, AttributeError):
        return _Heard()
