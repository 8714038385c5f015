"""The odds of the dates: a plan followed in many scenarios, the latest start that keeps nine in ten, and which
waits make the date late."""

from __future__ import annotations

import math
from dataclasses import replace
from datetime import datetime, timedelta
from functools import cached_property

import numpy as np

from rakelight.plan.chances import full_course
from rakelight.plan.course import Course
from rakelight.plan.draft import Draft
from rakelight.plan.follow import Follow
from rakelight.plan.ground import Ground
from rakelight.plan.many_hours import Floats
from rakelight.plan.model import BOOK, YOURS, Due, Odds
from rakelight.plan.problem import Problem
from rakelight.plan.scenarios import Scenarios, draw
from rakelight.plan.tenths import in_tenths

#: scenarios beside a date: the odds are said in tenths, and 250 know them to about 0.03
SCENARIOS = 250
#: where what drives the date is asked for, 1,000 know them to about 0.016
SCENARIOS_ASKED = 1000
#: finished jobs of this shop from which the odds are no longer the book's
RECORDED = 3
#: days past the plan that are looked at before the whole of the known air is
_NEAR_DAYS = 45
#: share of outcomes that must end within them: well over the nine in ten that are told
_KNOWN = 0.95


class Outlook:
    """A plan ready to be followed, with its draws."""

    def __init__(self, problem: Problem, draft: Draft, n: int = SCENARIOS, seed: int = 1) -> None:
        self.problem = problem
        self.course: Course = full_course(problem, draft)
        # the air reaches far (figure `horizon_days`); a stretch well past the plan is quicker and enough for all
        # but the last few outcomes in a hundred, which then count as never. Where more run out of it: the whole
        self.whole = problem.waits.clock.hours * 60.0
        self.ground = Ground(self.course, min(self.whole, self._near(draft)))
        self.by = np.array([float(t.by) for t in problem.targets])
        self.seed = seed
        self.n = n
        self._drawn: dict[int, Scenarios] = {}

    def _near(self, draft: Draft) -> float:
        """A minute well past the plan: as long again as it takes, and no less than `_NEAR_DAYS`."""
        last = max([draft.finish, *(t.by for t in self.problem.targets)])
        return last + max(_NEAR_DAYS * 1440.0, last - self.problem.start) if math.isfinite(last) else self.whole

    def drawn(self, n: int) -> Scenarios:
        """So many scenarios, always the same."""
        if n not in self._drawn:
            self._drawn[n] = draw(self.course, n, self.seed)
        return self._drawn[n]

    def reached(
        self, n: int | None = None, start: float | None = None, calm: frozenset[int] = frozenset()
    ) -> Floats:
        """Minute of each target in each scenario, (n, targets); inf where not in the days whose air is known.

        Args: start, first minute of work; calm, numbers of wants that are as planned.
        """
        drawn = self.drawn(n or self.n)
        found = Follow(self.course, drawn, self.ground, start, calm=calm).run().reached()
        if self.ground.last >= self.whole - 2 * 1440 or np.isfinite(found).all(axis=1).mean() >= _KNOWN:
            return found
        self.ground = Ground(self.course, self.whole)
        return Follow(self.course, drawn, self.ground, start, calm=calm).run().reached()

    @cached_property
    def plain(self) -> Floats:
        """Minute of each target in each scenario, the plan followed as it stands, (n, targets)."""
        return self.reached()

    def chance(self, reached: Floats) -> float:
        """The chance that all dates are met."""
        return float(np.mean(np.all(reached <= self.by, axis=1)))

    def of_dues(self, dues: tuple[Due, ...], jobs: int = 0) -> tuple[Due, ...]:
        """The dates with their odds. Args: jobs, finished in this shop."""
        reached = self.plain
        return tuple(replace(due, odds=self.odds(reached[:, n], n, jobs)) for n, due in enumerate(dues))

    def odds(self, minutes: Floats, n: int, jobs: int = 0) -> Odds:
        """What the minutes of one target come to."""
        chance = float(np.mean(minutes <= self.by[n]))
        p10, p50, p90 = (float(np.quantile(minutes, p, method="inverted_cdf")) for p in (0.1, 0.5, 0.9))
        moment = self.problem.hours.moment
        low, likely, high = (moment(m) if math.isfinite(m) else None for m in (p10, p50, p90))
        basis = YOURS if jobs >= RECORDED else BOOK
        return Odds(chance, in_tenths(chance), basis, low, likely, high, self.curve(minutes))

    def curve(self, minutes: Floats) -> tuple[tuple[datetime, float], ...]:
        """The chance of one target by the end of each day, from the first that is possible to the last it rises."""
        known = minutes[np.isfinite(minutes)]
        if not len(known):
            return ()
        moment = self.problem.hours.moment
        zero, first, last = moment(0.0), moment(float(known.min())), moment(float(known.max()))
        night = first.replace(hour=0, minute=0, second=0, microsecond=0)
        found = []
        while night <= last:
            night += timedelta(days=1)
            by = (night.timestamp() - zero.timestamp()) / 60
            found.append((night, float(np.mean(minutes <= by))))
        return tuple(found)
