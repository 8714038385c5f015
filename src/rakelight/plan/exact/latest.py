"""Between which ticks each step may lie in a plan that ends by a tick: the tables of waits, forward and back."""

from __future__ import annotations

import math
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray
from ortools.sat.python import cp_model

from rakelight.plan.bounds import eased, worked
from rakelight.plan.clock import Law
from rakelight.plan.exact.asked import Asked, Least, Pair
from rakelight.plan.exact.days import TICK, Starts, up
from rakelight.plan.exact.links import cleaning_of
from rakelight.plan.fitting import on_grid
from rakelight.plan.problem import Node, Problem, nodes_of
from rakelight.plan.waits import Stay

Ticks = NDArray[np.float64]

_NEVER = -(10**6)


class Tables:
    """From the tick at which a coat is on to the tick at which as many reference hours have passed."""

    def __init__(self, problem: Problem, last: int) -> None:
        self.clock = eased(problem).waits.clock
        self.ticks: Ticks = np.arange(last + 1, dtype=float)
        self._sums: dict[tuple[Law, tuple[Stay, ...]], Ticks] = {}
        self._known: dict[tuple[Law, float, tuple[Stay, ...]], Ticks] = {}

    def of(self, asked: Asked) -> Ticks:
        """For each tick of the horizon; it never falls."""
        key = (asked.law, asked.dose_h, asked.stays)
        if key not in self._known:
            sums = self._summed(asked.law, asked.stays)
            hours = self.ticks * (TICK / 60)
            at = np.minimum(hours.astype(int), len(sums) - 2)
            target = sums[at] + (sums[at + 1] - sums[at]) * (hours - at) + asked.dose_h
            found = np.searchsorted(sums, target - 1e-9)
            end = np.clip(found, 1, len(sums) - 1)
            grown = np.maximum(sums[end] - sums[end - 1], 1e-12)
            ready = end - 1 + np.minimum(1.0, np.maximum(0.0, (target - sums[end - 1]) / grown))
            self._known[key] = np.maximum(ready, hours) * (60 / TICK)
        return self._known[key]

    def passed(self, law: Law, stays: tuple[Stay, ...], start_h: float, end_h: float) -> float:
        """Reference hours between two hours, in the best air."""
        sums = self._summed(law, stays)
        start, end = np.interp([start_h, end_h], np.arange(len(sums)), sums)
        return float(end - start)

    def _summed(self, law: Law, stays: tuple[Stay, ...]) -> Ticks:
        """Reference hours added up over the best air of each hour."""
        key = (law, stays)
        if key not in self._sums:
            rate = np.zeros(self.clock.hours)
            for stay, nxt in zip(stays, [*stays[1:], None], strict=True):
                a = max(0, math.floor(stay.from_hour))
                b = self.clock.hours if nxt is None else max(0, math.ceil(nxt.from_hour))
                rate[a:b] = np.maximum(rate[a:b], self.clock.rate(law, stay.place)[a:b])
            self._sums[key] = np.concatenate([[0.0], np.cumsum(rate)])
        return self._sums[key]


class Room:
    """Heads and latest starts of all steps, where a plan is to end by `last`; and what is known from them."""

    def __init__(self, problem: Problem, least: Least, last: int) -> None:
        self.problem, self.least, self.last = problem, least, last
        self.nodes = {k: n for k, n in nodes_of(problem.work).items() if k in least.free.laid}
        self.tables = Tables(problem, last)
        windows = [(up(a), b // TICK) for a, b in problem.hours.windows]
        self.starts = Starts(windows, up(problem.start), last)
        self.unit = max(1, problem.least_dry // TICK)
        self.length = {k: max(1, up(worked(n.task))) for k, n in self.nodes.items()}
        self.head = {k: up(x.start) for k, x in least.free.laid.items()}
        self.late = self._latest()
        one_film = frozenset(p.event for p in least.one_film if not self.hopeless and self._melts(p))
        if one_film:
            self.least = least.knowing(one_film)
            self.late = self._latest()

    @property
    def hopeless(self) -> bool:
        """Whether some step cannot lie anywhere: no plan ends by then."""
        done = {k for k, x in self.least.free.laid.items() if x.done}
        return any(self.late[k] < self.head[k] for k in self.nodes if k not in done)

    def _melts(self, pair: Pair) -> bool:
        """Whether a coat is one film with the one beneath, however early that and however late it is laid."""
        laid = self.least.free.laid
        early = self.head[pair.beneath] * TICK / 60
        late = laid[pair.coat].end / 60 if laid[pair.coat].done else (self._over_by(pair.coat)) * TICK / 60
        passed = self.tables.passed(pair.law, pair.stays, early, late)
        return passed <= pair.most_h

    def _over_by(self, key: str) -> int:
        return self.late[key] + self.length[key]

    def _latest(self) -> dict[str, int]:
        asked: dict[str, list[Asked]] = {}
        for one in self.least.asked:
            asked.setdefault(one.before, []).append(one)
        after: dict[str, list[str]] = {}
        for key, node in self.nodes.items():
            for before in node.before:
                after.setdefault(before, []).append(key)
        late: dict[str, int] = {}
        self.by: dict[str, int] = {}  # the last tick by which each step must be over
        for key in reversed(list(self.nodes)):
            end = min([self.last, *(late[k] for k in after.get(key, []) if k in late)])
            for one in asked.get(key, []):
                most = late[one.after] if one.after else self.last
                end = min(end, latest_of(self.tables.of(one), most + 1))
            self.by[key] = end
            late[key] = self._start_by(key, end)
        return late

    def _start_by(self, key: str, end: int) -> int:
        """The last start from which a step is over by a tick."""
        task, length = self.nodes[key].task, self.length[key]
        if task.work == "none" or worked(task) <= 0:
            return end
        first = min(length, self.unit) if task.splittable and not task.lay else length
        least = ticks_on(self.problem, self.nodes[key]) if task.lay else length
        domain = self.starts.of(first).intersection_with(cp_model.Domain(_NEVER, end - least))
        return _NEVER if domain.is_empty() else int(domain.max())


def ticks_on(problem: Problem, node: Node) -> int:
    """Ticks from when a coat is begun until it is on, at the least: whole fives count setting up and cleaning in."""
    work = node.task.minutes.likely + node.task.block_min
    before, after = cleaning_of(problem, node) or (0.0, 0.0)
    return min(math.floor(on_grid(work + x) - x) for x in (0.0, before, after, before + after)) // TICK


def latest_of(table: Ticks, most: float) -> int:
    """The last tick from which a table reaches no further than `most`."""
    return int(np.searchsorted(table, most + 1e-6, side="right")) - 1


#: slopes are told in parts of it
SCALE = 32


def below(ticks: Ticks, reached: Ticks, most: int = 3) -> list[tuple[int, float]]:
    """Straight lines that lie beneath a table and touch it: slope and base, both times SCALE.

    >>> below(np.array([0.0, 1.0, 2.0]), np.array([5.0, 5.0, 6.0]))
    [(0, 160.0), (32, 128.0)]
    """
    hull: list[int] = []
    xs, ys = ticks.tolist(), reached.tolist()
    for n in range(len(xs)):
        while len(hull) > 1 and _falls(xs, ys, hull[-2], hull[-1], n):
            hull.pop()
        hull.append(n)
    edges = list(pairwise(hull)) or [(0, 0)]
    widest = sorted(edges, key=lambda e: e[0] - e[1])[:most]
    found = []
    for a, b in sorted(widest):
        run = ticks[b] - ticks[a]
        slope = round(SCALE * float(reached[b] - reached[a]) / float(run)) if run else SCALE
        found.append((slope, float((SCALE * reached - slope * ticks).min())))
    return list(dict.fromkeys(found))


def _falls(ticks: list[float], reached: list[float], a: int, b: int, c: int) -> bool:
    """Whether the middle of three points lies on or above the line of the others."""
    return (reached[b] - reached[a]) * (ticks[c] - ticks[a]) >= (reached[c] - reached[a]) * (ticks[b] - ticks[a])
