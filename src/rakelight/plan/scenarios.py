"""What may go otherwise, drawn: one error a material, one weather, then each coat's, each job's minutes, coats
of an open number, and one part that has to be done again."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import cache

import numpy as np
from numpy.typing import NDArray

from rakelight.facts.load import Facts
from rakelight.plan.course import Course
from rakelight.plan.together import piece_of
from rakelight.spread import Z90, Spread

Floats = NDArray[np.float64]


@dataclass(frozen=True)
class Doubts:
    """How much is in doubt besides the tables' own ranges (figures `odds_*` of the tables)."""

    weather_sd: float = 0.10  # of the logarithm of the rate, shared by all that dries
    coat_share: float = 0.20  # of a wait's variance that is each coat's own; the rest is shared by the material
    work_share: float = 0.50  # of the variance of working time that is each job's own
    redo: float = 0.25  # chance that one part is done again

    @classmethod
    def of(cls, facts: Facts) -> Doubts:
        """As the tables have it."""
        names = ("odds_weather_sd", "odds_coat_share", "odds_work_share", "odds_redo")
        return cls(*(facts.figure(n).value.likely for n in names))


NO_DOUBTS = Doubts(0.0, 0.0, 0.0, 0.0)


@dataclass(frozen=True)
class Scenarios:
    """Draws, one row a scenario."""

    n: int
    weather: Floats  # times the rate of drying
    material: Mapping[str, Floats]  # deviate by material
    coat: Floats  # (n, steps): each coat's own deviate
    work: Floats  # (n, steps): deviate of the minutes
    coats: Mapping[str, Floats]  # number of coats by open step
    redo: NDArray[np.int64]  # (n, pieces): number of the part of each piece that is done again, -1 none
    coat_share: float = 0.0
    floors: Mapping[str, float] = field(default_factory=dict)
    coat_shares: Mapping[str, float] = field(default_factory=dict)  # where this shop's doubt is less than the book's

    def z(self, material: str, step: int) -> Floats:
        """The deviate of one coat: its material's and its own, a failed test ruling out the lower part."""
        own = self.coat_shares.get(material, self.coat_share)
        z = math.sqrt(1.0 - own) * self.material[material] + math.sqrt(own) * self.coat[:, step]
        share = self.floors.get(material, 0.0)
        return _after_failed(z, share) if share > 0 else z


def draw(course: Course, n: int, seed: int = 1, doubts: Doubts | None = None) -> Scenarios:
    """Draws for a course; the same for the same seed."""
    doubts = doubts or Doubts.of(course.problem.facts)
    rng = np.random.default_rng(seed)
    steps = len(course.moves)
    names = sorted({w.need.material for m in course.moves for w in (*m.wants, *m.dry)}
                   | {w.need.material for _, wants in course.ends for w in wants}
                   | {r.want.need.material for m in course.moves for r in m.rests})  # fmt: skip
    names += sorted({m.task.lay.material for m in course.moves if m.task.lay} - set(names))
    weather = np.exp(doubts.weather_sd * rng.standard_normal(n))
    material = {name: rng.standard_normal(n) for name in names}
    coat = rng.standard_normal((n, steps))
    pace = rng.standard_normal(n)[:, None]
    own = rng.standard_normal((n, steps))
    work = math.sqrt(1 - doubts.work_share) * pace + math.sqrt(doubts.work_share) * own
    coats = {key: counted(rng.standard_normal(n), *three) for key, three in course.counts.items()}
    redo = np.column_stack([_again(rng, n, parts, doubts.redo) for parts in parts_of_pieces(course)])
    # what is learned narrows what coats share; what each coat has of its own stays
    shop = course.problem.waits.doses.shop
    own_shares = {
        m: min(1.0, doubts.coat_share / factor.doubt**2) for m, factor in shop.items() if 0 < factor.doubt < 1
    }
    floors = dict(course.floors)
    return Scenarios(n, weather, material, coat, work, coats, redo, doubts.coat_share, floors, own_shares)


def parts_of_pieces(course: Course) -> list[list[int]]:
    """Numbers of the parts that may be done again, piece by piece: each piece has a redo of its own."""
    found: dict[str, list[int]] = {}
    for number, part in enumerate(course.redo_parts):
        found.setdefault(piece_of(part), []).append(number)
    return list(found.values()) or [[]]


def _again(rng: np.random.Generator, n: int, parts: list[int], chance: float) -> NDArray[np.int64]:
    """The part that is done again in each scenario, -1 none."""
    which = rng.integers(0, max(1, len(parts)), n)
    again = rng.random(n) < chance
    return np.where(again, np.array(parts)[which], -1) if parts else np.full(n, -1)


def likely(course: Course) -> Scenarios:
    """One scenario in which all goes as the plan has it."""
    steps = len(course.moves)
    one = draw(course, 1, 1, NO_DOUBTS)
    return Scenarios(
        1, np.ones(1), {k: np.zeros(1) for k in one.material}, np.zeros((1, steps)), np.zeros((1, steps)),
        {k: np.array([float(c[1])]) for k, c in course.counts.items()}, np.array([[-1]]), 0.0, dict(course.floors),
    )  # fmt: skip


def at_z(spread: Spread, z: Floats) -> Floats:
    """Values of a spread at deviates, as `Spread.at_z`."""
    if spread.certain:
        return np.full(len(z), spread.likely)
    weight = np.abs(z) / Z90
    far = np.where(z > 0, spread.high, spread.low)
    if spread.low > 0:
        return np.asarray(spread.likely * (far / spread.likely) ** weight)
    return np.maximum(0.0, spread.likely + (far - spread.likely) * weight)


def counted(z: Floats, least: int, normal: int, most: int) -> Floats:
    """Coats it takes: the three numbers as one in ten, half, nine in ten, and never outside them."""
    found: Floats = np.clip(np.rint(at_z(Spread(least, normal, most), z)), least, most)
    return found


@cache
def _normal() -> tuple[Floats, Floats]:
    """Deviates, and the share of the odds below each."""
    from statistics import NormalDist

    table = np.linspace(-6.0, 6.0, 2401)
    return table, np.array([NormalDist().cdf(float(x)) for x in table])


def _after_failed(z: Floats, share: float) -> Floats:
    """Deviates once a failed test has ruled out the lower share of the odds (truncation)."""
    table, below = _normal()
    p = share + (1 - share) * np.interp(z, table, below)
    return np.asarray(np.interp(np.minimum(p, 1 - 1e-9), below, table))
