"""This shop's own factors, laid over the tables and never written into them.

A factor says how many times the book a figure is here, and how much of the book's doubt is left. Keys, as
`State.factors` carries them: "drying:<material>", "coverage:<material>:<by>", "minutes:<work>",
"chill:<material>:<hand or spray>", "gloss:<abrasive>", "coats:<wood>", "filler coats:<wood>"; the same key with a
"~" behind it carries the doubt (of numbers of coats: the coefficient of variation).
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace

from rakelight.errors import SourceKind
from rakelight.facts.records import Labour, Source
from rakelight.spread import Spread

#: behind the key of a factor: the share of the book's doubt that is left
DOUBT = "~"
#: where a figure of this shop comes from
OWN = Source("what this shop's log has taught", SourceKind.MEASURED)


@dataclass(frozen=True)
class Factor:
    """Times the book, and the share of the book's doubt (of the logarithm) that is left.

    >>> Factor(2.0, 0.5).of(Spread(1.0, 4.0, 16.0))
    Spread(low=4.0, likely=8.0, high=16.0)
    """

    times: float = 1.0
    doubt: float = 1.0

    def of(self, book: Spread) -> Spread:
        """The book's figure as this shop has it."""
        if self.doubt == 1.0:
            return book * self.times
        likely = book.likely * self.times
        if book.low <= 0:
            low, high = (likely + (end - book.likely) * self.times * self.doubt for end in (book.low, book.high))
            return Spread(low, likely, high)
        low, high = (likely * (end / book.likely) ** self.doubt for end in (book.low, book.high))
        return Spread(low, likely, high)

    def under(self, book: Spread) -> Spread:
        """A figure that stands under the line: the more it covers, the less it takes."""
        return Factor(1.0 / self.times, self.doubt).of(book)


def read_factors(factors: Mapping[str, float]) -> dict[str, Factor]:
    """The factors of plain data, by key.

    >>> read_factors({"drying:shellac": 0.8, "drying:shellac~": 0.7})
    {'drying:shellac': Factor(times=0.8, doubt=0.7)}
    """
    return {
        key: Factor(value, factors.get(key + DOUBT, 1.0)) for key, value in factors.items() if not key.endswith(DOUBT)
    }


def own_labour(labour: Mapping[str, Labour], shop: Mapping[str, Factor]) -> dict[str, Labour]:
    """Minutes of work as this shop takes them."""
    found = dict(labour)
    for work, row in labour.items():
        factor = shop.get(f"minutes:{work}")
        if factor:
            found[work] = replace(row, minutes_per_m2=factor.of(row.minutes_per_m2), source=OWN)
    return found
