"""A shop's file with pieces of the examples in it."""

from __future__ import annotations

from pathlib import Path

import pytest

from rakelight.desk import ShopDesk, open_shop
from rakelight.units import read_date

EXAMPLES = Path(__file__).parents[2] / "examples"
NOW = "8 Feb 2027 8:00"


@pytest.fixture
def shop_at(tmp_path):
    """Opens the one shop's file of a test, as of a moment."""
    opened: list[ShopDesk] = []

    def call(now: str = NOW, name: str = "shop.rakelight") -> ShopDesk:
        opened.append(open_shop(tmp_path / name, read_date(now)))
        return opened[-1]

    yield call
    for shop in opened:
        shop.close()


@pytest.fixture
def shop(shop_at):
    """A shop with its settings and a shelf."""
    desk = shop_at()
    assert not desk.set_shop((EXAMPLES / "shop-fair.toml").read_text("utf-8"))
    key, _ = desk.add_piece((EXAMPLES / "one-board.toml").read_text("utf-8"), "one-board.toml")
    assert key == "one-board"
    return desk
