"""What is in the shop: cans, bags of flakes and mixed jars, from what was told of them and what was laid from them."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date, datetime

from rakelight.facts.cans import thinner_of
from rakelight.facts.load import Facts
from rakelight.facts.records import Material
from rakelight.log.events import Event, in_force
from rakelight.log.laid import Laid
from rakelight.physics import mixing
from rakelight.schedule.shelf import OnShelf, Shelf, alike, keeps_months, life_source, past
from rakelight.shop.model import Shop
from rakelight.spread import Spread
from rakelight.units import read_date

_ML, _G = "ml", "g"


@dataclass(frozen=True)
class Can:
    """A can, bag or jar that is or was in the shop."""

    id: str
    material: str  # id of the materials table; of a thinner its name
    name: str
    form: str  # finish, flakes, powder, mixed, thinner
    unit: str  # ml or g
    size: float | None  # what it held, in its unit
    left: Spread
    bought: date | None = None
    opened: date | None = None
    mixed: date | None = None
    try_from: date | None = None  # from this day on it may dry badly
    use_by: date | None = None
    cut_lb: float | None = None
    price: float | None = None
    flakes_g: float = 0.0  # of a mixed jar: what went into it
    powder_g: float = 0.0
    finish_ml: float = 0.0
    thinner_ml: float = 0.0
    old: bool = False  # past its life on the day asked about
    source: str = ""  # of the time it keeps
    counted: bool = False  # whether any of it was only counted as laid, not told

    @property
    def left_ml(self) -> Spread | None:
        """What is left, ml; None for what is weighed."""
        return self.left if self.unit == _ML else None

    @property
    def begun(self) -> date | None:
        """The day its life is counted from: mixed or opened, else bought."""
        return self.mixed or self.opened or self.bought

    @property
    def on_shelf(self) -> OnShelf:
        """As the plan reads it."""
        opened = self.opened is not None or self.mixed is not None
        return OnShelf(
            self.id, self.material, self.form, self.left, self.unit, self.begun, opened, self.try_from, self.use_by,
            self.cut_lb,
        )  # fmt: skip


@dataclass(frozen=True)
class Stock:
    """All cans, those at hand first, and what was laid that no can is told for."""

    cans: tuple[Can, ...] = ()
    day: date = date.min
    untold: Mapping[str, float] = field(default_factory=dict)  # name -> ml or g

    @property
    def at_hand(self) -> tuple[Can, ...]:
        """Cans with something in them."""
        return tuple(c for c in self.cans if c.left.likely > 0)

    def can(self, id: str) -> Can | None:
        """A can by its id."""
        return next((c for c in self.cans if c.id == id), None)

    def shelf(self) -> Shelf:
        """As the plan draws on it."""
        return Shelf(self.day, tuple(c.on_shelf for c in self.at_hand))


@dataclass
class _Keeping:
    """A can while its events are read."""

    id: str
    material: str
    form: str
    unit: str
    size: float | None = None
    base: float = 0.0  # left when it was last told
    used: Spread = field(default_factory=lambda: Spread.exact(0.0))  # since then
    bought: date | None = None
    opened: date | None = None
    mixed: date | None = None
    use_by: date | None = None
    cut_lb: float | None = None
    price: float | None = None
    went_in: dict[str, float] = field(default_factory=dict)
    counted: bool = False

    @property
    def left(self) -> Spread:
        low, likely, high = (max(0.0, self.base - end) for end in (self.used.high, self.used.likely, self.used.low))
        return Spread(low, likely, high)

    def take(self, amount: Spread, told: bool) -> None:
        self.used = self.used.with_shared(amount)
        self.counted |= not told


def can_events(events: Iterable[Event]) -> list[Event]:
    """What was told of cans, corrected and without what was taken back, in the order it happened."""
    return sorted((e for e in in_force(list(events)) if e.kind == "can"), key=lambda e: e.happened)


def stock_of(
    events: Iterable[Event], facts: Facts, now: datetime, laid: Sequence[Laid] = (), shop: Shop | None = None
) -> Stock:
    """What is in the shop at a moment.

    Parameters: events, of all kinds; laid, what steps took, told or as planned; shop, whose warmth ages mixed shellac.
    What is laid is taken from the can told, else from a jar of its cut, else from the can, flakes and thinner it is
    mixed of: opened before sealed, oldest first. What no can is told for stands in `untold`.
    """
    run = _Run(facts, shop)
    deeds: list[tuple[datetime, int, Event | Laid]] = [(e.happened, 0, e) for e in can_events(events)]
    deeds += [(one.at, 1, one) for one in laid]
    for at, _, deed in sorted(deeds, key=lambda row: (row[0], row[1])):
        if at > now:
            break
        if isinstance(deed, Event):
            run.tell(deed)
        elif run.cans:  # what was laid before anything was told is in no can told
            run.lay(deed)
    day = now.date()
    cans = [run.finished(can, day) for can in run.cans.values()]
    cans.sort(key=lambda c: (c.left.likely <= 0, c.name, c.begun or date.max, c.id))
    return Stock(tuple(cans), day, run.untold)


class _Run:
    """The cans, as one deed after another changes them."""

    def __init__(self, facts: Facts, shop: Shop | None) -> None:
        self.facts, self.shop = facts, shop
        self.cans: dict[str, _Keeping] = {}
        self.untold: dict[str, float] = {}

    def tell(self, event: Event) -> None:
        """One event of a can."""
        id = event.can or event.id[:8]
        values, day = event.values, event.happened.date()
        can = self.cans.get(id)
        if can is None or event.what in ("bought", "mixed"):
            can = self.cans[id] = _Keeping(id, event.material, *_form(event, self.facts))
            can.bought = day if event.what == "bought" else None
            can.size, can.price = self._told("size", can, values), values.get("price")
            left = self._told("left", can, values)
            can.base = (can.size or 0.0) if left is None else left
            can.cut_lb = values.get("cut_lb")
        if event.use_by:
            can.use_by = read_date(event.use_by).day
        if event.what == "opened":
            can.opened = can.opened or day
        elif event.what == "mixed":
            self._mixed(can, event, day)
        elif event.what == "weighed":
            can.base, can.used = self._told("left", can, values) or 0.0, Spread.exact(0.0)
            can.counted = False
        elif event.what == "emptied":
            can.base, can.used = 0.0, Spread.exact(0.0)

    def _told(self, name: str, can: _Keeping, values: Mapping[str, float]) -> float | None:
        """An amount as told, in the can's unit: grams of a finish by its density."""
        if f"{name}_{can.unit}" in values:
            return values[f"{name}_{can.unit}"]
        row = self.facts.materials.get(can.material)
        if can.unit == _ML and row and f"{name}_g" in values:
            return values[f"{name}_g"] / row.density_kg_per_l.likely
        return None

    def _mixed(self, jar: _Keeping, event: Event, day: date) -> None:
        row, values = self.facts.materials[event.material], event.values
        went = {name: values.get(name, 0.0) for name in ("flakes_g", "powder_g", "finish_ml", "thinner_ml")}
        made = values.get("left_ml") or made_ml(went, self.facts)
        jar.mixed, jar.size, jar.base, jar.went_in = day, made, made, went
        jar.cut_lb = values.get("cut_lb")
        if jar.cut_lb is None and went["flakes_g"] and went["thinner_ml"]:
            jar.cut_lb = round(mixing.cut_of(went["flakes_g"], went["thinner_ml"]), 2)
        from_cans = [self.cans[id] for id in event.also if id in self.cans]
        thinner = thinner_name(row)
        for what, form, name in (("flakes_g", row.id, "flakes"), ("powder_g", row.id, "powder"),
                                 ("finish_ml", row.id, "finish"), ("thinner_ml", thinner, "thinner")):  # fmt: skip
            if went[what]:
                self._draw(form, name, Spread.exact(went[what]), True, from_cans)

    def lay(self, one: Laid) -> None:
        """What one step took."""
        coat, told = one.coat, one.told is not None
        amount = one.told or coat.taken
        named = self.cans.get(one.can)
        jars = [c for c in self._open(coat.material, "mixed") if alike(c.cut_lb, coat)]
        if named is not None:
            jars = [named]
        for jar in jars:
            part = min(1.0, jar.left.likely / amount.likely) if amount.likely > 0 else 1.0
            if named is not None:
                part = 1.0
            if part > 0:
                jar.take(amount * part, told)
                amount = amount * (1.0 - part)
        if amount.likely <= 1e-9:
            return
        made = coat.recipe
        self._draw(coat.material, "finish", amount * made.finish_ml, told)
        self._draw(coat.material, "flakes", amount * made.flakes_g, told)
        self._draw(coat.material, "powder", amount * made.powder_g, told)
        if made.thinner and made.thinner.bought:
            self._draw(made.thinner.name, "thinner", amount * made.thinner_ml, told)

    def _open(self, material: str, form: str) -> list[_Keeping]:
        mine = [c for c in self.cans.values() if (c.material, c.form) == (material, form) and c.left.likely > 0]
        return sorted(mine, key=lambda c: (c.opened is None and c.mixed is None, _begun(c), c.id))

    def _draw(
        self, material: str, form: str, amount: Spread, told: bool, first: Sequence[_Keeping] = ()
    ) -> None:
        if amount.likely <= 0:
            return
        own = [c for c in first if (c.material, c.form) == (material, form)]
        for can in [*own, *(c for c in self._open(material, form) if c not in own)]:
            part = min(1.0, can.left.likely / amount.likely)
            can.take(amount * part, told)
            amount = amount * (1.0 - part)
            if amount.likely <= 1e-9:
                return
        row = self.facts.materials.get(material)
        name = (row.name if row else material) + (f", {form}" if form in ("flakes", "powder") else "")
        self.untold[name] = self.untold.get(name, 0.0) + amount.likely

    def finished(self, can: _Keeping, day: date) -> Can:
        """A can as it is on a day."""
        row = self.facts.materials.get(can.material)
        begun = can.mixed or can.opened or can.bought
        life = keeps_months(row, self.facts, self.shop) if row and can.form in ("finish", "mixed") else None
        use_by = can.use_by or (past(begun, life.likely) if begun and life else None)
        try_from = can.use_by or (past(begun, life.low) if begun and life else None)
        source = "as told" if can.use_by else (life_source(row).text if row and life else "")
        keeps = self.facts.practice["P87"]
        if can.form == "flakes" and begun and keeps.value and not can.use_by:
            use_by, try_from = past(begun, keeps.value.likely), past(begun, keeps.value.low)
            source = keeps.source.text
        return Can(
            can.id, can.material, _shown(row, can), can.form, can.unit, can.size, can.left, can.bought, can.opened,
            can.mixed, try_from, use_by, can.cut_lb, can.price, **{k: can.went_in.get(k, 0.0) for k in _WENT},
            old=use_by is not None and day > use_by, source=source, counted=can.counted,
        )  # fmt: skip


_WENT = ("flakes_g", "powder_g", "finish_ml", "thinner_ml")


def _begun(can: _Keeping) -> date:
    return can.mixed or can.opened or can.bought or date.max


def _shown(row: Material | None, can: _Keeping) -> str:
    return (row.name if row else can.material) + (f", {can.form}" if can.form in ("flakes", "powder") else "")


def _form(event: Event, facts: Facts) -> tuple[str, str]:
    """The form a can is of, and the unit it is counted in."""
    values, row = event.values, facts.materials.get(event.material)
    if event.what == "mixed":
        return "mixed", _ML
    if row is None:
        return "thinner", _ML
    weighed = "size_g" in values or "left_g" in values
    if weighed and (row.is_shellac or "colour" in row.roles):
        return ("flakes" if row.is_shellac else "powder"), _G
    if row.is_shellac and "cut_lb" in values:
        return "mixed", _ML
    return "finish", _ML


def thinner_name(row: Material) -> str:
    """What thins a material; "thinner" where the table does not say."""
    found = thinner_of(row.carrier)
    return found.name if found else "thinner"


def made_ml(went_in: Mapping[str, float], facts: Facts) -> float:
    """What a jar holds: flakes take the room their resin takes, all else adds up."""
    flakes, liquid = went_in.get("flakes_g", 0.0), went_in.get("finish_ml", 0.0) + went_in.get("thinner_ml", 0.0)
    if flakes and liquid:
        return mixing.made_ml(mixing.cut_of(flakes, liquid), liquid, facts.likely("resin_density_kg_per_l"))
    return liquid
