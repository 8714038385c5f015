"""A file that is no TOML is told in a maker's words, with its line; a schedule no part uses is read all the same."""

import pytest

from rakelight.facts import load
from rakelight.piece.file import read_piece
from rakelight.reading import read_toml
from rakelight.schedule.book import Book
from rakelight.schedule.unroll import unroll
from rakelight.shop.file import read_shop

SHOP = """
shop = "Fair"
zone = "America/Chicago"
hours = { mon-fri = "8:00-12:00" }
[place.shop]
air = [{ open = "70 F, 50 %", closed = "70 F, 50 %" }]
"""


@pytest.mark.parametrize(
    ("text", "line", "words", "mend"),
    [
        ("piece = Side table\n", 1, "in quotes", "quotes"),
        ('piece = "x"\nlong = 1 3/8 in\n', 2, "more stands on the line", '"1 3/8 in"'),
        ('piece = "x\nunit = "in"\n', 1, "never closed|not closed", "Close it"),
        ('piece = "5\\q"\n', 1, "backslash", "Leave it out"),
        ('piece = "a"\npiece = "b"\n', 2, "stands twice", "one of the two"),
        ('piece = "a"\n[part.a]\n[part.a]\n', 3, "heading stands twice", "count"),
        ('piece = "a"\n[part.a\n', 2, "bracket", "[part.top]"),
        ('wanted = [{ by = "1 June 2027"\n}]\n', 1, "not closed", "one line"),
        ("grits = [120, 150\nx = 3\n", 1, "never closed", "[120, 150, 180]"),
        ("hello\n", 1, "no =", "key = value"),
        ("start = 2027-02-31\n", 1, "no such date", "in quotes"),
    ],
)
def test_what_is_no_toml_is_told_plainly(text: str, line: int, words: str, mend: str) -> None:
    (fault,) = read_toml(text, "x.toml").findings
    assert any(part in fault.says for part in words.split("|")), fault.says
    assert mend in fault.mend
    assert fault.where.line in (line, line + 1)  # the reader notes some at the end of the line
    assert not any(jargon in fault.says for jargon in ("namespace", "declaration", "inline", "string", "statement"))


def test_a_schedule_no_part_uses_is_read_all_the_same() -> None:
    facts = load()
    text = """
piece = "Board"
unit = "in"
wanted = [{ by = "1 June 2027" }]
[part.board]
wood = "cherry"
long = 20
wide = 6
thick = 1
finish = "used"
[schedule.used]
steps = [{ do = "sand", grits = [120, 180] }]
[schedule.left]
steps = []
[schedule.other]
steps = [{ do = "paint" }]
"""
    piece, found = read_piece(text, "board.toml", facts=facts)
    shop, _ = read_shop(SHOP, "shop.toml")
    assert piece and shop and not found
    told = unroll(piece, Book(inline=piece.schedules, facts=facts), shop, facts).findings
    assert [(f.where.line, f.says) for f in told] == [
        (14, "the schedule has no steps."),
        (16, "'paint' is not a verb of a schedule."),
    ]
    assert 'Did you mean "coat"?' in told[1].mend
