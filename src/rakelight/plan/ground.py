"""What stands still while a plan is followed: hours, air, and steps and waits as arrays."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence

import numpy as np
from numpy.typing import NDArray

from rakelight.plan.course import Course, Move, Stand, Want
from rakelight.plan.covered import Covered
from rakelight.plan.doses import Need
from rakelight.plan.many_hours import Floats, Ints, OpenHours, Rates, grid
from rakelight.plan.scenarios import Scenarios, at_z
from rakelight.schedule.steps import Duration

Mask = NDArray[np.bool_]


class Lists:
    """Lists of numbers, one for each step, as one array."""

    def __init__(self, lists: Iterable[Sequence[int]]) -> None:
        rows = [list(row) for row in lists]
        self.first = np.cumsum([0, *(len(r) for r in rows)])
        self.items = np.array([x for r in rows for x in r], dtype=np.int64)

    def of(self, at: Ints) -> tuple[Ints, Ints, Ints]:
        """Items of some steps: whose each is, the items, and how many each has."""
        start = self.first.take(at)
        counts = self.first.take(at + 1) - start
        if len(at) and counts.min() == counts.max() == 1:
            return np.arange(len(at)), self.items.take(start), counts
        owner = np.repeat(np.arange(len(at)), counts)
        within = np.arange(len(owner)) - np.repeat(np.cumsum(counts) - counts - start, counts)
        return owner, self.items.take(within), counts


class Wants:
    """All needs of all pasts, as arrays: those of one kind of question are asked together."""

    def __init__(
        self, rates: Rates, steps: int, since: Callable[[int, tuple[Stand, ...]], tuple[Stand, ...]]
    ) -> None:
        """Args: since, of the places a part stands in those from the hour of a coat on."""
        self.rates, self.steps, self.since = rates, steps, since
        self.needs: list[Need] = []
        self.own: list[int] = []  # the step whose coat it is
        self._stays: list[tuple[Stand, ...]] = []
        self._beneath: list[list[int]] = []
        self._known: dict[int, int] = {}
        self._drawn: Scenarios | None = None
        self._doses: tuple[Floats, Ints] = (np.zeros((0, 0)), np.zeros((0, 0), dtype=np.int64))

    def add(self, want: Want) -> int:
        """Its number."""
        if id(want) not in self._known:
            lower = [self._one(n, e, want.stays) for n, e in zip(want.need.beneath, want.events, strict=False)]
            self._known[id(want)] = self._one(want.need, want.events[-1], want.stays, lower)
        return self._known[id(want)]

    def _one(self, need: Need, event: int, stays: tuple[Stand, ...], lower: Sequence[int] = ()) -> int:
        self.needs.append(need)
        self.own.append(event)
        self._stays.append(self.since(event, stays) or (Stand("", -1),))
        self._beneath.append(list(lower))
        return len(self.needs) - 1

    def close(self) -> None:
        """Make the arrays, once all are added."""
        count, most = len(self.needs), max((len(s) for s in self._stays), default=1)
        self.event = np.array(self.own, dtype=np.int64)
        self.row = np.zeros((count, most), dtype=np.int64)
        self.more = np.zeros((count, most), dtype=np.int64)
        self.left_at = np.full((count, most), 2 * self.steps, dtype=np.int64)  # column of the hours: never
        for w, (need, stays) in enumerate(zip(self.needs, self._stays, strict=True)):
            for n, stay in enumerate(stays):
                self.row[w, n], self.more[w, n] = self.rates.row(need.law, stay.place, need.ratio)
                if n:
                    self.left_at[w, n - 1] = stay.step + (self.steps if stay.at_end else 0)
        self.moved = self.left_at[:, 0] < 2 * self.steps  # whether the first place is ever left
        deepest = max((len(b) for b in self._beneath), default=0)
        self.deep = np.array([len(b) for b in self._beneath], dtype=np.int64)
        self.beneath = np.full((count, deepest), -1, dtype=np.int64)
        for w, lower in enumerate(self._beneath):
            if lower:
                self.beneath[w, deepest - len(lower) :] = lower

    def doses(self, drawn: Scenarios, calm: frozenset[int]) -> tuple[Floats, Ints]:
        """Reference hours of each want in each scenario, and how far the cold draws it out, (wants, n).

        Args: calm, wants that are as the plan has them.
        """
        if self._drawn is not drawn:
            self._drawn, self._doses = drawn, self._draw(drawn)
        if not calm:
            return self._doses
        hours, steps = self._doses[0].copy(), self._doses[1].copy()
        for w in calm:
            hours[w], steps[w] = self.needs[w].dose.likely, 0
        return hours, steps

    def _draw(self, drawn: Scenarios) -> tuple[Floats, Ints]:
        hours = np.empty((len(self.needs), drawn.n))
        steps = np.zeros((len(self.needs), drawn.n), dtype=np.int64)
        for w, need in enumerate(self.needs):
            if need.sure:
                hours[w] = need.dose.likely
                continue
            z = drawn.z(need.material, self.own[w])
            dose = at_z(need.dose, z)
            hours[w] = dose if need.law.kind == "clock" else dose / drawn.weather
            steps[w] = Rates.step(z)
        return hours, steps


class Waiting:
    """What each step and each date waits for, as numbers of wants."""

    def __init__(self, course: Course, rates: Rates, covered: Covered) -> None:
        moves = course.moves
        self.wants = Wants(rates, len(moves), covered.stays)
        add = self.wants.add
        self.asked = Lists([add(w) for w in covered.asked(n)] for n in range(len(moves)))
        self.dry = Lists([add(w) for w in covered.dry(n)] for n in range(len(moves)))
        self.windows = Lists([add(m.window)] if m.window else [] for m in moves)
        self.rests = {
            n: [(r, add(r.want)) for r in m.rests] for n, m in enumerate(moves) if m.rests and not m.passed
        }
        self.ends = [
            (list(steps), np.array([add(w) for w in covered.last(n)], dtype=np.int64))
            for n, (steps, _) in enumerate(course.ends)
        ]
        self.wants.close()


class Ground:
    """Everything of a course that is the same in every scenario."""

    def __init__(self, course: Course, last: float) -> None:
        """Args: last, minute past which a date counts as never."""
        problem, moves = course.problem, course.moves
        self.course = course
        self.rates = Rates(problem.waits.clock, int(last // 60) + 48)
        self.last = float(min(last, (self.rates.hours - 24) * 60))
        self.hours = OpenHours(problem.hours, int(self.last))
        self.helped = np.array([m.helped for m in moves])
        helper = problem.helper if self.helped.any() else None
        self.helper_hours = OpenHours(helper.hours, int(self.last)) if helper else None
        self.settle = float(problem.settle)
        self.places = list(problem.shop.places)
        self._steps(moves)
        self.scuff = np.array([self._scuff(course, m) for m in moves])
        timed = self.least_night | (self.least_h > 0) | (self.scuff > 0)
        self.clocked = bool(timed.any())  # whether any step counts from the end of the one before
        after: list[list[int]] = [[] for _ in moves]
        for n, move in enumerate(moves):
            for b in move.before:
                after[b].append(n)
        self.after = Lists([k for k in row if not moves[k].done] for row in after)
        self.before = Lists(m.before for m in moves)
        self._openings(course)
        self._waiting: dict[bool, Waiting] = {}

    def waiting(self, by_name: bool = False) -> Waiting:
        """What is waited for. Args: by_name, as needed where some waits are taken as planned (`Covered`)."""
        if by_name not in self._waiting:
            self._waiting[by_name] = Waiting(self.course, self.rates, Covered(self.course, by_name))
        return self._waiting[by_name]

    def _steps(self, moves: Sequence[Move]) -> None:
        tasks = [m.task for m in moves]
        self.place = np.array([self.places.index(m.place) for m in moves])
        self.bare = np.array([t.work == "none" or (t.minutes.likely <= 0 and not t.lay) for t in tasks])
        self.dusty = np.array([t.work == "dusty" for t in tasks])
        self.lays = np.array([t.lay is not None for t in tasks])
        self.split = np.array([t.splittable and not t.lay for t in tasks])
        # dry work may be put down: so much of it must fit before a break
        self.least = np.array([float(m.unit) if s else np.inf for m, s in zip(moves, self.split, strict=True)])
        #: what is wet keeps dust out of a place, and dust a coat: the row of `Follow.kept_out` that each asks
        count = len(self.places)
        where = np.where(self.dusty, self.place, self.place + count)
        self.kept_out = np.where(self.dusty | self.lays, where, 2 * count)
        put_off = [m.task.lay and not m.redo and m.slot < 0 for m in moves]
        self.held = np.array([m.planned if off else -np.inf for m, off in zip(moves, put_off, strict=True)])
        self.put_off = np.isfinite(self.held)
        self.renews = any(m.slot >= 0 for m in moves)
        self.slot = np.array([m.slot if m.slot >= 0 else n for n, m in enumerate(moves)])
        self.earlier = np.array([m.earlier for m in moves])
        self.cleaning = np.array([float(m.session[1]) if m.task.lay else 0.0 for m in moves])
        self.wait_h, self.wait_night = _durations(t.wait_after for t in tasks)
        least = [max((a.at_least for a in (t.asks, *t.also) if a.at_least), key=_long, default=None) for t in tasks]
        self.least_h, self.least_night = _durations(least)
        self.most_h, self.most_night = _durations(t.asks.at_most if t.lay else None for t in tasks)
        self.has_most = np.array([t.lay is not None and t.asks.at_most is not None for t in tasks])
        self.sure_from = np.array([m.sure_from for m in moves])
        self.day_before = np.array([m.day_before for m in moves])

    @staticmethod
    def _scuff(course: Course, move: Move) -> float:
        """Minutes of scuffing and of settling dust before a coat that comes late; 0 where it never does."""
        if move.window is None and move.task.asks.at_most is None:
            return 0.0
        facts = course.problem.facts
        work = facts.labour["scuff"].minutes_per_m2.likely * move.task.area_m2
        return max(facts.figure("labour_least_min").value.likely, work) + course.problem.settle

    def _openings(self, course: Course) -> None:
        """First hour from each on at which a coat may be laid, row 0 for what is not laid."""
        waits = course.problem.waits
        hours = np.arange(self.rates.hours + 1, dtype=np.float64)
        rows = [np.zeros(len(hours))]
        known: dict[tuple[int, str], int] = {}
        self.opening = np.zeros(len(course.moves), dtype=np.int64)
        for n, move in enumerate(course.moves):
            lay = move.task.lay
            if lay is None:
                continue
            key = (id(lay), move.place)
            if key not in known:
                row = waits.openings(lay, move.place).later(hours)
                known[key] = len(rows) if row.any() else 0
                rows += [row] if row.any() else []
            self.opening[n] = known[key]
        self.next_lay = np.stack(rows)

    def minutes(self, drawn: Scenarios) -> Floats:
        """Minutes each step takes, in fives, (n, steps)."""
        found = np.zeros((len(self.course.moves), drawn.n))
        for n, move in enumerate(self.course.moves):
            more = 0.0 if self.split[n] else move.task.block_min + sum(move.session)
            work = at_z(move.task.minutes, drawn.work[:, n]) + more
            found[n] = np.maximum(5.0, grid(work)) if not self.bare[n] else 0.0
        return found.T

    def absent(self, drawn: Scenarios) -> Mask:
        """Steps left out: coats past the number it took, and all of a redo that does not happen, (n, steps)."""
        found = np.zeros((len(self.course.moves), drawn.n), dtype=bool)
        for n, move in enumerate(self.course.moves):
            if move.group:
                found[n] = drawn.coats[move.group] < move.ordinal
            if move.redo:
                again = drawn.redo == self.course.redo_parts.index(move.redo)
                found[n] = ~again.any(axis=1)
        return found.T


def _durations(some: Iterable[Duration | None]) -> tuple[Floats, Mask]:
    rows = list(some)
    hours = np.array([d.hours if d and not d.overnight else 0.0 for d in rows])
    return hours, np.array([bool(d and d.overnight) for d in rows])


def _long(wait: Duration) -> float:
    return 24.0 if wait.overnight else wait.hours
