"""A better plan of many steps in the time given: pieces, parts or days are taken out of the order and put in again.

Each try lays all steps on the calendar anew, in the order of the best plan so far but for what was moved; what is
better is kept. It may be stopped at any time. The draws are always the same.
"""

from __future__ import annotations

import random
from collections.abc import Callable, Mapping
from time import monotonic

from rakelight.plan.draft import Draft
from rakelight.plan.greedy import Manner, lay_in_order
from rakelight.plan.problem import Problem, nodes_of
from rakelight.plan.together import piece_of
from rakelight.plan.verify import verify

#: days by which a piece or part is moved in the order
_DAYS = (-14, -7, -3, -1, 1, 3, 7)
#: costs of delay against hours blocked, and hours a coat may be put off
_ALPHAS = (0.01, 0.02, 0.05, 0.2, 0.8)
_SPANS_H = (0.0, 7.0, 14.4, 24.0, 60.0, 100.0)
#: seconds between two words of where it stands
_TELL_S = 2.0


def polish(
    problem: Problem,
    draft: Draft,
    seconds: float,
    tell: Callable[[str], None] | None = None,
    tries: int = 10**9,
    seed: int = 1,
) -> Draft:
    """The best plan found in so many seconds or tries, never a worse one than that given.

    Args: tell is told where it stands, about every two seconds.
    """
    search = _Polish(problem, draft, random.Random(seed))
    until = monotonic() + seconds
    told = monotonic()
    for _ in range(tries):
        if monotonic() >= until:
            break
        search.once()
        if tell and monotonic() - told >= _TELL_S:
            told = monotonic()
            tell(search.says())
    return search.best if search.best is draft or not verify(problem, search.best) else draft


class _Polish:
    def __init__(self, problem: Problem, draft: Draft, rng: random.Random) -> None:
        self.problem, self.best, self.rng = problem, draft, rng
        self.nodes = nodes_of(problem.work)
        self.parts = list(problem.jobs)
        self.tries = self.kept = 0

    def says(self) -> str:
        """Where it stands."""
        finish = self.problem.hours.moment(self.best.finish)
        return f"{self.tries} orders tried, {self.kept} better: the last is ready {finish:%a %-d %B}"

    def once(self) -> None:
        """One try."""
        rng = self.rng
        starts = {key: float(laid.start) for key, laid in self.best.laid.items()}
        manner = Manner(rng.choice(_ALPHAS), rng.choice(_SPANS_H))
        found = lay_in_order(self.problem, self.nodes, self._moved(starts), manner, self.best.floors)
        self.tries += 1
        if found.score < self.best.score:
            self.best = found
            self.kept += 1

    def _moved(self, starts: Mapping[str, float]) -> dict[str, float]:
        rng = self.rng
        kind = rng.random()
        if kind < 0.4 and self.problem.work.pieces:
            whose, by = rng.choice(self.problem.pieces), rng.choice(_DAYS) * 1440
            return {k: v + (by if piece_of(k) == whose else 0) for k, v in starts.items()}
        if kind < 0.7:
            part, by = rng.choice(self.parts), rng.choice(_DAYS) * 1440
            return {k: v + (by if k.split("/")[0] == part else 0) for k, v in starts.items()}
        if kind < 0.85:  # a window of days: those in it in any order
            first = rng.choice(list(starts.values()))
            days = rng.choice((1, 2, 4)) * 1440
            return {k: first + rng.random() * days if first <= v < first + days else v for k, v in starts.items()}
        far = rng.choice((360, 1440, 2880))
        return {k: rng.gauss(v, far) for k, v in starts.items()}
