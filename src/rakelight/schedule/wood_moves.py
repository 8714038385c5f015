"""How far does it move: width of a board or top between two airs, or through the year of the place it lives in."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Any

import numpy as np
from numpy.typing import NDArray

from rakelight.errors import Misread
from rakelight.facts.load import Facts
from rakelight.physics.emc import emc_pct
from rakelight.physics.film_damp import face_resistance
from rakelight.physics.moisture import Board, Side, simulate
from rakelight.physics.movement import VALID_PCT, change_mm, held_strain_pct, room_mm, runs_off_share
from rakelight.schedule.wood_air import DAYS, YearAir
from rakelight.schedule.wood_known import Coated, KnownWood
from rakelight.spread import Spread
from rakelight.units import H_PER_DAY, show_length

Floats = NDArray[np.float64]


@dataclass(frozen=True)
class Move:
    """Change of a width from one moisture to another, mm, low to high by number (negative: shrinks)."""

    wood: KnownWood
    wide_mm: float
    cut: str
    from_pct: float
    to_pct: float
    change_mm: Spread
    strain_pct: float  # should it be held

    @property
    def doubtful(self) -> str:
        """What makes it less sure than its range, or nothing."""
        low, high = VALID_PCT
        if min(self.from_pct, self.to_pct) < low or max(self.from_pct, self.to_pct) > high:
            said = f"the coefficient holds from {low:g} to {high:g} % moisture"
            off = runs_off_share(self.wood.moves(self.cut), self.from_pct)
            by = "less than 1 %" if abs(off) < 0.01 else f"about {100.0 * abs(off):.0f} %"
            return f"{said}; beyond it the figure runs a little {'low' if off < 0 else 'high'}, here by {by}"
        return ""


def moves(wood: KnownWood, wide_mm: float, cut: str, from_pct: float, to_pct: float) -> Move:
    """Movement of a width between two moistures, with the spread of one board against another."""
    per_pct = wood.moves(cut)
    ends = [float(change_mm(wide_mm, per_pct * times, from_pct, to_pct)) for times in wood.spread]
    change = Spread(min(ends), ends[1], max(ends))
    return Move(wood, wide_mm, cut, from_pct, to_pct, change, held_strain_pct(per_pct, from_pct, to_pct))


@dataclass(frozen=True)
class Fastener:
    """One way to hold a top to its base at a moving edge: what it asks for, and whether it gives enough way."""

    kind: str  # slot, button, clip, plate
    serves: bool
    engaged_mm: float  # tongue in its groove as fitted now; of a slot, from the screw to its inner end
    room_mm: float  # beyond it, for the top to grow


@dataclass(frozen=True)
class Fits:
    """Room to leave, mm, rounded up: the part grows outward and shrinks inward from its width now."""

    fixed: str  # middle, edge
    outward_mm: float  # at each moving edge
    inward_mm: float
    slot_mm: float  # travel of a slot at the moving edge, beside the screw's own width
    drawer_gap_mm: float  # over a drawer front or side of this height
    groove_mm: float  # each side of a panel held in the middle: room for it to grow
    bare_line_mm: float  # each side of it: what shows when it shrinks
    glued_strain_pct: float  # a rigid cross-grain glue line would have to hold this
    glued_says: str
    fasteners: tuple[Fastener, ...] = ()


def fits(facts: Facts, grow: Move, shrink: Move, fixed: str, unit: str) -> Fits:
    """Room for a part that may grow as `grow` and shrink as `shrink` from its width now.

    Parameters: fixed, "middle" or "edge", the line that stays where it is; unit, in or mm, for the rounding.
    """
    if fixed not in ("middle", "edge"):
        raise Misread(f"{fixed!r} is no line to fix a part by.", "Write middle or edge.")
    share = 0.5 if fixed == "middle" else 1.0
    out = max(grow.change_mm.high, 0.0)
    back = max(-shrink.change_mm.low, 0.0)
    worst = max(grow.strain_pct, shrink.strain_pct, key=abs)
    likely = share * max(grow.change_mm.likely, -shrink.change_mm.likely)
    slack = facts.likely("fit_slack_mm")
    ways = (room_mm(out * share, unit), room_mm(back * share, unit))
    return Fits(
        fixed=fixed,
        outward_mm=ways[0],
        inward_mm=ways[1],
        slot_mm=room_mm((out + back) * share, unit),
        drawer_gap_mm=room_mm(out + slack, unit),
        groove_mm=room_mm(out / 2.0 + slack, unit),
        bare_line_mm=room_mm(back / 2.0, unit),
        glued_strain_pct=worst,
        glued_says=_glued(facts, worst),
        fasteners=_fasteners(facts, *ways, likely, unit),
    )


def _fasteners(
    facts: Facts, outward_mm: float, inward_mm: float, likely_mm: float, unit: str
) -> tuple[Fastener, ...]:
    """Each kind of fastening at a moving edge, fitted at the width the part has now.

    A slot gives any way; a button's tongue must stay in its groove when the top has shrunk most and find room when
    it has grown most, and is cut so; a bent clip's tongue is as long as it is; a plate is held to the likely travel,
    since it swings a little further than its figure.
    """
    hold, tongue = facts.likely("button_hold_mm"), facts.likely("clip_tongue_mm")
    swing = facts.likely("plate_travel_mm")
    return (
        Fastener("slot", True, inward_mm, outward_mm),
        Fastener("button", True, room_mm(hold + inward_mm, unit), outward_mm),
        Fastener("clip", inward_mm + hold <= tongue, tongue, outward_mm),
        Fastener("plate", likely_mm <= swing, swing, swing),
    )


def crushed_share(gap_mm: float, swelling_mm: float) -> float:
    """Share of a season's swelling that a gap filled hard while the wood was driest takes as crushed wood, 0 to 1.

    Parameters: gap_mm, filled; swelling_mm, of the whole width from the driest to the dampest.
    Source: case C54 of the makers' cases; crushed cells do not come back.

    >>> crushed_share(3.175, 12.7)
    0.25
    """
    return min(1.0, gap_mm / swelling_mm) if swelling_mm > 0 else 0.0


def _glued(facts: Facts, strain_pct: float) -> str:
    breaks = facts.figure("wood_breaks_share").value * 100.0
    how = "stretched" if strain_pct < 0 else "crushed"
    what = f"Held rigidly across the grain it would be {how} by {abs(strain_pct):.1f} %"
    share = facts.likely("glue_holds_share")
    if abs(strain_pct) < share * breaks.low:
        under = "half" if share == 0.5 else f"{100.0 * share:g} %"
        return f"{what}: under {under} of what tears wood (from memory)."
    tears = f"wood tears from {breaks.low:g} to {breaks.high:g} %" if strain_pct < 0 else (
        "crushed cells do not come back, and leave a gap in the next dry season"
    )  # fmt: skip
    return f"{what}; {tears}. Do not glue or screw it tight across the grain."


@dataclass(frozen=True, eq=False)
class YearMove:
    """A year in the place lived in, once settled: low, likely, high in the columns of the arrays (365, 3)."""

    air: YearAir
    made_pct: float
    mc_pct: Floats
    change_mm: Floats  # against the width when made
    driest: Move  # from as made
    dampest: Move
    driest_day: int
    dampest_day: int
    finish: Coated
    swing_mm: Spread = field(default_factory=lambda: Spread.exact(0.0))


def year_moves(
    facts: Facts,
    wood: KnownWood,
    wide_mm: float,
    thick_mm: float,
    cut: str,
    air: YearAir,
    made_pct: float,
    finish: Coated,
) -> YearMove:
    """Width through the second year in a place: damp must pass the finish (alike on both faces) and the wood.

    Low, likely and high take slow wood under a tight film that moves little, the figures as they stand, and
    fast wood under a leaky film that moves much.
    """
    spread = facts.figure("damp_spreads_times").value
    leaky = facts.figure("film_passes_times").value
    per_pct = np.array([wood.moves(cut) * times for times in wood.spread])
    held = np.array([[_resistance(finish, times) for times in leaky]])
    temp_c, rh = np.tile(air.temp_c, 2), np.tile(air.rh, 2)
    side = Side(temp_c, rh, held)
    board = Board(thick_mm, wood.specific_gravity, np.array(list(spread)))
    start = emc_pct(float(air.temp_c.mean()), float(air.rh.mean()))
    mc = simulate(board, side, side, start, step_h=H_PER_DAY).mean_pct[DAYS:]
    change = change_mm(wide_mm, per_pct, made_pct, mc)
    low, high = int(np.argmin(mc[:, 1])), int(np.argmax(mc[:, 1]))
    swing = np.ptp(change, axis=0)
    return YearMove(
        air, made_pct, mc, change,
        _ends(wood, wide_mm, cut, made_pct, mc[low, 1], change.min(axis=0)),
        _ends(wood, wide_mm, cut, made_pct, mc[high, 1], change.max(axis=0)),
        low, high, finish, Spread(*sorted(float(s) for s in swing)),
    )  # fmt: skip


def _ends(wood: KnownWood, wide_mm: float, cut: str, made: float, to: float, ends: Any) -> Move:
    strain = moves(wood, wide_mm, cut, made, float(to)).strain_pct
    change = Spread(float(min(ends)), float(ends[1]), float(max(ends)))
    return Move(wood, wide_mm, cut, made, float(to), change, strain)


def _resistance(finish: Coated, times: float) -> float:
    passes = None if finish.permeance_ng is None else finish.permeance_ng * times
    return face_resistance(passes, finish.air_side)


def move_sentence(move: Move, unit: str) -> str:
    """A movement in words: direction, likely, and its range in brackets."""
    likely = move.change_mm.likely
    if abs(likely) < 0.05:
        return "it hardly moves"
    low, high = sorted((abs(move.change_mm.low), abs(move.change_mm.high)))
    verb = "grows" if likely > 0 else "shrinks"
    size = show_length(abs(likely), unit, 32)
    return f"it {verb} {size} ({show_length(low, unit, 32)} to {show_length(high, unit, 32)})"
