"""What the shop's file says of choosing: odds, smell, what is liked, in stock or not to be used; and what it costs."""

from __future__ import annotations

import re
from dataclasses import dataclass, field
from typing import Any

from rakelight.errors import Misread
from rakelight.reading import Table, choice, flag, number, text, texts
from rakelight.units import read_amount

CHOOSE_KEYS = ("odds", "smell", "flammable", "likes", "without", "in_stock")
MONEY_KEYS = ("currency", "hour", "overhead", "prices")
#: what the shop takes of smell, the least first
SMELLS = ("none", "little", "any")
_ODDS = re.compile(r"(\d+(?:\.\d+)?)\s*(?:in\s*(\d+)|(%))?")
_PRICE = re.compile(r"(\d+(?:[.,]\d{1,2})?)\s*(?:an?|per|for|/)\s+(.+)", re.IGNORECASE)
_ODDS_MEND = 'Write "8 in 10" or "80 %", between 5 and 99 in 100.'
_PRICE_MEND = 'Write the money and what it buys, as "18 a quart" or "22.50 for 500 ml".'


@dataclass(frozen=True)
class Choosing:
    """How a maker chooses; materials by their id, schedules by name."""

    odds: float | None = None
    smell: str = "any"
    flammable: bool = True
    likes: tuple[str, ...] = ()
    without: tuple[str, ...] = ()
    in_stock: tuple[str, ...] = ()


@dataclass(frozen=True)
class Price:
    """What so much of something costs."""

    money: float
    per: float
    unit: str  # ml or g
    says: str  # as it was written


@dataclass(frozen=True)
class Money:
    """What an hour and a can cost; None not said."""

    currency: str = ""
    hour: float | None = None
    overhead: float | None = None  # for each hour worked
    prices: dict[str, Price] = field(default_factory=dict)  # by id of the material, or name of a thinner


def read_odds(value: Any) -> float:
    """Odds as they are said: "8 in 10", "80 %", 0.8. Raises Misread.

    >>> read_odds("8 in 10"), read_odds("85 %"), read_odds(0.9)
    (0.8, 0.85, 0.9)
    """
    said = str(value) if isinstance(value, int | float) and not isinstance(value, bool) else text(value)
    found = _ODDS.fullmatch(said.strip())
    if found:
        share = float(found[1])
        if found[2]:
            share = share / float(found[2]) if float(found[2]) else 0.0
        elif found[3]:
            share /= 100
        if 0.05 <= share <= 0.99:
            return share
    raise Misread(f"{said[:40]!r} are no odds.", _ODDS_MEND)


def read_price(value: Any) -> Price:
    """A price as it is said. Raises Misread.

    >>> read_price("18 a litre")
    Price(money=18.0, per=1000.0, unit='ml', says='18 a litre')
    """
    said = text(value)
    found = _PRICE.fullmatch(said.strip())
    if found is None:
        raise Misread(f"{said[:40]!r} is no price.", _PRICE_MEND)
    what = found[2] if re.match(r"[\d/]", found[2]) else f"1 {found[2]}"
    try:
        amount = read_amount(what)
    except Misread as bad:
        raise Misread(f"{said[:40]!r} is no price: {bad.says}", _PRICE_MEND) from None
    return Price(float(found[1].replace(",", ".")), amount.value, amount.unit, said)


def read_choosing(root: Table) -> Choosing:
    """`[choose]` of a shop's file; faults go to its findings."""
    table = root.child("choose") if "choose" in root else None
    if table is None:
        return Choosing()
    table.only(CHOOSE_KEYS, "choose")
    flammable = table.take("flammable", flag)
    return Choosing(
        table.take("odds", read_odds),
        table.take("smell", choice(*SMELLS)) or "any",
        flammable is not False,
        table.take("likes", texts) or (),
        table.take("without", _materials) or (),
        table.take("in_stock", _materials) or (),
    )


def read_money(root: Table) -> Money:
    """`[money]` of a shop's file; faults go to its findings."""
    table = root.child("money") if "money" in root else None
    if table is None:
        return Money()
    table.only(MONEY_KEYS, "money")
    most = 100_000.0
    prices: dict[str, Price] = {}
    below = table.child("prices") if "prices" in table else None
    for name in below.data if below else ():
        assert below is not None
        price = below.take(name, read_price)
        ids = below.take_value(name, name, _priced)
        if price and ids:
            prices |= dict.fromkeys(ids, price)
    return Money(
        table.take("currency", text) or "",
        table.take("hour", number(0.0, most, "hour = 45")),
        table.take("overhead", number(0.0, most, "overhead = 12")),
        prices,
    )


def _materials(value: Any) -> tuple[str, ...]:
    """Ids of materials as people name them; a name that means several means all of them."""
    return tuple(dict.fromkeys(id for name in texts(value) for id in _priced(name)))


def _priced(name: str) -> tuple[str, ...]:
    """Ids a name means; a thinner is called by its own name. Raises Misread for a name no table has."""
    from rakelight.facts import load
    from rakelight.facts.cans import thinners
    from rakelight.facts.names import find_material

    found = find_material(load(), name)
    if found.ids:
        return found.ids
    thinner = next((t.name for t in thinners() if t.bought and t.name.casefold() == name.casefold()), "")
    if thinner:
        return (thinner,)
    near = f"Did you mean {found.near[0]}?" if found.near else "`rakelight facts` shows what there is."
    raise Misread(f"{name[:40]!r} is no material of the tables.", near)
