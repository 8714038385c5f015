"""What a shop's file says of choosing and of money."""

from __future__ import annotations

import pytest

from rakelight.errors import Misread
from rakelight.shop.choosing import read_odds, read_price
from rakelight.shop.file import read_shop

SHOP = """
shop = "Shop"
zone = "America/Chicago"
hours = { mon-fri = "8:00-17:00" }
[place.shop]
air = [{ open = "70 F, 50 %", closed = "70 F, 50 %" }]
"""


@pytest.mark.parametrize("said, share", [("8 in 10", 0.8), ("85 %", 0.85), (0.9, 0.9), ("9 in 12", 0.75)])
def test_odds_as_they_are_said(said: object, share: float) -> None:
    assert read_odds(said) == pytest.approx(share)


@pytest.mark.parametrize("said", ["surely", "11 in 10", "3", True, "0 %", "8 in 0"])
def test_odds_that_are_none(said: object) -> None:
    with pytest.raises(Misread):
        read_odds(said)


def test_prices_by_volume_and_by_weight() -> None:
    """A US quart holds 946 ml and a pound 454 g (exact by definition, rounded)."""
    quart, pound = read_price("18 a quart"), read_price("40 per lb")
    assert (quart.money, round(quart.per), quart.unit) == (18.0, 946, "ml")
    assert (pound.money, round(pound.per), pound.unit) == (40.0, 454, "g")
    assert read_price("22,50 for 500 ml").money == 22.5
    for said in ("18", "a quart", "18 a handful"):
        with pytest.raises(Misread):
            read_price(said)


def test_a_shop_says_how_it_chooses_and_what_things_cost() -> None:
    more = """
[choose]
odds = "9 in 10"
smell = "little"
flammable = false
likes = ["oil-and-wax"]
without = ["boiled linseed oil"]
[money]
currency = "dollars"
hour = 45
overhead = 12
prices = { "boiled linseed oil" = "18 a quart", "denatured alcohol" = "20 a gallon" }
"""
    shop, found = read_shop(SHOP + more, "shop.toml")
    assert shop is not None and found == []
    said, money = shop.choosing, shop.money
    assert (said.odds, said.smell, said.flammable, said.likes) == (0.9, "little", False, ("oil-and-wax",))
    assert said.without == ("linseed_boiled",)
    assert (money.hour, money.overhead, set(money.prices)) == (45, 12, {"linseed_boiled", "denatured alcohol"})


def test_what_it_cannot_mean_is_told_with_its_line_and_what_to_write() -> None:
    more = '[choose]\nodds = "surely"\nsmell = "much"\nwithout = ["moonshine"]\n[money]\nhours = 4\n'
    _, found = read_shop(SHOP + more, "shop.toml")
    assert len(found) == 4 and all(f.where.line and f.mend for f in found)
