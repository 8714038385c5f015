"""A top at its driest and dampest, to scale, with the slot its fixing needs full size; and its year as two lines.

Grammar: solid is the driest, the lined strip is how far it moves, dashed is the dampest; a pin is a fixed line.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence

import numpy as np
from numpy.typing import NDArray

from rakelight.papers.pictures.canvas import Rules, Sheet, fitted
from rakelight.papers.wood_text import room_shown
from rakelight.physics.movement import room_mm
from rakelight.schedule.wood_air import DAYS, MONTHS
from rakelight.schedule.wood_moves import Fits, YearMove
from rakelight.units import MM_PER_IN, show_length

Floats = NDArray[np.float64]
Show = Callable[[float], str]

_WIDE, _LEFT, _RIGHT = 380.0, 34.0, 330.0
_TOP, _FOOT = 64.0, 96.0
_PX_PER_MM = 96.0 / MM_PER_IN  # full size in print: a CSS inch is 96 px
_SCREW_MM = 4.2  # a no. 8 screw's shank
_LONGEST_SLOT_PX = 300.0
_YEAR_TOP, _YEAR_HIGH, _GAP = 496.0, 96.0, 96.0
_UNDER = 22.0  # room below a curve for its least figure

RULES: Rules = (
    (".wood", "fill:#d8bd92;stroke:none"),
    (".edge", "fill:none;stroke:@ink;stroke-width:2.2;stroke-linejoin:round"),
    (".grain", "fill:none;stroke:#8f6b3d;stroke-width:1.4"),
    (".dash", "fill:none;stroke:@ink;stroke-width:2;stroke-dasharray:4 3"),
    (".pin", "fill:none;stroke:@ink;stroke-width:3"),
    (".lead", "fill:none;stroke:@ink-2;stroke-width:1.3"),
    (".parts", "fill:none;stroke:@hair;stroke-width:2"),
    (".slot", "fill:@board;stroke:@ink;stroke-width:2"),
    (".cleat", "fill:@sunk;stroke:@line;stroke-width:1"),
    (".screw", "fill:@lamp;stroke:@ink;stroke-width:2"),
    (".ghost", "fill:none;stroke:@ink;stroke-width:2;stroke-dasharray:3 3"),
    (".curve", "fill:none;stroke:@ink;stroke-width:2.2"),
    (".may", "fill:@shade-soft;stroke:none"),
    (".big", "font-size:22px;font-weight:700"),
    ("paper .wood,paper .screw", "fill:#fff"),
)


def movement_svg(year: YearMove, fit: Fits, thick_mm: float, unit: str, inline: str = "") -> str:
    """The picture of a year's movement: the part at driest and dampest, its slot full size, its year.

    Parameters: year, of `wood_moves`; fit, its slots; unit, in or mm; inline, a name where it stands in a page.
    """
    low = year.driest
    total = year.swing_mm
    title = f"{low.wood.name} at driest and dampest"
    says = (
        f"{show_length(low.wide_mm, unit)} wide; between {year.air.season(year.driest_day)} and "
        f"{year.air.season(year.dampest_day)} it moves {show_length(total.likely, unit, 32)}. "
        "Slot drawn full size with the screw at driest, as made and dampest; moisture and width through the year."
    )
    name = f"{inline}-moves" if inline else "moves"
    rules = (*RULES, (".strip", f"fill:url(#{name});stroke:none"))
    sheet = Sheet(_WIDE, _YEAR_TOP + 2 * (_YEAR_HIGH + _GAP) - 48, title, says, rules, inline)
    sheet.define(
        f'<pattern id="{sheet.id("moves")}" width="4" height="4" patternUnits="userSpaceOnUse">'
        '<path d="M0 3H4" stroke="#171d1e" stroke-width="1.4"/></pattern>'
    )
    _part(sheet, year, fit, unit)
    _slot(sheet, year, fit, unit)
    _year(sheet, year, unit)
    return sheet.svg()


def _part(sheet: Sheet, year: YearMove, fit: Fits, unit: str) -> None:
    """The part across the grain, to scale: driest solid, dampest dashed, what lies between lined."""
    dry = year.driest.wide_mm + year.driest.change_mm.likely
    damp = year.dampest.wide_mm + year.dampest.change_mm.likely
    scale = (_RIGHT - _LEFT) / damp
    moved = (damp - dry) * scale
    left = _LEFT + (moved / 2.0 if fit.fixed == "middle" else 0.0)
    right = left + dry * scale
    sheet.text(8, 22, f"Driest, {year.air.season(year.driest_day)}", "b")
    sheet.text(_WIDE - 8, 22, f"Dampest, {year.air.season(year.dampest_day)}", "b e")
    sheet.rect("wood", left, _TOP, right - left, _FOOT - _TOP)
    for n in range(1, 9):
        x = left + (right - left) * n / 9
        rise = _TOP - 2 + 2.5 * abs(n - 4.5)
        sheet.path("grain", f"M{x - 14:.1f} {_FOOT:.1f}Q{x:.1f} {rise:.1f} {x + 14:.1f} {_FOOT:.1f}")
    strips = [(right, _RIGHT)] + ([(_LEFT, left)] if fit.fixed == "middle" else [])
    for start, end in strips:
        sheet.path("strip", f"M{start:.1f} {_TOP}H{end:.1f}V{_FOOT}H{start:.1f}Z")
    sheet.line("edge", (left, _TOP), (right, _TOP), (right, _FOOT), (left, _FOOT), (left, _TOP))
    for start, end in strips:
        outer = end if start >= right else start
        inner = start if start >= right else end
        sheet.line("dash", (inner, _TOP), (outer, _TOP), (outer, _FOOT), (inner, _FOOT))
    pin = (left + right) / 2.0 if fit.fixed == "middle" else left + 8.0
    sheet.line("pin", (pin, _TOP + 4), (pin, _FOOT + 14))
    sheet.line("pin", (pin - 5, _TOP + 4), (pin + 5, _TOP + 4))
    sheet.text(pin + 8, _FOOT + 18, "fixed")
    sheet.line("lead", (74, 28), (74, 44), (right - 2, 44), (right - 2, _TOP - 2))
    sheet.line("lead", (348, 28), (348, 48), (_RIGHT, 48), (_RIGHT, _TOP - 2))
    wide = f"{fitted(year.driest.wood.name, 180)}, {show_length(year.driest.wide_mm, unit)}"
    sheet.text(8, _FOOT + 50, f"{wide}; drawn to scale", "q")
    low, likely, high = (show_length(v, unit, 32) for v in year.swing_mm)
    sheet.text(8, _FOOT + 82, f"It moves {likely}", "big")
    sheet.text(8, _FOOT + 106, f"({low} to {high}) over the year")


def _slot(sheet: Sheet, year: YearMove, fit: Fits, unit: str) -> None:
    """The slot at the moving edge, full size in print, with the screw at driest, as made and dampest."""
    share = 0.5 if fit.fixed == "middle" else 1.0
    at = (year.driest.change_mm.likely * share, 0.0, year.dampest.change_mm.likely * share)
    travel = max(fit.slot_mm, room_mm(max(at) - min(at), unit))
    scale = min(_PX_PER_MM, _LONGEST_SLOT_PX / (travel + _SCREW_MM))
    long, high = (travel + _SCREW_MM) * scale, _SCREW_MM * scale
    y, middle = 312.0, _WIDE / 2.0
    sheet.line("parts", (8, 222), (_WIDE - 8, 222))
    whole = scale == _PX_PER_MM
    sheet.text(8, 248, "Slot at the moving edge", "b")
    sheet.text(_WIDE - 8, 248, "full size in print" if whole else "made smaller", "q e")
    sheet.rect("cleat", 40, y - 26, 300, 52)
    half, r = long / 2.0, high / 2.0
    sheet.path(
        "slot",
        f"M{middle - half + r:.1f} {y - r:.1f}H{middle + half - r:.1f}A{r:.1f} {r:.1f} 0 0 1 {middle + half - r:.1f} "
        f"{y + r:.1f}H{middle - half + r:.1f}A{r:.1f} {r:.1f} 0 0 1 {middle - half + r:.1f} {y - r:.1f}Z",
    )
    centre = (max(at) + min(at)) / 2.0
    dry, made, damp = (middle + (value - centre) * scale for value in at)
    sheet.circle("ghost", (dry, y), r - 1)
    sheet.circle("ghost", (damp, y), r - 1)
    sheet.circle("screw", (made, y), r - 1)
    sheet.line("lead", (dry, y - r), (dry, y - 34))
    sheet.line("lead", (damp, y - r), (damp, y - 34))
    sheet.text(min(dry, middle - 4) - 2, y - 30, "driest", "e plate")
    sheet.text(max(damp, middle + 4) + 2, y - 30, "dampest", "plate")
    sheet.line("lead", (made, y + r), (made, y + 34))
    sheet.text(made, y + 50, "the screw as made", "m b")
    sheet.text(8, y + 80, f"{room_shown(travel, unit)} longer than a no. 8 screw is thick")
    inch = MM_PER_IN * scale
    sheet.line("pin", (8, y + 98), (8 + inch, y + 98))
    sheet.text(16 + inch, y + 104, f"1 in ({MM_PER_IN:g} mm)", "q")


def _year(sheet: Sheet, year: YearMove, unit: str) -> None:
    """Moisture and width by month, likely as a line, low to high as the shade behind it."""
    _chart(sheet, _YEAR_TOP, "Moisture of the wood", [year.mc_pct[:, n] for n in range(3)],
           lambda v: f"{v:.1f} %", year)  # fmt: skip
    _chart(sheet, _YEAR_TOP + _YEAR_HIGH + _GAP, "Width against as made", [year.change_mm[:, n] for n in range(3)],
           lambda v: ("+" if v > 0 else "−" if v < 0 else "") + show_length(abs(v), unit, 32), year)  # fmt: skip


def _chart(sheet: Sheet, top: float, name: str, three: Sequence[Floats], shown: Show, year: YearMove) -> None:
    low, high = min(float(v.min()) for v in three), max(float(v.max()) for v in three)
    span = max(high - low, 1e-9)
    left, right = _LEFT, _RIGHT + 30.0

    def at(day: float, value: float) -> tuple[float, float]:
        return left + (right - left) * day / (DAYS - 1), top + _YEAR_HIGH * (high - value) / span

    days = list(range(0, DAYS, 7))
    least = [min(float(v[d]) for v in three) for d in days]
    most = [max(float(v[d]) for v in three) for d in days]
    sheet.text(8, top - 26, name, "b")
    band = [at(d, v) for d, v in zip(days, most, strict=True)]
    sheet.polygon("may", [*band, *reversed([at(d, v) for d, v in zip(days, least, strict=True)])])
    sheet.line("curve", *(at(d, float(three[1][d])) for d in days))
    foot = top + _YEAR_HIGH + _UNDER
    sheet.line("lead", (left, foot), (right, foot))
    likely = three[1]
    for day in (int(likely.argmin()), int(likely.argmax())):
        x, y = at(day, float(likely[day]))
        side = "e" if x > (left + right) / 2 else ""
        up = y - 7 if day == int(likely.argmax()) else y + 17
        sheet.text(min(max(x, left), right), up, shown(float(likely[day])), f"plate b {side}".strip())
    if year.air.dated:
        for n in (0, 3, 6, 9):
            sheet.text(left + (right - left) * n / 12, foot + 20, MONTHS[n][:3], "q")
    else:
        sheet.text(left, foot + 20, "dry season", "q")
        sheet.text((left + right) / 2, foot + 20, "damp season", "q m")
