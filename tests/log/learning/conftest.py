"""A shop's file in which a shelf is made, as it is told."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from pathlib import Path

import pytest

from rakelight.desk import ShopDesk, open_shop
from rakelight.log.events import Event
from rakelight.units import read_date

EXAMPLES = Path(__file__).parents[3] / "examples"


@dataclass
class Bench:
    """Tells one shop's file what happened, each time as of that moment."""

    path: Path
    opened: list[ShopDesk]

    def at(self, now: str) -> ShopDesk:
        """The shop's file as of a moment."""
        self.opened.append(open_shop(self.path, read_date(now)))
        return self.opened[-1]

    def add(self, key: str, now: str = "8 Feb 2027 8:00", text: str = "") -> str:
        """A shelf under a name of its own."""
        shop = self.at(now)
        if not shop.shop_text:
            assert not shop.set_shop((EXAMPLES / "shop-winter.toml").read_text("utf-8"))
        return str(shop.add_piece(text or (EXAMPLES / "one-board.toml").read_text("utf-8"), f"{key}.toml")[0])

    def tell(self, key: str, kind: str, when: str, task: str = "", **said) -> Event:
        """Something that happened then and was written then."""
        shop = self.at(when)
        moment: datetime = shop.now
        return shop.tell(Event(kind, moment, moment, piece=key, task=task, **said))


@pytest.fixture
def bench(tmp_path):
    """The one shop's file of a test."""
    found = Bench(tmp_path / "shop.rakelight", [])
    yield found
    for shop in found.opened:
        shop.close()
