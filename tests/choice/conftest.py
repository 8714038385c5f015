"""Small pieces, small books and shops in which every finish can be tried."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest

from rakelight.desk import Desk, open_desk
from rakelight.schedule.book import SHIPPED, Shelf
from rakelight.units import read_date

ROOT = Path(__file__).parents[2]
EXAMPLES = ROOT / "examples"


@pytest.fixture
def on_desk(tmp_path: Path) -> Callable[..., Desk]:
    """A piece as TOML on the desk, in a shop of the examples or one as TOML; beside it a book of a few schedules."""

    def put(
        piece: str, shop: str = "shop-fair", now: str = "8 Feb 2027 8:00", by: str = "", book: tuple[str, ...] = ()
    ) -> Desk:
        path = tmp_path / "piece.toml"
        path.write_text(piece, "utf-8")
        place = EXAMPLES / f"{shop}.toml"
        if "\n" in shop:
            place = tmp_path / "shop.toml"
            place.write_text(shop, "utf-8")
        desk = open_desk(path, place, now=read_date(now), by=read_date(by) if by else None)
        if book:
            folder = tmp_path / "book"
            folder.mkdir(exist_ok=True)
            for name in book:
                (folder / f"{name}.toml").write_text((SHIPPED / f"{name}.toml").read_text("utf-8"), "utf-8")
            desk.book.shelves = [Shelf(folder, "own")]
        return desk

    return put
