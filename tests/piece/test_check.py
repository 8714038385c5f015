"""Faces that get nothing are named; what a joined part gives is not missed."""

from __future__ import annotations

from rakelight.errors import Severity
from rakelight.piece.file import read_piece

HEAD = 'piece = "Box"\nunit = "mm"\n'
BOARD = '[part.a]\nwood = "ash"\nlong = 100\nwide = 50\nthick = 10\n'
CASE = '[part.c]\nkind = "box"\nwood = "ash"\nwide = 300\ndeep = 200\nhigh = 100\nthick = 12\n'


def _ids(text: str) -> list[tuple[str, Severity]]:
    _, findings = read_piece(HEAD + text, "box.toml")
    return [(f.id, f.severity) for f in findings]


def test_a_part_without_finish() -> None:
    """A warning where it shows, a note where it does not, nothing where the joined part finishes it."""
    assert _ids(BOARD) == [("no-finish", Severity.WARNING)]
    hidden = 'faces = { top = "hidden", underside = "hidden", edges = "hidden", ends = "hidden" }\n'
    assert _ids(BOARD + hidden) == [("no-finish", Severity.NOTE)]
    assert _ids(BOARD + '[part.x]\nof = { a = 1 }\nfinish = "oil-and-wax"') == []
    assert _ids(BOARD + "[part.x]\nof = { a = 1 }") == [("no-finish", Severity.WARNING)]


def test_a_show_face_without_finish() -> None:
    """Warned of, unless it is bare by its role or a part two joins further gives it one."""
    one = BOARD + 'finish = { top = "oil-and-wax" }\n'
    assert _ids(one) == [("show-without-finish", Severity.WARNING)]
    others = 'faces = { underside = "bare", edges = "bare", ends = "glue" }\n'
    assert _ids(BOARD + others + 'finish = { top = "oil-and-wax" }\n') == []
    assert (
        _ids(one + '[part.x]\nof = { a = 1 }\n[part.y]\nof = { x = 1 }\nfinish = { show = "oil-and-wax" }')
        == []
    )


def test_the_inside_of_a_box() -> None:
    """Gets nothing from one schedule, and a note; named for itself it is silent."""
    assert _ids(CASE + 'finish = "oil-and-wax"') == [("inside-bare", Severity.NOTE)]
    assert _ids(CASE + 'finish = { all = "oil-and-wax", inside = "seal-only" }') == []
    assert _ids(CASE + 'faces = { inside = "bare" }\nfinish = "oil-and-wax"') == []


def test_a_finish_for_a_face_that_gets_none() -> None:
    """Sliding and bare are asked about, glue is an error."""
    sliding = 'faces = { underside = "sliding" }\nfinish = { all = "oil-and-wax", underside = "seal-only" }'
    assert _ids(BOARD + sliding) == [("finish-on-bare", Severity.WARNING)]
    glue = sliding.replace("sliding", "glue")
    assert _ids(BOARD + glue) == [("finish-on-glue", Severity.ERROR)]
