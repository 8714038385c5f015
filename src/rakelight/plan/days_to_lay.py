"""On how many days of a logger's record a coat could have been laid in the shop's open hours."""

from __future__ import annotations

import calendar
from dataclasses import dataclass
from datetime import timedelta
from typing import Any

from rakelight.facts.load import Facts
from rakelight.plan.good_hours import GO, good_hours
from rakelight.plan.waits import Waits
from rakelight.schedule.tasks import Lay
from rakelight.shop.air_log import HOUR_S, AirLog
from rakelight.shop.hours import windows
from rakelight.shop.model import Shop


@dataclass(frozen=True)
class MonthDays:
    """One month of one year."""

    year: int
    month: int
    days: int  # open days with a record
    go: int  # with an hour in which it may be laid
    warm: int  # with one only if the piece is warmed first
    name: str

    @property
    def says(self) -> str:
        """One sentence."""
        when = f"{calendar.month_name[self.month]} {self.year}"
        none = self.days - self.go - self.warm
        more = f", {self.warm} more with the piece warmed" if self.warm else ""
        return f"{when}: {self.name} could be laid on {self.go} of {self.days} open days{more}; on {none} not at all."

    def as_json(self) -> dict[str, Any]:
        """As plain data."""
        return {"year": self.year, "month": self.month, "days": self.days, "go": self.go, "warm": self.warm}


def days_to_lay(log: AirLog, shop: Shop, facts: Facts, lay: Lay) -> tuple[MonthDays, ...]:
    """Open days by month, and those with an hour good for laying. Days in a gap of the record do not count."""
    origin, air, known = log.hourly()
    end = origin + timedelta(hours=len(air.temp_c))
    opens = windows(shop, origin, end)
    waits = Waits(facts, {"log": air})
    spans = good_hours(waits, facts, lay, "log", origin, opens)
    begin = origin.timestamp()
    counted = set()
    for a, b in opens:
        first, last = (int((t.timestamp() - begin) / HOUR_S) for t in (a, b))
        if known[first : max(last, first + 1)].all():
            counted.add(a.date())
    go = {s.start.date() for s in spans if s.grade == GO} & counted
    warm = ({s.start.date() for s in spans} & counted) - go
    months = sorted({(d.year, d.month) for d in counted})
    name = facts.materials[lay.material].name

    def of(days: set[Any], month: tuple[int, int]) -> int:
        return sum((d.year, d.month) == month for d in days)

    return tuple(MonthDays(*m, of(counted, m), of(go, m), of(warm, m), name) for m in months)
