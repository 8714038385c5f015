"""What would bring the wished finish nearer its date: warmer nights, a warmer room, a coat or a filling less, one part
in another finish."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace

from rakelight.choice.alone import filler_coats, look_alone
from rakelight.choice.costs import Rates
from rakelight.choice.judging import HAZARDS, judged
from rakelight.choice.model import Alone, Make, Option, Rescue, Slot
from rakelight.choice.near import unmet
from rakelight.choice.solvents import worse_solvent
from rakelight.choice.starting import wishes_of
from rakelight.choice.trying import Trying
from rakelight.choice.variations import variations
from rakelight.errors import Severity
from rakelight.physics.air import rh_of, vapour_pa
from rakelight.plan.planning import build_problem
from rakelight.schedule.unroll import unroll
from rakelight.shop.hours import hours_between
from rakelight.shop.model import Place, Shop

#: days: what saves less is no rescue
_WORTH_DAYS = 0.75
#: rescues that are planned in full, those that save most first
MOST_RESCUES = 5
#: parts of which another finish is planned beside all else as wished
_OTHERWISE = 2


@dataclass(frozen=True)
class _Idea:
    """A way to gain days, before it is planned."""

    says: str
    trying: Trying
    makes: dict[str, Make]
    warns: tuple[str, ...] = ()
    kind: str = ""


def rescues(trying: Trying, wished: Option, rates: Rates) -> tuple[Rescue, ...]:
    """Ways to bring the wished finish nearer its date that pass every hazard rule, what saves most first."""
    before = trying.twice(trying.asked(wished.work)).finish
    found: list[tuple[float, _Idea]] = []
    for idea in _ideas(trying, wished):
        work = idea.trying.dressed(idea.makes)[1]
        draft = idea.trying.twice(idea.trying.asked(work))
        saves = (before - draft.finish) / 1440
        if not draft.stuck and (saves >= _WORTH_DAYS or before == float("inf")):
            found.append((saves, idea))
    found.sort(key=lambda row: -row[0])
    told = []
    for _, idea in found[:MOST_RESCUES]:
        rescue = _planned(idea, wished, rates)
        if rescue:
            told.append(rescue)
    return tuple(sorted(told, key=lambda r: (not r.fits, -r.saves_days)))


def _planned(idea: _Idea, wished: Option, rates: Rates) -> Rescue | None:
    option = judged(idea.trying, idea.makes, rates, wished)
    known = {(f.id, f.where.part) for f in wished.findings}
    for found in option.findings:
        worse = found.severity is not Severity.NOTE and (found.id, found.where.part) not in known
        if worse or (found.id in HAZARDS and found.severity is Severity.ERROR):
            return None
    saves = hours_between(option.likely, wished.likely) / 24 if option.likely and wished.likely else 0.0
    if wished.likely and saves < _WORTH_DAYS:
        return None
    late = any(fail.what in ("date", "odds") for fail in option.fails)
    warns = (*idea.warns, *worse_solvent(option, wished, idea.trying.shop, idea.trying.facts))
    return Rescue(idea.says, saves, not late, option.odds, warns, option.likely, option.short_days, idea.kind)


def otherwise(
    trying: Trying, wished: Option, by_slot: Mapping[str, Sequence[Alone]], options: Sequence[Option], rates: Rates
) -> tuple[Rescue, ...]:
    """One part in another finish and all else as wished: the nearest that is in time by itself.

    Parameters: by_slot, finishes that pass; options, those told already, which are not told twice.
    """
    before = trying.twice(trying.asked(wished.work)).finish
    told = {option.key for option in options}
    found: list[tuple[float, _Idea]] = []
    for slot in trying.slots if len(trying.slots) > 1 else ():
        others = [one for one in by_slot.get(slot.name, ()) if not one.make.wished]
        if slot.begun or not others:
            continue
        one = min(others, key=lambda o: (o.margin_min > 0, o.rank))
        makes = {**wished.makes, slot.name: one.make}
        if tuple(make.name for make in makes.values()) in told:
            continue
        draft = trying.twice(trying.asked(trying.dressed(makes)[1]))
        saves = (before - draft.finish) / 1440
        if not draft.stuck and saves >= _WORTH_DAYS:
            says = f"{slot.shown} in another finish ({one.make.schedule.title})"
            found.append((saves, _Idea(says, trying, makes, _mist(wished.makes[slot.name], one.make), "other")))
    found.sort(key=lambda row: -row[0])
    return tuple(rescue for _, idea in found[:_OTHERWISE] if (rescue := _planned(idea, wished, rates)))


def _ideas(trying: Trying, wished: Option) -> Iterator[_Idea]:
    yield from _warm_nights(trying, wished)
    yield from _warm_rooms(trying, wished)
    for slot in trying.slots:
        if slot.begun:
            continue
        yield from _less(trying, wished, slot)


def _warm_nights(trying: Trying, wished: Option) -> Iterator[_Idea]:
    shop = trying.shop
    night_c = trying.facts.likely("rescue_night_c")
    cold = {n: p for n, p in shop.places.items() if any(m.closed_temp_c < night_c - 1 for m in p.air)}
    used = {placed.place for placed in wished.plan.placed.values()}
    cold = {n: p for n, p in cold.items() if n in used}
    if not cold:
        return
    warmed = replace(shop, places={**shop.places, **{n: _warmed(p, night_c) for n, p in cold.items()}})
    names = " and ".join(cold)
    warns = tuple(_heat_warning(p) for p in cold.values())
    yield _Idea(f"nights at {night_c:.0f} C in {names}", _in_shop(trying, warmed), dict(wished.makes), warns, "heat")


def _warmed(place: Place, night_c: float) -> Place:
    """A place kept warm through the night: the damp in its air stays, so it becomes drier."""
    air = tuple(
        replace(m, closed_temp_c=night_c, closed_rh=float(rh_of(night_c, vapour_pa(m.closed_temp_c, m.closed_rh))))
        if m.closed_temp_c < night_c else m
        for m in place.air
    )  # fmt: skip
    return replace(place, air=air)


def _heat_warning(place: Place) -> str:
    if place.heater in ("unvented", "wood stove"):
        flame = "a flame" if place.heater == "unvented" else "a fire"
        return (
            f"It adds heat in {place.name} through the night, and the heater there is {flame}: not while anything is "
            "wet, nor with oily rags in the room."
        )
    return (
        f"It adds heat in {place.name} through the night: no glowing element or flame while solvent is in the air, "
        "and no oily rags in the room."
    )


def _in_shop(trying: Trying, shop: Shop) -> Trying:
    start = trying.problem.hours.moment(trying.problem.start)
    problem = build_problem(
        trying.problem.work,
        shop,
        trying.facts,
        start,
        wishes_of(trying.problem),
        replace(trying.state, kept={}),
    )
    return replace(trying, shop=shop, problem=problem)


def _warm_rooms(trying: Trying, wished: Option) -> Iterator[_Idea]:
    """A slot's parts stand in the warmest room of the shop, where they do not yet."""
    places = [p for p in trying.shop.places.values() if p.air]
    if len(places) < 2:
        return
    warmest = max(places, key=lambda p: min(m.closed_temp_c for m in p.air))
    for slot in trying.slots:
        parts = {p: trying.piece.parts[p] for p in slot.parts if trying.piece.parts[p].finish}
        if slot.begun or not parts or all(p.cures_in == warmest.name for p in parts.values()):
            continue
        moved = {n: replace(p, cures_in=warmest.name) for n, p in parts.items()}
        piece = replace(trying.piece, parts={**trying.piece.parts, **moved})
        other = replace(trying, piece=piece)
        work = unroll(piece, trying.book, trying.shop, trying.facts, trying.state)
        other = replace(other, problem=replace(trying.problem, work=work))
        yield _Idea(f"{slot.shown} dried in {warmest.name}", other, dict(wished.makes), kind="room")


def _less(trying: Trying, wished: Option, slot: Slot) -> Iterator[_Idea]:
    """The wished finish of one slot with a coat fewer, pores left open, left as laid, or laid in another way."""
    make = wished.makes[slot.name]
    coats = filler_coats(slot, trying.facts)
    for other in variations(make.schedule, trying.shop.gear, trying.facts, coats):
        if len(other.changed) != 1:
            continue
        look = look_alone(trying, slot, other)[2]
        if look is None or unmet(look, trying.want(slot), slot, trying.facts):
            continue
        warns = _mist(make, other)
        yield _Idea(f"{slot.shown}: {other.changed[0]}", trying, {**wished.makes, slot.name: other}, warns, "less")


def _mist(make: Make, other: Make) -> tuple[str, ...]:
    sprayed = any(s.by == "spray" for s in other.schedule.steps)
    before = any(s.by == "spray" for s in make.schedule.steps)
    if sprayed and not before:
        return (
            "It adds mist: what is sprayed fills the room, and must be drawn out with no spark in the way.",
        )
    return ()
