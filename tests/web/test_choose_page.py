"""Which finish by the date, as it stands on the page."""

from __future__ import annotations

import shutil
from pathlib import Path

from rakelight.desk import open_desk
from rakelight.desk.choosing import choose_for
from rakelight.schedule.book import SHIPPED, Shelf
from rakelight.units import read_date
from rakelight.web.content.choose_page import choose_page

EXAMPLES = Path(__file__).parents[2] / "examples"


def test_the_wished_finish_stands_first_and_each_other_says_what_it_gains_and_loses(tmp_path):
    desk = open_desk(
        EXAMPLES / "one-board.toml", EXAMPLES / "shop-winter.toml", now=read_date("8 Feb 2027 8:00"),
        by=read_date("10 April 2027"), log_path=Path("never-written.jsonl"),
    )  # fmt: skip
    names = ("oil-and-wax", "padded-shellac", "water-borne-over-shellac", "wiped-varnish")
    for name in names:
        shutil.copy(SHIPPED / f"{name}.toml", tmp_path)
    desk.book.shelves = [Shelf(tmp_path, "own")]
    choice = choose_for(desk, planned=4)
    page = choose_page(choice)
    assert page.rows[0].wished and page.rows[0].finishes[0][1] == "Oil and wax" and not page.rows[0].take
    assert len(page.rows) == 1 + len(choice.options or choice.nearest)
    for row, option in zip(page.rows[1:], choice.options, strict=False):
        assert row.gained or row.lost
        assert bool(row.fails) is not option.fits
        changed = any(make.changed for make in option.makes.values())
        assert bool(row.take) is not changed  # only what stands in the book can be written by its name
    assert page.verdict[0].startswith("As wished (Board: Oil and wax)")
