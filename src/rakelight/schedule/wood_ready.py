"""Is the wood ready: a meter's reading against where the piece will live, where it has lain, and what waits."""

from __future__ import annotations

from dataclasses import dataclass
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from rakelight.errors import Misread
from rakelight.facts.load import Facts
from rakelight.physics.emc import emc_pct, rh_of_emc
from rakelight.physics.film_damp import face_resistance
from rakelight.physics.moisture import CELLS, Board, Side, grid_m, simulate
from rakelight.schedule.wood_known import KnownWood
from rakelight.spread import Spread
from rakelight.units import H_PER_DAY, H_PER_WEEK

Floats = NDArray[np.float64]

GO, WAIT, MOVE, DOUBT = "go", "wait", "move it", "doubt"
_LONGEST_WEEKS = 156
_SHEET_WEEKS = 26
#: dry and wet ends of what timber is bought at, for what may still be in it. Assumption
_BOUGHT_PCT = (4.0, 25.0)
_SKIN_CORE_PCT = 1.0  # skin and core agree within this. Source: case of a slab forced dry; a rule of the trade


@dataclass(frozen=True)
class Reading:
    """What the meter says of a board, and what is known of it."""

    wood: KnownWood
    thick_mm: float
    mc_pct: float
    core_pct: float | None = None  # at half depth
    pin: bool = False
    lain_pct: float | None = None  # moisture that the air it lay in would bring it to
    lain_weeks: float | None = None


class Wait(NamedTuple):
    """Weeks to wait, quick to slow; inf: not within the years reckoned."""

    low: float
    likely: float
    high: float


@dataclass(frozen=True, eq=False)
class Ready:
    """Go, wait so many weeks, or something must change first."""

    verdict: str
    reading_pct: Spread  # with the meter's error
    target_pct: float
    waits_at_pct: float  # moisture the air it waits in brings it to
    weeks: Wait | None  # None: never in that air
    why: str
    doubts: tuple[str, ...]
    sheet: tuple[tuple[int, float], ...]  # week, likely moisture

    def weight_at(self, weight_g: float, mc_pct: float) -> float:
        """Weight of the same board at another moisture."""
        return weight_g * (100.0 + mc_pct) / (100.0 + self.reading_pct.likely)


def ready(facts: Facts, reading: Reading, target_pct: float, temp_c: float, waits_rh: float) -> Ready:
    """Whether a board may be worked, and how long it must lie bare with air round it.

    Parameters: target_pct, where the piece will live; temp_c and waits_rh (0 to 1), air it waits in.
    Within the meter's error of the target it goes. Low to high: quick wood, a lenient meter and the near end of
    the reading, to slow wood, a strict one and the far end. Skin and core have to agree too.
    """
    error = facts.figure("meter_error_share").value * 100.0
    mc = reading.mc_pct
    mean = mc if reading.core_pct is None else _mean(mc, reading.core_pct)
    told = Spread(max(mean - error.likely, 0.0), mean, mean + error.likely)
    waits_at = emc_pct(temp_c, waits_rh)
    doubts = tuple(_doubts(facts, reading, temp_c))
    off = abs(mean - target_pct)
    uneven = reading.core_pct is not None and abs(reading.core_pct - mc) > _SKIN_CORE_PCT
    if off <= error.likely and not uneven:
        verdict, weeks, why = GO, Wait(0.0, 0.0, 0.0), "within what a meter can tell of where it will live"
    elif abs(waits_at - target_pct) > error.likely:
        verdict, weeks = MOVE, None
        why = (
            f"the air it waits in brings it to {waits_at:.1f} %, not to {target_pct:.1f} %: "
            "let it wait in air like that it will live in"
        )
    else:
        weeks = _weeks(facts, reading, target_pct, temp_c, waits_rh, error)
        verdict = WAIT
        why = "skin and core differ" if uneven and off <= error.likely else (
            f"{off:.1f} % {'above' if mean > target_pct else 'below'} where it will live"
        )  # fmt: skip
    if doubts and verdict == GO:
        verdict = DOUBT
    waits = weeks is not None and weeks.high > 0.0 and np.isfinite(weeks.low)
    sheet = _sheet(facts, reading, temp_c, waits_rh, weeks) if weeks is not None and waits else ()
    return Ready(verdict, told, target_pct, waits_at, weeks, why, doubts, sheet)


def _mean(skin: float, core: float) -> float:
    """Mean of a parabola from skin to core: two thirds of the rise."""
    return skin + (core - skin) * 2.0 / 3.0


def _profile(reading: Reading, mean: float) -> Floats:
    """Moisture cell by cell: even, or a parabola from skin to core, moved to a mean."""
    if reading.core_pct is None:
        return np.full(CELLS, mean)
    sizes = grid_m(reading.thick_mm)
    across = 2.0 * (np.cumsum(sizes) - sizes / 2.0) / sizes.sum() - 1.0
    shape = reading.mc_pct + (reading.core_pct - reading.mc_pct) * (1.0 - across**2)
    return np.asarray(np.maximum(shape + mean - float(shape @ sizes / sizes.sum()), 0.0))


def _lying(
    reading: Reading, start: Floats, temp_c: float, rh: float, times: float, weeks: float
) -> tuple[Floats, Floats]:
    """Mean moisture day by day of a bare board with air on both faces, and how far skin and core lie apart."""
    days = max(round(weeks * H_PER_WEEK / H_PER_DAY), 1)
    side = Side(np.full(days, temp_c), np.full(days, rh), face_resistance(None))
    board = Board(reading.thick_mm, reading.wood.specific_gravity, times)
    course = simulate(board, side, side, start, step_h=H_PER_DAY)
    return course.mean_pct, np.zeros(days) if course.uneven_pct is None else course.uneven_pct


def _weeks(facts: Facts, reading: Reading, target: float, temp_c: float, rh: float, error: Spread) -> Wait:
    fast = facts.figure("damp_spreads_times").value
    mean = reading.mc_pct if reading.core_pct is None else _mean(reading.mc_pct, reading.core_pct)
    away = 1.0 if mean > target else -1.0
    found = []
    ways = ((fast.high, error.high, -1), (fast.likely, error.likely, 0), (fast.low, error.low, 1))
    for times, lenient, shift in ways:
        from_pct = max(mean + away * shift * error.low, 0.0)
        start = _profile(reading, from_pct)
        means, apart = _lying(reading, start, temp_c, rh, times, _LONGEST_WEEKS)
        means, apart = np.append(from_pct, means), np.append(np.ptp(start), apart)
        there = np.flatnonzero((np.abs(means - target) <= lenient) & (apart <= _SKIN_CORE_PCT))
        found.append(int(there[0]) * H_PER_DAY / H_PER_WEEK if there.size else np.inf)
    return Wait(*np.maximum.accumulate(found).tolist())


def _sheet(facts: Facts, reading: Reading, temp_c: float, rh: float, weeks: Wait) -> tuple[tuple[int, float], ...]:
    """Likely moisture week by week: what to weigh against."""
    last = int(min(np.ceil(weeks.high) + 1, _SHEET_WEEKS))
    mean = reading.mc_pct if reading.core_pct is None else _mean(reading.mc_pct, reading.core_pct)
    start = _profile(reading, mean)
    means, _ = _lying(reading, start, temp_c, rh, facts.likely("damp_spreads_times"), last)
    week = int(H_PER_WEEK / H_PER_DAY)
    return ((0, mean), *((n, float(means[n * week - 1])) for n in range(1, last + 1)))


def _doubts(facts: Facts, reading: Reading, temp_c: float) -> list[str]:
    found = []
    least = 100.0 * facts.likely("pin_meter_least_share")
    if reading.pin and reading.mc_pct < least:
        found.append(f"A pin meter is not to be trusted under {least:g} %: weigh a slice before and after an oven.")
    if reading.core_pct is not None and abs(reading.core_pct - reading.mc_pct) > _SKIN_CORE_PCT:
        found.append(
            f"Skin and core differ by {abs(reading.core_pct - reading.mc_pct):.1f} %: planed now it cups within days. "
            "Do not flatten it for the last time until they agree within 1 %."
        )
    if reading.lain_pct is not None:
        found += _against_the_past(facts, reading, reading.lain_pct, temp_c)
    return found


def _against_the_past(facts: Facts, reading: Reading, lain_pct: float, temp_c: float) -> list[str]:
    """One of these is wrong: what the air it lay in would have made of the wettest and driest timber sold.

    Parameters: lain_pct, moisture that air would bring it to; temp_c, of that air: wood in the cold is slow.
    """
    agrees = 100.0 * facts.likely("past_disagrees_share")
    weeks = reading.lain_weeks
    if weeks is None:
        low = high = lain_pct
    else:
        rh, fast = float(rh_of_emc(temp_c, lain_pct)), facts.figure("damp_spreads_times").value
        ends = [_lying(reading, np.full(CELLS, end), temp_c, rh, fast.low, weeks)[0][-1] for end in _BOUGHT_PCT]
        low, high = min(*ends, lain_pct), max(*ends, lain_pct)
    if low - agrees <= reading.mc_pct <= high + agrees:
        return []
    lay = f"after {weeks:g} week{'' if weeks == 1 else 's'} " if weeks else ""
    between = f"{low:.0f} to {high:.0f} %" if high - low > 1 else f"about {lain_pct:.1f} %"
    return [
        f"The meter says {reading.mc_pct:g} %, the air it lay in {lay}{between}: one of these is wrong. "
        "Weigh a slice before and after an oven."
    ]


def home_pct(facts: Facts) -> float:
    """Moisture of furniture where nothing is said of the place it will live in."""
    return 100.0 * facts.likely("home_moisture_share")


def as_humidity(temp_c: float, mc_pct: float) -> float:
    """Relative humidity (0 to 1) of the air that keeps wood at this moisture. Raises Misread where none does."""
    if not 1.0 <= mc_pct <= 24.0:
        raise Misread(f"No air of a house keeps wood at {mc_pct:g} %.", "Write a target of 5 to 14.")
    return float(rh_of_emc(temp_c, mc_pct))
