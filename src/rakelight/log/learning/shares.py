"""How the book's doubt of a figure is made up, and how far a few jobs are trusted (figures `learn_*`)."""

from __future__ import annotations

import math
from dataclasses import dataclass

from rakelight.facts.load import Facts


@dataclass(frozen=True)
class Shares:
    """Of the variance of a figure's logarithm: what a shop has of its own, a job, a coat; they add to one."""

    shop: float = 0.6
    job: float = 0.2
    coat: float = 0.2
    weather_sd: float = 0.1  # of a job, on all that dries in it
    outlier: float = 0.1  # share of hand tests that say little
    outlier_times: float = 3.0  # how many times their doubt
    shape: float = 3.0  # of what the book says of the doubt between jobs: worth twice as many jobs
    coats: float = 2.0  # coats over the least that the book's number of them is worth
    hold_jobs: float = 3.0  # until so many jobs a figure stays within the book's range
    chill_sd: float = 2.0  # K: what is not known of the air at the film
    looked: float = 0.5  # share of its wait when a passed test counts as failed, in a shop that never tells of that

    @classmethod
    def of(cls, facts: Facts) -> Shares:
        """As the tables have it."""
        likely = facts.likely
        job, coat = likely("learn_job_share"), likely("odds_coat_share")
        return cls(
            round(1.0 - job - coat, 9), job, coat, likely("odds_weather_sd"), likely("learn_outlier_share"),
            likely("learn_outlier_times"), likely("learn_doubt_shape"), likely("learn_coats_worth"),
            likely("learn_hold_jobs"), likely("learn_chill_sd_k"), likely("learn_looked_share"),
        )  # fmt: skip

    @property
    def rest(self) -> float:
        """What no record of this shop takes away: a job's own and a coat's."""
        return self.job + self.coat

    def left(self, shop_sd: float, doubt: float) -> float:
        """Share of the book's doubt (a standard deviation) that is left where so much is left of the shop's own.

        >>> round(Shares().left(0.0, 0.3), 3), Shares().left(0.3 * 0.6**0.5, 0.3)
        (0.632, 1.0)
        """
        return round(math.sqrt((shop_sd / doubt) ** 2 + self.rest), 9) if doubt > 0 else 1.0
