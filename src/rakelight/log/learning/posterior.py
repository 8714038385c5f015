"""What is believed of one figure of a shop once its jobs are seen: conjugate where it is, else on a grid.

All of a figure over the book's, as logarithms. A figure x of one coat is b + j + c: what the shop has of its
own (b), the job (j) and the coat (c). Source: docs/decisions.md, "Learning".
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from rakelight.log.learning.grid import Floats, Grid, blur, gamma_quantile, normal_below, student
from rakelight.log.learning.shares import Shares
from rakelight.spread import Z90

#: points of a grid
_POINTS = 801
#: a bound is never surer than this, as a logarithm: the hour of a test is told in minutes
_LEAST_SD = 0.01


# -- readings: normal, its variance in doubt (normal and inverse gamma) -------------------------------


@dataclass(frozen=True)
class Readings:
    """Mean of the jobs and the variance between them: normal-inverse-gamma, as it is before and after.

    The mean is normal about `mean` with the variance over `worth`; the variance is inverse gamma.
    """

    mean: float
    worth: float  # in jobs
    shape: float
    scale: float
    jobs: int = 0

    @classmethod
    def of_book(cls, doubt: float, shares: Shares, trust: float = 1.0) -> Readings:
        """Before any job; trust, near 0 where the book is to say nothing of the mean."""
        between = shares.rest * doubt**2
        return cls(0.0, trust * shares.rest / shares.shop, shares.shape, (shares.shape - 1) * between)

    def after(self, jobs: Sequence[float]) -> Readings:
        """After the means of some jobs.

        >>> Readings(0.0, 1.0, 3.0, 2.0).after([1.0, 3.0])
        Readings(mean=1.3333333333333333, worth=3.0, shape=4.0, scale=4.333333333333333, jobs=2)
        """
        n = len(jobs)
        if not n:
            return self
        seen = sum(jobs) / n
        worth = self.worth + n
        apart = sum((x - seen) ** 2 for x in jobs)
        scale = self.scale + apart / 2 + self.worth * n * (seen - self.mean) ** 2 / (2 * worth)
        mean = (self.worth * self.mean + n * seen) / worth
        return Readings(mean, worth, self.shape + n / 2, scale, self.jobs + n)

    def quantile(self, p: float) -> float:
        """Of the shop's own figure (Student)."""
        return self.mean + student(p, 2 * self.shape) * math.sqrt(self.scale / self.shape / self.worth)

    def next_quantile(self, p: float) -> float:
        """Of the next job."""
        wide = self.scale / self.shape * (1 + 1 / self.worth)
        return self.mean + student(p, 2 * self.shape) * math.sqrt(wide)

    @property
    def next_sd(self) -> float:
        """Standard deviation of the next job."""
        return math.sqrt(self.scale / (self.shape - 1) * (1 + 1 / self.worth))

    @property
    def weight(self) -> float:
        """How much of the way from the book to the mean of the jobs it has gone."""
        return self.jobs / self.worth


# -- hand tests: intervals, on a grid ----------------------------------------------------------------


@dataclass(frozen=True)
class Between:
    """A figure of one coat lies above `low` and not above `high`; its doubt in the book."""

    low: float
    high: float
    doubt: float


def looked_before(jobs: Sequence[Sequence[Between]], shares: Shares) -> list[list[Between]]:
    """Passed tests as if each had been looked at before and found not ready: of a maker who never tells of that.

    Else who tells only what passed seems ever quicker: each bound is met, whatever the hour.
    """
    return [[replace(b, low=max(b.low, b.high + math.log(shares.looked))) for b in job] for job in jobs]


def of_tests(
    jobs: Sequence[Sequence[Between]], down: float, up: float, shares: Shares, trust: float = 1.0
) -> Grid:
    """What the shop has of its own after hand tests, by job.

    Parameters: down and up, the book's doubt below and above its likely figure; trust, near 0 where the book is to
    say little. Within a job its coats share their error; one test in ten says little (`Shares.outlier`).
    """
    share = math.sqrt(shares.shop / max(trust, 1e-4))
    ends = [abs(e) for job in jobs for b in job for e in (b.low, b.high) if math.isfinite(e)]
    reach = max(6 * max(down, up) * min(share, 3.0), max(ends, default=0.0) + 5 * max(down, up))
    at = np.linspace(-reach, reach, _POINTS)
    log = -0.5 * (at / np.where(at < 0, down * share, up * share)) ** 2
    for job in jobs:
        log = log + np.log(_job_chance(at, job, shares) + 1e-300)
    return Grid.of_logs(at, log)


def _job_chance(at: Floats, job: Sequence[Between], shares: Shares) -> Floats:
    """Chance of all that one job showed, by what the shop has of its own."""
    chance = np.ones(len(at))
    for between in job:
        sd = max(_LEAST_SD, math.sqrt(shares.coat) * between.doubt)
        sure = within(at, between, sd)
        if shares.outlier:
            sure = (1 - shares.outlier) * sure + shares.outlier * within(at, between, sd * shares.outlier_times)
        chance = chance * sure
    doubt = float(np.mean([b.doubt for b in job]))
    return blur(chance, at[1] - at[0], job_sd(doubt, shares), on=True)


def job_sd(doubt: float, shares: Shares) -> float:
    """What a job has of its own, its weather with it."""
    return math.sqrt(shares.job * doubt**2 + shares.weather_sd**2) if shares.job else 0.0


def within(at: Floats, between: Between, sd: float) -> Floats:
    """Chance that a figure about each value lies between two."""
    return normal_below((between.high - at) / sd) - normal_below((between.low - at) / sd)


# -- coats: how many over the least ------------------------------------------------------------------


@dataclass(frozen=True)
class Coats:
    """Coats over the least, times what the book expects of them: gamma, and Poisson by job."""

    shape: float
    rate: float

    @classmethod
    def of_book(cls, shares: Shares) -> Coats:
        """Before any job: as many as the book expects."""
        return cls(shares.coats, shares.coats)

    def after(self, more: int, expected: float) -> Coats:
        """After so many over the least where so many were expected.

        >>> Coats(2.0, 2.0).after(6, 2.6)
        Coats(shape=8.0, rate=4.6)
        """
        return Coats(self.shape + more, self.rate + expected)

    @property
    def times(self) -> float:
        """Mean times the book."""
        return self.shape / self.rate

    @property
    def variation(self) -> float:
        """Coefficient of variation of it."""
        return 1 / math.sqrt(self.shape)

    def quantile(self, p: float) -> float:
        """Of the shop's own number, times the book's."""
        return gamma_quantile(p, self.shape, self.rate)


# -- chill: haze seen or not -------------------------------------------------------------------------


def of_haze(seen: Sequence[Between], low: float, likely: float, high: float, shares: Shares) -> Grid:
    """What a wet film cools by in this shop, K, from haze seen (it lies above the gap) or not seen (below it).

    Parameters: seen, bounds in K; low, likely and high of the book, K.
    """
    down, up = (max(0.25, abs(e - likely) / Z90) for e in (low, high))
    share = math.sqrt(shares.shop)
    at = np.linspace(0.0, likely + 6 * up, _POINTS)
    log = -0.5 * ((at - likely) / np.where(at < likely, down * share, up * share)) ** 2
    spread = (down + up) / 2
    sd = math.sqrt(shares.chill_sd**2 + shares.rest * spread**2)
    for one in seen:
        sure = (1 - shares.outlier) * within(at, one, sd)
        log = log + np.log(sure + shares.outlier * within(at, one, shares.outlier_times * sd))
    return Grid.of_logs(at, log)
