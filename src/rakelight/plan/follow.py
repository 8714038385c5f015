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

from rakelight.plan.course import HOLD_MIN, Course, Rest
from rakelight.plan.ground import Ground, Lists, Mask
from rakelight.plan.many_hours import Floats, Ints, OpenHours
from rakelight.plan.scenarios import Scenarios

AHEAD = 8
_PAST = -1e6


class Follow:
    """One walk through all scenarios."""

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
        self.hours = np.full((n, 2 * steps + 1), np.inf)  # starts, then ends, of each step; last: never
        self.event = np.zeros((n, steps))  # hour at which the coat of a step was on
        self.freed = np.zeros((n, steps))  # minute from which what follows a step may begin
        self.ready = np.full((n, steps), np.inf)
        self.open = np.zeros((n, steps), dtype=bool)
        self.left = np.tile(np.array([len(m.before) for m in course.moves], dtype=np.int16), (n, 1))
        self.absent = ground.absent(drawn)
        self.free = np.full(n, self.begin)
        self.helper_free = np.full(n, self.begin)
        begins = course.problem.begins  # of pieces that may only be begun later than the first of them
        self.own_start = np.array([begins.get(m.task.part, 0) for m in course.moves], dtype=np.float64)
        self.wet = np.full((n, len(ground.places)), _PAST)
        self.dust = np.full((n, len(ground.places)), _PAST)
        self.window = np.full((n, steps), np.inf)  # minute until which each coat needs no scuffing
        self.scuffs = bool((ground.scuff > 0).any())
        self.minutes = ground.minutes(drawn)
        self.dose, self.cold = self.w.wants.doses(drawn, calm)

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
        return np.asarray(self.hours[:, k] * 60)

    def end_of(self, k: int) -> Floats:
        """Minute each scenario ends a step."""
        return np.asarray(self.hours[:, self.steps + k] * 60)

    # -- a turn ---------------------------------------------------------------------------------

    def _turn(self) -> bool:
        mask = self.open
        if self.ahead < self.steps:
            mask = mask & (np.cumsum(mask, axis=1, dtype=np.int16) <= self.ahead)
        rows, cols = np.nonzero(mask)
        if not len(rows):
            return False
        start = self._earliest(rows, cols)
        helps = self._with_helper(rows, cols, start)
        first = np.concatenate(([True], rows[1:] != rows[:-1])).nonzero()[0]
        sizes = np.diff(np.append(first, len(rows)))
        rated = start + (np.arange(len(rows)) - np.repeat(first, sizes)) * 1e-3
        won = (rated == np.repeat(np.minimum.reduceat(rated, first), sizes)).nonzero()[0]
        self._do(rows[won], cols[won], start[won], None if helps is None else helps[won])
        return True

    def _with_helper(self, rows: Ints, cols: Ints, start: Floats) -> Mask | None:
        """Which are done by the helper: those the plan gives him, where the maker would not end them sooner.

        Their starts are put in place. None where the plan gives him nothing.
        """
        g = self.g
        if g.helper_hours is None:
            return None
        helps = np.zeros(len(rows), dtype=bool)
        at = g.helped[cols].nonzero()[0]
        if len(at):
            some, steps = rows[at], cols[at]
            his = self._earliest(some, steps, self.helper_free, g.helper_hours)
            helps[at] = self._end(some, steps, his, g.helper_hours) <= self._end(some, steps, start[at], g.hours)
            start[at] = np.where(helps[at], his, start[at])
        return helps

    def _earliest(
        self, rows: Ints, cols: Ints, free: Floats | None = None, hours: OpenHours | None = None
    ) -> Floats:
        """First minute at which each may begin, by what is known. Args: free, hours of who does it (the maker)."""
        g = self.g
        free, hours = self.free if free is None else free, hours or g.hours
        place = g.place[cols]
        start = np.maximum(self.ready[rows, cols], np.where(g.bare[cols], 0.0, free[rows]))
        start = np.where(g.dusty[cols], np.maximum(start, self.wet[rows, place]), start)
        start = np.where(g.lays[cols], np.maximum(start, self.dust[rows, place] + g.settle), start)
        held = g.held[cols]
        start = np.where((start < held) & (start > held - HOLD_MIN), held, start)
        start = np.minimum(start, g.last)
        length = self._length(rows, cols, start)
        least = np.where(g.split[cols], np.minimum(g.unit[cols], length), length)
        for _ in range(2 if len(g.next_lay) > 1 else 1):
            warm = g.next_lay[g.opening[cols], (start // 60).astype(np.int64)] * 60.0
            start = np.minimum(np.maximum(start, warm), g.last)
            start = np.where(g.bare[cols], start, hours.fit(start, least))
        return np.minimum(start, g.last)

    def _length(self, rows: Ints, cols: Ints, start: Floats) -> Floats:
        length = self.minutes[rows, cols]
        if not self.scuffs:
            return length
        more = self.g.scuff[cols]
        return np.where((more > 0) & (start > self.window[rows, cols]), length + more, length)

    def _end(self, rows: Ints, cols: Ints, start: Floats, hours: OpenHours) -> Floats:
        g = self.g
        length = self._length(rows, cols, start)
        end = np.where(g.bare[cols], start, start + length)
        split = g.split[cols].nonzero()[0]
        end[split] = hours.finish(start[split], length[split])
        return np.asarray(np.minimum(end, g.last))

    def _do(self, rows: Ints, cols: Ints, start: Floats, helps: Mask | None = None) -> None:
        g = self.g
        end = self._end(rows, cols, start, g.hours)
        if helps is None or g.helper_hours is None:
            self.free[rows] = np.where(g.bare[cols], self.free[rows], end)
        else:
            at = helps.nonzero()[0]
            end[at] = self._end(rows[at], cols[at], start[at], g.helper_hours)
            self.free[rows] = np.where(g.bare[cols] | helps, self.free[rows], end)
            self.helper_free[rows[at]] = end[at]
        self._finish(rows, cols, start, end)

    def _finish(self, rows: Ints, cols: Ints, start: Floats, end: Floats) -> None:
        """Steps are done, one in each scenario named: what follows from it."""
        g = self.g
        self.hours[rows, cols], self.hours[rows, self.steps + cols] = start / 60, end / 60
        self.open[rows, cols] = False
        laid = (end - g.cleaning[cols]) / 60
        self.event[rows, cols] = laid
        self.event[rows, g.slot[cols]] = laid
        self.freed[rows, cols] = self._later(end, g.wait_h[cols], g.wait_night[cols])
        place = g.place[cols]
        dusty = g.dusty[cols].nonzero()[0]
        at = rows[dusty], place[dusty]
        self.dust[at] = np.maximum(self.dust[at], end[dusty])
        lays = g.lays[cols].nonzero()[0]
        at = rows[lays], place[lays]
        dry = np.maximum(self._latest(self.w.dry, rows[lays], cols[lays]), laid[lays]) * 60
        self.wet[at] = np.maximum(self.wet[at], dry)
        self._let_go(rows, cols)

    def _let_go(self, rows: Ints, cols: Ints) -> None:
        """What follows may begin when its waits are over; what is left out is passed by at once."""
        came: list[tuple[Ints, Ints]] = []
        while len(rows):
            owner, later = self.g.after.of(cols)
            if came:  # of several passed by in one scenario, one step may follow more than one
                code, times = np.unique(rows[owner] * self.steps + later, return_counts=True)
                rows, cols = code // self.steps, code % self.steps
                self.left[rows, cols] -= times.astype(np.int16)
            else:
                rows, cols = rows[owner], later
                self.left[rows, cols] -= 1
            now = self.left[rows, cols] == 0
            out = self.absent[rows, cols]
            came.append((rows[now & ~out], cols[now & ~out]))
            rows, cols = rows[now & out], cols[now & out]
            self._pass_by(rows, cols)
        if not came:
            return
        self._arrive(np.concatenate([r for r, _ in came]), np.concatenate([c for _, c in came]))

    def _arrive(self, rows: Ints, cols: Ints) -> None:
        if len(rows):
            self.ready[rows, cols] = np.maximum(np.ceil(self._ready(rows, cols) - 1e-6), self.own_start[cols])
            self.open[rows, cols] = True

    def _pass_by(self, rows: Ints, cols: Ints) -> None:
        if not len(rows):
            return
        end = self._last_end(rows, cols)
        self.hours[rows, cols] = self.hours[rows, self.steps + cols] = end / 60
        self.freed[rows, cols] = end
        earlier = self.g.earlier[cols]
        known = (earlier >= 0).nonzero()[0]
        self.event[rows[known], cols[known]] = self.event[rows[known], earlier[known]]

    # -- waits ----------------------------------------------------------------------------------

    def _last_end(self, rows: Ints, cols: Ints) -> Floats:
        owner, before = self.g.before.of(cols)
        ends = self.hours[rows[owner], self.steps + before] * 60
        return _most(owner, ends, len(rows), self.begin)

    def _ready(self, rows: Ints, cols: Ints) -> Floats:
        """Minute from which each step may begin, as its waits and the clock have it."""
        g = self.g
        owner, before = g.before.of(cols)
        ready = _most(owner, self.freed[rows[owner], before], len(rows), self.begin)
        ready = np.maximum(ready, g.sure_from[cols])
        last = _most(owner, self.hours[rows[owner], self.steps + before] * 60, len(rows), self.begin)
        ready = np.maximum(ready, self._later(last, g.least_h[cols], g.least_night[cols]))
        day = (g.day_before[cols] >= 0).nonzero()[0]
        if len(day):
            earlier = self.hours[rows[day], g.day_before[cols[day]]] * 60
            ready[day] = np.maximum(ready[day], g.hours.next_day(earlier))
        ready = np.maximum(ready, self._latest(self.w.asked, rows, cols) * 60)
        for k in self.w.rests.keys() & set(cols.tolist()):
            same = (cols == k).nonzero()[0]
            for rest, want in self.w.rests[k]:
                ready[same] = np.maximum(ready[same], self._rested(rest, want, rows[same]) * 60)
        self._set_window(rows, cols, last)
        return np.asarray(np.minimum(ready, g.last))

    def _set_window(self, rows: Ints, cols: Ints, last: Floats) -> None:
        g = self.g
        some = (g.scuff[cols] > 0).nonzero()[0]
        if not len(some):
            return
        rows, cols = rows[some], cols[some]
        end = self._latest(self.w.windows, rows, cols) * 60 + 1
        end = np.where(end < 0, np.inf, end)
        most = self._later(last[some], g.most_h[cols], g.most_night[cols]) + 1
        self.window[rows, cols] = np.where(g.has_most[cols], np.minimum(end, most), end)

    def _later(self, end: Floats, hours: Floats, night: Mask) -> Floats:
        if not night.any():
            return end + hours * 60
        found: Floats = np.where(night, self.g.hours.after_a_night(np.minimum(end, self.g.last)), end + hours * 60)
        return found

    def _latest(self, lists: Lists, rows: Ints, cols: Ints) -> Floats:
        """The last hour of all that is asked of each; long past where nothing is."""
        owner, wants = lists.of(cols)
        if not len(owner):
            return np.full(len(rows), _PAST)
        return _most(owner, self.hour_of(rows[owner], wants), len(rows), _PAST)

    def hour_of(self, rows: Ints, wants: Ints, start: Floats | None = None) -> Floats:
        """Hour at which each want is met, in each scenario named."""
        w = self.w.wants
        begin = self.event[rows, w.event[wants]] if start is None else start
        dose = self.dose[rows, wants]
        under = (w.beneath[wants, -1] >= 0).nonzero()[0] if w.beneath.shape[1] else np.zeros(0, np.int64)
        if len(under):
            dose[under] += self._short(rows[under], wants[under])
        return self._until(rows, wants, begin, dose)

    def _until(self, rows: Ints, wants: Ints, now: Floats, need: Floats) -> Floats:
        """Through the places a part stands in, each left at its hour."""
        w, rates = self.w.wants, self.g.rates
        cold = self.cold[rows, wants]
        found = np.full(len(rows), np.nan)
        todo: Ints = np.arange(len(rows))
        now, need = now.copy(), need.copy()
        for n in range(w.row.shape[1]):
            leave = self.hours[rows[todo], w.left_at[wants[todo], n]]
            here = (leave > now[todo]).nonzero()[0]
            at, leave = todo[here], leave[here]
            row = w.row[wants[at], n] + np.minimum(cold[at], w.more[wants[at], n])
            begun = rates.done_at(row, now[at])
            end = rates.reach(row, now[at], begun + need[at])
            over = end <= leave
            found[at[over]] = end[over]
            on = (~over).nonzero()[0]
            if not len(on) and len(here) == len(todo):
                break
            need[at[on]] -= rates.done_at(row[on], leave[on]) - begun[on]
            now[at[on]] = leave[on]
            todo = todo[np.isnan(found[todo])]
        return found

    def _passed(self, rows: Ints, wants: Ints, now: Floats, end: Floats) -> Floats:
        """Reference hours between two hours."""
        w, rates = self.w.wants, self.g.rates
        cold = self.cold[rows, wants]
        total = np.zeros(len(rows))
        for n in range(w.row.shape[1]):
            leave = np.maximum(now, np.minimum(end, self.hours[rows, w.left_at[wants, n]]))
            at = (leave > now).nonzero()[0]
            if len(at):
                row = w.row[wants[at], n] + np.minimum(cold[at], w.more[wants[at], n])
                total[at] += rates.done_at(row, leave[at]) - rates.done_at(row, now[at])
            now = leave
        return total

    def _short(self, rows: Ints, wants: Ints) -> Floats:
        """Reference hours the oxidising coats beneath were short of their next coat."""
        w = self.w.wants
        short = np.zeros(len(rows))
        deep = w.beneath.shape[1]
        for n in range(deep):
            lower = w.beneath[wants, n]
            at = (lower >= 0).nonzero()[0]
            over = w.beneath[wants[at], n + 1] if n + 1 < deep else wants[at]
            low = lower[at]
            got = self._passed(
                rows[at], low, self.event[rows[at], w.event[low]], self.event[rows[at], w.event[over]]
            )
            short[at] = np.maximum(0.0, self.dose[rows[at], low] + short[at] - got)
        return short

    def _rested(self, rest: Rest, want: int, rows: Ints) -> Floats:
        """The rest after a day's coats, where as many as a day allows have been laid."""
        hours = self.g.hours
        laid = self.event[rows[:, None], list(rest.coats)]
        first, before, last = (hours.day(laid[:, n] * 60) for n in (0, -2, -1))
        whole = first == last
        near = (first == before) & (laid[:, -1] - laid[:, -2] <= 48.0)
        midnight = np.minimum(hours.next_day(laid[:, -2] * 60) / 60, laid[:, -1])
        end = self.hour_of(rows, np.full(len(rows), want), np.where(whole, laid[:, -1], midnight))
        return np.where(whole | near, end, _PAST)

    # -- results --------------------------------------------------------------------------------

    def reached(self) -> Floats:
        """Minute at which each target is reached, (n, targets); inf where never."""
        found = np.zeros((self.n, len(self.w.ends)))
        every: Ints = np.arange(self.n)
        for n, (steps, wants) in enumerate(self.w.ends):
            found[:, n] = self.begin
            for k in steps:
                found[:, n] = np.maximum(found[:, n], self.end_of(k))
            for w in wants.tolist():
                found[:, n] = np.maximum(found[:, n], self.hour_of(every, np.full(self.n, w)) * 60)
        return np.asarray(np.where(found >= self.g.last - 60, np.inf, found))


def _most(owner: Ints, values: Floats, count: int, least: float) -> Floats:
    """The largest of each owner's values, not under the least; owners stand in order."""
    found = np.full(count, least)
    if len(owner):
        first = np.concatenate(([True], owner[1:] != owner[:-1])).nonzero()[0]
        found[owner[first]] = np.maximum(np.maximum.reduceat(values, first), least)
    return found
