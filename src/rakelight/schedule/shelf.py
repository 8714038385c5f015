"""What stands on the shelf: how long it keeps, and what of it the coats and the buying list draw on."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from dataclasses import dataclass, field, replace
from datetime import date, timedelta

from rakelight.facts.load import Facts
from rakelight.facts.records import Material, Source
from rakelight.physics.drying import REFERENCE_C
from rakelight.schedule.coats import CoatAmount
from rakelight.shop.model import Shop
from rakelight.spread import Spread

DAYS_PER_MONTH = 365.25 / 12
#: a jar is taken for a coat where its cut is as near as this, pounds to a US gallon; assumption: a quarter of the
#: half pound that cuts are told in
_SAME_CUT_LB = 0.25


@dataclass(frozen=True)
class OnShelf:
    """A can, bag or jar."""

    id: str
    material: str  # id of the materials table; of a thinner its name
    form: str  # finish, flakes, powder, mixed, thinner
    left: Spread
    unit: str  # ml or g
    begun: date | None = None  # opened or mixed, else bought
    opened: bool = False
    try_from: date | None = None  # from this day on it may dry badly
    use_by: date | None = None
    cut_lb: float | None = None

    def old(self, day: date) -> bool:
        """Whether it is past its life on a day."""
        return self.use_by is not None and day > self.use_by


@dataclass(frozen=True)
class Shelf:
    """All that is told to be in stock, with the day asked about."""

    day: date
    cans: tuple[OnShelf, ...] = ()

    def of(self, material: str, *forms: str) -> list[OnShelf]:
        """Cans of a material in the order they are drawn on: good before old, opened before sealed, oldest first."""
        mine = [c for c in self.cans if c.material == material and c.form in forms and c.left.likely > 0]
        return sorted(mine, key=lambda c: (c.old(self.day), not c.opened, c.begun or date.max, c.id))

    def less(self, drawn: Sequence[Drawn]) -> Shelf:
        """The shelf with what was drawn taken off it."""
        cans = []
        for can in self.cans:
            gone = sum(d.amount for d in drawn if d.can == can.id)
            left = Spread(*(max(0.0, end - gone) for end in can.left)) if gone else can.left
            cans.append(replace(can, left=left))
        return replace(self, cans=tuple(cans))


@dataclass(frozen=True)
class Drawn:
    """What is taken from one can."""

    can: str
    amount: float  # likely, in the can's unit
    unit: str
    old: bool = False
    begun: date | None = None
    opened: bool = False


@dataclass(frozen=True)
class FromJars:
    """The coats with the jars they are laid from."""

    coats: dict[str, CoatAmount] = field(default_factory=dict)
    drawn: tuple[Drawn, ...] = ()


def keeps_months(row: Material, facts: Facts, shop: Shop | None = None) -> Spread | None:
    """How long an opened can or mixed jar keeps, months; None where the table does not say.

    Mixed shellac by the mean warmth of the place where work begins, where that is known: half as long for each
    `shellac_shelf_halving_k` warmer. Source: the row; shellac.md, "Keeping" (assumption).
    """
    life = row.shelf_life_months
    air = shop.first_place.air if shop else ()
    if life is None or not row.is_shellac or not air:
        return life
    mean_c = sum(month.open_temp_c + month.closed_temp_c for month in air) / (2 * len(air))
    steps: float = (REFERENCE_C - mean_c) / facts.likely("shellac_shelf_halving_k")
    return life * float(2.0**steps)


def life_source(row: Material) -> Source:
    """Where the time it keeps comes from."""
    return row.source("shelf_life_months")


def past(begun: date, months: float) -> date:
    """The day some months after another."""
    return begun + timedelta(days=round(months * DAYS_PER_MONTH))


def from_jars(
    coats: dict[str, CoatAmount], shelf: Shelf, done: Collection[str], reserve: float, unit: str
) -> FromJars:
    """Coats still to be laid, from jars that are mixed already, the oldest good one first.

    Parameters: reserve, what a jar must hold for what a coat takes; unit, of the piece. What a jar does not hold is
    mixed anew.
    """
    left = {can.id: can.left.likely for can in shelf.cans if can.form == "mixed"}
    found, drawn = dict(coats), []
    for id, coat in coats.items():
        least = coat.liquid.likely * reserve + coat.gun_ml
        if id in done or coat.mix is None or least <= 0:
            continue
        rest, jars = least, []
        for can in shelf.of(coat.material, "mixed"):
            if can.old(shelf.day) or not alike(can.cut_lb, coat) or left[can.id] <= 0:
                continue
            part = min(left[can.id], rest)
            left[can.id] -= part
            rest -= part
            jars.append(can.id)
            drawn.append(Drawn(can.id, part, "ml", False, can.begun, True))
            if rest <= 1e-9:
                break
        if jars:
            mix = coat.recipe.mixed(rest, unit) if rest > 1e-9 else None
            found[id] = replace(coat, jars=tuple(jars), from_jar=1.0 - rest / least, mix=mix)
    return FromJars(found, tuple(_summed(drawn)))


def alike(cut_lb: float | None, coat: CoatAmount) -> bool:
    """Whether a coat may be laid from a jar of this cut as it stands."""
    cut = coat.recipe.cut_lb
    if cut is None or cut_lb is None:
        return cut is None and cut_lb is None and not coat.recipe.powder_g
    return abs(cut_lb - cut) <= _SAME_CUT_LB


def drawn_on(shelf: Shelf, material: str, form: str, least: float) -> tuple[list[Drawn], float]:
    """What is taken from cans for so much of a thing, and what is missing then."""
    drawn: list[Drawn] = []
    for can in shelf.of(material, form):
        part = min(can.left.likely, least)
        if part <= 0:
            break
        drawn.append(Drawn(can.id, part, can.unit, can.old(shelf.day), can.begun, can.opened))
        least -= part
    return drawn, max(0.0, least)


def _summed(drawn: Sequence[Drawn]) -> list[Drawn]:
    sums: dict[str, Drawn] = {}
    for one in drawn:
        before = sums.get(one.can)
        sums[one.can] = replace(one, amount=before.amount + one.amount) if before else one
    return list(sums.values())
