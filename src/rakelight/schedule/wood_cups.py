"""Will it cup: days and seasons after the air changes, for the coats on either face, as an elastic estimate."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from rakelight.errors import Misread
from rakelight.facts.load import Facts
from rakelight.physics.cup import cup_of_tilt_mm
from rakelight.physics.emc import emc_pct
from rakelight.physics.film_damp import face_resistance
from rakelight.physics.moisture import Board, Side, simulate
from rakelight.physics.movement import ring_cup_mm
from rakelight.schedule.wood_air import DAYS, YearAir
from rakelight.schedule.wood_known import Coated, KnownWood
from rakelight.spread import Spread
from rakelight.units import H_PER_DAY

Floats = NDArray[np.float64]

#: said wherever a cup stands in figures
OUTSIDE_TRUTH = (
    "An elastic estimate for a top that nothing holds. No outside truth was found for cup in mm: real tops creep, "
    "may move less, and may end hollow the other way after a damp and a dry season."
)
#: days told one by one
TOLD_DAYS = (1, 3, 7, 14, 30, 60)
_LONGEST_DAYS, _LEAST_DAYS = 400, 60
_FLAT_MM = 0.05
_COARSE_H = 2.0  # step where only the greatest bow is told
_SEASON_STEP_H = 12.0  # step through a year of mean days
#: a board this much thicker takes so much longer: days for 22 mm. Source: time goes with thickness squared
_DAYS_FOR_MM = (60.0, 22.0)


@dataclass(frozen=True)
class Panel:
    """What is asked about: a solid panel, flat when the air changes."""

    wood: KnownWood
    wide_mm: float
    thick_mm: float
    cut: str
    top: Coated
    under: Coated


@dataclass(frozen=True, eq=False)
class Cup:
    """Greatest bow over the width, mm without sign; the day it is reached; which way."""

    peak_mm: Spread
    day: Spread
    direction: str  # hollow on top, round on top, flat
    course_mm: Floats  # likely, signed, at the end of each step: positive round on top
    low_mm: Floats
    high_mm: Floats
    step_h: float = 1.0

    def on(self, day: int) -> float:
        """Likely bow at the end of a day, signed; 0 beyond what was reckoned."""
        step = round(day * H_PER_DAY / self.step_h) - 1
        return float(self.course_mm[step]) if step < len(self.course_mm) else 0.0


def cup(facts: Facts, panel: Panel, from_pct: float, temp_c: float, rh: float, step_h: float = 1.0) -> Cup:
    """Cup of a panel at an even moisture when the air changes for good, from the first day on.

    Parameters: from_pct, its moisture throughout; temp_c and rh (0 to 1), the new air on both faces.
    Low to high: film from 0.3 to 2 times as leaky as tested, wood passing damp 1 to 2 times the equation.
    step_h: an hour for pictures; a few where only the peak is told (4 h: 2 % of it).
    Raises Misread for a panel thicker than it is wide.
    """
    if panel.thick_mm > panel.wide_mm:
        raise _thicker(panel)
    steps = int(_hours(panel.thick_mm) / step_h)
    air = (np.full(steps, temp_c), np.full(steps, rh))
    leaky, fast = facts.figure("film_passes_times").value, facts.figure("damp_spreads_times").value
    ends = ((p, m) for p in (leaky.low, leaky.high) for m in (fast.low, fast.high))
    pairs = [(leaky.likely, fast.likely), *ends]
    courses = [_course(panel, from_pct, air, passes, times, step_h) for passes, times in pairs]
    return _judged(courses, step_h)


def beneath(facts: Facts, panel: Panel, from_pct: float, temp_c: float, rh: float, faces: list[Coated]) -> list[float]:
    """Likely greatest bow, mm, for each of several finishes beneath."""
    steps = _hours(panel.thick_mm) // int(_COARSE_H)
    air = (np.full(steps, temp_c), np.full(steps, rh))
    fast = facts.likely("damp_spreads_times")
    found = []
    for face in faces:
        other = Panel(panel.wood, panel.wide_mm, panel.thick_mm, panel.cut, panel.top, face)
        found.append(float(np.abs(_course(other, from_pct, air, 1.0, fast, _COARSE_H)).max()))
    return found


@dataclass(frozen=True, eq=False)
class YearCup:
    """Bow through a year in one place, once settled: greatest hollow and greatest round, mm without sign, with days."""

    hollow_mm: Spread
    round_mm: Spread
    hollow_day: int
    round_day: int
    course_mm: Floats  # likely, signed, on each day of the year: positive round on top
    low_mm: Floats
    high_mm: Floats
    air: YearAir

    @property
    def flat(self) -> bool:
        """Whether it bows to no side."""
        return max(self.hollow_mm.likely, self.round_mm.likely) < _FLAT_MM


def year_cup(facts: Facts, panel: Panel, air: YearAir) -> YearCup:
    """Cup of a panel through its second year in a place, by that place's mean days: seasons, and no single weather.

    Low to high: film from 0.3 to 2 times as leaky as tested, wood passing damp 1 to 2 times the equation.
    """
    if panel.thick_mm > panel.wide_mm:
        raise _thicker(panel)
    leaky, fast = facts.figure("film_passes_times").value, facts.figure("damp_spreads_times").value
    pairs = [(leaky.likely, fast.likely), *((p, m) for p in (leaky.low, leaky.high) for m in (fast.low, fast.high))]
    per_day = round(H_PER_DAY / _SEASON_STEP_H)
    at = (np.arange(2 * DAYS * per_day) + 0.5) / per_day
    middles = np.arange(DAYS) + 0.5
    days = (np.interp(at, middles, air.temp_c, period=DAYS), np.interp(at, middles, air.rh, period=DAYS))
    start = emc_pct(float(air.temp_c.mean()), float(air.rh.mean()))
    bows = np.stack([_course(panel, start, days, p, m, _SEASON_STEP_H) for p, m in pairs], axis=1)
    year = bows.reshape(2, DAYS, per_day, len(pairs))[1].mean(axis=1)
    hollow, round_ = np.maximum(-year.min(axis=0), 0.0), np.maximum(year.max(axis=0), 0.0)
    ends = [Spread(float(v.min()), float(v[0]), float(v.max())) for v in (hollow, round_)]
    return YearCup(
        ends[0], ends[1],
        int(year[:, 0].argmin()), int(year[:, 0].argmax()), year[:, 0], year.min(axis=1), year.max(axis=1), air,
    )  # fmt: skip


def _thicker(panel: Panel) -> Misread:
    return Misread(
        f"It is said to be thicker ({panel.thick_mm:g} mm) than wide ({panel.wide_mm:g} mm).",
        "The width is that across the grain; swap the two if they are mixed up.",
    )


def ring_cup(panel: Panel, change_pct: float, pith_mm: float) -> float | None:
    """Cup from the rings alone, mm (positive: the bark face goes hollow); None where a coefficient is missing."""
    wood = panel.wood
    if wood.radial is None or wood.tangential is None or panel.cut != "flat":
        return None
    return ring_cup_mm(wood.tangential - wood.radial, change_pct, panel.wide_mm, pith_mm)


def _hours(thick_mm: float) -> int:
    days = _DAYS_FOR_MM[0] * (thick_mm / _DAYS_FOR_MM[1]) ** 2
    return int(H_PER_DAY * min(max(days, _LEAST_DAYS), _LONGEST_DAYS))


def _course(
    panel: Panel, from_pct: float, air: tuple[Floats, Floats], passes: float, times: float, step_h: float = 1.0
) -> Floats:
    sides = []
    for face in (panel.top, panel.under):
        permeance = None if face.permeance_ng is None else face.permeance_ng * passes
        sides.append(Side(*air, face_resistance(permeance, face.air_side)))
    board = Board(panel.thick_mm, panel.wood.specific_gravity, times)
    tilt = simulate(board, sides[0], sides[1], from_pct, step_h).tilt_pct_per_mm
    return np.asarray(cup_of_tilt_mm(tilt, panel.wood.moves(panel.cut), panel.wide_mm))


def _judged(courses: list[Floats], step_h: float) -> Cup:
    peaks = [float(np.abs(c).max()) for c in courses]
    days = [step_h * (int(np.abs(c).argmax()) + 1) / H_PER_DAY for c in courses]
    likely = courses[0]
    at = float(likely[int(np.abs(likely).argmax())])
    direction = "flat" if abs(at) < _FLAT_MM else ("round on top" if at > 0 else "hollow on top")
    stack = np.array(courses)
    ends = (stack.min(axis=0), stack.max(axis=0))
    low, high = (ends[1], ends[0]) if at < 0 else ends
    return Cup(
        Spread(min(peaks), peaks[0], max(peaks)),
        Spread(min(days), days[0], max(days)),
        direction, likely, low, high, step_h,
    )  # fmt: skip
