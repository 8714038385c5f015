"""A plan followed in many scenarios at once, as a maker would: in its order, but never idle where one of the
next few possible steps can be done.

Every turn, each scenario does one step: of the first eight steps whose forerunners are done, the one that can
begin first, at equal times the one the plan has first. Only what is known by then is used. A coat the plan puts
off (to the end of a day) is put off to the same hour where that is near. One maker: no dust can be in the making
when a coat goes on, so the last hour of wet and of dust in each place is all that has to be kept.
Drying places (racks) are taken as the plan's order leaves them and not counted again.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from rakelight.plan.course import HOLD_MIN, Course, Move, Rest, Want
from rakelight.plan.many_hours import Floats, Ints, OpenHours, Rates, grid
from rakelight.plan.scenarios import Scenarios, at_z
from rakelight.schedule.steps import Duration

AHEAD = 8
_GRAIN_H = 1e-6
Mask = NDArray[np.bool_]


class Follow:
    """One walk through all scenarios."""

    def __init__(
        self, course: Course, drawn: Scenarios, ground: Ground, start: float | None = None,
        ahead: int = AHEAD, calm: frozenset[int] = frozenset(),
    ) -> None:  # fmt: skip
        """Args: start, first minute of work (else the problem's); calm, steps whose wait is as in the plan."""
        self.course, self.drawn, self.ground = course, drawn, ground
        self.moves, self.calm, self.ahead = course.moves, calm, ahead
        self.begin = float(course.problem.start if start is None else start)
        n, steps = drawn.n, len(course.moves)
        self.n = n
        self.start = np.zeros((n, steps))
        self.end = np.zeros((n, steps))
        self.hour = np.zeros((n, steps))
        self.ready = np.full((n, steps), np.inf)
        self.open = np.zeros((n, steps), dtype=bool)
        self.left = np.tile(np.array([len(m.before) for m in self.moves], dtype=np.int16), (n, 1))
        self.absent = ground.absent(course, drawn)
        self.free = np.full(n, self.begin)
        self.wet = np.full((n, len(ground.places)), -1e9)
        self.dust = np.full((n, len(ground.places)), -1e9)
        self.minutes = ground.minutes(course, drawn)
        self._doses: dict[int, tuple[Floats, Ints]] = {}
        self.every: Ints = np.arange(n)
        self.chosen = np.full(n, steps)
        self.begins = np.zeros(n)
        self.past = np.zeros(steps)  # scenarios that have a step behind them
        self.window = np.full((n, steps), np.inf)  # minute until which each coat needs no scuffing

    def run(self) -> Follow:
        """Follow the plan to its end in every scenario."""
        done = sorted((m.done[0][0], k) for k, m in enumerate(self.moves) if m.done)
        for _, k in done:
            spans = self.moves[k].done
            a, b = np.full(self.n, float(spans[0][0])), np.full(self.n, float(spans[-1][1]))
            self._finish(k, self.every, a, b)
        for k, move in enumerate(self.moves):
            if not move.done and not move.before:
                self._arrive(k, self.every)
        self._choose(self.every)
        n = self.n
        while True:
            counts = np.bincount(self.chosen, minlength=len(self.moves) + 1)[:-1]
            todo = n - self.past
            k = int((counts / np.maximum(todo, 1)).argmax())
            if not counts[k]:
                break
            self.rounds = getattr(self, 'rounds', 0) + 1
            rows = np.flatnonzero(self.chosen == k)
            self._do(k, rows, self.begins[rows])
            self._choose(rows)
        return self

    # -- a turn ---------------------------------------------------------------------------------

    def _choose(self, rows: Ints) -> None:
        """The next step of some scenarios. Scenarios do not wait for each other: those behind go first, so that
        many do the same step together."""
        mask = self.open[rows]
        if self.ahead < mask.shape[1]:
            mask &= np.cumsum(mask, axis=1, dtype=np.int16) <= self.ahead
        at, cols = np.nonzero(mask)
        self.chosen[rows] = len(self.moves)
        if not len(at):
            return
        start = self._earliest(rows[at], cols)
        first = np.flatnonzero(np.concatenate(([True], at[1:] != at[:-1])))
        sizes = np.diff(np.append(first, len(at)))
        rated = start + (np.arange(len(at)) - np.repeat(first, sizes)) * 1e-3
        won = np.flatnonzero(rated == np.repeat(np.minimum.reduceat(rated, first), sizes))
        who = rows[at[won]]
        self.chosen[who], self.begins[who] = cols[won], start[won]

    def _earliest(self, rows: Ints, cols: Ints) -> Floats:
        """First minute at which each may begin, by what is known."""
        g = self.ground
        place = g.place[cols]
        start = np.maximum(self.ready[rows, cols], np.where(g.bare[cols], 0.0, self.free[rows]))
        start = np.where(g.dusty[cols], np.maximum(start, self.wet[rows, place]), start)
        start = np.where(g.lays[cols], np.maximum(start, self.dust[rows, place] + g.settle), start)
        held = g.held[cols]
        start = np.where((start < held) & (start > held - HOLD_MIN), held, start)
        start = np.minimum(start, g.last)
        length = self._length(rows, cols, start)
        least = np.where(g.split[cols], np.minimum(g.unit[cols], length), length)
        for _ in range(2):
            warm = g.next_lay[g.opening[cols], (start // 60).astype(np.int64)] * 60.0
            start = np.maximum(start, warm)
            start = np.where(g.bare[cols], start, g.hours.fit(np.minimum(start, g.last), least))
        return np.minimum(start, g.last)

    def _length(self, rows: Ints, cols: Ints, start: Floats) -> Floats:
        length = self.minutes[rows, cols]
        late = self.ground.scuff[cols]
        if bool(late.any()):
            length = np.where((late > 0) & (start > self.window[rows, cols]), length + late, length)
        return length

    def _do(self, k: int, rows: Ints, start: Floats) -> None:
        g, move = self.ground, self.moves[k]
        cols = np.full(len(rows), k)
        length = self._length(rows, cols, start)
        if g.bare[k]:
            end = start
        elif g.split[k]:
            end = g.hours.finish(start, length)
        else:
            end = start + length
        if not g.bare[k]:
            self.free[rows] = end
        self._finish(k, rows, start, np.minimum(end, g.last))
        if move.task.work == "dusty":
            place = int(g.place[k])
            self.dust[rows, place] = np.maximum(self.dust[rows, place], end)

    def _finish(self, k: int, rows: Ints, start: Floats, end: Floats) -> None:
        """A step is done in some scenarios: what follows from it."""
        move = self.moves[k]
        self.start[rows, k], self.end[rows, k] = start, end
        self.open[rows, k] = False
        laid = end - move.session[1] if move.task.lay else end
        slot = move.slot if move.slot >= 0 else k
        self.hour[rows, slot] = laid / 60
        self.hour[rows, k] = laid / 60
        if move.task.lay:
            place = int(self.ground.place[k])
            dry = self.latest(move.dry, rows) * 60
            self.wet[rows, place] = np.maximum(self.wet[rows, place], np.maximum(dry, laid))
        self._let_go(k, rows)

    def _let_go(self, k: int, rows: Ints) -> None:
        self.past[k] += len(rows)
        for later in self.ground.after[k]:
            self.left[rows, later] -= 1
            now = rows[self.left[rows, later] == 0]
            if len(now) and not self.moves[later].done:
                self._arrive(later, now)

    def _arrive(self, k: int, rows: Ints) -> None:
        """All before it is done: it may begin when its waits are over; where it is left out, it is passed by."""
        out = self.absent[rows, k]
        if bool(out.any()):
            self._pass_by(k, rows[out])
            rows = rows[~out]
            if not len(rows):
                return
        self.ready[rows, k] = np.ceil(self._ready(k, rows) - 1e-6)
        self.open[rows, k] = True

    def _pass_by(self, k: int, rows: Ints) -> None:
        move = self.moves[k]
        before = [b for b in move.before]
        end = self.end[rows][:, before].max(axis=1) if before else np.full(len(rows), self.begin)
        self.start[rows, k] = self.end[rows, k] = end
        if move.earlier >= 0:
            self.hour[rows, k] = self.hour[rows, move.earlier]
        self._let_go(k, rows)

    # -- waits ----------------------------------------------------------------------------------

    def _ready(self, k: int, rows: Ints) -> Floats:
        """Minute from which a step may begin, as its waits and the clock have it."""
        move, g = self.moves[k], self.ground
        ready = np.full(len(rows), max(self.begin, move.sure_from))
        last = np.full(len(rows), self.begin)
        for b in move.before:
            end = self.end[rows, b]
            last = np.maximum(last, end)
            ready = np.maximum(ready, self._later(end, self.moves[b].task.wait_after))
        for asks in (move.task.asks, *move.task.also):
            ready = np.maximum(ready, self._later(last, asks.at_least))
        if move.day_before >= 0:
            ready = np.maximum(ready, g.hours.next_day(self.start[rows, move.day_before]))
        if not move.passed:
            ready = np.maximum(ready, self.latest(move.wants, rows, k in self.calm) * 60)
            for rest in move.rests:
                ready = np.maximum(ready, self._rested(rest, rows, k in self.calm) * 60)
        if move.window is not None:
            self.window[rows, k] = self.latest((move.window,), rows, True) * 60 + 1
        if move.task.asks.at_most is not None and move.task.lay:
            most = self._later(last, move.task.asks.at_most)
            self.window[rows, k] = np.minimum(self.window[rows, k], most + 1)
        return np.minimum(ready, g.last)

    def _later(self, end: Floats, wait: Duration | None) -> Floats:
        if wait is None:
            return end
        return self.ground.hours.after_a_night(end) if wait.overnight else end + wait.hours * 60

    def latest(self, wants: tuple[Want, ...], rows: Ints, calm: bool = False) -> Floats:
        """The last hour of several wants; long past where there is none."""
        best = np.full(len(rows), -1e6)
        for bundle in self.ground.bundles(wants):
            best = np.maximum(best, self._bundle(bundle, rows, calm))
        return best

    def _bundle(self, bundle: Bundle, rows: Ints, calm: bool, start: Floats | None = None) -> Floats:
        """The last hour of wants of one part's past, all at once: (wants, scenarios)."""
        begin = self.hour[rows[None, :], bundle.events] if start is None else start[None, :]
        dose, step = self._dose(bundle, rows, calm)
        at = [first + np.minimum(step, more) for first, more in bundle.rows]
        leaves = [(self.end if s.at_end else self.start)[rows, s.step] / 60 for s in bundle.stays[1:]]
        if bundle.beneath:
            dose = dose + self._short(bundle, rows, calm, leaves)
        found: Floats = self.ground.rates.until(at, leaves, begin, dose).max(axis=0)
        return found

    def _short(self, bundle: Bundle, rows: Ints, calm: bool, leaves: list[Floats]) -> Floats:
        """Reference hours the oxidising coats beneath were short of their next coat."""
        short = np.zeros((1, len(rows)))
        for n, lower in enumerate(bundle.beneath):
            dose, step = self._dose(lower, rows, calm)
            at = [first + np.minimum(step, more) for first, more in lower.rows]
            over = bundle.beneath[n + 1] if n + 1 < len(bundle.beneath) else bundle
            got = self.ground.rates.passed(
                at, leaves, self.hour[rows[None, :], lower.events], self.hour[rows[None, :], over.events]
            )
            short = np.maximum(0.0, dose + short - got)
        return short

    def _dose(self, bundle: Bundle, rows: Ints, calm: bool) -> tuple[Floats, Ints]:
        """Reference hours of each want in each scenario, and how far the cold draws it out."""
        if calm:
            likely = np.array([[w.need.dose.likely] for w in bundle.wants])
            return np.repeat(likely, len(rows), axis=1), np.zeros((len(likely), len(rows)), dtype=np.int64)
        found = self._doses.get(id(bundle))
        if found is None:
            both = [self._drawn_dose(w) for w in bundle.wants]
            found = self._doses[id(bundle)] = np.stack([d for d, _ in both]), np.stack([r for _, r in both])
        return found[0][:, rows], found[1][:, rows]

    def _drawn_dose(self, want: Want) -> tuple[Floats, Ints]:
        need = want.need
        if need.sure:
            return np.full(self.n, need.dose.likely), np.zeros(self.n, dtype=np.int64)
        z = self.drawn.z(need.material, want.events[-1])
        hours = at_z(need.dose, z)
        return hours if need.law.kind == "clock" else hours / self.drawn.weather, Rates.step(z)

    def _rested(self, rest: Rest, rows: Ints, calm: bool) -> Floats:
        """The rest after a day's coats, where as many as a day allows have been laid."""
        hours = self.ground.hours
        laid = self.hour[rows[:, None], list(rest.coats)]
        days = [hours.day(laid[:, n] * 60) for n in range(laid.shape[1])]
        whole = days[0] == days[-1]
        near = (days[0] == days[-2]) & (laid[:, -1] - laid[:, -2] <= 48.0)
        midnight = np.minimum(hours.next_day(laid[:, -2] * 60) / 60, laid[:, -1])
        start = np.where(whole, laid[:, -1], midnight)
        end = self._bundle(self.ground.bundles((rest.want,))[0], rows, calm, start)
        return np.where(whole | near, end, -1e6)

    # -- results --------------------------------------------------------------------------------

    def reached(self) -> Floats:
        """Minute at which each target is reached, (n, targets); inf where never."""
        found = np.zeros((self.n, len(self.course.ends)))
        for n, (steps, wants) in enumerate(self.course.ends):
            done = self.end[:, list(steps)].max(axis=1) if steps else np.full(self.n, self.begin)
            found[:, n] = np.maximum(done, self.latest(wants, self.every) * 60)
        return np.where(found >= self.ground.last - 60, np.inf, found)


class Ground:
    """What stands still while scenarios are walked: hours, air and the steps as arrays."""

    def __init__(self, course: Course, last: float) -> None:
        """Args: last, minute past which a date counts as never."""
        problem, moves = course.problem, course.moves
        self.rates = Rates(problem.waits.clock, int(last // 60) + 48)
        self.last = float(min(last, (self.rates.hours - 24) * 60))
        self.hours = OpenHours(problem.hours, int(self.last))
        self.settle = float(problem.settle)
        self.places = list(problem.shop.places)
        self.place = np.array([self.places.index(m.place) for m in moves])
        self.bare = np.array([m.task.work == "none" or (m.task.minutes.likely <= 0 and not m.task.lay) for m in moves])
        self.dusty = np.array([m.task.work == "dusty" for m in moves])
        self.lays = np.array([m.task.lay is not None for m in moves])
        self.split = np.array([m.task.splittable and not m.task.lay for m in moves])
        self.unit = np.array([float(m.unit) for m in moves])
        held = [m.planned if m.task.lay and not m.redo and m.slot < 0 else -np.inf for m in moves]
        self.held = np.array(held)
        self.scuff = np.array([self._scuff(course, m) for m in moves])
        self.after: list[list[int]] = [[] for _ in moves]
        for n, move in enumerate(moves):
            for b in move.before:
                self.after[b].append(n)
        self._openings(course)
        self._bundles: dict[tuple[int, ...], list[Bundle]] = {}
        for move in moves:
            for wants in (move.wants, move.dry, *((r.want,) for r in move.rests)):
                self.bundles(wants)

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
        rows, at, known = [np.zeros(len(hours))], [], {}
        for move in course.moves:
            key = (id(move.task.lay), move.place) if move.task.lay else None
            if key and move.task.lay and key not in known:
                row = waits.openings(move.task.lay, move.place).later(hours)
                known[key] = len(rows) if row.any() else 0
                rows += [row] if row.any() else []
            at.append(known[key] if key else 0)
        self.next_lay, self.opening = np.stack(rows), np.array(at)

    def minutes(self, course: Course, drawn: Scenarios) -> Floats:
        """Minutes each step takes, in fives."""
        found = np.zeros((drawn.n, len(course.moves)))
        for n, move in enumerate(course.moves):
            more = 0.0 if self.split[n] else move.task.block_min + sum(move.session)
            work = at_z(move.task.minutes, drawn.work[:, n]) + more
            found[:, n] = np.maximum(5.0, grid(work)) if not self.bare[n] else 0.0
        return found

    @staticmethod
    def absent(course: Course, drawn: Scenarios) -> Mask:
        """Steps left out: coats past the number it took, and all of a redo that does not happen."""
        found = np.zeros((drawn.n, len(course.moves)), dtype=bool)
        for n, move in enumerate(course.moves):
            if move.group:
                found[:, n] = drawn.coats[move.group] < move.ordinal
            if move.redo:
                found[:, n] = drawn.redo != course.redo_parts.index(move.redo)
        return found

    def bundles(self, wants: tuple[Want, ...]) -> list[Bundle]:
        """Wants that can be asked together: those of one past in the same places."""
        key = tuple(id(w) for w in wants)
        if key not in self._bundles:
            plain: dict[tuple[Stand, ...], list[Want]] = {}
            found = []
            for want in wants:
                if want.need.beneath:
                    found.append(self._bundle([want]))
                else:
                    plain.setdefault(want.stays, []).append(want)
            self._bundles[key] = [*found, *(self._bundle(some) for some in plain.values())]
        return self._bundles[key]

    def _bundle(self, wants: list[Want]) -> Bundle:
        stays = wants[0].stays or (Stand("", -1),)
        rows = []
        for stay in stays:
            at = [self.rates.row(w.need.law, stay.place, w.need.ratio) for w in wants]
            rows.append((np.array([[a] for a, _ in at]), np.array([[more] for _, more in at])))
        only = wants[0]
        beneath = [
            self._bundle([Want(replace(lower, beneath=()), only.events[n : n + 1], only.stays)])
            for n, lower in enumerate(only.need.beneath)
        ]
        events = np.array([[w.events[-1]] for w in wants])
        return Bundle(tuple(wants), events, stays, rows, beneath)


@dataclass(frozen=True, eq=False)
class Bundle:
    """Wants of one past, as arrays."""

    wants: tuple[Want, ...]
    events: Ints  # (wants, 1)
    stays: tuple[Stand, ...]
    rows: list[tuple[Ints, Ints]]  # of each stay: first row, and rows toward the cold's high end
    beneath: list[Bundle]
