"""What is learned against other people's statistics: scipy.stats, plain grids made here, and lifelines' fits.

Sources: conjugate families as in any book of Bayesian statistics (from memory), their distributions by scipy.stats;
interval-censored fits of a lognormal by lifelines; the record of case C09 (a finisher's own, as quoted in the trade).
"""

from __future__ import annotations

import math
from typing import Any

import numpy as np
import pytest
from scipy import integrate, stats

from rakelight.log.learning.grid import Grid, gamma_quantile, normal_below, student
from rakelight.log.learning.posterior import Between, Coats, Readings, looked_before, of_haze, of_tests
from rakelight.log.learning.shares import Shares

SHARES = Shares()


def test_curves_against_scipy() -> None:
    for p in (0.02, 0.1, 0.5, 0.9, 0.98):
        for freedom in (2.0, 3.5, 6.0, 40.0):
            assert student(p, freedom) == pytest.approx(stats.t.ppf(p, freedom), abs=1e-5)
        for shape in (0.5, 2.0, 7.3, 60.0):
            assert gamma_quantile(p, shape, 2.5) == pytest.approx(stats.gamma.ppf(p, shape, scale=0.4), rel=1e-4)
    z = np.linspace(-6, 6, 301)
    assert np.max(np.abs(normal_below(z) - stats.norm.cdf(z))) < 1e-6


# -- readings ------------------------------------------------------------------------------------------


@pytest.mark.parametrize("jobs", [[0.3], [0.5, -0.1, 0.2], list(np.random.default_rng(5).normal(0.4, 0.3, 12))])
def test_readings_against_a_grid_of_mean_and_variance(jobs: list[float]) -> None:
    """Prior times likelihood on a grid of mean and variance, by scipy's densities alone."""
    before = Readings.of_book(0.4, SHARES)
    after = before.after(jobs)
    mean = np.linspace(-2.5, 2.5, 801)[:, None]
    variance = np.exp(np.linspace(math.log(1e-3), math.log(3.0), 800))[None, :]
    log = stats.norm.logpdf(mean, before.mean, np.sqrt(variance / before.worth))
    log = log + stats.invgamma.logpdf(variance, before.shape, scale=before.scale) + np.log(variance)
    for x in jobs:
        log = log + stats.norm.logpdf(x, mean, np.sqrt(variance))
    weight = np.exp(log - log.max())
    weight /= weight.sum()
    of_mean, of_variance = weight.sum(1), weight.sum(0)
    assert after.mean == pytest.approx(float(of_mean @ mean[:, 0]), abs=1e-3)
    between = after.scale / (after.shape - 1)
    assert between == pytest.approx(float(of_variance @ variance[0]), rel=5e-3)
    below = np.cumsum(of_mean) - of_mean / 2
    for p in (0.1, 0.5, 0.9):
        assert after.quantile(p) == pytest.approx(float(np.interp(p, below, mean[:, 0])), abs=2e-3)
    coming = stats.norm.cdf(after.next_quantile(0.9), mean, np.sqrt(variance))
    assert float((weight * coming).sum()) == pytest.approx(0.9, abs=2e-3)


def test_readings_against_scipys_student() -> None:
    after = Readings.of_book(0.3, SHARES).after([0.2, 0.5, 0.1, 0.4])
    scale = math.sqrt(after.scale / after.shape / after.worth)
    known = stats.t(2 * after.shape, after.mean, scale)
    assert [after.quantile(p) for p in (0.1, 0.5, 0.9)] == pytest.approx(known.ppf([0.1, 0.5, 0.9]), abs=1e-6)
    coming = stats.t(2 * after.shape, after.mean, math.sqrt(after.scale / after.shape * (1 + 1 / after.worth)))
    assert after.next_quantile(0.1) == pytest.approx(coming.ppf(0.1), abs=1e-6)
    assert after.next_sd == pytest.approx(coming.std(), rel=1e-9)


# -- coats ---------------------------------------------------------------------------------------------


def test_coats_against_scipy_and_a_grid() -> None:
    """Gamma after Poisson, job by job: 0, 3 and 2 over the least where the book expects 1.3."""
    after = Coats.of_book(SHARES)
    rate = np.linspace(1e-4, 12, 60_000)
    weight = stats.gamma.pdf(rate, SHARES.coats, scale=1 / SHARES.coats)
    for more in (0, 3, 2):
        after = after.after(more, 1.3)
        weight = weight * stats.poisson.pmf(more, rate * 1.3)
    weight /= weight.sum()
    known = stats.gamma(after.shape, scale=1 / after.rate)
    assert after.times == pytest.approx(known.mean()) and after.times == pytest.approx(float(weight @ rate), rel=1e-4)
    assert after.variation == pytest.approx(known.std() / known.mean())
    for p in (0.1, 0.9):
        assert after.quantile(p) == pytest.approx(known.ppf(p), rel=1e-4)
        assert after.quantile(p) == pytest.approx(float(np.interp(p, np.cumsum(weight), rate)), rel=2e-3)


# -- hand tests ----------------------------------------------------------------------------------------


def _plain(jobs: list[list[Between]], down: float, up: float) -> Grid:
    """The same by plain double sums over what the shop and what each job has of its own, with scipy's normal."""
    at = np.linspace(-3, 3, 601)
    side = np.where(at < 0, down, up) * math.sqrt(SHARES.shop)
    log = stats.norm.logpdf(at / side)
    for job in jobs:
        doubt = float(np.mean([b.doubt for b in job]))
        sd = math.sqrt(SHARES.job * doubt**2 + SHARES.weather_sd**2)
        own = np.linspace(-5 * sd, 5 * sd, 401)
        chance = np.ones((len(at), len(own)))
        for b in job:
            coat, where = math.sqrt(SHARES.coat) * b.doubt, at[:, None] + own[None, :]
            for_each = [stats.norm.cdf(b.high, where, coat * k) - stats.norm.cdf(b.low, where, coat * k)
                        for k in (1.0, SHARES.outlier_times)]  # fmt: skip
            chance *= (1 - SHARES.outlier) * for_each[0] + SHARES.outlier * for_each[1]
        log = log + np.log(integrate.trapezoid(chance * stats.norm.pdf(own, 0, sd), own, axis=1))
    return Grid.of_logs(at, log)


@pytest.mark.parametrize(
    "jobs",
    [
        [[Between(0.1, 0.4, 0.5)]],
        [[Between(-math.inf, -0.2, 0.5), Between(0.0, 0.3, 0.5)], [Between(0.5, math.inf, 0.5)]],
        [[Between(0.2, 0.4, 0.3)], [Between(0.3, 0.5, 0.3)], [Between(-1.5, -1.2, 0.3)]],
    ],
)
def test_hand_tests_against_plain_sums(jobs: list[list[Between]]) -> None:
    ours, plain = of_tests(jobs, 0.4, 0.6, SHARES), _plain(jobs, 0.4, 0.6)
    for p in (0.1, 0.5, 0.9):
        assert ours.quantile(p) == pytest.approx(plain.quantile(p), abs=0.01)
    assert ours.sd == pytest.approx(plain.sd, rel=0.01)


def test_interval_censored_against_lifelines() -> None:
    """Failed at one hour, passed at a later one, sixty times: with a vague prior the fit of lifelines comes out."""
    lifelines = pytest.importorskip("lifelines")
    for seed in (1, 2):
        _fitted(lifelines.LogNormalFitter(), seed)


def _fitted(fitter: Any, seed: int) -> None:
    rng = np.random.default_rng(seed)
    true = rng.normal(math.log(30.0), 0.35, 60)
    steps = np.log(24.0 * np.cumprod(np.full(12, 1.25))) - 1.2
    low = np.array([max([-9.0, *steps[steps < x]]) for x in true])
    high = np.array([min([9.0, *steps[steps >= x]]) for x in true])
    fitted = fitter.fit_interval_censoring(np.exp(low), np.exp(high))
    coat_alone = Shares(shop=1.0, job=0.0, coat=1.0, weather_sd=0.0, outlier=0.0)
    middle, doubt = math.log(24.0), fitted.sigma_
    jobs = [[Between(a - middle if a > -9 else -math.inf, b - middle, doubt)] for a, b in zip(low, high, strict=True)]
    ours = of_tests(jobs, doubt, doubt, coat_alone, trust=1e-6)
    assert middle + ours.mean == pytest.approx(fitted.mu_, abs=0.003)
    assert ours.sd == pytest.approx(fitted.summary.loc["mu_", "se(coef)"], rel=0.05)


def test_only_passed_tests_do_not_make_a_shop_ever_quicker() -> None:
    """Passed each time a little after it was ready: taken as bounds alone it would seem far quicker than it is."""
    rng = np.random.default_rng(3)
    jobs = [[Between(-math.inf, x + 0.1, 0.4)] for x in rng.normal(0.0, 0.25, 12)]
    bare, taken = of_tests(jobs, 0.4, 0.4, SHARES), of_tests(looked_before(jobs, SHARES), 0.4, 0.4, SHARES)
    assert bare.quantile(0.5) < -0.4 and abs(taken.quantile(0.5)) < 0.5 * abs(bare.quantile(0.5))


# -- haze ----------------------------------------------------------------------------------------------


def test_haze_against_a_plain_grid() -> None:
    """Haze at gaps of 6 and 7 K, none at 8 and 11: the same by scipy's normal on a grid of its own."""
    seen = [Between(gap, math.inf, 0) for gap in (6.0, 7.0)] + [Between(-math.inf, gap, 0) for gap in (8.0, 11.0)]
    ours = of_haze(seen, 4.0, 7.0, 10.0, SHARES)
    at, width = np.linspace(0, 20, 2001), 3 / stats.norm.ppf(0.9)
    weight = stats.norm.pdf(at, 7.0, width * math.sqrt(0.6))
    for b in seen:
        part = 0.0
        for share, times in ((0.9, 1), (0.1, 3)):
            sd = times * math.hypot(SHARES.chill_sd, width * math.sqrt(0.4))
            part = part + share * (stats.norm.cdf(b.high, at, sd) - stats.norm.cdf(b.low, at, sd))
        weight = weight * part
    plain = Grid(at, weight / weight.sum())
    for p in (0.1, 0.5, 0.9):
        assert ours.quantile(p) == pytest.approx(plain.quantile(p), abs=0.05)
