"""Warnings as a maker reads them."""

from __future__ import annotations

import pytest

from rakelight.errors import Finding, Severity, SourceKind, Where
from rakelight.papers.findings_text import finding_lines, first_source, place_words


def _finding(severity=Severity.NOTE, says="52 um is left.", **more):
    where = more.pop("where", Where(file="case.toml", line=3, part="drawer-side", step="level"))
    return Finding("thin", severity, where, says, "Lay more coats.", more.pop("source", ""), SourceKind.MEMORY)


def test_what_stops_comes_first_then_warnings_then_notes():
    lines = finding_lines([_finding(), _finding(Severity.ERROR), _finding(Severity.WARNING)])
    assert [line for line in lines if line in ("STOP", "Warning", "Note")] == ["STOP", "Warning", "Note"]


def test_the_place_is_said_in_words_with_its_line():
    assert place_words(_finding()) == "Drawer side, level (case.toml:3)"
    assert place_words(_finding(says="Drawer side: it is bare.")) == "Level (case.toml:3)"
    assert place_words(_finding(where=Where(file="case.toml", line=3))) == "case.toml:3"
    assert place_words(_finding(where=Where(part="top", face="a, b, c, d"))) == "Top"


def test_what_differs_only_in_figures_is_said_once():
    other = _finding(says="31 um is left.", where=Where(part="back"))
    text = "\n".join(finding_lines([_finding(), other]))
    assert text.count("is left") == 1 and "The same, with other figures: Back." in text
    different = _finding(says="Nothing is left.")
    assert "\n".join(finding_lines([_finding(), different])).count("is left") == 2


@pytest.mark.parametrize(
    ("source", "short"),
    [
        ("a handbook", "a handbook"),
        ("a; b; c", "a and 2 more"),
        ('"Rags; how long" (first; part); a chart', '"Rags; how long" (first; part) and 1 more'),
        ("5' of board (", "5' of board ("),
        ("", ""),
    ],
)
def test_of_a_long_list_of_sources_the_first_is_named(source, short):
    assert first_source(source) == short


def test_lines_keep_to_the_width():
    long = _finding(says="word " * 80, source="source " * 40)
    assert max(map(len, finding_lines([long], 60))) <= 60


def test_nothing_wrong_is_no_lines():
    assert finding_lines([]) == []


def test_a_source_is_said_once_below_all_that_it_holds_for():
    one = _finding(says="52 um is left.", source="a handbook")
    other = _finding(says="Nothing is left.", source="a chart")
    same = _finding(says="Too much is left.", source="a handbook")
    lines = finding_lines([one, other, same])
    assert [line.strip() for line in lines if "from " in line] == [
        "both from a handbook (from memory)", "from a chart (from memory)"
    ]  # fmt: skip
    assert lines.index("    both from a handbook (from memory)") > next(
        n for n, line in enumerate(lines) if "Too much" in line
    )
    three = finding_lines([one, same, _finding(says="Just right.", source="a handbook")])
    assert "    all 3 from a handbook (from memory)" in three


@pytest.mark.parametrize("width", [50, 60, 79])
def test_on_narrow_paper_a_source_is_one_line(width):
    lines = finding_lines([_finding(source="a long word of a handbook, " * 12)], width)
    at = next(n for n, line in enumerate(lines) if "from a long" in line)
    assert at == len(lines) - 1 and len(lines[at]) <= width
    assert lines[at].endswith("... (from memory)")
    wide = finding_lines([_finding(source="a long word of a handbook, " * 12)], 100)
    assert not any("..." in line for line in wide)
