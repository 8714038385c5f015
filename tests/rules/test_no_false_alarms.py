"""A sound plan draws no warning: the whole book on suitable woods, and the example pieces."""

from pathlib import Path

import pytest

from rakelight import rules
from rakelight.errors import Severity
from rakelight.facts import load
from rakelight.piece.file import read_piece
from rakelight.schedule.book import SHIPPED, Book
from rakelight.schedule.unroll import unroll
from rakelight.shop.file import read_shop

EXAMPLES = Path(__file__).parents[2] / "examples"
CLOSED, OPEN, MIDDLE = ("hard maple", "black cherry"), ("white oak", "white ash"), ("black walnut", "sapele")

#: woods each schedule is written for; every schedule of the book must stand here
SUITS = {
    "blotch-prone-stained": ("black cherry", "yellow birch", "eastern white pine"),
    "brushed-shellac-rubbed": CLOSED,
    "dyed-and-sealed": CLOSED,
    "filled-shellac": ("sapele", "true mahogany", "black walnut"),
    "hard-wax-oil": (*CLOSED, *OPEN, *MIDDLE),
    "lacquer-filled-rubbed": ("black walnut", "true mahogany"),
    "oil-and-wax": (*CLOSED, *OPEN, *MIDDLE),
    "oil-then-varnish": (*CLOSED, *MIDDLE),
    "oil-varnish-blend": (*CLOSED, *OPEN, *MIDDLE),
    "oily-exotic": ("Indian rosewood", "cocobolo", "teak"),
    "padded-shellac": CLOSED,
    "paste-filled-varnish": (*OPEN, *MIDDLE),
    "pumice-padded-shellac": ("true mahogany", "hard maple"),
    "seal-only": (*CLOSED, *OPEN, *MIDDLE),
    "shellac-and-wax": (*CLOSED, "yellow-poplar"),
    "sprayed-lacquer": (*CLOSED, *MIDDLE),
    "sprayed-water-borne": (*CLOSED, *OPEN),
    "tung-oil": (*CLOSED, *OPEN, *MIDDLE),
    "varnish-rubbed": ("yellow birch", "hard maple"),
    "water-borne-over-shellac": (*CLOSED, *MIDDLE),
    "wiped-varnish": (*CLOSED, *OPEN, *MIDDLE),
}


def found(piece, path, shop_name):
    facts = load()
    shop, faults = read_shop(EXAMPLES / f"{shop_name}.toml")
    assert not faults
    work = unroll(piece, Book.beside(piece, path, shop, facts), shop, facts)
    assert not work.findings, work.findings
    return rules.check(piece, work, shop, facts)


def test_every_schedule_of_the_book_is_tried():
    assert {p.stem for p in SHIPPED.glob("*.toml")} == set(SUITS)


@pytest.mark.parametrize(("schedule", "wood"), [(s, w) for s, woods in SUITS.items() for w in woods])
def test_the_book_on_suitable_woods_draws_no_warning(schedule, wood):
    text = f"""
piece = "Panel"
unit = "in"
start = "8 Feb 2027"
wanted = [{{ by = "1 Sep 2027" }}]
[part.top]
wood = "{wood}"
long = 40
wide = 18
thick = "7/8"
arris = "3 mm"
finish = "{schedule}"
both_faces = "on points"
"""
    piece, faults = read_piece(text, "panel.toml", facts=load())
    assert not faults
    bad = [f for f in found(piece, EXAMPLES / "panel.toml", "shop-fair") if f.severity is not Severity.NOTE]
    assert not bad, [(f.id, f.says) for f in bad]


@pytest.mark.parametrize(
    ("name", "shop", "notes"),
    [
        (
            "music-cabinet",
            "shop-winter",
            {"film-too-thin-to-rub", "sands-through", "rags", "spark", "unequal-faces", "open-pores-show"},
        ),
        ("eight-stools", "shop-evenings", {"rags", "open-pores-show", "sands-through", "spark"}),
        ("one-board", "shop-winter", {"rags", "spark"}),
    ],
)
def test_the_examples_draw_only_these_notes(name, shop, notes):
    path = EXAMPLES / f"{name}.toml"
    piece, faults = read_piece(path, facts=load())
    assert not faults
    all_found = found(piece, path, shop)
    assert {f.severity for f in all_found} <= {Severity.NOTE}, [(f.id, f.says) for f in all_found]
    assert {f.id for f in all_found} == notes
