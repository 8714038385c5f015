"""One figure weighed: what its jobs say, beside the book, kind by kind."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass

from rakelight.facts.this_shop import Factor
from rakelight.log.learning.books import BookFigure
from rakelight.log.learning.posterior import (
    Between,
    Coats,
    Readings,
    job_sd,
    looked_before,
    of_haze,
    of_tests,
)
from rakelight.log.learning.seen import Seen
from rakelight.log.learning.shares import Shares
from rakelight.spread import Spread

#: the ends of a range
_LOW, _HALF, _HIGH = 0.1, 0.5, 0.9
#: trust in the book where the shop's jobs are to speak alone
_ALONE = 1e-3
#: a chance that would set the shop's own number of coats to nothing is not believed; least times the book
_LEAST_COATS = 0.2
#: jobs that lie far apart leave more doubt than the book has, and never more than this. Source: assumption
_MOST_DOUBT = 2.0

Jobs = Mapping[str, list[Seen]]


@dataclass(frozen=True)
class Weighed:
    """A figure of the shop, times the book."""

    times: float
    doubt: float
    factor: Spread
    yours: Spread | None
    weight: float
    held: bool = False


def weigh(book: BookFigure, jobs: Jobs, shares: Shares, tells_failed: bool = True) -> Weighed:
    """What the jobs have made of a figure of the book; tells_failed, whether this shop ever tells a failed test."""
    if not jobs:
        return Weighed(1.0, pinned_doubt(book, shares), Spread.exact(1.0), None, 0.0)
    if book.kind in ("coats", "filler coats"):
        return _coats(book, jobs, shares)
    if book.kind == "chill":
        found = _chill(book, jobs, shares)
    elif book.kind == "drying":
        found = _drying(book, jobs, shares, tells_failed)
    else:
        found = _readings(book, jobs, shares)
    return _held(book, found, len(jobs), shares)


def _held(book: BookFigure, found: Weighed, jobs: int, shares: Shares) -> Weighed:
    """Within the book's range until enough jobs are in; what is held back is left in doubt."""
    least, most = (end / book.value.likely for end in (book.value.low, book.value.high))
    times = min(max(found.times, least), most)
    if jobs >= shares.hold_jobs or times == found.times:
        return found
    return Weighed(times, max(1.0, found.doubt), found.factor, found.yours, found.weight, True)


def pinned_doubt(book: BookFigure, shares: Shares) -> float:
    """What is left in doubt of a figure the maker has pinned."""
    return 0.0 if book.kind in ("coats", "filler coats") else shares.left(0.0, 1.0)


def used(book: BookFigure, found: Weighed, shares: Shares) -> Spread:
    """The figure as it is planned with."""
    if book.kind in ("coats", "filler coats"):
        return found.factor * book.value.likely
    return Factor(found.times, found.doubt).of(book.value)


def shown(book: BookFigure, found: Weighed, shares: Shares) -> Spread:
    """The figure as the book has it."""
    if book.kind not in ("coats", "filler coats"):
        return book.value
    before = Coats.of_book(shares)
    return Spread(*(before.quantile(p) * book.value.likely for p in (_LOW, _HALF, _HIGH)))


# -- kind by kind --------------------------------------------------------------------------------------


def _readings(book: BookFigure, jobs: Jobs, shares: Shares) -> Weighed:
    means = [sum(s.low for s in seen) / len(seen) for seen in jobs.values()]
    after = Readings.of_book(book.doubt, shares).after(means)
    alone = Readings.of_book(book.doubt, shares, _ALONE).after(means)
    factor = _spread(*(math.exp(after.quantile(p)) for p in (_LOW, _HALF, _HIGH)))
    yours = _spread(*(book.value.likely * math.exp(alone.next_quantile(p)) for p in (_LOW, _HALF, _HIGH)))
    doubt = min(_MOST_DOUBT, after.next_sd / book.doubt) if book.doubt else 1.0
    return Weighed(math.exp(after.mean), doubt, factor, yours, after.weight)


def _drying(book: BookFigure, jobs: Jobs, shares: Shares, tells_failed: bool) -> Weighed:
    seen = [[Between(s.low, s.high, s.doubt) for s in one] for one in jobs.values()]
    seen = seen if tells_failed else looked_before(seen, shares)
    every = [s for one in jobs.values() for s in one]
    before = of_tests([], book.down, book.up, shares)
    after = of_tests(seen, book.down, book.up, shares)
    yours = None
    if any(math.isfinite(b.low) for b in every) and any(math.isfinite(b.high) for b in every):
        alone = of_tests(seen, book.down, book.up, shares, _ALONE)
        noise = math.hypot(job_sd(book.doubt, shares), math.sqrt(shares.coat) * book.doubt)
        alone = alone.blurred(noise)
        yours = _spread(*(book.value.likely * math.exp(alone.quantile(p)) for p in (_LOW, _HALF, _HIGH)))
    factor = _spread(*(math.exp(after.quantile(p)) for p in (_LOW, _HALF, _HIGH)))
    weight = max(0.0, 1 - (after.sd / before.sd) ** 2) if before.sd else 0.0
    return Weighed(math.exp(after.quantile(_HALF)), shares.left(after.sd, book.doubt), factor, yours, weight)


def _coats(book: BookFigure, jobs: Jobs, shares: Shares) -> Weighed:
    every = [s for seen in jobs.values() for s in seen]
    more, expected = sum(s.more for s in every), sum(s.expected for s in every)
    after = Coats.of_book(shares).after(more, expected)
    alone = Coats(more + 0.5, expected)
    factor = _spread(*(after.quantile(p) for p in (_LOW, _HALF, _HIGH)))
    yours = _spread(*(alone.quantile(p) * book.value.likely for p in (_LOW, _HALF, _HIGH)))
    weight = expected / after.rate
    return Weighed(max(_LEAST_COATS, after.times), after.variation, factor, yours, weight)


def _chill(book: BookFigure, jobs: Jobs, shares: Shares) -> Weighed:
    seen = [Between(s.low, s.high, s.doubt) for one in jobs.values() for s in one]
    low, likely, high = book.value
    before, after = (of_haze(some, low, likely, high, shares) for some in ([], seen))
    factor = _spread(*(after.quantile(p) / likely for p in (_LOW, _HALF, _HIGH)))
    left = shares.rest + shares.shop * (after.sd / before.sd) ** 2
    weight = max(0.0, 1 - (after.sd / before.sd) ** 2)
    return Weighed(factor.likely, min(1.0, math.sqrt(left)), factor, None, weight)


def _spread(low: float, likely: float, high: float) -> Spread:
    return Spread(min(low, likely), likely, max(high, likely))
