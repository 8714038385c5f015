"""Which finish by the date, worked out beside the page."""

from __future__ import annotations

from collections.abc import Callable
from datetime import datetime
from pathlib import Path

from rakelight.store.shop_store import Store
from rakelight.web.content.choose_page import choose_page
from rakelight.web.keeper import ServedShop

Tell = Callable[[object, bool], None]
Say = Callable[[str], None]


def choose_beside(path: Path, tell: Tell, say: Say, now: datetime, key: str) -> None:
    """The answer for a piece planned by itself, as it stands on the page."""
    from rakelight.desk.choosing import choose_for

    shop = ServedShop(Store(path, create=False), lambda: now)
    try:
        say("Trying the finishes of the book")
        tell(choose_page(choose_for(shop.desk(key), tell=say)), True)
    finally:
        shop.close()
