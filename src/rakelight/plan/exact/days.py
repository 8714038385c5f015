"""Calendars for the solver: the starts at which work of a length fits, in ticks of five minutes."""

from __future__ import annotations

import math
from bisect import bisect_left
from collections.abc import Sequence

from ortools.sat.python import cp_model

TICK = 5  # minutes

Span = tuple[int, int]


def up(minutes: float) -> int:
    """Minutes in ticks, rounded up.

    >>> up(11), up(10)
    (3, 2)
    """
    return math.ceil(minutes / TICK - 1e-6)


class Starts:
    """Start domains by length, worked out once each."""

    def __init__(self, windows: Sequence[Span], first: int, last: int) -> None:
        """Args: windows open, first and last tick of the horizon, all in ticks."""
        at = bisect_left([b for _, b in windows], first)
        self.windows = [w for w in windows[at:] if w[0] < last]
        self.first, self.last = first, last
        self._known: dict[int, cp_model.Domain] = {}

    def of(self, length: int, within: Sequence[Span] | None = None) -> cp_model.Domain:
        """Starts from which `length` ticks fit into one window; `within`, spans in which a start is allowed."""
        found = self._known.get(length)
        if found is None:
            spans = [[max(a, self.first), b - length] for a, b in self.windows]
            kept = [s for s in spans if s[0] <= s[1]]
            found = self._known[length] = cp_model.Domain.from_intervals(kept)
        if within is not None:
            spans = [[a, b] for a, b in within if a <= b]
            found = found.intersection_with(cp_model.Domain.from_intervals(spans))
        return found

    def shut(self) -> list[Span]:
        """Spans between the windows."""
        found = [(self.first, self.windows[0][0])] if self.windows else []
        found += [(a[1], b[0]) for a, b in zip(self.windows, self.windows[1:], strict=False)]
        if self.windows:
            found.append((self.windows[-1][1], self.last + 1440))
        return [(a, b) for a, b in found if b > a]
