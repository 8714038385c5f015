"""What the wood does, in words: movement, cup, readiness. Likely first, then the range; whose figure it is last."""

from __future__ import annotations

import math

from rakelight.papers.wrapping import wrapped
from rakelight.physics.movement import room_mm
from rakelight.schedule.wood_cups import OUTSIDE_TRUTH, TOLD_DAYS, Cup, Panel, YearCup
from rakelight.schedule.wood_known import KnownWood
from rakelight.schedule.wood_moves import Fastener, Fits, Move, YearMove, crushed_share, move_sentence
from rakelight.schedule.wood_ready import DOUBT, GO, MOVE, Ready, Wait
from rakelight.spread import Spread
from rakelight.units import G_PER_LB, G_PER_OZ, show_length

_PARTS = 32
_FLAT_MM = 0.05
_OUNCES = G_PER_LB / G_PER_OZ


def size(length_mm: float, unit: str) -> str:
    """A length in the maker's unit with the other in brackets: 1/4 in (6.5 mm).

    >>> size(6.4, "in"), size(6.4, "mm"), size(0.0, "mm")
    ('1/4 in (6.4 mm)', '6.4 mm (1/4 in)', '0 mm')
    """
    if length_mm < 0.05:
        return f"0 {unit or 'mm'}"
    metric, inch = show_length(length_mm, "mm"), show_length(length_mm, "in", _PARTS)
    return f"{inch} ({metric})" if unit == "in" else f"{metric} ({inch})"


def room_shown(need_mm: float, unit: str) -> str:
    """Room to leave in one unit, never less than is needed: up to 1/32 in, or to half a millimetre.

    >>> room_shown(3.3, "in"), room_shown(3.3, "mm"), room_shown(10.41, "mm")
    ('5/32 in', '3.5 mm', '10.5 mm')
    """
    up_mm = room_mm(need_mm, unit)
    return show_length(up_mm, "in", _PARTS) if unit == "in" else f"{up_mm:g} mm"


def allowance(need_mm: float, unit: str) -> str:
    """Room to leave in the maker's unit with the other in brackets, neither less than is needed.

    >>> allowance(3.3, "mm"), allowance(3.3, "in"), allowance(0.0, "in")
    ('3.5 mm (5/32 in)', '5/32 in (3.5 mm)', '0 in')
    """
    if need_mm <= 0.0:
        return f"0 {unit or 'mm'}"
    metric, inch = room_shown(need_mm, "mm"), room_shown(need_mm, "in")
    return f"{inch} ({metric})" if unit == "in" else f"{metric} ({inch})"


def range_of(spread: Spread, unit: str) -> str:
    """Likely and its range: 7.0 mm (4.9 to 9.3 mm)."""
    low, likely, high = (show_length(v, unit, _PARTS) if v >= 0.05 else "0" for v in spread)
    return likely if low == likely == high else f"{likely} ({low} to {high})"


def wood_lines(wood: KnownWood, width: int) -> list[str]:
    """Whose figures these are."""
    said = [f"From: {wood.source.text.removeprefix('from: ')} ({wood.source.kind.value})"]
    if wood.note:
        said.insert(0, f"Mind: {wood.note}.")
    return [line for s in said for line in wrapped(s, width, "  ", "    ")]


def move_lines(move: Move, fit: Fits, unit: str, width: int) -> list[str]:
    """A movement between two moistures, and the room it asks for."""
    what = f"{move.wood.name}, {show_length(move.wide_mm, unit)} wide, {move.cut}-sawn"
    head = f"{what}: from {move.from_pct:.1f} to {move.to_pct:.1f} % moisture {move_sentence(move, unit)}."
    lines = wrapped(head, width)
    if move.doubtful:
        lines += wrapped(f"Mind: {move.doubtful}.", width, "  ", "    ")
    return [*lines, *fit_lines(fit, unit, width), *wood_lines(move.wood, width)]


def fit_lines(fit: Fits, unit: str, width: int) -> list[str]:
    """Room for slots, drawers, panels; and what a rigid joint would do."""
    at = "each edge, the middle fixed" if fit.fixed == "middle" else "the free edge, the other fixed"
    ways = ((fit.outward_mm, "outward"), (fit.inward_mm, "inward"))
    leave = ", ".join(f"{allowance(mm, unit)} {way}" for mm, way in ways if mm > 0) or "nothing"
    panel = f"As a panel in a frame: {allowance(fit.groove_mm, unit)} of room in the groove on each side"
    if fit.bare_line_mm > 0:
        line = allowance(fit.bare_line_mm, unit)
        panel += f"; up to {line} comes to light on each side, so colour it before the frame is glued"
    said = [
        f"Leave at {at}: {leave}.",
        *(_FASTENED[f.kind](f, fit, unit) for f in fit.fasteners),
        "Breadboard end: the same slots for the outer pins, glue in the middle only.",
        f"As a drawer front or side this high: {allowance(fit.drawer_gap_mm, unit)} over it.",
        f"{panel}.",
        fit.glued_says,
    ]
    return [line for s in said for line in wrapped(s, width, "  ", "    ")]


def _slot(fastener: Fastener, fit: Fits, unit: str) -> str:
    where = f", the screw {allowance(fastener.engaged_mm, unit)} from its inner end" if fastener.engaged_mm > 0 else ""
    return f"Slot there: {allowance(fit.slot_mm, unit)} of travel beyond the screw's own width{where}."


def _button(fastener: Fastener, _fit: Fits, unit: str) -> str:
    room = allowance(fastener.room_mm, unit) if fastener.room_mm > 0 else "none"
    tongue = allowance(fastener.engaged_mm, unit)
    return f"Button: its tongue {tongue} into the groove as fitted now, room beyond it {room}."


def _clip(fastener: Fastener, fit: Fits, unit: str) -> str:
    tongue = size(fastener.engaged_mm, unit)
    if not fastener.serves:
        return f"Bent clip with a tongue of {tongue}: too short, it lets go when the top has shrunk; use buttons."
    room = f", the groove {allowance(fastener.room_mm, unit)} deeper than that" if fastener.room_mm > 0 else ""
    return f"Bent clip with a tongue of {tongue}: serves{room}."


def _plate(fastener: Fastener, _fit: Fits, unit: str) -> str:
    swing = size(fastener.engaged_mm, unit)
    does = "serves" if fastener.serves else "too little for this width; use slots or buttons"
    return f"Pivoting plate, {swing} of way to either side: {does}."


_FASTENED = {"slot": _slot, "button": _button, "clip": _clip, "plate": _plate}


def crack_lines(gap_mm: float, grows_mm: float, unit: str, width: int) -> list[str]:
    """A crack or open joint: when to leave it, and what a hard filling of the dry season does.

    Parameters: gap_mm, its width; grows_mm, the whole part from the driest to the dampest.
    """
    share = crushed_share(gap_mm, grows_mm)
    said = [
        f"Crack of {size(gap_mm, unit)}: when did it open? In the dry season do not fill it: free what holds the part "
        "across the grain, and look again in the damp season.",
    ]
    if share > 0:
        said.append(
            f"Filled hard while the wood is driest it takes {100 * share:.0f} % of the damp season's swelling as "
            "crushed wood; crushed cells do not come back, so the next dry season opens it wider or further on. What "
            "is open in the damp season may be filled or inlaid."
        )
    return [line for s in said for line in wrapped(s, width, "  ", "    ")]


def year_lines(year: YearMove, fit: Fits, unit: str, width: int) -> list[str]:
    """A year in the place lived in."""
    driest, dampest = year.driest, year.dampest
    seasons = (
        f"Driest, {year.air.season(year.driest_day)}: {driest.to_pct:.1f} %, {move_sentence(driest, unit)}.",
        f"Dampest, {year.air.season(year.dampest_day)}: {dampest.to_pct:.1f} %, {move_sentence(dampest, unit)}.",
        f"Over the year {range_of(year.swing_mm, unit)}, {_both(year.finish.says)}. A finish only slows it.",
    )
    what = f"{driest.wood.name}, {show_length(driest.wide_mm, unit)} wide, {driest.cut}-sawn"
    lines = wrapped(f"{what}, made at {year.made_pct:.1f} % moisture, in {year.air.says}:", width)
    lines += [line for s in seasons for line in wrapped(s, width, "  ", "    ")]
    return [*lines, *fit_lines(fit, unit, width), *wood_lines(driest.wood, width)]


def _both(says: str) -> str:
    return "both faces bare" if says == "bare" else f"with {says} on both faces"


def cup_lines(
    panel: Panel, cup: Cup, airs: tuple[float, float], beneath: list[tuple[str, float]], ring_mm: float | None,
    unit: str, width: int,
) -> list[str]:  # fmt: skip
    """A cup: peak, day, course, what other finishes beneath would do, and what is not known."""
    what = f"{panel.wood.name}, {show_length(panel.wide_mm, unit)} wide, {show_length(panel.thick_mm, unit)} thick"
    head = (
        f"{what}, {panel.cut}-sawn; {panel.top.says} on top, {panel.under.says} beneath; "
        f"the air, which kept the wood at {airs[0]:.1f} % moisture, now brings it to {airs[1]:.1f} % for good."
    )
    lines = wrapped(head, width)
    if cup.direction == "flat":
        said = ["It stays flat: both faces drink alike."]
    else:
        told = [(d, abs(cup.on(d))) for d in TOLD_DAYS]
        course = ", ".join(f"day {d}: {show_length(mm, unit, _PARTS)}" for d, mm in told if mm > 0.05)
        said = [
            f"Likely {range_of(cup.peak_mm, unit)} {cup.direction}, most after {cup.day.likely:.0f} days "
            f"({cup.day.low:.0f} to {cup.day.high:.0f}).",
            f"Likely course: {course}.",
        ]
    if beneath:
        other = "; ".join(f"{name} {size(mm, unit)}" for name, mm in beneath)
        said.append(f"Beneath instead: {other}. Alike on both faces, the same day, is the way to none.")
    if ring_mm is not None:
        way = "bark face hollow" if ring_mm > 0 else "bark face round"
        said.append(f"Its rings alone bend one board {size(abs(ring_mm), unit)}, {way}, whatever the coats.")
    said += [f"Mind: {note}." for note in dict.fromkeys((panel.top.note, panel.under.note)) if note]
    said.append(OUTSIDE_TRUTH)
    return [*lines, *(line for s in said for line in wrapped(s, width, "  ", "    ")), *wood_lines(panel.wood, width)]


def year_cup_lines(panel: Panel, found: YearCup, unit: str, width: int, alone: bool) -> list[str]:
    """A cup through the seasons of one place.

    Parameters: alone, where no single change of air is told above it: then what it is and whose figures it is stand
    here too.
    """
    lines = []
    if alone:
        what = f"{panel.wood.name}, {show_length(panel.wide_mm, unit)} wide, {show_length(panel.thick_mm, unit)} thick"
        head = f"{what}, {panel.cut}-sawn; {panel.top.says} on top, {panel.under.says} beneath."
        lines += wrapped(head, width)
    ways = [
        f"{range_of(bow, unit)} {way} in {found.air.season(day)}"
        for bow, way, day in (
            (found.hollow_mm, "hollow on top", found.hollow_day), (found.round_mm, "round on top", found.round_day),
        )
        if bow.likely >= _FLAT_MM
    ]  # fmt: skip
    where = f"Through the year in {found.air.says}"
    said = [f"{where}: at most {'; '.join(ways)}." if ways else f"{where} it stays flat: both faces drink alike."]
    if ways:
        said.append("By the mean days of the seasons; a week of other weather comes on top.")
    if alone:
        said += [f"Mind: {note}." for note in dict.fromkeys((panel.top.note, panel.under.note)) if note]
        said.append(OUTSIDE_TRUTH)
    lines += [line for s in said for line in wrapped(s, width, "  ", "    ")]
    return [*lines, *wood_lines(panel.wood, width)] if alone else lines


def ready_lines(found: Ready, weight_g: float, pounds: bool, width: int) -> list[str]:
    """Go or wait, why, the doubts, and a sheet to weigh by."""
    reading = found.reading_pct
    live = f"will live at {found.target_pct:.1f} %"
    head = f"Reads {reading.likely:.1f} % ({reading.low:.1f} to {reading.high:.1f}), {live}."
    verdict = {GO: "Go", MOVE: "Not here", DOUBT: "Not yet sure"}.get(found.verdict, "Wait")
    if found.weeks is None or found.verdict in (GO, DOUBT):
        said = f"{verdict}: {found.why}."
    elif not math.isfinite(found.weeks.low):
        said = f"Not within three years: {found.why}. Resaw it or dry it in a kiln."
    else:
        said = f"{verdict} {weeks_words(found.weeks)}, bare, on stickers, air round all sides: {found.why}."
    lines = [*wrapped(head, width), *wrapped(said, width, "  ", "    ")]
    lines += [line for d in found.doubts for line in wrapped(d, width, "  ", "    ")]
    if found.sheet:
        lines += ["", "Weigh it every week; it is there when the weight stands still:"]
        for week, mc in found.sheet:
            weight = f", {_weight(found.weight_at(weight_g, mc), pounds)}" if weight_g else ""
            lines.append(f"  week {week:>2}: likely {mc:.1f} %{weight}   weighed ________")
    return lines


def _weight(mass_g: float, pounds: bool) -> str:
    """Fine enough to weigh by: whole grams, or pounds and tenths of an ounce."""
    if not pounds:
        return f"{mass_g:.0f} g"
    whole, ounces = divmod(round(mass_g / G_PER_OZ, 1), _OUNCES)
    return f"{whole:.0f} lb {ounces:.1f} oz"


def weeks_words(weeks: Wait) -> str:
    """A wait in weeks, as people say it.

    >>> weeks_words(Wait(1.4, 3.2, 6.9)), weeks_words(Wait(0.1, 0.4, 1.0))
    ('3 weeks (1 to 7)', 'less than a week (1 at the most)')
    >>> weeks_words(Wait(20, 60, math.inf)), weeks_words(Wait(90, math.inf, math.inf))
    ('about 60 weeks, perhaps over three years', '90 weeks at the least, likely over three years')
    """
    if not math.isfinite(weeks.likely):
        return f"{weeks.low:.0f} weeks at the least, likely over three years"
    if not math.isfinite(weeks.high):
        return f"about {weeks.likely:.0f} weeks, perhaps over three years"
    low, likely, high = (round(v) for v in weeks)
    if likely < 1:
        return f"less than a week ({max(high, 1)} at the most)"
    return f"{likely} week{'s' * (likely > 1)} ({low} to {high})"
