"""What is told of a can on the page of the stock, made into an event; what is wrong is one sentence."""

from __future__ import annotations

from collections.abc import Mapping

from rakelight.desk import ShopDesk
from rakelight.desk.stock_of_shop import can_name
from rakelight.errors import Misread
from rakelight.facts.cans import thinners
from rakelight.facts.names import find_material
from rakelight.log.events import Event
from rakelight.physics import mixing
from rakelight.units import read_amount, read_cut

#: what may be told of a can that is there
DONE_TO = ("opened", "weighed", "emptied")
#: the fields of what went into a mixed jar, and the unit each is measured in
_MIXED = {"flakes": "g", "powder": "g", "finish": "ml", "thinner": "ml"}


def new_can(shop: ShopDesk, said: Mapping[str, str]) -> Event:
    """A can bought or a jar mixed. Raises Misread."""
    material = _material(shop, said.get("material", ""))
    mixed = {f"{name}_{unit}": _amount(said[name], unit) for name, unit in _MIXED.items() if said.get(name)}
    values: dict[str, float] = {}
    if mixed:
        values |= mixed
        if said.get("cut"):
            values["cut_lb"] = read_cut(said["cut"])
        elif "flakes_g" in mixed and "thinner_ml" in mixed:
            values["cut_lb"] = round(mixing.cut_of(mixed["flakes_g"], mixed["thinner_ml"]), 2)
    elif said.get("size"):
        amount = read_amount(said["size"])
        values[f"size_{amount.unit}"] = round(amount.value, 3)
    else:
        raise Misread("How much is in it?", "Write its size, as 1 quart or 250 g; or what went into the jar.")
    if said.get("price"):
        values["price"] = _price(said["price"])
    what = "mixed" if mixed else "bought"
    return Event(
        "can", shop.now, shop.now, what=what, can=can_name(shop, material), material=material, values=values
    )


def told_of(shop: ShopDesk, can: str, what: str, left: str) -> Event:
    """Something told of a can that is there. Raises Misread."""
    if what not in DONE_TO:
        raise Misread(f"{what[:40]!r} is nothing that happens to a can.", f"It is {', '.join(DONE_TO)}.")
    values: dict[str, float] = {}
    if what == "weighed":
        amount = read_amount(left)
        values[f"left_{amount.unit}"] = round(amount.value, 3)
    return Event("can", shop.now, shop.now, what=what, can=can, values=values)


def _material(shop: ShopDesk, words: str) -> str:
    names = {thinner.name for thinner in thinners() if thinner.bought}
    if words.lower() in names:
        return words.lower()
    if not words:
        raise Misread("What is in it?", "Write the finish or the thinner, as boiled linseed oil.")
    found = find_material(shop.facts, words)
    if found.one is None:
        raise Misread(found.says, f"{found.ask} Thinners are: {', '.join(sorted(names))}.")
    return found.one


def _amount(words: str, unit: str) -> float:
    amount = read_amount(words)
    if amount.unit != unit:
        raise Misread(f"{words!r} is not measured in {unit}.", f"Write for example 60 {unit}.")
    return round(amount.value, 3)


def _price(words: str) -> float:
    try:
        price = float(words.strip().lstrip("$€£ ").replace(",", "."))
    except ValueError:
        price = -1.0
    if not 0 <= price < 1e6:
        raise Misread(f"{words[:40]!r} is no price.", "Write a number alone, as 24.50.")
    return price
