"""Lead is minded where an old film stays on the part, and not where the maker's own coats are scuffed."""

from __future__ import annotations

import pytest

from rakelight.facts import load
from rakelight.piece.file import read_piece
from rakelight.schedule.book import Book
from rakelight.schedule.cautions import cautions_of
from rakelight.schedule.unroll import unroll
from rakelight.shop.file import read_shop

FACTS = load()
SHOP = """
shop = "Garage"
zone = "America/Chicago"
hours = { mon-sun = "8:00-17:00" }
[place.garage]
air = [{ open = "68 F, 45 %", closed = "60 F, 50 %" }]
"""
BOARD = """
piece = "Door"
unit = "in"
wanted = [{{ by = "20 June 2027" }}]
[part.door]
wood = "oak"
long = 30
wide = 12
thick = "7/8"
finish = "wiped-varnish"
{old}
"""


OLD = 'old = { with = "brushing urethane varnish", film = "3 mil" }'


@pytest.mark.parametrize(("old", "minded"), [(OLD, True), ("", False)])
def test_lead_is_a_matter_of_an_old_film(old, minded):
    piece, found = read_piece(BOARD.format(old=old), "door.toml", FACTS)
    assert piece, found
    shop, _ = read_shop(SHOP, "shop.toml")
    work = unroll(piece, Book(facts=FACTS), shop, FACTS)
    scuffs = [t for t in work.jobs["door"].tasks if t.do == "scuff" and not t.board]
    assert scuffs
    told = [" ".join(words for c in cautions_of(work, task, FACTS) for words in c.text) for task in scuffs]
    assert all(("lead" in words) is minded and "slurry" in words for words in told)
