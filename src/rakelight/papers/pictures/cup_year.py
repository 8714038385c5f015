"""The bow of a top through the seasons of the place it lives in: at its hollowest, at its roundest, and its year.

Grammar: each season the top is drawn bent, so many times as much as it says; below, the line is the likely bow day by
day, the shade behind it low to high, and the level line is flat: above it round on top, beneath it hollow.
"""

from __future__ import annotations

from rakelight.papers.pictures.canvas import Rules, Sheet, fitted
from rakelight.papers.pictures.cup import BENT_LEFT, BENT_RIGHT, MOST_BOW_PX, draw_bent
from rakelight.papers.pictures.cup import RULES as CUP_RULES
from rakelight.schedule.wood_air import DAYS, MONTHS
from rakelight.schedule.wood_cups import Panel, YearCup
from rakelight.spread import Spread
from rakelight.units import show_length

_WIDE = 480.0
_ROW = 106.0  # room of one season, beside what the top is thick
_LEFT, _RIGHT, _HIGH = 72.0, 460.0, 124.0
_TIMES = (100, 50, 20, 10, 5, 2, 1)
_NONE_MM = 0.05

RULES: Rules = (*CUP_RULES, (".flat", "fill:none;stroke:@line;stroke-width:1.5"))


def cup_year_svg(panel: Panel, year: YearCup, unit: str, inline: str = "") -> str:
    """The picture of a cup through the year.

    Parameters: year, of `wood_cups`; unit, in or mm; inline, a name where it stands in a page.
    """
    seasons = seasons_of(year)
    scale = (BENT_RIGHT - BENT_LEFT) / panel.wide_mm
    row = _ROW + max(panel.thick_mm * scale, 14.0)
    faces = 8.0 + row * max(1, len(seasons))
    chart = faces + 46.0
    foot = chart + _HIGH + 66.0 if seasons else faces + 28.0
    title = f"{panel.wood.name} top through the year"
    sheet = Sheet(_WIDE, foot + 12.0, title, f"In {year.air.says}: {year_words(year, unit)}", RULES, inline)
    most = max((bow.likely for _, bow, _ in seasons), default=0.0)
    times = next((n for n in _TIMES if most * n * scale <= MOST_BOW_PX), 0)
    for n, (way, bow, season) in enumerate(seasons):
        _season(sheet, panel, (way, bow, season), (row * n, times, scale), unit)
    if not seasons:
        sheet.text(8, 26, "Stays flat through the year", "big")
        draw_bent(sheet, panel, 76.0, 0.0)
    else:
        how = f"bent {times} times as much" if times > 1 else "as it is" if times else "bend not to scale"
        sheet.text(_WIDE - 8, 50, how, "q e")
        _course(sheet, year, chart, unit)
    sheet.text(8, faces, fitted(f"On top {panel.top.says}, beneath {panel.under.says}", _WIDE - 16), "q")
    sheet.text(8, foot, "By mean days of the seasons, for a free top.", "q")
    return sheet.svg()


def seasons_of(year: YearCup) -> list[tuple[str, Spread, str]]:
    """Its two seasons: which way, how far (mm), and when; one, or none, where it does not bow so."""
    both = (("hollow", year.hollow_mm, year.hollow_day), ("round", year.round_mm, year.round_day))
    return [(way, bow, year.air.season(day)) for way, bow, day in both if bow.likely >= _NONE_MM]


def year_words(year: YearCup, unit: str) -> str:
    """The same in a sentence."""
    told = [f"{_size(bow.likely, unit)} ({_size(bow.low, unit)} to {_size(bow.high, unit)}) {way} on top in {season}"
            for way, bow, season in seasons_of(year)]  # fmt: skip
    return f"at most {', and '.join(told)}." if told else "it stays flat; both faces drink alike."


def _size(mm: float, unit: str) -> str:
    return show_length(mm, unit, 32) if mm >= _NONE_MM else "0"


def _season(
    sheet: Sheet, panel: Panel, told: tuple[str, Spread, str], at: tuple[float, int, float], unit: str
) -> None:
    (way, bow, season), (y, times, scale) = told, at
    sheet.text(8, y + 26, f"{way.capitalize()} in {season}: {_size(bow.likely, unit)}", "big")
    sheet.text(8, y + 50, f"({_size(bow.low, unit)} to {_size(bow.high, unit)})")
    px = min(bow.likely * max(times, 1) * scale, MOST_BOW_PX)
    draw_bent(sheet, panel, y + 80.0, px if way == "hollow" else -px)


def _course(sheet: Sheet, year: YearCup, top: float, unit: str) -> None:
    """The year: months across, round up and hollow down from the level line."""
    most = max(float(year.high_mm.max()), 0.0)
    least = min(float(year.low_mm.min()), 0.0)
    span = max(most - least, 0.5)

    def at(day: float, bow_mm: float) -> tuple[float, float]:
        return _LEFT + (_RIGHT - _LEFT) * day / (DAYS - 1), top + _HIGH * (most - bow_mm) / span

    days = [*range(0, DAYS, 5), DAYS - 1]
    band = [at(d, float(year.high_mm[d])) for d in days]
    sheet.polygon("may", [*band, *reversed([at(d, float(year.low_mm[d])) for d in days])])
    level = at(0, 0.0)[1]
    sheet.line("flat", (_LEFT, level), (_RIGHT, level))
    sheet.line("curve", *(at(d, float(year.course_mm[d])) for d in days))
    sheet.line("axis", (_LEFT, top - 8), (_LEFT, top + _HIGH + 8), (_RIGHT, top + _HIGH + 8))
    sheet.text(_LEFT - 8, level + 5, "flat", "e q")
    for end, way in ((most, "round"), (least, "hollow")):
        y = at(0, end)[1]
        if abs(y - level) >= 20:
            sheet.text(_LEFT - 8, y + 5, way, "e q")
    for n in (0, 3, 6, 9):
        x = _LEFT + (_RIGHT - _LEFT) * n / 12
        sheet.line("lead", (x, top + _HIGH + 8), (x, top + _HIGH + 14))
        name = MONTHS[n][:3] if year.air.dated else {0: "dry season", 6: "damp season"}.get(n, "")
        if name:
            sheet.text(x, top + _HIGH + 32, name, "q")
    for day in {int(year.course_mm.argmin()), int(year.course_mm.argmax())}:
        bow = float(year.course_mm[day])
        if abs(bow) < _NONE_MM:
            continue
        x, y = at(day, bow)
        cls = "plate b e" if x > (_LEFT + _RIGHT) / 2 else "plate b"
        sheet.text(min(max(x, _LEFT + 6), _RIGHT), y + (-8 if bow > 0 else 20), _size(abs(bow), unit), cls)
