"""What is wanted of a finish, in the piece's file."""

from __future__ import annotations

from rakelight.choice.slots import slots_of
from rakelight.piece.file import read_piece

PIECE = """
piece = "Table"
unit = "in"
quote = 1800
want = { warmth = "slight", repair = "easy" }
wanted = [{ by = "1 May 2027" }]
[part.top]
wood = "cherry"
long = 30
wide = 20
thick = 1
finish = "wiped-varnish"
want = { sheen = "satin", grain = "open" }
[part.leg]
kind = "leg"
wood = "cherry"
count = 4
long = 28
thick = 2
finish = "oil-and-wax"
want = { match = "top" }
"""


def test_a_part_says_more_than_the_piece_and_beats_it() -> None:
    piece, found = read_piece(PIECE, "table.toml")
    assert piece is not None and found == [] and piece.quote == 1800
    top, leg = piece.parts["top"].want.over(piece.want), piece.parts["leg"].want.over(piece.want)
    assert top.said == {"sheen": "satin", "grain": "open", "warmth": "slight", "repair": "easy"}
    assert leg.match == "top" and leg.said == {"warmth": "slight", "repair": "easy"}
    assert {slot.name for slot in slots_of(piece)} == {"top", "leg"}


def test_what_cannot_be_meant_is_told_at_its_line() -> None:
    bad = PIECE.replace('match = "top"', 'match = "drawer"').replace('"satin"', '"shiny"')
    _, found = read_piece(bad, "table.toml")
    assert {f.id for f in found} >= {"unknown-part"} and len(found) == 2
    assert all(f.where.line and f.mend for f in found)


def test_two_words_for_one_sheen_are_refused() -> None:
    _, found = read_piece(PIECE.replace('match = "top"', 'match = "top", sheen = "flat"'), "table.toml")
    assert [f.id for f in found] == ["two-sheens"]
