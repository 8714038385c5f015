"""What is in stock, by what was told of cans and by what the pieces took."""

from __future__ import annotations

import json
from contextlib import suppress
from datetime import datetime
from typing import TYPE_CHECKING, Any

from rakelight.desk.learning import about
from rakelight.desk.one_piece import Desk
from rakelight.errors import RakelightError
from rakelight.log.events import in_force
from rakelight.log.laid import Laid, as_plain, from_plain
from rakelight.log.stock import Stock, can_events, stock_of
from rakelight.schedule.amounts import amounts
from rakelight.spread import Spread

if TYPE_CHECKING:
    from rakelight.desk.shop_file import ShopDesk

#: name of the setting in which what finished pieces took is kept, and its form: another form is worked out anew
_KEPT, _FORM = "laid", 1


def stock_of_shop(shop: ShopDesk) -> Stock:
    """The stock of a shop's file as it is now; nothing is worked out where no can was ever told of."""
    told = shop.store.events(None, ("can",))
    if told:
        told = can_events(shop.store.events(None, ("can", "corrected", "taken back")))
    if not told:
        return Stock(day=shop.now.date())
    laid = _all_laid(shop, told[0].happened)
    return stock_of(told, shop.facts, shop.now, laid, shop.shop if shop.shop_text else None)


def _all_laid(shop: ShopDesk, since: datetime) -> list[Laid]:
    """What all pieces took; of finished ones as it was kept, until something more is told of them.

    What was not told stays as it was reckoned then, whatever the shop has learned since.
    """
    of, kept = f"{about(shop, _FORM)} {since.isoformat()}", _read(shop.store.setting(_KEPT))
    if kept.get("of") != of:
        kept = {"of": of, "seq": 0, "pieces": {}}
    seq, told = shop.store.last_seq(), shop.store.told_since(kept["seq"])
    found: list[Laid] = []
    settled: dict[str, list[dict[str, Any]]] = {}
    fresh = False
    for row in shop.pieces():
        if row.finished and row.key in kept["pieces"] and row.key not in told:
            settled[row.key] = kept["pieces"][row.key]
            found += map(from_plain, settled[row.key])
            continue
        laid, over = _laid_by(shop, row.key, since)
        found += laid
        if row.finished and over:
            settled[row.key], fresh = [as_plain(one) for one in laid], True
    if fresh:
        with suppress(RakelightError):  # a file that may only be read is worked out each time
            shop.store.put_setting(_KEPT, json.dumps({"of": of, "seq": seq, "pieces": settled}))
    return found


def _laid_by(shop: ShopDesk, key: str, since: datetime) -> tuple[list[Laid], bool]:
    """What a piece took, and whether nothing more can come to it by the clock alone."""
    try:
        desk = behind(shop, key)
    except RakelightError:  # a piece that cannot be read as it is took nothing that is known
        return [], False
    return laid_on(desk, since), all(start <= shop.now for start in desk.state.kept.values())


def _read(text: str) -> dict[str, Any]:
    try:
        found = json.loads(text) if text else {}
        [from_plain(row) for rows in found.get("pieces", {}).values() for row in rows]
    except (ValueError, KeyError, TypeError, AttributeError):
        return {}
    return found if isinstance(found, dict) and isinstance(found.get("seq"), int) else {}


def behind(shop: ShopDesk, key: str) -> Desk:
    """A piece on the desk to look back at, though its dates may be past."""
    return shop.desk(key, telling=True, stocked=False)


def laid_on(desk: Desk, since: datetime) -> list[Laid]:
    """What the steps of a piece took from a moment on, as told, else as the plan has it."""
    done = {k: f for k, f in desk.state.done.items() if (f.end or f.start) >= since}
    if not done:
        return []
    takes = amounts(desk.as_written, desk.shop, desk.facts)
    cans = {e.task: e.can for e in in_force(desk.log.events()) if e.task and e.can}
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
