"""Jobs done beside the page."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from datetime import datetime
from pathlib import Path

from rakelight.desk import ShopPlan
from rakelight.store.shop_store import Store
from rakelight.web.keeper import ServedShop

Tell = Callable[[object, bool], None]
Say = Callable[[str], None]


def open_at(path: Path, now: datetime, not_done: dict[str, list[str]] | None = None) -> ServedShop:
    """The shop's file as of a moment; not_done: by piece, steps counted as done as planned that were not."""
    return ServedShop(Store(path, create=False), lambda: now, not_done)


def plan_stages(path: Path, tell: Tell, say: Say, now: datetime, not_done: dict[str, list[str]]) -> None:
    """The plan of all pieces at hand: first without odds, then with them and what drives them."""
    shop = open_at(path, now, not_done)
    try:
        say("Laying out the days")
        tell(slim(shop.plan(odds="")), False)
        say("Working out the odds")
        tell(slim(shop.plan(odds="all")), True)
    finally:
        shop.close()


def slim(plan: ShopPlan) -> ShopPlan:
    """A plan to be sent to the pages."""
    return replace(plan, plan=None) if len(plan.answers) == 1 else plan
