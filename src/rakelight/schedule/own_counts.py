"""Coats of an open number as this shop takes them: what goes over the least, by the wood.

What is over the least counts as rare single coats (Poisson) whose mean is the schedule's own, times this shop's factor.
Source: docs/decisions.md, "Learning".
"""

from __future__ import annotations

import math
from dataclasses import replace

from rakelight.facts.load import Facts
from rakelight.facts.this_shop import Factor
from rakelight.schedule.steps import Count, Step
from rakelight.spread import Spread

#: more coats than this over the least are not reckoned with
_MOST_MORE = 12


def count_key(step: Step, wood: str) -> str:
    """The key of this shop's own number: coats of filler and coats of finish apart, by the wood."""
    return f"{'filler coats' if step.do == 'fill' else 'coats'}:{wood}"


def more_than_least(count: Count) -> float:
    """Coats over the least to be expected of an open number: three numbers read as P10, P50, P90.

    >>> more_than_least(Count(5, 6, 8)), more_than_least(Count(3, 3, 3))
    (1.3, 0.0)
    """
    return round(Spread(count.least, count.likely, count.most).moments()[0] - count.least, 9)


def own_count(count: Count, factor: Factor) -> Count:
    """An open number with this shop's factor: tenth, half and nine tenths of what may now come over the least.

    The factor's doubt is its coefficient of variation, so that the number is drawn from a negative binomial.

    >>> own_count(Count(5, 6, 8), Factor(2.0, 0.3)), own_count(Count(5, 6, 8), Factor(0.2, 0.3))
    (Count(least=6, likely=7, most=10), Count(least=5, likely=5, most=6))
    """
    expected = more_than_least(count) * factor.times
    if expected <= 0:
        return count
    ends = [_quantile(expected, factor.doubt, p) for p in (0.1, 0.5, 0.9)]
    return Count(*(count.least + more for more in ends))


def _quantile(mean: float, variation: float, p: float) -> int:
    """Least number that is not exceeded with a probability: Poisson whose mean is a gamma, or is known."""
    total, k = 0.0, 0
    for k in range(_MOST_MORE + 1):
        total += chance_of(k, mean, variation)
        if total >= p:
            break
    return k


def chance_of(k: int, mean: float, variation: float) -> float:
    """Chance of k events where their mean is in doubt by a coefficient of variation (negative binomial).

    >>> round(chance_of(0, 1.0, 0.0), 4), round(chance_of(0, 1.0, 1.0), 4)
    (0.3679, 0.5)
    """
    if variation < 1e-3:
        return math.exp(k * math.log(mean) - mean - math.lgamma(k + 1))
    shape = 1 / variation**2
    odds = mean / (mean + shape)
    log = math.lgamma(shape + k) - math.lgamma(shape) - math.lgamma(k + 1)
    return math.exp(log + shape * math.log1p(-odds) + k * math.log(odds))


def own_steps(steps: tuple[Step, ...], wood: str, facts: Facts) -> tuple[Step, ...]:
    """Steps of a schedule with the numbers of coats this shop takes on a wood."""
    if not facts.shop:
        return steps
    found = []
    for step in steps:
        factor = facts.shop.get(count_key(step, wood))
        open_number = step.coats.least < step.coats.most
        found.append(replace(step, coats=own_count(step.coats, factor)) if factor and open_number else step)
    return tuple(found)
