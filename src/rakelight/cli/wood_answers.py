"""Answers about the wood: words read, figures asked for, text or plain data given."""

from __future__ import annotations

import math
import re
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import numpy as np

from rakelight.cli.plain import data, width
from rakelight.errors import Misread
from rakelight.facts import load
from rakelight.papers import wood_text as text
from rakelight.papers.wrapping import wrapped
from rakelight.physics.emc import TRUSTED_RH, emc_pct, rh_of_emc
from rakelight.schedule import wood_cups, wood_known, wood_moves, wood_ready
from rakelight.schedule.wood_air import YearAir, own_year, town_year
from rakelight.schedule.wood_known import KnownWood
from rakelight.spread import Spread
from rakelight.units import read_amount, read_length

_INCHES = re.compile(r"[\"'′″]|\b(in|inch|inches|ft|feet|foot)\b|\d(in|ft)\b")
_LONGEST_WEEKS = 520.0
_WIDEST_CRACK_MM = 30.0
_ENDS = ("low", "likely", "high")
Pair = tuple[float | None, float | None]  # what it comes from, what it goes to
#: coats beneath told beside the one asked for
_BENEATH = (0, 1, 2, 3)


@dataclass(frozen=True)
class Asked:
    """The wood as it is said on the command line."""

    wood: str
    width: str
    thickness: str
    cut: str
    temp: str
    shrinkage: str
    gravity: float | None
    as_json: bool

    @property
    def unit(self) -> str:
        """Unit to answer in: that of the width or thickness."""
        return "in" if _INCHES.search(f"{self.width} {self.thickness}".lower()) else "mm"

    def known(self) -> KnownWood:
        """Figures of the wood."""
        return wood_known.wood_known(load(), self.wood, self.shrinkage, self.gravity)


@dataclass(frozen=True)
class Home:
    """Where it will live, as it is said."""

    town: str
    heated_to: str
    dry_rh: float | None
    damp_rh: float | None

    def air(self, temp_c: float) -> YearAir:
        """Its year."""
        if self.town:
            return town_year(load(), self.town, wood_known.temperature(self.heated_to) if self.heated_to else None)
        if self.dry_rh is None or self.damp_rh is None:
            raise Misread("A year needs its driest and its dampest air.", "Say --dry-rh 30 --damp-rh 60.")
        return own_year(wood_known.humidity(self.dry_rh), wood_known.humidity(self.damp_rh), temp_c)


@dataclass(frozen=True)
class Meter:
    """What the meter says, and what is known of the board."""

    mc: float
    correction: float
    core: float | None
    pin: bool
    lain_rh: float | None
    lain_weeks: float | None


def emc(temp: str, rh: float | None, mc: float | None, as_json: bool) -> None:
    """Moisture of air, or the air of a moisture."""
    temp_c = wood_known.temperature(temp)
    if (rh is None) == (mc is None):
        raise Misread("Which way?", "Say --rh 50 for the moisture, or --mc 8 for the humidity.")
    if rh is not None:
        share = wood_known.humidity(rh)
        found = emc_pct(temp_c, share)
    else:
        found = wood_known.moisture(mc or 0.0)
        share = rh_of_emc(temp_c, found)
    doubt = f"over {100 * TRUSTED_RH:.0f} % it rises too steeply to be trusted" if share > TRUSTED_RH else ""
    if as_json:
        doubted = {"doubt": doubt} if doubt else {}
        data({"schema": 1, **doubted, "temp_c": temp_c, "rh": round(share, 4), "emc_pct": round(found, 3)})
        return
    warm = "20 C (68 F)" if temp == "20 C" else temp
    print(f"Wood in air of {warm} and {100 * share:.0f} % comes to {found:.1f} % moisture.")
    if doubt:
        print(f"  Mind: {doubt}.")
    print("  From: Wood Handbook (2010), equation 4-5 (published); it knows no species and no past.")


def on_a_core(core: str, ask: Asked) -> bool:
    """Veneer on a core does not move across the grain: told, with why."""
    if not core:
        return False
    why = wood_known.CORES.get(core.lower().strip())
    if why is None:
        raise Misread(f"{core!r} is no core known here.", f"Write one of: {', '.join(wood_known.CORES)}.")
    says = f"Veneer on {core.lower()} does not move across its grain: {why}. Both faces need the same veneer and coats."
    zero = _range(Spread.exact(0.0))
    data({"schema": 1, "change_mm": zero, "says": says}) if ask.as_json else print(says)
    return True


def movement(ask: Asked, rh: Pair, mc: Pair, fixed: str, crack: str = "") -> None:
    """Between two airs or moistures."""
    wood, cut, wide_mm = ask.known(), wood_known.cut_of(ask.cut), read_length(ask.width)
    ends = _ends(rh, mc, wood_known.temperature(ask.temp))
    move = wood_moves.moves(wood, wide_mm, cut, *ends)
    fit = wood_moves.fits(load(), move, move, fixed, ask.unit)
    split = _crack(crack, *sorted((0.0, move.change_mm.likely)))
    if not ask.as_json:
        print("\n".join(text.move_lines(move, fit, ask.unit, width())))
        _print_crack(split, ask.unit)
        return
    data({"schema": 1, **_wood(wood), "cut": cut, "wide_mm": wide_mm, "change_mm": _range(move.change_mm),
          "emc_from": round(ends[0], 3), "emc_to": round(ends[1], 3), "room": _fit(fit),
          "doubt": move.doubtful, **_crack_json(split)})  # fmt: skip


def _print_crack(split: tuple[float, float] | None, unit: str) -> None:
    if split:
        print("\n".join(text.crack_lines(*split, unit, width())))


def _crack_json(split: tuple[float, float] | None) -> dict[str, Any]:
    return {"crushed_share": round(wood_moves.crushed_share(*split), 3)} if split else {}


def year(
    ask: Asked, home: Home, from_rh: float | None, from_mc: float | None, finish: str, fixed: str, svg: str,
    crack: str = "",
) -> None:  # fmt: skip
    """Through the year where it will live."""
    facts, wood, cut, temp_c = load(), ask.known(), wood_known.cut_of(ask.cut), wood_known.temperature(ask.temp)
    made = wood_ready.home_pct(facts)
    if from_mc is not None:
        made = wood_known.moisture(from_mc)
    elif from_rh is not None:
        made = wood_known.settled_pct(temp_c, from_rh)
    sizes = (read_length(ask.width), read_length(ask.thickness))
    face = wood_known.coated(facts, finish)
    found = wood_moves.year_moves(facts, wood, *sizes, cut, home.air(temp_c), made, face)
    fit = wood_moves.fits(facts, found.dampest, found.driest, fixed, ask.unit)
    if svg:
        from rakelight.papers.pictures.movement import movement_svg

        Path(svg).write_text(movement_svg(found, fit, sizes[1], ask.unit), "utf-8")
    split = _crack(crack, found.driest.change_mm.likely, found.dampest.change_mm.likely)
    if not ask.as_json:
        print("\n".join(text.year_lines(found, fit, ask.unit, width())))
        _print_crack(split, ask.unit)
        return
    ends = {
        name: {"mc_pct": round(move.to_pct, 2), "season": found.air.season(day), "change_mm": _range(move.change_mm)}
        for name, move, day in (
            ("driest", found.driest, found.driest_day),
            ("dampest", found.dampest, found.dampest_day),
        )
    }
    data({"schema": 1, **_wood(wood), "cut": cut, "wide_mm": sizes[0], "made_mc": round(made, 2), "air": found.air.says,
          **ends, "swing_mm": _range(found.swing_mm), "room": _fit(fit), **_crack_json(split)})  # fmt: skip


def cup(
    ask: Asked, faces: tuple[str, str], rh: Pair, mc: Pair, pith: str, svg: str, home: Home | None = None
) -> None:
    """Will it cup: after one change of air, through the year where it will live, or both."""
    facts, temp_c = load(), wood_known.temperature(ask.temp)
    top, under = (wood_known.coated(facts, words) for words in faces)
    panel = wood_cups.Panel(
        ask.known(), read_length(ask.width), read_length(ask.thickness), wood_known.cut_of(ask.cut), top, under
    )
    year = wood_cups.year_cup(facts, panel, home.air(temp_c)) if home else None
    if year and not any(v is not None for v in (*rh, *mc)):
        if pith:
            raise Misread("The rings' cup is of one change of air.", "Say --from-rh 40 --to-rh 65 too.")
        if svg:
            from rakelight.papers.pictures.cup_year import cup_year_svg

            Path(svg).write_text(cup_year_svg(panel, year, ask.unit), "utf-8")
        if ask.as_json:
            data({"schema": 1, **_wood(panel.wood), "year": _year_cup(year), "note": wood_cups.OUTSIDE_TRUTH})
        else:
            print("\n".join(text.year_cup_lines(panel, year, ask.unit, width(), True)))
        return
    start, end = _ends(rh, mc, temp_c)
    air = rh_of_emc(temp_c, end)
    found = wood_cups.cup(facts, panel, start, temp_c, air)
    others = _others(faces[0])
    bows = wood_cups.beneath(facts, panel, start, temp_c, air, [wood_known.coated(facts, w) for w in others])
    ring = wood_cups.ring_cup(panel, end - start, read_length(pith)) if pith else None
    if svg:
        from rakelight.papers.pictures.cup import cup_svg

        alike = wood_cups.Panel(panel.wood, panel.wide_mm, panel.thick_mm, panel.cut, top, top)
        level = wood_cups.cup(facts, alike, start, temp_c, air)
        Path(svg).write_text(cup_svg(panel, found, level, ask.unit), "utf-8")
    if not ask.as_json:
        told = [(wood_known.coated(facts, w).says, mm) for w, mm in zip(others, bows, strict=True)]
        lines = text.cup_lines(panel, found, (start, end), told, ring, ask.unit, width())
        more = text.year_cup_lines(panel, year, ask.unit, width(), False) if year else []
        print("\n".join([*lines, *more]))
        return
    days = {str(day): round(found.on(day), 2) for day in wood_cups.TOLD_DAYS}
    data({"schema": 1, **_wood(panel.wood), "peak_mm": _range(found.peak_mm), "day": round(found.day.likely, 1),
          "day_range": _range(found.day), "direction": found.direction, "on_day_mm": days,
          "beneath_mm": {w: round(mm, 2) for w, mm in zip(others, bows, strict=True)},
          "ring_mm": None if ring is None else round(ring, 2), "emc_from": round(start, 3), "emc_to": round(end, 3),
          "note": wood_cups.OUTSIDE_TRUTH, **({"year": _year_cup(year)} if year else {})})  # fmt: skip


def _year_cup(year: wood_cups.YearCup) -> dict[str, Any]:
    return {
        "air": year.air.says,
        "hollow_mm": _range(year.hollow_mm), "hollow_in": year.air.season(year.hollow_day),
        "round_mm": _range(year.round_mm), "round_in": year.air.season(year.round_day),
        "on_day_mm": [round(float(v), 2) for v in year.course_mm],
    }  # fmt: skip


def ready(
    ask: Asked, meter: Meter, rh: float | None, home: tuple[float | None, float | None, str], weight: str
) -> None:
    """Go or wait."""
    facts, temp_c = load(), wood_known.temperature(ask.temp)
    target, lives = _target(home, temp_c)
    waits = wood_known.humidity(rh) if rh is not None else wood_ready.as_humidity(temp_c, target)
    if meter.lain_weeks is not None and not 0.0 <= meter.lain_weeks <= _LONGEST_WEEKS:
        raise Misread(f"It has not lain there for {meter.lain_weeks:g} weeks.", "Write a number of weeks, as 6.")
    reading = wood_ready.Reading(
        ask.known(), read_length(ask.thickness), wood_known.moisture(meter.mc + meter.correction),
        None if meter.core is None else wood_known.moisture(meter.core + meter.correction), meter.pin,
        None if meter.lain_rh is None else wood_known.settled_pct(temp_c, meter.lain_rh), meter.lain_weeks,
    )  # fmt: skip
    found = wood_ready.ready(facts, reading, target, temp_c, waits)
    weight_g = _grams(weight)
    if not ask.as_json:
        pounds = bool(re.search("lb|oz|ounce|pound", weight.lower()))
        print("\n".join(text.ready_lines(found, weight_g, pounds, width())))
        if lives:
            print("\n".join(wrapped(f"Where it will live, {target:.1f} %: {lives}.", width(), "  ", "    ")))
        return
    weights = [round(found.weight_at(weight_g, mc), 1) if weight_g else None for _, mc in found.sheet]
    sheet = [
        {"week": week, "mc_pct": round(mc, 2), "weight_g": grams}
        for (week, mc), grams in zip(found.sheet, weights, strict=True)
    ]
    data({"schema": 1, **_wood(reading.wood), "verdict": found.verdict,
          "weeks": _weeks(found), "reading_pct": _range(found.reading_pct),
          "target_pct": round(target, 2), "target_from": lives,
          "waits_at_pct": round(found.waits_at_pct, 2), "why": found.why,
          "doubts": list(found.doubts), "sheet": sheet})  # fmt: skip


def _weeks(found: wood_ready.Ready) -> dict[str, float | None] | None:
    """The wait; what lies beyond the years reckoned is null."""
    if found.weeks is None:
        return None
    return {name: round(v, 3) if math.isfinite(v) else None for name, v in zip(_ENDS, found.weeks, strict=True)}


def _grams(words: str) -> float:
    if not words:
        return 0.0
    amount = read_amount(words)
    if amount.unit != "g":
        raise Misread(f"{words!r} is no weight.", 'Write for example "4.2 kg" or "9 lb".')
    return amount.value


def _target(home: tuple[float | None, float | None, str], temp_c: float) -> tuple[float, str]:
    """Moisture of wood where it will live, and where that figure comes from; "" where it was said."""
    target_mc, home_rh, town = home
    if sum((target_mc is not None, home_rh is not None, bool(town))) > 1:
        raise Misread("Where it will live is said more than once.", "Keep one of --target-mc, --home-rh and --town.")
    if target_mc is not None:
        return wood_known.moisture(target_mc), ""
    if home_rh is not None:
        return wood_known.settled_pct(temp_c, home_rh), f"wood in air of {home_rh:g} %"
    if town:
        air = town_year(load(), town)
        mc = np.asarray(emc_pct(air.temp_c, air.rh))
        return float(mc.mean()), f"the mean of its year, {mc.min():.0f} to {mc.max():.0f} %, in {air.says}"
    low, likely, high = (100.0 * share for share in load().figure("home_moisture_share").value)
    return likely, (
        f"furniture in most of the United States, single pieces {low:.0f} to {high:.0f} % (Wood Handbook); a town "
        "says it nearer: --town Chicago"
    )


def _ends(rh: Pair, mc: Pair, temp_c: float) -> tuple[float, float]:
    """Moisture at the start and the end, each said as humidity or as moisture."""
    if all(v is None for v in (*rh, *mc)):
        mend = "Say --from-rh 40 --to-rh 65; or where it will live: --town Chicago, or --dry-rh 30 --damp-rh 60."
        raise Misread("From which air does it go to which?", mend)
    found = []
    for name, humid, wet in zip(("from", "to"), rh, mc, strict=True):
        if (humid is None) == (wet is None):
            raise Misread(f"What does it go {name}?", f"Say --{name}-rh 40, humidity, or --{name}-mc 8, moisture.")
        if humid is not None:
            found.append(wood_known.settled_pct(temp_c, humid))
        else:
            found.append(wood_known.moisture(wet or 0.0))
    return found[0], found[1]


def _others(top: str) -> list[str]:
    """Words for none, one, two and three coats beneath of what is on top; none where that cannot be counted."""
    found = re.match(r"(.+?)\s*(?:x|×)\s*\d+$", top.strip().lower())
    if not found or "+" in top:
        return []
    return ["bare" if n == 0 else f"{found[1]} x{n}" for n in _BENEATH]


def _wood(wood: KnownWood) -> dict[str, Any]:
    return {"wood": wood.name, "note_on_wood": wood.note, "source": wood.source.text, "kind": wood.source.kind.value}


def _fit(fit: wood_moves.Fits) -> dict[str, Any]:
    found = {name: round(value, 2) for name, value in vars(fit).items() if isinstance(value, float)}
    held = [{"kind": f.kind, "serves": f.serves, "engaged_mm": round(f.engaged_mm, 2), "room_mm": round(f.room_mm, 2)}
            for f in fit.fasteners]  # fmt: skip
    return {"fixed": fit.fixed, **found, "glued": fit.glued_says, "fasteners": held}


def _crack(words: str, low_mm: float, high_mm: float) -> tuple[float, float] | None:
    """Width of a crack and the swelling of the whole part, mm; None where no crack is told."""
    if not words:
        return None
    gap = read_length(words)
    if gap > _WIDEST_CRACK_MM:
        raise Misread(f"A crack of {words} is a missing board.", "Write its width, as 1/8 in or 3 mm.")
    return gap, max(high_mm - low_mm, 0.0)


def _range(spread: Spread) -> dict[str, float]:
    return {"low": round(spread.low, 3), "likely": round(spread.likely, 3), "high": round(spread.high, 3)}
