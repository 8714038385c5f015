"""The bow of a top through the first two months after the air changes: this finish beneath, and alike on both faces.

Grammar: the line is the likely bow, the shade behind it low to high; the plain straight line is both faces alike.
At the head the top is drawn bent, ten times as much as it would be.
"""

from __future__ import annotations

from rakelight.papers.pictures.canvas import Rules, Sheet, fitted
from rakelight.schedule.wood_cups import Cup, Panel
from rakelight.units import H_PER_DAY, show_length

_WIDE, _HIGH = 480.0, 430.0
_LEFT, _RIGHT, _TOP, _FOOT = 72.0, 460.0, 200.0, 350.0
_DAYS = 60
_BENT = 10.0  # times the bow is drawn
#: ends of a top drawn bent, and the most it is bent, px
BENT_LEFT, BENT_RIGHT, MOST_BOW_PX = 60.0, 420.0, 26.0

RULES: Rules = (
    (".wood", "fill:#d8bd92;stroke:@ink;stroke-width:2"),
    (".curve", "fill:none;stroke:@ink;stroke-width:2.6"),
    (".level", "fill:none;stroke:@shade;stroke-width:2.4;stroke-dasharray:7 4"),
    (".may", "fill:@shade-soft;stroke:none"),
    (".axis", "fill:none;stroke:@line;stroke-width:1.5"),
    (".lead", "fill:none;stroke:@ink-2;stroke-width:1.3"),
    (".coat", "fill:none;stroke:@lamp-ink;stroke-width:4"),
    (".big", "font-size:22px;font-weight:700"),
    ("paper .wood", "fill:#fff"),
)


def cup_svg(panel: Panel, cup: Cup, level: Cup, unit: str, inline: str = "") -> str:
    """The picture of a cup over sixty days. level: the same top with the same finish beneath as on top."""
    peak = show_length(cup.peak_mm.likely, unit, 32)
    title = f"{panel.wood.name} top after the air changes"
    says = (
        f"{panel.top.says} on top, {panel.under.says} beneath: likely {peak} {cup.direction} on day "
        f"{cup.day.likely:.0f}; with {panel.top.says} on both faces {show_length(level.peak_mm.likely, unit, 32)}."
    )
    sheet = Sheet(_WIDE, _HIGH, title, says, RULES, inline)
    _bent(sheet, panel, cup, unit)
    _course(sheet, panel, cup, level, unit)
    sheet.text(8, _HIGH - 12, "An estimate for a free top; a held one moves less.", "q")
    return sheet.svg()


def _bent(sheet: Sheet, panel: Panel, cup: Cup, unit: str) -> None:
    low, likely, high = (show_length(v, unit, 32) if v >= 0.05 else "0" for v in cup.peak_mm)
    head = "Stays flat" if cup.direction == "flat" else f"{likely} {cup.direction}"
    sheet.text(8, 26, head, "big")
    if cup.direction != "flat":
        sheet.text(8, 50, f"({low} to {high}), most about day {cup.day.likely:.0f}")
    scale = (BENT_RIGHT - BENT_LEFT) / panel.wide_mm
    bow = min(cup.peak_mm.likely * _BENT * scale, MOST_BOW_PX)
    bow = {"hollow on top": bow, "round on top": -bow}.get(cup.direction, 0.0)
    x, mid = (BENT_LEFT + BENT_RIGHT) / 2.0, 112.0
    thick = draw_bent(sheet, panel, mid, bow)
    sheet.text(x, 84, fitted(panel.top.says, 400), "m plate")
    sheet.text(x, mid + thick + 34, fitted(panel.under.says, 400), "m plate")
    if cup.direction != "flat":
        how = f"bent {_BENT:.0f} times as much" if abs(bow) < MOST_BOW_PX else "bend not to scale"
        sheet.text(_WIDE - 8, 26, how, "q e")


def draw_bent(sheet: Sheet, panel: Panel, y: float, bow_px: float) -> float:
    """A top drawn bent, with its coats; how thick it is drawn, px.

    Parameters: y, of its upper face; bow_px, hollow on top positive.
    """
    left, right = BENT_LEFT, BENT_RIGHT
    thick = max(panel.thick_mm * (right - left) / panel.wide_mm, 14.0)
    x = (left + right) / 2.0

    def arc(y: float, back: bool = False) -> str:
        ends = (right, left) if back else (left, right)
        return f"{ends[0]:.1f} {y - bow_px / 2:.1f}Q{x:.1f} {y + 1.5 * bow_px:.1f} {ends[1]:.1f} {y - bow_px / 2:.1f}"

    sheet.path("wood", f"M{arc(y)}L{arc(y + thick, True)}Z")
    if panel.top.permeance_ng is not None:
        sheet.path("coat", f"M{arc(y - 2)}")
    if panel.under.permeance_ng is not None:
        sheet.path("coat", f"M{arc(y + thick + 2)}")
    return thick


def _course(sheet: Sheet, panel: Panel, cup: Cup, level: Cup, unit: str) -> None:
    hours = range(0, min(int(_DAYS * H_PER_DAY), len(cup.course_mm)), 12)
    most = max(cup.peak_mm.high, 0.5)
    sign = -1.0 if cup.direction == "hollow on top" else 1.0

    def at(hour: float, bow_mm: float) -> tuple[float, float]:
        share = min(max(sign * bow_mm / most, -0.1), 1.0)
        return _LEFT + (_RIGHT - _LEFT) * hour / (_DAYS * H_PER_DAY), _FOOT - (_FOOT - _TOP) * share

    up = [at(h, float(cup.high_mm[h])) for h in hours]
    down = [at(h, float(cup.low_mm[h])) for h in hours]
    sheet.polygon("may", [*up, *reversed(down)])
    sheet.line("axis", (_LEFT, _TOP - 8), (_LEFT, _FOOT), (_RIGHT, _FOOT))
    sheet.line("level", *(at(h, float(level.course_mm[h])) for h in hours))
    sheet.line("curve", *(at(h, float(cup.course_mm[h])) for h in hours))
    for share in (0.5, 1.0):
        y = _FOOT - (_FOOT - _TOP) * share
        words = show_length(most * share, unit, 32).replace(" in", "")
        sheet.text(_LEFT - 6, y + 5, words, "e q")
    sheet.text(_LEFT - 6, _FOOT + 5, "0", "e q")
    for day in (0, 7, 14, 30, 60):
        x = at(day * H_PER_DAY, 0.0)[0]
        sheet.line("lead", (x, _FOOT), (x, _FOOT + 6))
        sheet.text(x, _FOOT + 24, f"day {day}" if day == 60 else str(day), "e q" if day == 60 else "m q")
    if cup.direction == "flat":
        sheet.text(_LEFT + 12, _FOOT - 12, "both faces alike: level", "plate")
        return
    sheet.text(_LEFT, _FOOT + 46, "dashed: the same coats on both faces", "q")
