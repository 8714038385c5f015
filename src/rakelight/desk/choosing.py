"""Which finish, by the date, and a change of mind: the desk's front to the choosing."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence

from rakelight.choice.costs import Rates
from rakelight.choice.deciding import choose
from rakelight.choice.model import Choice, Limits, Slot, Want
from rakelight.choice.slots import slots_of
from rakelight.choice.trying import Trying
from rakelight.desk.one_piece import Desk


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


def rates_of(desk: Desk) -> Rates:
    """What an hour and a can cost, as the files say it."""
    money = desk.shop.money
    return Rates(money.hour, money.overhead, desk.piece.quote, money.prices, money.currency)


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
    most: int = 200,
) -> Choice:
    """Which finish by the date. Raises Refused where the piece cannot be planned at all."""
    return choose(trying_of(desk, limits, wants), rates or rates_of(desk), most, tell=tell)
