"""What to buy: needs summed over a piece, with a reserve, in whole cans."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date
from itertools import product as choices
from typing import Any, NamedTuple

from rakelight.facts.cans import CanSize, can_sizes, thinner_of
from rakelight.facts.load import Facts
from rakelight.schedule.coats import CoatAmount, product
from rakelight.schedule.days_of_use import guessed_days
from rakelight.schedule.shelf import Drawn, Shelf, drawn_on
from rakelight.schedule.tasks import Work
from rakelight.spread import Spread, sum_independent
from rakelight.units import show_mass, show_volume

#: price of a can goes with its content to this power: bigger is dearer, but less to the litre.
#: Assumption (four times the content at some 2.5 times the price); it only chooses between cans.
_PRICE_POWER = 0.65
#: never more of a smaller can than this: the next size is cheaper
_MOST_OF_A_SIZE = 4


class Told(NamedTuple):
    """One piece of what is said of a line: of which kind, and its words (of `jars` and `drinks` the amount alone)."""

    kind: str  # takes, jars (what they hold of it), why, shelf, old, buy, drinks (cans if it drinks), nothing
    words: str


#: how a sentence leads into an amount, and goes on from it
_AROUND = {"jars": ("", " as mixed above"), "drinks": ("if it drinks, ", ""), "buy": ("buy ", "")}


@dataclass(frozen=True)
class BuyLine:
    """One line of the buying list."""

    name: str
    need: Spread  # what the piece takes, with what stays in the gun
    buy: Spread  # with the reserve
    unit: str  # ml or g
    cans: tuple[tuple[str, int], ...] = ()  # size as the shop calls it, and how many
    material: str = ""  # id of the material, "" for alcohol and thinner
    says: str = ""
    source: str = ""
    stocked: bool = False  # whether what stands on the shelf was counted
    drawn: tuple[Drawn, ...] = ()  # what of it stands there
    missing: float = 0.0  # what must be bought
    kind: str = "liquid"  # liquid, flakes or powder: which sizes it is sold in
    mixed: float = 0.0  # what the jars to be mixed hold of it, where any is
    why: str = ""  # what of it is for cleaning
    told: tuple[Told, ...] = ()  # the same as `says`, piece by piece

    def words(self, *kinds: str) -> list[str]:
        """Its pieces of these kinds, in order."""
        return [one.words for one in self.told if one.kind in kinds]

    def as_json(self) -> dict[str, Any]:
        """As plain data; low, likely and high are with the reserve."""
        return {
            "name": self.name,
            "material": self.material,
            "low": round(self.buy.low, 1),
            "likely": round(self.buy.likely, 1),
            "high": round(self.buy.high, 1),
            "unit": self.unit,
            "need": {"low": round(self.need.low, 1), "likely": round(self.need.likely, 1),
                     "high": round(self.need.high, 1)},
            "cans": [{"size": size, "count": count} for size, count in self.cans],
            "says": self.says,
            "stocked": self.stocked,
            "from": [{"can": d.can, "amount": round(d.amount, 1), "old": d.old} for d in self.drawn],
        }  # fmt: skip


@dataclass
class _Need:
    """One thing to buy, by the material it is for: those of one material share their error."""

    name: str
    unit: str
    kind: str  # liquid or flakes: which sizes it is sold in
    material: str
    of: dict[str, Spread]
    fixed: float = 0.0  # for cleaning: no reserve on it
    why: str = ""
    mixed: float = 0.0  # what the jars of the mixing list hold of it, and what is laid from the can
    jars: bool = False  # whether any is mixed


def buying(
    work: Work,
    coats: list[CoatAmount],
    facts: Facts,
    days: Mapping[str, date] | None = None,
    shelf: Shelf | None = None,
) -> tuple[BuyLine, ...]:
    """The buying list of a piece, in the order in which things are first needed.

    Parameters: shelf, what is in stock: what it holds is not bought (None: not told).
    """
    needs: dict[str, _Need] = {}
    reserve = facts.figures["buy_reserve"].value
    for coat in coats:
        _add(needs, coat, reserve.likely)
    _add_cleaning(needs, work, coats, facts, days)
    unit = work.piece.unit
    lines = (_line(need, reserve, unit) for need in needs.values())
    return tuple(lines if shelf is None else (covered(line, shelf, unit) for line in lines))


def _add(needs: dict[str, _Need], coat: CoatAmount, reserve: float) -> None:
    made = coat.recipe
    jar = coat.mix if coat.mix and not coat.board else None  # a board is laid from the jar of its part
    from_can = 0.0 if jar or coat.board else coat.liquid.likely * reserve + coat.gun_ml
    held_ml = jar.made_ml if jar else from_can

    if coat.from_jar >= 1.0:
        return

    def put(key: str, name: str, unit: str, kind: str, material: str, share: float) -> None:
        need = needs.setdefault(key, _Need(name, unit, kind, material, {}))
        more = coat.taken * (share * (1.0 - coat.from_jar))
        before = need.of.get(coat.material)
        need.of[coat.material] = before.with_shared(more) if before else more
        need.mixed += held_ml * share
        need.jars |= jar is not None

    if made.finish_ml:
        put(coat.material, coat.name, "ml", "liquid", coat.material, made.finish_ml)
    if made.flakes_g:
        put(coat.material, f"{coat.name}, flakes", "g", "flakes", coat.material, made.flakes_g)
    if made.powder_g:
        put(f"{coat.material} powder", f"{coat.name}, powder", "g", "powder", coat.material, made.powder_g)
    if made.thinner and made.thinner.bought and made.thinner_ml:
        put(made.thinner.name, made.thinner.name, "ml", "liquid", "", made.thinner_ml)


def _add_cleaning(
    needs: dict[str, _Need],
    work: Work,
    coats: list[CoatAmount],
    facts: Facts,
    days: Mapping[str, date] | None,
) -> None:
    """Alcohol for brushes and guns that laid what alcohol dissolves."""
    alcohol = thinner_of("ethanol")
    by_id = {task.id: task for job in work.jobs.values() for task in job.tasks}
    tasks = [
        (coat, by_id[coat.task])
        for coat in coats
        if alcohol and thinner_of(facts.materials[coat.material].carrier) == alcohol
    ]
    brushed = [task for _, task in tasks if task.lay and task.lay.by == "brush"]
    guns = sum(1 for coat, _ in tasks if coat.gun_ml)
    on = {t.id: days[t.id] for t in brushed if t.id in days} if days else guessed_days(brushed, facts)
    brush_days = len(set(on.values()))
    figure = facts.figures
    more = (
        brush_days * figure["clean_brush_alcohol_ml"].value.likely
        + guns * figure["clean_gun_alcohol_ml"].value.likely
    )
    if not more or alcohol is None:
        return
    need = needs.setdefault(alcohol.name, _Need(alcohol.name, "ml", "liquid", "", {}))
    need.fixed += more
    cleaned = [f"brush on {brush_days} day{'s' * (brush_days > 1)}"] * bool(brush_days)
    cleaned += [f"gun {guns} time{'s' * (guns > 1)}"] * bool(guns)
    need.why = " and the ".join(cleaned)


def _line(need: _Need, reserve: Spread, unit: str) -> BuyLine:
    used = sum_independent(need.of.values()) if need.of else Spread.exact(0.0)
    fixed = Spread.exact(need.fixed)
    buy = (product([used, reserve]) if used.likely > 0 else used).with_shared(fixed)
    mixed = need.mixed + need.fixed if need.jars else 0.0  # never less than the jars hold
    buy = Spread(buy.low, max(buy.likely, mixed), max(buy.high, mixed))
    line = BuyLine(
        need.name, used.with_shared(fixed), buy, need.unit, material=need.material, kind=need.kind, mixed=mixed,
        why=f"{show_volume(need.fixed, unit)} of it to clean the {need.why}" if need.why else "",
    )  # fmt: skip
    return _in_cans(line, unit)


def covered(line: BuyLine, shelf: Shelf, unit: str) -> BuyLine:
    """A line with what stands on the shelf taken off what must be bought, good cans before those past their life."""
    form = {"liquid": "finish" if line.material else "thinner"}.get(line.kind, line.kind)
    drawn, missing = drawn_on(shelf, line.material or line.name, form, line.buy.likely)
    return _in_cans(replace(line, stocked=True, drawn=tuple(drawn), missing=missing), unit)


def together(lines: Sequence[BuyLine], unit: str) -> BuyLine:
    """One line for several pieces that want the same: bought once, in the whole cans of all of it.

    Parameters: lines, of one thing, at least one. The pieces share the error of the material.
    """
    first, *more = lines
    if not more:
        return first
    need, buy, drawn = first.need, first.buy, {d.can: d for d in first.drawn}
    for line in more:
        need, buy = need.with_shared(line.need), buy.with_shared(line.buy)
        for one in line.drawn:
            before = drawn.get(one.can)
            drawn[one.can] = replace(one, amount=one.amount + before.amount) if before else one
    sums = [sum(getattr(line, name) for line in lines) for name in ("missing", "mixed")]
    why = " and ".join(dict.fromkeys(line.why for line in lines if line.why))
    whole = replace(first, need=need, buy=buy, drawn=tuple(drawn.values()), missing=sums[0], mixed=sums[1], why=why)
    return _in_cans(whole, unit)


def _in_cans(line: BuyLine, unit: str) -> BuyLine:
    """A line with the whole cans that hold what must be bought, and its sentence."""
    system = "metric" if unit == "mm" else "us"
    sizes = [s for s in can_sizes() if s.system == system and s.kind == line.kind]
    line = replace(line, cans=whole_cans(line.missing if line.stocked else line.buy.likely, sizes))
    bought = _shelf_words(line, sizes, unit) if line.stocked else _can_words(line, sizes)
    told = (*_takes(line, unit), *bought)
    says = "; ".join(words.join(_AROUND.get(kind, ("", ""))) for kind, words in told)
    return replace(line, told=told, says=f"{line.name}: {says}.")


def _cans_words(cans: tuple[tuple[str, int], ...]) -> str:
    return " and ".join(f"{count} x {size}" for size, count in cans)


def _shelf_words(line: BuyLine, sizes: list[CanSize], unit: str) -> list[Told]:
    def show(amount: float) -> str:
        return show_volume(amount, unit) if line.unit == "ml" else show_mass(amount, "mm")

    good = sum(d.amount for d in line.drawn if not d.old)
    old = [d for d in line.drawn if d.old]
    stands = f"{show(good)} of it stand{'s' * (line.unit == 'ml')} on the shelf"
    told = [Told("shelf", stands)] if good else []
    if old:
        stale = whole_cans(line.missing + sum(d.amount for d in old), sizes)
        else_buy = _cans_words(stale)
        words = (
            f"{show(sum(d.amount for d in old))} in {' and '.join(d.can for d in old)}, past its life: a drop on glass "
            f"must set first" + (f", else buy {else_buy}" if else_buy else "")
        )
        told.append(Told("old", words))
    if line.cans:
        told.append(Told("buy", _cans_words(line.cans)))
    elif not old:
        told.append(Told("nothing", "nothing to buy"))
    return told


def _takes(line: BuyLine, unit: str) -> list[Told]:
    """What it takes, what is mixed of it, what is for cleaning."""

    def show(amount: float) -> str:
        return show_volume(amount, unit) if line.unit == "ml" else show_mass(amount, "mm")  # never bare ounces

    low, high = show(line.need.low), show(line.need.high)
    grams, ounces = show(line.need.likely), show_mass(line.need.likely, unit)
    ounces = f" ({ounces})" if line.unit == "g" and ounces != grams else ""
    takes = f"takes {grams}{ounces}" + (f", between {low} and {high}" if low != high else "")
    jars = [Told("jars", show(line.mixed))] if line.mixed and show(line.mixed) != grams else []
    return [Told("takes", takes), *jars, *([Told("why", line.why)] if line.why else [])]


def _can_words(line: BuyLine, sizes: list[CanSize]) -> list[Told]:
    if not line.cans:
        return []
    words = [Told("buy", _cans_words(line.cans))]
    most = whole_cans(line.buy.high, sizes)
    if most != line.cans:
        words.append(Told("drinks", _cans_words(most)))
    return words


def whole_cans(least: float, sizes: list[CanSize]) -> tuple[tuple[str, int], ...]:
    """The cheapest set of whole cans that holds at least so much, largest first.

    Parameters: least, ml or g; sizes, those it is sold in. Returns size and number; nothing where no size is
    known or nothing is needed.
    """
    if least <= 0 or not sizes:
        return ()
    large, *small = sorted(sizes, key=lambda s: -s.holds.value)
    best: tuple[float, list[tuple[str, int]]] | None = None
    some = list(choices(*(range(_MOST_OF_A_SIZE + 1) for _ in small)))
    for many in range(math.ceil(least / large.holds.value) + 1):
        rest = least - many * large.holds.value
        for counts in some if rest > 0 else some[:1]:
            held = sum(n * s.holds.value for n, s in zip(counts, small, strict=True))
            if held < rest - 1e-6:
                continue
            chosen = [(large, many), *zip(small, counts, strict=True)]
            price = sum(n * s.holds.value**_PRICE_POWER for s, n in chosen)
            if best is None or price < best[0] - 1e-9:
                best = (price, [(s.words, n) for s, n in chosen if n])
    return tuple(best[1]) if best else ()
