"""Is this vapour too much: one material or solvent, so much of it, in one room.

Source: docs/decisions.md, "Vapour"; ventilation.md. A room mean is never leave to have a flame, and says nothing of
the cloud at the gun or of the floor.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Any

from rakelight.errors import Misread
from rakelight.facts.air_tables import SolventClass, heaters, solvent_classes
from rakelight.facts.load import Facts
from rakelight.facts.names import find_material, find_solvent, plain
from rakelight.facts.records import Material
from rakelight.plan.room_air import (
    Exposure,
    Let,
    Room,
    added,
    breath_verdict,
    burnable_m3,
    changes_needed,
    exposure,
    fire_verdict,
    limits_of,
    purge,
    room_left,
    worse,
)
from rakelight.schedule.coats import CoatAmount
from rakelight.schedule.mixes import thinner_solvents
from rakelight.units import ML_PER_L

#: what every answer says with its figures
SAYS_NOTHING_OF = (
    "A mean over a room with mixed air: richer at the gun, at the piece and along the floor, and never leave to have "
    "a flame. The product's sheet and local code come first."
)
#: ppm below which a figure would be 0
_LEAST_PPM = 0.5
#: ways a solvent goes into the air without being laid: all of it while it is done
OTHER_WAYS = ("mix", "clean")


@dataclass(frozen=True)
class Stuff:
    """A material or a bare solvent, and what a millilitre of it sets free."""

    name: str
    grams_per_ml: dict[str, float]
    flash_c: float | None
    touch_dry_h: float
    row: Material | None = None
    note: str = ""  # of a solvent that another stands in for: never better than a warning
    stands_in: str = ""


@dataclass(frozen=True)
class Part:
    """One of several laid or let go in a session."""

    stuff: Stuff
    amount_ml: float
    by: str

    def let(self, facts: Facts) -> Let:
        """What it sets free, from the begin of the session on."""
        dry_h = 0.0 if self.by in OTHER_WAYS else self.stuff.touch_dry_h
        grams = {name: g * self.amount_ml for name, g in self.stuff.grams_per_ml.items()}
        return Let(0.0, facts.likely("lay_release_h") + dry_h, grams)

    def slow_h(self, facts: Facts) -> float:
        """Hours over which it goes where it dries slowly."""
        row = self.stuff.row
        dry_h = row.time_h["touch_dry"].high if row and self.by not in OTHER_WAYS else 0.0
        return facts.likely("lay_release_h") + dry_h


@dataclass(frozen=True)
class VapourAnswer:
    """Breath and fire, and how much may be laid."""

    stuff: Stuff
    amount_ml: float
    by: str
    room: Room
    seen: Exposure
    breath: str
    fire: str
    flame: bool
    most_ml: float | None
    purge_h: float
    release_h: float
    burnable_m3: float
    says: str
    mend: str
    notes: tuple[str, ...]
    parts: tuple[Part, ...] = ()
    most_unlit_ml: float | None = None  # with every flame out
    relight_h: tuple[float, float] | None = None  # where something burns or sparks: earliest, from its laying on
    methanols: frozenset[str] = frozenset()  # limits of alcohol that are methanol's, by id

    @property
    def verdict(self) -> str:
        """The worse of breath and fire: go, warn, stop, refuse."""
        return worse(self.breath, self.fire)

    def as_json(self) -> dict[str, Any]:
        """As plain data; hours that never come are null."""
        return {
            "schema": 1,
            "material": self.stuff.row.id if self.stuff.row else self.stuff.name,
            "reckoned_as": self.stuff.stands_in or None,
            "amount_ml": round(self.amount_ml, 1),
            "method": self.by,
            "room_m3": round(self.room.volume_m3, 2),
            "air_changes": self.room.changes_per_h,
            "mixing_factor": self.room.mixing,
            "set_free_g": {n: round(g * self.amount_ml, 1) for n, g in self.stuff.grams_per_ml.items()},
            "peak_ppm": round(self.seen.peak_ppm, 1),
            "breath": {"verdict": self.breath, "limits": [s.as_json() for s in self.seen.limits]},
            "fire": {
                "verdict": self.fire,
                "share_of_lel": round(self.seen.share_of_lel, 5),
                "flame": self.flame,
                "burnable_m3": round(self.burnable_m3, 2),
            },
            "verdict": self.verdict,
            "most_ml": None if self.most_ml is None else round(self.most_ml, 1),
            "release_h": round(self.release_h, 3),
            "purge_h": None if math.isinf(self.purge_h) else round(self.purge_h, 2),
            "says": self.says,
            "mend": self.mend,
            "notes": list(self.notes),
            "parts": [
                {"material": p.stuff.row.id if p.stuff.row else p.stuff.name, "amount_ml": round(p.amount_ml, 1),
                 "method": p.by} for p in self.parts
            ],
            "most_unlit_ml": None if self.most_unlit_ml is None else round(self.most_unlit_ml, 1),
            "relight_h": None if self.relight_h is None else [
                None if math.isinf(h) else round(h, 1) for h in self.relight_h
            ],
        }  # fmt: skip


def stuff_of(facts: Facts, words: str, by: str) -> Stuff:
    """A material, or a solvent by itself, by its name.

    Raises Misread for a name in neither table, several names, or a method the material has not.
    """
    found = find_material(facts, words)
    if found.one is None and (solvent := find_solvent(facts, words)).one:
        return _bare(facts, solvent.one)
    if found.one is None and not found.ids and (near := solvent_classes().get(plain(words))):
        return _near(facts, near)
    if found.one is None:
        raise Misread(found.says, found.ask)
    row = facts.materials[found.one]
    ways = (*row.methods, *OTHER_WAYS)
    if by not in ways:
        raise Misread(f"{row.name} is not laid by {by}.", f"Write one of: {', '.join(ways)}.")
    return Stuff(row.name, solvent_per_ml(row), row.flash_point_c.low if row.flash_point_c else None,
                 row.time_h["touch_dry"].likely, row)  # fmt: skip


def _bare(facts: Facts, name: str) -> Stuff:
    solvent = facts.solvents[name]
    free = {} if name == "water" else {name: solvent.density_kg_m3 / ML_PER_L}
    return Stuff(name, free, solvent.figures.get("flash_cc_c"), 0.0)


def _near(facts: Facts, near: SolventClass) -> Stuff:
    """A solvent without figures here, reckoned as the one of its class that has them, and marked."""
    if not near.stands_in:
        raise Misread(
            f"{near.said}: {near.kind}; no solvent whose figures stand here may stand in for it.",
            "Nothing is reckoned for it: do as its own safety sheet says, or use another.",
        )
    known = _bare(facts, near.stands_in)
    note = (
        f"No figures of {near.said} stand here: reckoned as {near.stands_in}, the nearest of the {near.kind}. Its own "
        "sheet gives its limits; where one is lower, that one holds."
    )
    return replace(known, name=near.said, note=note, stands_in=near.stands_in)


def solvent_per_ml(row: Material) -> dict[str, float]:
    """Grams of each solvent a millilitre of a material sets free, as it comes from the can."""
    if row.voc_g_per_l is None:
        return {}
    free = row.voc_g_per_l.likely / ML_PER_L
    return {name: share * free for name, share in row.vapour_solvents_mass.items()}


def solvents_of_coat(facts: Facts, coat: CoatAmount) -> dict[str, float]:
    """Grams of each solvent one session sets free: as thinned and at its cut, overspray in it."""
    row = facts.materials[coat.material]
    made, liquid_ml = coat.recipe, coat.liquid.likely
    free = {n: g * made.finish_ml * liquid_ml for n, g in solvent_per_ml(row).items()}
    if made.thinner and made.thinner_ml > 0:
        grams = made.thinner_ml * liquid_ml
        for name, share in thinner_solvents(facts, row, made.thinner.name).items():
            free[name] = free.get(name, 0.0) + share * grams * facts.solvents[name].density_kg_m3 / ML_PER_L
    return {n: g for n, g in free.items() if g > 0}


def vapour_answer(
    facts: Facts,
    stuff: Stuff,
    amount_ml: float,
    by: str,
    room_m3: float,
    air_changes: float | None = None,
    *,
    mixing: float | None = None,
    flame: bool = False,
    heater: str = "",
    methanol_free: bool = False,
    beside: Sequence[Part] = (),
) -> VapourAnswer:
    """What so much of a material does to the air of a room, with what else is laid there in the same session.

    Parameters: amount_ml of the liquid as laid, what the gun loses in it; room_m3 over 0; air_changes an hour,
    None where not known (then the cautious figure); mixing, 1 good to 10 poor; flame, any in the place; heater, a
    kind of the table; methanol_free, where the alcohol's sheet shows none; beside, the rest.
    Raises Misread for a room or air change that cannot be.
    """
    _check(room_m3, air_changes, mixing)
    parts = (Part(stuff, amount_ml, by), *beside)
    stuff, amount_ml = _together(parts), sum(p.amount_ml for p in parts)
    notes = [p.stuff.note for p in parts if p.stuff.note]
    if air_changes is None:
        air_changes = facts.likely("air_changes_unknown")
        notes.append(f"Air change not given: taken as {air_changes:g} an hour, door and windows shut.")
    factor = facts.likely("mixing_factor") if mixing is None else mixing
    room = Room(room_m3, air_changes, factor)
    lets = [p.let(facts) for p in parts]
    grams, hours = added(let.grams for let in lets), max(let.hours for let in lets)
    seen = exposure(facts, lets, room, methanol_free=methanol_free)
    kind = heaters().get(heater)
    can_light = stuff.flash_c is not None and stuff.flash_c < facts.likely("flash_refuse_c")
    lights = can_light and (flame or bool(kind and kind.flame))
    breath, fire = breath_verdict(seen), fire_verdict(facts, seen, lights)
    breath = worse(breath, "warn") if stuff.stands_in else breath
    left = room_left(facts, seen)
    unlit = None if math.isinf(left) else left * amount_ml
    need = 0.0 if left >= 1 else changes_needed(facts, lets, room, methanol_free=methanol_free)
    clear = purge(facts, seen, room, methanol_free=methanol_free)
    relight = None
    sparks = can_light and bool(kind and kind.spark)
    if lights or sparks:
        relight = _relight(facts, parts, room, clear, methanol_free)
    because = "" if methanol_free or "ethanol" not in grams else limits_of(facts, "ethanol").because
    if because:
        notes.append(f"Limits of breath for denatured alcohol: {because}.")
    notes.append(SAYS_NOTHING_OF)
    mend = _mend(breath, fire, lights, need, left)
    if sparks and not lights and kind:
        switch = f"The wire and switch of the {kind.says} can light vapour: off before the can is opened."
        mend = f"{mend} {switch}".strip()
    return VapourAnswer(
        stuff, amount_ml, by, room, seen, breath, fire, lights, 0.0 if lights else unlit, clear, hours,
        burnable_m3(facts, grams, room.temp_c), _says(stuff, seen, lights), mend, tuple(notes), parts, unlit, relight,
        _methanols(facts, seen) if because else frozenset(),
    )  # fmt: skip


def _together(parts: Sequence[Part]) -> Stuff:
    """Several as one: named together, the lowest flash point, a millilitre of the whole."""
    if len(parts) == 1:
        return parts[0].stuff
    total = sum(p.amount_ml for p in parts)
    free = added({n: g * p.amount_ml / total for n, g in p.stuff.grams_per_ml.items()} for p in parts)
    flash = min((p.stuff.flash_c for p in parts if p.stuff.flash_c is not None), default=None)
    return Stuff(
        " and ".join(p.stuff.name for p in parts), free, flash, max(p.stuff.touch_dry_h for p in parts),
        stands_in=next((p.stuff.stands_in for p in parts if p.stuff.stands_in), ""),
    )  # fmt: skip


def _relight(
    facts: Facts, parts: Sequence[Part], room: Room, clear_h: float, methanol_free: bool
) -> tuple[float, float]:
    """The earliest that heat may come back, h after laying: air well stirred and dried as mostly, to as bad as given.

    Source: figure vapour_quiet_lel: under a hundredth of the lower explosive limit and every limit of breath.
    """
    lets = [p.let(facts) for p in parts]
    stirred = Room(room.volume_m3, room.changes_per_h, 1.0, room.temp_c)
    quick = purge(facts, exposure(facts, lets, stirred, methanol_free=methanol_free), stirred,
                  methanol_free=methanol_free)  # fmt: skip
    slow = max(p.slow_h(facts) for p in parts) + clear_h
    early = max(let.hours for let in lets) + quick
    return early, max(early, slow)


def _methanols(facts: Facts, seen: Exposure) -> frozenset[str]:
    """Limits told of alcohol that are lower than its own."""
    own = limits_of(facts, "ethanol", methanol_free=True)
    known = {"day": own.day, "short": own.short, "half-danger": own.half_danger}
    return frozenset(
        s.id for s in seen.limits if s.solvent == "ethanol" and s.limit_ppm != known.get(s.id)
    )


def _check(room_m3: float, air_changes: float | None, mixing: float | None) -> None:
    if not (math.isfinite(room_m3) and room_m3 > 0):
        raise Misread(
            "A room without volume holds no air.", 'Write its volume, as "60 m3" or "20 ft x 20 ft x 9 ft".'
        )
    if air_changes is not None and not 0 <= air_changes <= 1000:
        mend = "Write 0.5 with all shut, 1 to 4 with a window open."
        raise Misread(f"{air_changes:g} air changes an hour cannot be.", mend)
    if mixing is not None and not 1 <= mixing <= 10:
        raise Misread(f"{mixing:g} is no mixing factor.", "Write 1 (well stirred) to 10 (still corners).")


def _says(stuff: Stuff, seen: Exposure, lights: bool) -> str:
    if not seen.by_solvent:
        return f"{stuff.name[0].upper()}{stuff.name[1:]} sets no solvent free that the tables know of."
    rich = "under 1" if seen.peak_ppm < _LEAST_PPM else f"about {_figure(seen.peak_ppm)}"
    all_of_it = " of all solvents together" if len(seen.by_solvent) > 1 else ""
    parts = [f"{rich} ppm{all_of_it} at its richest"]
    if seen.limits:
        near = seen.limits[0]
        others = "" if len(seen.by_solvent) == 1 else ", with its share of the others"
        parts.append(f"{_times(near.share)} the limit that bites first ({near.says}: {near.solvent}, "
                     f"{_figure(near.ppm)} ppm of {near.limit_ppm:g} allowed{others})")  # fmt: skip
    if seen.share_of_lel:
        parts.append(f"{_percent(seen.share_of_lel)} of what can burn")
    said = "; ".join(parts)
    return f"{said[0].upper()}{said[1:]}." + (
        " A flame lights it wherever the vapour lies." if lights else ""
    )


def _mend(breath: str, fire: str, lights: bool, need: float, left: float) -> str:
    if lights:
        return "Stop: put out every flame, pilot light and burner in the place first."
    if fire == "refuse":
        return "Stop: this wants a spray booth and the code official's word, or another finish."
    if breath == "go" and fire == "go":
        return ""
    if left >= 1:  # it is only that another stands in for it
        return "Look on the sheet of the can for its own limits before it is opened."
    first = "Stop: lay" if "stop" in (breath, fire) else "Lay"
    air = "no open window is enough"
    if math.isfinite(need):
        count = math.ceil(need)
        air = f"it wants {count} air change{'' if count == 1 else 's'} an hour"
    return f"{first} less in one session, or draw the air out ({air}); else breathe through what the sheet names."


def _times(share: float) -> str:
    return f"{share:.1f} times" if share >= 0.95 else f"{share * 100:.0f} % of"


def _percent(share: float) -> str:
    if share < 0.0005:
        return "under 0.1 %"
    return f"{share * 100:.0f} %" if share >= 0.1 else f"{share * 100:.1f} %"


def _figure(value: float) -> str:
    """Two figures, as much as is known."""
    if value < _LEAST_PPM:
        return "under 1"
    step = 10 ** max(0, math.floor(math.log10(value)) - 1)
    return f"{round(value / step) * step:,.0f}"
