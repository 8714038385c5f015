"""One type for an uncertain number: low, likely, high (P10, P50, P90 or a judged range read so)."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np

#: standard normal deviate of the 90 % point, from any normal table (1.2816)
Z90 = 1.2815515655446004


@dataclass(frozen=True)
class Spread:
    """An uncertain positive quantity as a two-piece lognormal through its P10, P50 and P90.

    Where a bound is not positive the two pieces are normal instead. One-sided triples
    (low = likely or likely = high) are allowed.

    >>> Spread(1.0, 2.0, 4.0).quantile(0.9)
    4.0
    >>> Spread(1.0, 2.0, 4.0) * 3
    Spread(low=3.0, likely=6.0, high=12.0)
    """

    low: float
    likely: float
    high: float

    def __post_init__(self) -> None:
        values = (self.low, self.likely, self.high)
        if not all(math.isfinite(v) for v in values):
            raise ValueError(f"a spread takes finite numbers, got {values}")
        if not self.low <= self.likely <= self.high:
            raise ValueError(f"a spread goes low <= likely <= high, got {values}")

    @classmethod
    def exact(cls, value: float) -> Spread:
        """A number without doubt."""
        return cls(value, value, value)

    @classmethod
    def of(cls, values: Sequence[float]) -> Spread:
        """From a table's triple, or a single number."""
        if len(values) == 1:
            return cls.exact(float(values[0]))
        low, likely, high = (float(v) for v in values)
        return cls(low, likely, high)

    @property
    def certain(self) -> bool:
        """Whether there is no doubt at all."""
        return self.low == self.high

    def __iter__(self) -> Any:
        return iter((self.low, self.likely, self.high))

    def __mul__(self, factor: float) -> Spread:
        if factor < 0:
            raise ValueError("a spread is scaled by a positive number")
        return Spread(self.low * factor, self.likely * factor, self.high * factor)

    __rmul__ = __mul__

    def __truediv__(self, divisor: float) -> Spread:
        return self * (1.0 / divisor)

    def with_shared(self, other: Spread) -> Spread:
        """Sum of two that share their error (coats of one material): ends add."""
        return Spread(self.low + other.low, self.likely + other.likely, self.high + other.high)

    def at_z(self, z: float) -> float:
        """Value at a standard normal deviate (0 is likely, -1.2816 low, 1.2816 high)."""
        far = self.high if z > 0 else self.low
        weight = abs(z) / Z90
        if self.low > 0:
            return float(self.likely * (far / self.likely) ** weight)
        return self.likely + (far - self.likely) * weight

    def quantile(self, p: float) -> float:
        """Value not exceeded with probability ``p`` (0 < p < 1)."""
        from statistics import NormalDist

        z = NormalDist().inv_cdf(p)
        if abs(abs(z) - Z90) < 1e-12:
            return self.high if z > 0 else self.low
        return self.at_z(z)

    def moments(self) -> tuple[float, float]:
        """Mean and standard deviation, by Swanson's rule on P10, P50, P90 (0.3, 0.4, 0.3)."""
        mean = 0.3 * self.low + 0.4 * self.likely + 0.3 * self.high
        square = 0.3 * self.low**2 + 0.4 * self.likely**2 + 0.3 * self.high**2
        return mean, math.sqrt(max(0.0, square - mean * mean))

    def draw(self, rng: np.random.Generator, n: int) -> np.ndarray[Any, np.dtype[np.float64]]:
        """``n`` draws, shape (n,)."""
        z = rng.standard_normal(n)
        weight = np.abs(z) / Z90
        far = np.where(z > 0, self.high, self.low)
        if self.low > 0:
            return np.asarray(self.likely * (far / self.likely) ** weight)
        return np.asarray(self.likely + (far - self.likely) * weight)


def sum_independent(spreads: Iterable[Spread]) -> Spread:
    """Sum of spreads with errors of their own: likely values add, distances to the ends add in square.

    >>> sum_independent([Spread(7, 10, 13), Spread(6, 10, 14)])
    Spread(low=15.0, likely=20.0, high=25.0)
    """
    parts = list(spreads)
    likely = sum(s.likely for s in parts)
    down = math.sqrt(sum((s.likely - s.low) ** 2 for s in parts))
    up = math.sqrt(sum((s.high - s.likely) ** 2 for s in parts))
    return Spread(likely - down, float(likely), likely + up)
