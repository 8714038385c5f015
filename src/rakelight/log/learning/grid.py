"""A chance for each of many evenly spaced values, and the few curves needed to make one."""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import cache
from typing import Any

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]

#: chances of a standard normal are read from a table of this step, as far out as this
_STEP, _FAR = 1 / 512, 9.0


@dataclass(frozen=True)
class Grid:
    """Values and their chances, which add to one."""

    at: Floats
    chance: Floats

    @classmethod
    def of_logs(cls, at: Floats, log_density: Floats) -> Grid:
        """From logarithms of a density, to any constant."""
        density = np.exp(log_density - log_density.max())
        return cls(at, density / density.sum())

    def quantile(self, p: float) -> float:
        """Value not exceeded with probability p."""
        below = np.cumsum(self.chance) - self.chance / 2
        return float(np.interp(p, below, self.at))

    @property
    def mean(self) -> float:
        """Its mean."""
        return float(self.chance @ self.at)

    @property
    def sd(self) -> float:
        """Its standard deviation."""
        return math.sqrt(max(0.0, float(self.chance @ (self.at - self.mean) ** 2)))

    def blurred(self, sd: float) -> Grid:
        """With normal noise on top."""
        return Grid(self.at, blur(self.chance, self.at[1] - self.at[0], sd))


def blur(values: Floats, step: float, sd: float, on: bool = False) -> Floats:
    """Values mixed with their neighbours by a normal curve; past the ends lies nothing, or (`on`) they go on."""
    if sd < step / 4:
        return values
    reach = math.ceil(6 * sd / step)
    kernel = np.exp(-0.5 * (np.arange(-reach, reach + 1) * step / sd) ** 2)
    kernel /= kernel.sum()
    if on:
        return np.convolve(np.pad(values, reach, "edge"), kernel, "valid")
    return np.convolve(values, kernel, "full")[reach : reach + len(values)]


@cache
def _normal() -> tuple[Floats, Floats]:
    at = np.arange(-_FAR, _FAR + _STEP / 2, _STEP)
    return at, np.array([0.5 * math.erfc(-x / math.sqrt(2)) for x in at])


def normal_below(z: Any) -> Floats:
    """Chance that a standard normal does not exceed each value.

    >>> [round(float(p), 4) for p in normal_below(np.array([-np.inf, -1.2816, 0.0, np.inf]))]
    [0.0, 0.1, 0.5, 1.0]
    """
    at, below = _normal()
    return np.asarray(np.interp(z, at, below))


@cache
def student(p: float, freedom: float) -> float:
    """Value a Student variable does not exceed with probability p.

    >>> round(student(0.9, 6.0), 3)
    1.44
    """
    angle = np.linspace(-math.pi / 2, math.pi / 2, 40_001)[1:-1]
    grid = Grid.of_logs(angle, (freedom - 1) * np.log(np.cos(angle)))
    return math.sqrt(freedom) * math.tan(grid.quantile(p))


def gamma_quantile(p: float, shape: float, rate: float) -> float:
    """Value a gamma variable does not exceed with probability p.

    >>> round(gamma_quantile(0.5, 2.0, 2.0), 3)
    0.839
    """
    middle, width = math.log(shape), max(1.0, 12 / math.sqrt(shape)) + 8 / shape
    logs = np.linspace(middle - width, middle + min(width, 6.0), 20_001)
    return math.exp(Grid.of_logs(logs, shape * logs - np.exp(logs)).quantile(p)) / rate
