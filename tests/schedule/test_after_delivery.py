"""How the wood moves after delivery, against the printed coefficients and the moisture of wood of a handbook."""

from __future__ import annotations

from pathlib import Path

import pytest

from rakelight.facts import load
from rakelight.piece.file import read_piece
from rakelight.schedule.after_delivery import After, after_delivery
from rakelight.schedule.book import Book
from rakelight.schedule.unroll import unroll
from rakelight.shop.file import read_shop

SHOP = Path(__file__).parents[2] / "examples" / "shop-fair.toml"
PIECE = """piece = "Table"
unit = "mm"
lives = "{lives}"
[part.top]
kind = "panel"
wood = "{wood}"
cut = "{cut}"
long = 1200
wide = 600
thick = 22
faces = {{ top = "show" }}
finish = "oil-and-wax"
"""


def _after(lives: str = "heated house", wood: str = "red oak", cut: str = "flat") -> After:
    piece, faults = read_piece(PIECE.format(lives=lives, wood=wood, cut=cut), "t.toml")
    shop, _ = read_shop(SHOP)
    assert piece and shop and not faults, faults
    after = after_delivery(unroll(piece, Book(), shop, load()), load())
    assert after
    return after


def test_a_flat_sawn_oak_top_by_hand() -> None:
    # Wood Handbook (2010): Table 4-2, 20 C: 30 % humidity 6.2 % moisture, 60 % 10.9 to 11.0 %;
    # Table 13-5, northern red oak, tangential 0.00369: 600 mm x 0.00369 x 4.75 = 10.5 mm
    after = _after()
    assert (after.dry_pct, after.damp_pct) == pytest.approx((6.2, 11.0), abs=0.15)
    assert after.moves[0].change_mm.likely == pytest.approx(10.5, rel=0.04)
    assert after.moves[0].change_mm.low < 10.5 < after.moves[0].change_mm.high


def test_quarter_sawn_moves_less_and_out_of_doors_moves_otherwise() -> None:
    assert _after(cut="quarter").moves[0].change_mm.likely < 0.6 * _after().moves[0].change_mm.likely
    town, open_air = _after("heated house, Chicago"), _after("unheated house, Chicago")
    assert "Chicago" in town.says and "open air" in open_air.says
    assert open_air.dry_pct > town.dry_pct + 2  # winter air is damp out of doors (common practice)


def test_a_town_not_known_is_said_and_not_guessed() -> None:
    after = _after("heated house, Nowhere")
    assert "Nowhere" in after.says and "Reckoned for a heated house" in after.says
