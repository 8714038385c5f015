"""Time as the planner counts it: whole minutes since an origin, open windows, and the maker's free gaps."""

from __future__ import annotations

from bisect import bisect_left, bisect_right, insort
from collections.abc import Iterator, Sequence
from datetime import UTC, datetime, timedelta, tzinfo

from rakelight.errors import RakelightError
from rakelight.shop.hours import NIGHT_ENDS_AT

Span = tuple[int, int]


class Hours:
    """Open windows of the shop as minutes since a whole hour, and the local days they lie in."""

    def __init__(self, origin: datetime, windows: Sequence[tuple[datetime, datetime]], zone: tzinfo) -> None:
        self.origin = origin.astimezone(UTC)  # differences within one zone would be wall time
        self.zone = zone
        self.windows: list[Span] = [(self.minute(a), self.minute(b)) for a, b in windows]
        self.starts = [a for a, _ in self.windows]
        self.ends = [b for _, b in self.windows]
        self.open = sum(b - a for a, b in self.windows)
        self.longest = max((b - a for a, b in self.windows), default=0)
        self._midnights = self._days(windows, 0)
        self._night_ends = self._days(windows, NIGHT_ENDS_AT)

    def _days(self, windows: Sequence[tuple[datetime, datetime]], hour: int) -> list[int]:
        last = windows[-1][1].astimezone(self.zone) if windows else self.origin.astimezone(self.zone)
        day = self.origin.astimezone(self.zone).date()
        found = []
        while day <= last.date() + timedelta(days=2):
            found.append(self.minute(datetime(day.year, day.month, day.day, hour, tzinfo=self.zone)))
            day += timedelta(days=1)
        return found

    def minute(self, moment: datetime) -> int:
        """Minutes from the origin to a moment, elapsed time."""
        return round((moment.astimezone(UTC) - self.origin).total_seconds() / 60)

    def moment(self, minute: float) -> datetime:
        """The moment, in the shop's zone."""
        return (self.origin + timedelta(minutes=minute)).astimezone(self.zone)

    def day(self, minute: float) -> int:
        """Number of the local day a minute lies in."""
        return bisect_right(self._midnights, minute) - 1

    def day_of_hour(self, hour: float) -> int:
        """Number of the local day an hour since the origin lies in."""
        return self.day(hour * 60)

    def next_day(self, minute: int) -> int:
        """The next local midnight."""
        at = bisect_right(self._midnights, minute)
        return self._midnights[at] if at < len(self._midnights) else minute + 1440

    def next_open(self, minute: int) -> int:
        """The minute itself where the shop is open, else the next opening."""
        at = bisect_right(self.ends, minute)
        if at == len(self.windows):
            raise RakelightError("The work runs past the planned year; look at hours and waits.")
        return max(minute, self.starts[at])

    def after_a_night(self, minute: int) -> int:
        """The next opening after a night; a night ends at four in the morning, so work at 0:30 is still its eve."""
        at = bisect_right(self._night_ends, minute)
        return self.next_open(self._night_ends[at] if at < len(self._night_ends) else minute + 1440)

    def open_minutes(self, start: float, end: float) -> float:
        """Open minutes between two moments."""
        total = 0.0
        for at in range(bisect_right(self.ends, start), len(self.windows)):
            a, b = self.windows[at]
            if a >= end:
                break
            total += min(b, end) - max(a, start)
        return total


class Busy:
    """The maker's hours: what is taken, and the gaps that are left in the open windows."""

    def __init__(self, hours: Hours) -> None:
        self.hours = hours
        self.taken: list[Span] = []

    def take(self, span: Span) -> None:
        """Mark a span as worked."""
        insort(self.taken, span)

    def give_back(self, span: Span, kept: Span) -> None:
        """A span takes less than was thought."""
        del self.taken[bisect_left(self.taken, span)]
        self.take(kept)

    def gaps(self, start: int) -> Iterator[Span]:
        """Free spans inside open windows, from a minute on."""
        hours = self.hours
        for at in range(bisect_right(hours.ends, start), len(hours.windows)):
            a, b = hours.windows[at]
            a = max(a, start)
            first = bisect_left(self.taken, (a, 0))
            if first and self.taken[first - 1][1] > a:
                first -= 1
            for at_taken in range(first, len(self.taken)):
                c, d = self.taken[at_taken]
                if c >= b:
                    break
                if c > a:
                    yield a, c
                a = max(a, d)
            if a < b:
                yield a, b


def minus(gap: Span, shut: Sequence[Span]) -> Iterator[Span]:
    """A gap less the spans that are shut (sorted by start).

    >>> list(minus((0, 10), [(2, 4), (8, 20)]))
    [(0, 2), (4, 8)]
    """
    a, b = gap
    for c, d in shut:
        if d <= a:
            continue
        if c >= b:
            break
        if c > a:
            yield a, c
        a = max(a, d)
    if a < b:
        yield a, b
