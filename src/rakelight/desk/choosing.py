"""Which finish, by the date, and a change of mind: the desk's front to the choosing."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from datetime import date

from rakelight.choice.costs import Rates
from rakelight.choice.deciding import MOST_PLANNED, choose
from rakelight.choice.model import Choice, Limits, Slot, Want
from rakelight.choice.slots import slots_of
from rakelight.choice.trying import Trying
from rakelight.desk.one_piece import Desk
from rakelight.log.stock import Stock
from rakelight.shop.choosing import Price


def limits_of(desk: Desk) -> Limits:
    """What holds for the shop and the job, as the shop's file says it."""
    said = desk.shop.choosing
    return Limits(
        said.odds if said.odds is not None else desk.facts.likely("choose_odds"),
        said.smell,
        not said.flammable,
        frozenset(said.without),
        frozenset(said.in_stock),
        frozenset(said.likes),
    )


def rates_of(desk: Desk, stock: Stock | None = None) -> Rates:
    """What an hour and a can cost: as the files say it, and as the last can of each was bought."""
    money = desk.shop.money
    prices = {**money.prices, **(paid_for(stock) if stock else {})}
    return Rates(money.hour, money.overhead, desk.piece.quote, prices, money.currency)


def paid_for(stock: Stock) -> dict[str, Price]:
    """What was paid for the last can of each material of which the price and the size were told."""
    found: dict[str, Price] = {}
    for can in sorted(stock.cans, key=lambda c: c.bought or date.min):
        if can.price is not None and can.size and can.form != "mixed":
            day = f" on {can.bought.day} {can.bought:%b %Y}" if can.bought else ""
            says = f"{can.price:g} for {can.size:.0f} {can.unit}, as bought{day}"
            found[can.material] = Price(can.price, can.size, can.unit, says)
    return found


def wants_of(desk: Desk, slots: Sequence[Slot]) -> dict[str, Want]:
    """What is wanted of each slot: as its parts say it, the whole of a slot first, else as the piece says."""
    found = {}
    for slot in slots:
        want = Want()
        for name in (slot.name, *slot.parts):
            if name in desk.piece.parts:
                want = want.over(desk.piece.parts[name].want)
        found[slot.name] = want.over(desk.piece.want)
    return found


def trying_of(desk: Desk, limits: Limits | None = None, wants: Mapping[str, Want] | None = None) -> Trying:
    """A piece on the desk, ready for other finishes to be tried on it.

    Parameters: limits and wants (by slot), in place of what the files say.
    """
    desk.stopping()
    begun = {key.split("/")[0] for key in desk.state.done}
    slots = slots_of(desk.piece, begun)
    return Trying(
        desk.piece, desk.book, desk.shop, desk.facts, desk.problem, desk.state, desk.now, slots,
        limits or limits_of(desk), wants or wants_of(desk, slots),
    )  # fmt: skip


def choose_for(
    desk: Desk,
    limits: Limits | None = None,
    wants: Mapping[str, Want] | None = None,
    rates: Rates | None = None,
    tell: Callable[[str], None] | None = None,
    planned: int = MOST_PLANNED,
) -> Choice:
    """Which finish by the date. Raises Refused where the piece cannot be planned at all.

    Parameters: limits, wants by slot and rates, in place of what the files say; tell, is told where the search
    stands; planned, how many wholes are planned in full.
    """
    return choose(trying_of(desk, limits, wants), rates or rates_of(desk), planned=planned, tell=tell)
