"""Good hours: when, in the open hours of a shop, each coming coat may be laid."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta

import numpy as np

from rakelight.facts.load import Facts
from rakelight.plan.chill import chill_figure
from rakelight.plan.laying import margins, met
from rakelight.plan.waits import Waits
from rakelight.schedule.tasks import Lay
from rakelight.shop.hours import HOUR_S

GO, WARM = "go", "warm"


@dataclass(frozen=True)
class GoodSpan:
    """Hours in which a coat may be begun; `warm`: once the piece is warmed."""

    start: datetime
    end: datetime
    grade: str  # go, warm

    def as_json(self) -> dict[str, str]:
        """As plain data."""
        start, end = (t.isoformat(timespec="minutes") for t in (self.start, self.end))
        return {"start": start, "end": end, "grade": self.grade}


@dataclass(frozen=True)
class HourMargin:
    """One hour of air over a wet film."""

    at: datetime
    temp_c: float
    dew_point_c: float
    margin_k: float


def good_hours(
    waits: Waits,
    facts: Facts,
    lay: Lay,
    place: str,
    origin: datetime,
    windows: Sequence[tuple[datetime, datetime]],
) -> tuple[GoodSpan, ...]:
    """Spans of the windows in which a coat may be begun, in order.

    `go`: the film stays clear of the dew point until it is dust-free. `warm`: it does once the piece is warmed as
    far as the figure `warm_piece_k` says. Warm enough for the material in both.
    Parameters: origin, of the hours of `waits`; windows, zone-aware, in order: the shop's open hours.
    """
    return good_hours_each(waits, facts, [lay], place, origin, windows)[0]


def good_hours_each(
    waits: Waits,
    facts: Facts,
    coats: Sequence[Lay],
    place: str,
    origin: datetime,
    windows: Sequence[tuple[datetime, datetime]],
) -> list[tuple[GoodSpan, ...]]:
    """The spans of each of several coats. Parameters as `good_hours`."""
    clear_k = facts.likely("blush_go_k")
    warm_k = clear_k - facts.likely("warm_piece_k")
    zone = windows[0][0].tzinfo if windows else origin.tzinfo
    since = origin.timestamp()
    opens = [((a.timestamp() - since) / HOUR_S, (b.timestamp() - since) / HOUR_S) for a, b in windows]

    def moments(hours: list[float]) -> list[datetime]:
        return [datetime.fromtimestamp(at, zone) for at in np.rint(since + np.array(hours) * HOUR_S).tolist()]

    rows = []
    for lay in coats:
        go = _within(waits.hours_to_lay(lay, place, clear_k), opens)
        most = _within(waits.hours_to_lay(lay, place, warm_k), opens)
        found = [(a, b, GO) for a, b in go] + [(a, b, WARM) for a, b in _without(most, go)]
        found = sorted(row for row in found if row[1] - row[0] > 1 / 60)
        begins, ends = moments([row[0] for row in found]), moments([row[1] for row in found])
        grades = [row[2] for row in found]
        rows.append(tuple(map(GoodSpan, begins, ends, grades)))
    return rows


def hourly_margins(
    waits: Waits, facts: Facts, lay: Lay, place: str, origin: datetime, hours: tuple[int, int]
) -> tuple[HourMargin, ...]:
    """Film over dew point hour by hour, the piece as warm as the air, from one whole hour to another."""
    chill_k = chill_figure(facts, waits.doses.row(lay), lay.by).value.likely
    first, last = max(0, hours[0]), min(waits.clock.hours, hours[1])
    each = np.arange(first, last)
    temp_c, dew_c = waits.clock.air[place].temp_c[each], waits.clock.dew_c(place)[each]
    margin = margins(waits.clock, place, chill_k)[each]
    rows = zip(each.tolist(), temp_c.tolist(), dew_c.tolist(), margin.tolist(), strict=True)
    since = origin.astimezone(UTC)
    return tuple(
        HourMargin((since + timedelta(hours=h)).astimezone(origin.tzinfo), t, d, m) for h, t, d, m in rows
    )


Pairs = list[tuple[float, float]]


def _within(spans: Pairs, opens: Pairs) -> Pairs:
    """What lies in both, both in order."""
    rows = [([a for a, _ in row], [b for _, b in row]) for row in (spans, opens)]
    starts, ends = met(*rows)
    holds = ends > starts
    return list(zip(starts[holds].tolist(), ends[holds].tolist(), strict=True))


def _without(spans: Pairs, taken: Pairs) -> Pairs:
    """Spans less what is taken; both in order."""
    found: Pairs = []
    first = 0
    for begin, end in spans:
        while first < len(taken) and taken[first][1] <= begin:
            first += 1
        at, n = begin, first
        while n < len(taken) and taken[n][0] < end:
            if taken[n][0] > at:
                found.append((at, taken[n][0]))
            at = max(at, taken[n][1])
            n += 1
        if at < end:
            found.append((at, end))
    return found
