"""Room told for wood that moves is never less than it needs, in either unit."""

from __future__ import annotations

import re
from fractions import Fraction

import pytest

from rakelight.facts import load
from rakelight.papers.wood_text import fit_lines
from rakelight.schedule import wood_moves
from rakelight.schedule.wood_known import wood_known
from rakelight.units import MM_PER_IN

FACTS = load()
SLACK_MM = 0.5
_METRIC = re.compile(r"([\d.]+) mm")
_INCHES = re.compile(r"\b((?:\d+ )?\d+(?:/\d+)?) in\b")


def _line(said, lead):
    return next(" ".join(line.split()) for line in said if lead in line)


def _least_mm(line):
    """Each length told in a line, mm: the least of them."""
    metric = [float(n) for n in _METRIC.findall(line)]
    inches = [float(sum(Fraction(n) for n in found.split())) * MM_PER_IN for found in _INCHES.findall(line)]
    assert metric and inches, line
    return min(metric + inches)


@pytest.mark.parametrize("unit", ["mm", "in"])
@pytest.mark.parametrize("wood", ["black walnut", "red oak", "sugar maple"])
def test_no_bracket_tells_less_room_than_the_wood_needs(wood, unit):
    short = []
    for wide_mm in range(200, 1200, 60):
        move = wood_moves.moves(wood_known(FACTS, wood), wide_mm, "flat", 7.7, 12.0)
        fit = wood_moves.fits(FACTS, move, move, "middle", unit)
        said = fit_lines(fit, unit, 400)
        grows = move.change_mm.high
        needs = {
            "Leave at": grows / 2, "Slot there": grows / 2,
            "As a drawer front": grows + SLACK_MM, "As a panel": grows / 2 + SLACK_MM,
        }  # fmt: skip
        short += [(wide_mm, lead) for lead, need in needs.items() if _least_mm(_line(said, lead)) < need - 1e-6]
    assert not short


def test_room_is_not_given_away_either():
    """400 mm of walnut need 3.3 mm in the groove: 3.5 mm or 5/32 in, not more."""
    move = wood_moves.moves(wood_known(FACTS, "black walnut"), 400.0, "flat", 7.7, 12.0)
    line = _line(fit_lines(wood_moves.fits(FACTS, move, move, "middle", "mm"), "mm", 400), "As a panel")
    assert line.startswith("As a panel in a frame: 3.5 mm (5/32 in) of room")


@pytest.mark.parametrize("from_pct", [3.0, 6.0, 8.0, 12.0, 20.0, 28.0])
def test_which_side_a_figure_beyond_its_range_runs_to(from_pct):
    """Against the change by shrinkage, eq. 13-3 of the Wood Handbook: width over 100 F/S - F + M at the start."""
    move = wood_moves.moves(wood_known(FACTS, "black walnut"), 400.0, "flat", from_pct, 4.0)
    shrinkage_pct = 7.8  # black walnut, tangential, Table 4-3
    exact_mm = 400.0 * (4.0 - from_pct) / (100.0 * 30.0 / shrinkage_pct - 30.0 + from_pct)
    off = move.change_mm.likely / exact_mm - 1.0
    assert f"runs a little {'low' if off < 0 else 'high'}" in move.doubtful
    assert ("less than 1 %" if abs(off) < 0.01 else f"about {abs(off):.0%}".replace("%", " %")) in move.doubtful
    assert not wood_moves.moves(wood_known(FACTS, "black walnut"), 400.0, "flat", 8.0, 11.0).doubtful
