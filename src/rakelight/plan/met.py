"""When each wait is met in each scenario: the dose reached in the air of the places a part stands in."""

from __future__ import annotations

import numpy as np

from rakelight.plan.course import Rest
from rakelight.plan.ground import Ground, Lists, Waiting
from rakelight.plan.many_hours import Floats, Ints
from rakelight.plan.scenarios import Scenarios

#: hour and minute of what was never asked
PAST = -1e6


class Met:
    """The waits of one walk. Arrays have a row for each step or wait, and a column for each scenario."""

    def __init__(
        self, ground: Ground, waiting: Waiting, drawn: Scenarios, hours: Floats, event: Floats, calm: frozenset[int]
    ) -> None:  # fmt: skip
        """Args: hours, starts then ends of each step, last a row of never; event, hour at which each coat was on;
        both fill up as the walk goes on."""
        self.g, self.w, self.n = ground, waiting, drawn.n
        self.hours, self.event = hours.reshape(-1), event.reshape(-1)
        dose, cold = waiting.wants.doses(drawn, calm)
        self.dose, self.cold = dose.reshape(-1), cold.reshape(-1)
        self.no_beneath = waiting.wants.beneath.shape[1] == 0

    def latest(self, lists: Lists, rows: Ints, cols: Ints) -> Floats:
        """The last hour of all that is asked of each step, in the scenario named; long past where nothing is."""
        owner, wants, counts = lists.of(cols)
        if not len(owner):
            return np.full(len(rows), PAST)
        return most(self.hour_of(rows.take(owner), wants), counts, PAST)

    def hour_of(self, rows: Ints, wants: Ints, start: Floats | None = None) -> Floats:
        """Hour at which each want is met, in each scenario named."""
        w, n = self.w.wants, self.n
        begin = self.event.take(w.event.take(wants) * n + rows) if start is None else start
        dose = self.dose.take(wants * n + rows)
        if not self.no_beneath:
            under = (w.deep.take(wants) > 0).nonzero()[0]
            if len(under):
                dose[under] += self._short(rows.take(under), wants.take(under))
        return self._until(rows, wants, begin, dose)

    def _until(self, rows: Ints, wants: Ints, now: Floats, need: Floats) -> Floats:
        """Through the places a part stands in, each left at its hour."""
        w, rates, n = self.w.wants, self.g.rates, self.n
        cold = self.cold.take(wants * n + rows)
        first = w.row[:, 0].take(wants) + np.minimum(cold, w.more[:, 0].take(wants))
        begun = rates.done_at(first, now)
        found = rates.reach(first, now, begun + need)
        moved = (w.moved.take(wants)).nonzero()[0]
        if not len(moved):
            return found
        leave = self.hours.take(w.left_at[:, 0].take(wants.take(moved)) * n + rows.take(moved))
        todo = moved[found.take(moved) > leave]
        if len(todo):
            found[todo] = self._further(rows[todo], wants[todo], now[todo], need[todo], cold[todo])
        return found

    def _further(self, rows: Ints, wants: Ints, now: Floats, need: Floats, cold: Ints) -> Floats:
        """As `_until`, for those that the first place does not see to the end."""
        w, rates = self.w.wants, self.g.rates
        found = np.full(len(rows), np.nan)
        todo: Ints = np.arange(len(rows))
        for n in range(w.row.shape[1]):
            leave = self.hours.take(w.left_at[:, n].take(wants[todo]) * self.n + rows[todo])
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
        cold = self.cold.take(wants * self.n + rows)
        total = np.zeros(len(rows))
        for n in range(w.row.shape[1]):
            leave = np.minimum(end, self.hours.take(w.left_at[:, n].take(wants) * self.n + rows))
            row = w.row[:, n].take(wants) + np.minimum(cold, w.more[:, n].take(wants))
            if n == 0 and not w.moved.take(wants).any():
                leave = np.maximum(now, leave)
                return np.asarray(rates.done_at(row, leave) - rates.done_at(row, now))
            leave = np.maximum(now, leave)
            at = (leave > now).nonzero()[0]
            if len(at):
                total[at] += rates.done_at(row[at], leave[at]) - rates.done_at(row[at], now[at])
            now = leave
        return total

    def _short(self, rows: Ints, wants: Ints) -> Floats:
        """Reference hours the oxidising coats beneath were short of their next coat."""
        w, n = self.w.wants, self.n
        short = np.zeros(len(rows))
        deep = w.beneath.shape[1]
        for level in range(deep):
            lower = w.beneath[:, level].take(wants)
            at = (lower >= 0).nonzero()[0]
            if not len(at):
                continue
            low, some = lower.take(at), rows.take(at)
            over = w.beneath[:, level + 1].take(wants.take(at)) if level + 1 < deep else wants.take(at)
            began, ended = (self.event.take(w.event.take(x) * n + some) for x in (low, over))
            got = self._passed(some, low, began, ended)
            short[at] = np.maximum(0.0, self.dose.take(low * n + some) + short[at] - got)
        return short

    def rested(self, rest: Rest, want: int, rows: Ints) -> Floats:
        """The rest after a day's coats, where as many as a day allows have been laid."""
        hours = self.g.hours
        laid = [self.event.take(c * self.n + rows) for c in (rest.coats[0], rest.coats[-2], rest.coats[-1])]
        first, before, last = (hours.day(hour * 60) for hour in laid)
        whole = first == last
        near = (first == before) & (laid[2] - laid[1] <= 48.0)
        midnight = np.minimum(hours.next_day(laid[1] * 60) / 60, laid[2])
        end = self.hour_of(rows, np.full(len(rows), want), np.where(whole, laid[2], midnight))
        return np.where(whole | near, end, PAST)


def most(values: Floats, counts: Ints, least: float) -> Floats:
    """The largest of each one's values, not under the least. Args: counts, values of each, one after another."""
    if len(values) == len(counts) and counts.all():
        return np.maximum(values, least)
    found = np.full(len(counts), least)
    some = counts.nonzero()[0]
    if len(some):
        first = (np.cumsum(counts) - counts).take(some)
        found[some] = np.maximum(np.maximum.reduceat(values, first), least)
    return found

