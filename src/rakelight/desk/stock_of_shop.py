"""What is in stock, by what was told of cans and by what the pieces took."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import datetime
from typing import TYPE_CHECKING

from rakelight.desk.one_piece import Desk
from rakelight.errors import RakelightError
from rakelight.log.stock import Laid, Stock, can_events, stock_of
from rakelight.schedule.amounts import amounts
from rakelight.spread import Spread

if TYPE_CHECKING:
    from rakelight.desk.shop_file import ShopDesk


def stock_of_shop(shop: ShopDesk) -> Stock:
    """The stock of a shop's file as it is now; nothing is worked out where no can was ever told of."""
    told = shop.store.events(None, ("can",))
    if told:
        told = can_events(shop.store.events(None, ("can", "corrected", "taken back")))
    if not told:
        return Stock(day=shop.now.date())
    since = told[0].happened
    laid = [one for row in shop.pieces() for one in _laid_on(shop, row.key, since)]
    return stock_of(told, shop.facts, shop.now, laid, shop.shop if shop.shop_text else None)


def _laid_on(shop: ShopDesk, key: str, since: datetime) -> Iterable[Laid]:
    try:
        desk = behind(shop, key)
    except RakelightError:  # a piece that cannot be read as it is took nothing that is known
        return []
    return laid_on(desk, since)


def behind(shop: ShopDesk, key: str) -> Desk:
    """A piece on the desk to look back at, though its dates may be past."""
    return shop.desk(key, telling=True, stocked=False)


def laid_on(desk: Desk, since: datetime) -> list[Laid]:
    """What the steps of a piece took from a moment on, as told, else as the plan has it."""
    done = {k: f for k, f in desk.state.done.items() if (f.end or f.start) >= since}
    if not done:
        return []
    takes = amounts(desk.as_written, desk.shop, desk.facts)
    cans = {e.task: e.can for e in desk.log.events() if e.task and e.can}
    found = []
    for task, fact in done.items():
        coat = takes.of_task(task)
        if coat is None or coat.liquid.likely <= 0:
            continue
        used = _told_ml(desk, task, coat.material)
        found.append(Laid(fact.end or fact.start, coat, used, cans.get(task, "")))
    return found


def _told_ml(desk: Desk, task: str, material: str) -> Spread | None:
    """What was told as used, ml; grams by the density of the material."""
    if task in desk.state.used_ml:
        return Spread.exact(desk.state.used_ml[task])
    if task in desk.state.used_g:
        return Spread.exact(desk.state.used_g[task] / desk.facts.materials[material].density_kg_per_l.likely)
    return None


def can_name(shop: ShopDesk, material: str) -> str:
    """A name for a new can that no can has yet: linseed-boiled-2."""
    taken = {e.can for e in shop.store.events(None, ("can",))}
    slug = material.replace("_", "-").replace(" ", "-")
    return next(name for n in range(1, 10_000) if (name := f"{slug}-{n}") not in taken)
