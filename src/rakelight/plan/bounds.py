"""What no plan can beat: the waits at their shortest and the maker's hours, beside every answer.

Two bounds, the later holds: the longest path through waits and open hours with nothing in its way; and the maker's
open hours against the work that cannot begin before a moment. Each leaves rules out and puts none in, so a plan
that meets one is proven the earliest.
"""

from __future__ import annotations

import math
from bisect import bisect_left
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from functools import partial

import numpy as np
from numpy.typing import NDArray

from rakelight.plan.clock import Clock, Law
from rakelight.plan.doing import Doing
from rakelight.plan.draft import Draft, Laid
from rakelight.plan.fitting import Fitting, Session, on_grid
from rakelight.plan.hands import Crew
from rakelight.plan.history import Chain
from rakelight.plan.problem import Node, Problem, nodes_of
from rakelight.plan.reckon import reckon
from rakelight.plan.rooms import Room
from rakelight.plan.timeline import Busy, Hours, Span
from rakelight.plan.waits import Happened, Stay, Waits
from rakelight.schedule.tasks import Task

_FREE = "+"  # joins names of places: the better of their air in each hour


@dataclass(frozen=True)
class Bound:
    """No plan ends before."""

    minute: float  # of the finish
    which: str  # "waits", "maker's hours"
    late: float = 0.0  # minutes past the dates that no plan can save
    by_target: tuple[float, ...] = ()
    finishes: dict[str, float] = field(default_factory=dict)  # of each piece, were it alone
    total: float = 0.0  # sum of the finishes of several pieces
    total_which: str = ""

    def at_least(self, minute: float, draft: Draft) -> Bound:
        """The same where waits, hours, dust and the maker taken together are proven to force a later minute."""
        minute = min(minute, draft.finish)
        return self if minute <= self.minute else replace(self, minute=minute, which="waits, dust and hours together")

    def gap(self, draft: Draft, start: float) -> float:
        """Share of the time from the start that the plan might still save, 0 where it is proven best."""
        whole = max(1.0, draft.finish - start)
        return max(0.0, draft.finish - self.minute) / whole


class BestClock(Clock):
    """After a move, in each hour the better air of the place moved from and those moved to.

    A part is never moved earlier than in the unhindered plan, so its true air is never better than this.
    """

    def share(self, other: Clock) -> None:
        """Take over what another clock of the same shop has added up."""
        self._rates.update(other._rates)
        self._sums.update(other._sums)

    def rate(self, law: Law, place: str) -> NDArray[np.float64]:
        """As of a Clock; of joined names the best of each hour."""
        if _FREE not in place:
            return super().rate(law, place)
        key = (law, place)
        if key not in self._rates:
            self._rates[key] = np.maximum.reduce([super(BestClock, self).rate(law, p) for p in place.split(_FREE)])
        return self._rates[key]

    def until(
        self, law: Law, stays: Sequence[Stay], start: float, need_h: float, ratio: float = 1.0, z: float = 0.0
    ) -> float:
        """As of a Clock, in the best air from the stay at the start on."""
        return super().until(law, joined_stays(stays, start), start, need_h)


def joined_stays(stays: Sequence[Stay], start: float) -> list[Stay]:
    """The stay at an hour, and from each later one on all places since then together."""
    at = max((n for n, s in enumerate(stays) if s.from_hour <= start), default=0)
    names: list[str] = []
    found = []
    for stay in stays[at:]:
        if stay.place not in names:
            names.append(stay.place)
        found.append(Stay(_FREE.join(sorted(names)), stay.from_hour))
    return found


class BestWaits(Waits):
    """Waits in the best air; what coats beneath were short of is left out, and each coat that may be is alone."""

    one_film: frozenset[int] = frozenset()  # ids of coats known to be one film with the coat beneath

    def _apart(self, events: Sequence[Happened], stays: Sequence[Stay]) -> list[int]:
        melting = (n for n, event in enumerate(events) if event.lay and self._melts(event.lay.material))
        return [n for n in melting if id(events[n]) not in self.one_film]

    def melts(self, material: str) -> tuple[Law, float] | None:
        """The law and the reference hours in which a coat of a material still melts into one of its kind."""
        return self._melts(material)

    def _short(self, need: object, events: Sequence[Happened], stays: Sequence[Stay], z: object) -> float:
        return 0.0

    def _rest_from(self, many: object, events: Sequence[Happened]) -> float | None:
        return None


class _Endless(Busy):
    """A maker who is never at anything else."""

    def take(self, span: Span) -> None:
        """Nothing is taken."""


class _Empty(Room):
    """A place with nothing in the way."""

    def lay(self, start: int, dry: int) -> None:
        """Nothing is wet."""

    def raise_dust(self, span: Span) -> None:
        """No dust."""

    def stand(self, chain: str, start: int, until: int, takes: float) -> None:
        """Nothing stands here."""


class _Plain(Fitting):
    """No setting up or cleaning."""

    def session(self, task: Task, minute: int) -> Session:
        """None."""
        return Session()


class Unhindered(Doing):
    """Each task as early as its waits and the open hours allow, as if it were alone."""

    def __init__(self, problem: Problem, nodes: Mapping[str, Node]) -> None:
        super().__init__(problem, nodes, 0.0, 0.0, {}, {})
        self.busy = _Endless(problem.hours)
        places = problem.shop.places.values()
        self.rooms = {p.name: _Empty(p.name, math.inf, problem.settle, p.takes_dust) for p in places}
        self.helped = _Endless(problem.helper.hours) if problem.helper else None
        self.fitting = _Plain(problem, self.busy, self.rooms, 0.0, 0, self.helped)

    def _find(self, node: Node, chains: list[Chain]) -> Laid:
        for earlier in node.before if node.task.lay else ():
            dusty = self.laid.get(earlier)
            if dusty and dusty.task and dusty.task.work == "dusty" and not dusty.done:
                place = self._place(node.task, chains[0])
                if dusty.place == place:
                    chains[0].free_from = max(chains[0].free_from, dusty.end + self.problem.settle)
        node = replace(node, task=replace(node.task, asks=replace(node.task.asks, at_most=None, abraded=True)))
        return super()._find(node, chains)


def unhindered(problem: Problem) -> Draft:
    """The plan of a maker with endless hands and rooms, in the best air: no true plan does any step earlier."""
    nodes = nodes_of(problem.work)
    doing = Unhindered(eased(problem), nodes)
    for node in nodes.values():
        doing.place(node)
    return reckon(doing)


def eased(problem: Problem) -> Problem:
    """The problem in the best air, with no failed test to wait for and work put down at will."""
    trials = {key: trial for key, trial in problem.trials.items() if trial.passed}
    return replace(problem, waits=_best_waits(problem), trials=trials, least_dry=5)


def _best_waits(problem: Problem) -> BestWaits:
    """As the problem's waits, sharing its facts and factors."""
    waits = BestWaits(problem.facts, problem.waits.clock.air, None, problem.hours.day_of_hour)
    clock = BestClock(problem.facts, problem.waits.clock.air)
    clock.share(problem.waits.clock)
    waits.doses = problem.waits.doses
    waits.clock = clock
    waits._alike = problem.waits._alike  # of one place the air is the same
    return waits


def bound(problem: Problem, draft: Draft) -> Bound:
    """The latest of the bounds on the finish, for the tasks this plan has placed."""
    free = unhindered(problem)
    targets = range(len(problem.targets))
    path = free.finish
    late = sum(
        t.matters * max(0.0, free.reached[n] - t.by)
        for n, t in enumerate(problem.targets) if math.isfinite(free.reached[n])
    )  # fmt: skip
    found = [(path, "waits"), (_makers(problem, free, draft), "maker's hours")]
    minute, which = max(found, key=lambda f: f[0])
    by_target = tuple(free.reached[n] for n in targets)
    total, total_which = _all_of_them(problem, free)
    return Bound(
        min(minute, draft.finish), which, min(late, draft.late), by_target, free.finishes,
        min(total, draft.total), total_which,
    )  # fmt: skip


def _all_of_them(problem: Problem, free: Draft) -> tuple[float, str]:
    if not problem.work.pieces:
        return 0.0, ""
    from rakelight.plan.crowd import crowded  # stands on this module

    return crowded(problem, free)


def _makers(problem: Problem, free: Draft, draft: Draft) -> float:
    """Latest hour that the maker's open hours force, for any moment and the work that cannot begin before it.

    Of the steps that begin at the soonest at a moment or later, one is last; after it comes at least the shortest
    of their ways to the end. So for each length of way, the steps with no shorter one.
    """
    nodes = nodes_of(problem.work)
    ways = _ways(nodes, free)
    rows = {
        key: (head(problem, laid), ways.get(key, 0.0), worked(nodes[key].task))
        for key, laid in free.laid.items()
        if key in nodes and not laid.done and nodes[key].task.work != "none"
    }
    alone, helper = partial(when_worked, problem.hours), problem.helper
    if helper is None:
        return _forced(problem, list(rows.values()), alone)
    own = [row for key, row in rows.items() if not helper.may(nodes[key].task)]
    both = Crew((problem.hours, helper.hours)).when_worked
    return max(_forced(problem, list(rows.values()), both), _forced(problem, own, alone))


def head(problem: Problem, laid: Laid) -> float:
    """Minute before which no plan begins a step: with a helper, the maker may begin sooner and yet end later."""
    return min(laid.start, laid.ready) if problem.helper else laid.start


def _forced(
    problem: Problem, rows: Sequence[tuple[float, float, float]], when: Callable[[float, float], float]
) -> float:
    """The latest end that steps (head, way to the end, work) force, worked one after another from their heads on."""
    best = float(problem.start)
    for way in _some(sorted({w for _, w, _ in rows})):
        after = sorted((start, work) for start, w, work in rows if w >= way)
        work = 0.0
        for start, minutes in reversed(after):
            work += minutes
            best = max(best, when(start, work) + way)
    return best


def worked(task: Task) -> float:
    """Minutes of the maker's work that a step takes at the least."""
    if task.minutes.likely <= 0 and not task.lay:
        return 0.0
    return on_grid(task.minutes.likely + (0.0 if task.splittable and not task.lay else task.block_min))


def _ways(nodes: Mapping[str, Node], free: Draft) -> dict[str, float]:
    """Minutes of work that must still follow each step, one after another."""
    after: dict[str, list[str]] = {key: [] for key in nodes}
    for key, node in nodes.items():
        for earlier in node.before:
            if earlier in after:
                after[earlier].append(key)
    known: dict[str, float] = {}
    for key in reversed(list(nodes)):
        known[key] = max((worked(nodes[k].task) + known.get(k, 0.0) for k in after[key]), default=0.0)
    return known


def _some(values: list[float], most: int = 24) -> list[float]:
    """A few of many, evenly."""
    step = max(1, len(values) // most)
    return values[::step]


def when_worked(hours: Hours, start: float, work: float) -> float:
    """The first minute by which so many open minutes have passed."""
    at = bisect_left(hours.ends, start)
    left = work
    while at < len(hours.windows):
        a, b = hours.windows[at]
        a = max(a, int(start))
        if b - a >= left:
            return a + left
        left -= max(0, b - a)
        at += 1
    return start
