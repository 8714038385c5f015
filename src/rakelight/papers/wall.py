"""The calendar for the wall, across a sheet."""

from __future__ import annotations

import re
from dataclasses import dataclass

from rakelight.errors import Finding
from rakelight.papers.pictures.calendar import draw
from rakelight.papers.pictures.calendar_rows import WIDE_ROWS, calendar_model
from rakelight.plan.model import Plan
from rakelight.schedule.tasks import Work
from rakelight.shop.model import Shop
from rakelight.units import MM_PER_IN

#: room for the picture on the smaller of the two sheets, either way
_WIDE_MM, _HIGH_MM = 259.0, 185.0
_WORDS_PX = 16.0  # the least size in a picture as the pages show it
_LEAST_PT = 9.0
_PT_PER_IN = 72.0
_FEWEST_ROWS = 4


@dataclass(frozen=True)
class WallCalendar:
    """The picture, and the same in words."""

    words: str
    picture: str


def wall_calendar(work: Work, plan: Plan, shop: Shop, findings: tuple[Finding, ...]) -> WallCalendar:
    """The calendar as the pages draw it, wide; fewer parts by name where its words would be too small to read."""
    for rows in range(WIDE_ROWS, _FEWEST_ROWS - 1, -1):
        svg = draw(calendar_model(work, plan, shop, findings, most_rows=rows), False)
        if _type_pt(svg) >= _LEAST_PT:
            break
    words = re.search(r"<desc[^>]*>(.*?)</desc>", svg, re.DOTALL)
    return WallCalendar(words.group(1) if words else "", svg)


def _type_pt(svg: str) -> float:
    """Size on paper of the words of a picture, pt."""
    box = re.search(r'viewBox="[\d.-]+ [\d.-]+ ([\d.]+) ([\d.]+)"', svg)
    if box is None:
        return _LEAST_PT
    mm_per_px = min(_WIDE_MM / float(box.group(1)), _HIGH_MM / float(box.group(2)))
    return _WORDS_PX * mm_per_px * _PT_PER_IN / MM_PER_IN
