"""A plan followed in many scenarios at once, as a maker would: in its order, but never idle where one of the
next few possible steps can be done.

Every turn, each scenario does one step: of the first eight steps whose forerunners are done, the one that can
begin first, at equal times the one the plan has first. Only what is known by then is used. A coat the plan puts
off (to the end of a day) is put off to the same hour where that is near. One maker: no dust can be in the making
when a coat goes on, so the last hour of wet and of dust in each place is all that has to be kept.
Drying places (racks) are taken as the plan's order leaves them and not counted again.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from rakelight.plan.course import HOLD_MIN, Course
from rakelight.plan.ground import Ground, Mask
from rakelight.plan.many_hours import Floats, Ints, OpenHours
from rakelight.plan.met import PAST, Met, most
from rakelight.plan.scenarios import Scenarios

AHEAD = 8


class Follow:
    """One walk through all scenarios. Arrays have a row for each step and a column for each scenario."""

    def __init__(
        self, course: Course, drawn: Scenarios, ground: Ground, start: float | None = None,
        ahead: int = AHEAD, calm: frozenset[int] = frozenset(),
    ) -> None:  # fmt: skip
        """Args: start, first minute of work (else the problem's); calm, wants that are as the plan has them."""
        self.course, self.drawn, self.g = course, drawn, ground
        self.w = ground.waiting(bool(calm))
        self.ahead = ahead
        self.begin = float(course.problem.start if start is None else start)
        n, steps = drawn.n, len(course.moves)
        self.n, self.steps = n, steps
        self.hours = np.full((2 * steps + 1, n), np.inf)  # starts, then ends, of each step; last: never
        self.event = np.zeros((steps, n))  # hour at which the coat of a step was on
        self.freed = np.zeros((steps, n))  # minute from which what follows a step may begin
        self.ready = np.full((steps, n), np.inf)
        self.open = np.zeros((steps, n), dtype=bool)
        self.opened: Ints = np.zeros(steps, dtype=np.int64)  # in how many scenarios each step is open
        self.left = np.repeat(np.array([len(m.before) for m in course.moves], dtype=np.int16)[:, None], n, axis=1)
        self.absent, self.minutes = ground.absent(drawn), ground.minutes(drawn)  # (n, steps)
        self._absent, self._minutes = self.absent.T.reshape(-1), self.minutes.T.reshape(-1)
        self.free = np.full(n, self.begin)
        self.helper_free = np.full(n, self.begin)
        begins = course.problem.begins  # of pieces that may only be begun later than the first of them
        self.own_start = np.array([begins.get(m.task.part, 0) for m in course.moves], dtype=np.float64)
        # by place: until when it is wet, from when dust has settled in it; a last row for what asks neither
        self.kept_out = np.full((2 * len(ground.places) + 1, n), PAST)
        self.window = np.full((steps, n), np.inf)  # minute until which each coat needs no scuffing
        self.scuffs = bool((ground.scuff > 0).any())
        self.met = Met(ground, self.w, drawn, self.hours, self.event, calm)
        # the same arrays, as one row
        self._hours, self._event, self._freed = self.hours.reshape(-1), self.event.reshape(-1), self.freed.reshape(-1)
        self._ready, self._window, self._open = self.ready.reshape(-1), self.window.reshape(-1), self.open.reshape(-1)
        self._left, self._kept_out = self.left.reshape(-1), self.kept_out.reshape(-1)

    def run(self) -> Follow:
        """Follow the plan to its end in every scenario."""
        every: Ints = np.arange(self.n)
        moves = self.course.moves
        for k in sorted((k for k, m in enumerate(moves) if m.done), key=lambda k: moves[k].done[0]):
            spans = moves[k].done
            ones = np.ones(self.n)
            self._finish(every, np.full(self.n, k), ones * spans[0][0], ones * spans[-1][1])
        for k, move in enumerate(moves):
            if not move.done and not move.before:
                self._begin(k, self.absent[:, k])
        while self._turn():
            pass
        return self

    def _begin(self, k: int, out: Mask) -> None:
        """A step with nothing before it: open, or passed by."""
        stay, gone = (~out).nonzero()[0], out.nonzero()[0]
        self._arrive(stay, np.full(len(stay), k))
        self._pass_by(gone, np.full(len(gone), k))
        self._let_go(gone, np.full(len(gone), k))

    def start_of(self, k: int) -> Floats:
        """Minute each scenario begins a step."""
        return np.asarray(self.hours[k] * 60)

    def end_of(self, k: int) -> Floats:
        """Minute each scenario ends a step."""
        return np.asarray(self.hours[self.steps + k] * 60)

    # -- a turn ---------------------------------------------------------------------------------

    def _turn(self) -> bool:
        steps = self.opened.nonzero()[0]
        if not len(steps):
            return False
        far = ~self.open[steps]  # not open, or further ahead than is looked
        if self.ahead < len(steps):
            far |= np.cumsum(~far, axis=0, dtype=np.int16) > self.ahead
            near = ~far.all(axis=1)
            steps, far = steps[near], far[near]
        start = self._earliest(steps, self.free, self.g.hours)
        helps = self._with_helper(steps, start)
        start[far] = np.inf
        first = start.argmin(axis=0)
        at = first * self.n + np.arange(self.n)
        soonest = start.reshape(-1).take(at)
        rows = (soonest < np.inf).nonzero()[0]
        self._do(rows, steps.take(first.take(rows)), soonest.take(rows),
                 None if helps is None else helps.reshape(-1).take(at.take(rows)))  # fmt: skip
        return True

    def _with_helper(self, steps: Ints, start: Floats) -> Mask | None:
        """Which are done by the helper: those the plan gives him, where the maker would not end them sooner.

        Their starts are put in place. None where the plan gives him nothing.
        """
        g = self.g
        if g.helper_hours is None:
            return None
        helps = np.zeros(start.shape, dtype=bool)
        at = g.helped[steps].nonzero()[0]
        if len(at):
            some = steps[at]
            his = self._earliest(some, self.helper_free, g.helper_hours)
            cols, rows = np.repeat(some, self.n), np.tile(np.arange(self.n), len(some))
            ends = [self._end(rows, cols, when.reshape(-1), hours)
                    for when, hours in ((his, g.helper_hours), (start[at], g.hours))]  # fmt: skip
            helps[at] = (ends[0] <= ends[1]).reshape(len(some), self.n)
            start[at] = np.where(helps[at], his, start[at])
        return helps

    def _earliest(self, steps: Ints, free: Floats, hours: OpenHours) -> Floats:
        """First minute at which each step may begin in each scenario, by what is known, (steps, n).

        Args: free, from when on, and hours, in which whoever does it works.
        """
        g = self.g
        start = self.ready[steps]
        bare = g.bare[steps].nonzero()[0]
        alone = start[bare]  # nobody is needed
        np.maximum(start, free, out=start)
        start[bare] = alone
        np.maximum(start, self.kept_out[g.kept_out[steps]], out=start)
        for k in g.put_off[steps].nonzero()[0]:
            held = g.held[steps[k]]
            start[k][(start[k] < held) & (start[k] > held - HOLD_MIN)] = held
        np.minimum(start, g.last, out=start)
        least = self._minutes.reshape(self.steps, self.n)[steps]
        if self.scuffs:
            for k in (g.scuff[steps] > 0).nonzero()[0]:
                least[k] += np.where(start[k] > self.window[steps[k]], g.scuff[steps[k]], 0.0)
        np.minimum(least, g.least[steps][:, None], out=least)
        alone = start[bare]
        cold = g.opening[steps].nonzero()[0]
        if len(cold):
            start[cold] = self._warm(steps[cold], start[cold])
        found = hours.fit(start, least)
        if len(cold):
            found[cold] = hours.fit(self._warm(steps[cold], found[cold]), least[cold])
        found[bare] = alone
        return np.minimum(found, g.last, out=found)

    def _warm(self, steps: Ints, start: Floats) -> Floats:
        """The first minute at which it is warm enough to lay each."""
        rows = self.g.opening[steps][:, None] * self.g.next_lay.shape[1]
        warm = self.g.next_lay.take((start / 60).astype(np.int64) + rows) * 60.0
        return np.asarray(np.minimum(np.maximum(start, warm), self.g.last))

    def _end(self, rows: Ints, cols: Ints, start: Floats, hours: OpenHours) -> Floats:
        g = self.g
        at = cols * self.n + rows
        length = self._minutes.take(at)
        if self.scuffs:
            more = g.scuff.take(cols)
            length = np.where((more > 0) & (start > self._window.take(at)), length + more, length)
        end = np.where(g.bare.take(cols), start, start + length)
        split = g.split.take(cols).nonzero()[0]
        end[split] = hours.finish(start.take(split), length.take(split))
        return np.asarray(np.minimum(end, g.last))

    def _do(self, rows: Ints, cols: Ints, start: Floats, helps: Mask | None = None) -> None:
        g = self.g
        end = self._end(rows, cols, start, g.hours)
        his = g.bare.take(cols)
        if helps is not None and g.helper_hours is not None:
            at = helps.nonzero()[0]
            end[at] = self._end(rows[at], cols[at], start[at], g.helper_hours)
            self.helper_free[rows[at]] = end[at]
            his = his | helps
        self.free[rows] = np.where(his, self.free.take(rows), end)
        self._finish(rows, cols, start, end)

    def _finish(self, rows: Ints, cols: Ints, start: Floats, end: Floats) -> None:
        """Steps are done, one in each scenario named: what follows from it."""
        g, n = self.g, self.n
        at = cols * n + rows
        self._hours[at] = start / 60
        self._hours[at + self.steps * n] = end / 60
        self.opened -= np.bincount(cols[self._open.take(at)], minlength=self.steps)
        self._open[at] = False
        laid = (end - g.cleaning.take(cols)) / 60
        self._event[at] = laid
        if g.renews:
            self._event[g.slot.take(cols) * n + rows] = laid
        self._freed[at] = self._later(end, g.wait_h.take(cols), g.wait_night.take(cols))
        place = g.place.take(cols)
        dusty = g.dusty.take(cols).nonzero()[0]
        to = (place.take(dusty) + len(g.places)) * n + rows.take(dusty)
        self._kept_out[to] = np.maximum(self._kept_out.take(to), end.take(dusty) + g.settle)
        lays = g.lays.take(cols).nonzero()[0]
        if len(lays):
            some = rows.take(lays)
            dry = np.maximum(self.met.latest(self.w.dry, some, cols.take(lays)), laid.take(lays)) * 60
            to = place.take(lays) * n + some
            self._kept_out[to] = np.maximum(self._kept_out.take(to), dry)
        self._let_go(rows, cols)

    def _let_go(self, rows: Ints, cols: Ints) -> None:
        """What follows may begin when its waits are over; what is left out is passed by at once."""
        came: list[tuple[Ints, Ints]] = []
        while len(rows):
            owner, later, _ = self.g.after.of(cols)
            rows = rows.take(owner)
            code = later * self.n + rows
            if came:  # of several passed by in one scenario, one step may follow more than one
                code, times = np.unique(code, return_counts=True)
                self._left[code] -= times.astype(np.int16)
            else:
                self._left[code] -= 1
            code = code[self._left.take(code) == 0]
            out = self._absent.take(code)
            if not out.any():
                came.append((code % self.n, code // self.n))
                break
            stays = code[~out]
            came.append((stays % self.n, stays // self.n))
            code = code[out]
            rows, cols = code % self.n, code // self.n
            self._pass_by(rows, cols)
        if came:
            self._arrive(np.concatenate([r for r, _ in came]), np.concatenate([c for _, c in came]))

    def _arrive(self, rows: Ints, cols: Ints) -> None:
        if len(rows):
            at = cols * self.n + rows
            ready = np.ceil(self._ready_from(rows, cols) - 1e-6)
            self._ready[at] = np.maximum(ready, self.own_start.take(cols))
            self._open[at] = True
            self.opened += np.bincount(cols, minlength=self.steps)

    def _pass_by(self, rows: Ints, cols: Ints) -> None:
        if not len(rows):
            return
        owner, before, counts = self.g.before.of(cols)
        ends = self._hours.take((self.steps + before) * self.n + rows.take(owner)) * 60
        end = most(ends, counts, self.begin)
        at = cols * self.n + rows
        self._hours[at] = self._hours[at + self.steps * self.n] = end / 60
        self._freed[at] = end
        earlier = self.g.earlier.take(cols)
        known = (earlier >= 0).nonzero()[0]
        self._event[at[known]] = self._event[earlier[known] * self.n + rows[known]]

    # -- waits ----------------------------------------------------------------------------------

    def _ready_from(self, rows: Ints, cols: Ints) -> Floats:
        """Minute from which each step may begin, as its waits and the clock have it."""
        g, n = self.g, self.n
        owner, before, counts = g.before.of(cols)
        at = before * n + rows.take(owner)
        ready = most(self._freed.take(at), counts, self.begin)
        np.maximum(ready, g.sure_from.take(cols), out=ready)
        if g.clocked:
            last = most(self._hours.take(at + self.steps * n) * 60, counts, self.begin)
            np.maximum(ready, self._later(last, g.least_h.take(cols), g.least_night.take(cols)), out=ready)
            self._set_window(rows, cols, last)
        day = (g.day_before.take(cols) >= 0).nonzero()[0]
        if len(day):
            earlier = self._hours[g.day_before[cols[day]] * n + rows[day]] * 60
            ready[day] = np.maximum(ready[day], g.hours.next_day(earlier))
        np.maximum(ready, self.met.latest(self.w.asked, rows, cols) * 60, out=ready)
        for k in self.w.rests.keys() & set(cols.tolist()):
            same = (cols == k).nonzero()[0]
            for rest, want in self.w.rests[k]:
                ready[same] = np.maximum(ready[same], self.met.rested(rest, want, rows[same]) * 60)
        return np.minimum(ready, g.last, out=ready)

    def _set_window(self, rows: Ints, cols: Ints, last: Floats) -> None:
        g = self.g
        some = (g.scuff.take(cols) > 0).nonzero()[0]
        if not len(some):
            return
        rows, cols = rows[some], cols[some]
        end = self.met.latest(self.w.windows, rows, cols) * 60 + 1
        end = np.where(end < 0, np.inf, end)
        latest = self._later(last[some], g.most_h[cols], g.most_night[cols]) + 1
        self._window[cols * self.n + rows] = np.where(g.has_most[cols], np.minimum(end, latest), end)

    def _later(self, end: Floats, hours: Floats, night: Mask) -> Floats:
        if not night.any():
            return end + hours * 60
        found: Floats = np.where(night, self.g.hours.after_a_night(np.minimum(end, self.g.last)), end + hours * 60)
        return found

    # -- results --------------------------------------------------------------------------------

    def reached(self) -> Floats:
        """Minute at which each target is reached, (n, targets); inf where never."""
        found = np.full((len(self.w.ends), self.n), self.begin)
        every: NDArray[np.int64] = np.arange(self.n)
        for n, (steps, wants) in enumerate(self.w.ends):
            for k in steps:
                np.maximum(found[n], self.end_of(k), out=found[n])
            for w in wants.tolist():
                np.maximum(found[n], self.met.hour_of(every, np.full(self.n, w)) * 60, out=found[n])
        return np.asarray(np.where(found >= self.g.last - 60, np.inf, found)).T
