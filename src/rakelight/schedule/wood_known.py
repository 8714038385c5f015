"""What is known of a wood for its movement, and the words for humidity, moisture and finish people ask with.

These answers stand in this room because they need facts, physics and the guessed air of a shop, and because the
rules, further right, may ask them too.
"""

from __future__ import annotations

import math
import re
from collections.abc import Mapping
from dataclasses import dataclass

from rakelight.errors import Misread, SourceKind
from rakelight.facts.damp import damp_tests
from rakelight.facts.load import Facts
from rakelight.facts.names import find_material, find_wood
from rakelight.facts.records import Source, Wood
from rakelight.physics.emc import COLDEST_C, FIBRE_SATURATION_PCT, WARMEST_C, emc_pct
from rakelight.physics.film_damp import NEAR_WALL, ROOM_AIR, permeance_of_coats
from rakelight.physics.movement import coefficient, from_shrinkage
from rakelight.spread import Spread
from rakelight.units import read_percent, read_temp

#: cores that do not move with the seasons: their layers or chips hold each other
CORES = {
    "plywood": "its layers run crosswise and hold each other",
    "mdf": "its fibres run every way",
    "particleboard": "its chips run every way",
    "blockboard": "the crosswise layers over its strips hold it",
}
#: shrinkage, green to oven-dry, for a wood of which only the weight is known. Source: memory, the volume shrinks
#: 28 times the basic specific gravity in per cent, and 1.65 times as much along the rings as across them
_SHRINKS_BY_GRAVITY = {"radial": 10.6, "tangential": 17.4}
_BASIC_OF_DRY = 0.9
_GUESS_SPREAD = 1.5  # one board against such an estimate. Assumption
_PLAIN_GRAVITY = 0.6  # where not even the weight is known: the middle of furniture woods. Assumption


@dataclass(frozen=True)
class KnownWood:
    """A wood as its movement is reckoned: coefficient by cut (share of width a per cent), weight, source."""

    name: str
    radial: float | None
    tangential: float | None
    specific_gravity: float
    spread: Spread  # of one board against the coefficient
    source: Source
    note: str = ""

    def moves(self, cut: str) -> float:
        """Coefficient for a cut. Raises Misread where the table has none."""
        found = coefficient(cut, self.radial, self.tangential)
        if found is None:
            known = "flat" if self.tangential else "quarter"
            raise Misread(
                f"No figure is known for {self.name} sawn {cut}.",
                f'Write --cut {known}, or its shrinkage as --shrinkage "4.6 %, 7.4 %" (across and along the rings).',
            )
        return found


def wood_known(facts: Facts, words: str, shrinkage: str = "", gravity: float | None = None) -> KnownWood:
    """The figures of a wood by what a maker calls it; from its shrinkage or its weight where it has none.

    Parameters: shrinkage, as "4.6 %, 7.4 %", radial and tangential, green to oven-dry; gravity, dry weight
    against water, 0.2 to 1.3. Raises Misread for an unknown wood, or one without any figure.
    """
    if gravity is not None and not 0.2 <= gravity <= 1.3:
        raise Misread(f"A wood of specific gravity {gravity:g} is not known.", "Write a figure as 0.65.")
    match = find_wood(facts, words)
    if match.one is None and not (shrinkage or gravity):
        raise Misread(match.says, match.ask)
    wood = facts.woods[match.one] if match.one else Wood(words, "", ())
    usual = facts.figure("wood_moves_times").value
    weight = gravity or wood.specific_gravity
    notes = [] if weight else [f"its weight is not in the tables: reckoned with {_PLAIN_GRAVITY:g} of water's"]
    dense = weight or _PLAIN_GRAVITY
    if shrinkage:
        radial, tangential = _two(shrinkage)
        source = Source("from the shrinkage given", SourceKind.COMPUTED)
        return KnownWood(wood.name, radial, tangential, dense, usual, source, _joined(notes))
    if wood.c_radial_per_pct or wood.c_tangential_per_pct:
        if wood.movement_from:
            notes.insert(0, f"{wood.movement_from} stands in for it")
        source = wood.sources["movement"]
        return KnownWood(
            wood.name, wood.c_radial_per_pct, wood.c_tangential_per_pct, dense, usual, source, _joined(notes)
        )
    if weight is None:
        raise Misread(
            f"No movement is known for {wood.name}.",
            'Write its shrinkage as --shrinkage "4.6 %, 7.4 %", or its dry weight against water as --gravity 0.8.',
        )
    return _by_weight(wood, weight, usual)


def _by_weight(wood: Wood, weight: float, usual: Spread) -> KnownWood:
    basic = _BASIC_OF_DRY * weight
    radial, tangential = (from_shrinkage(times * basic) for times in _SHRINKS_BY_GRAVITY.values())
    wide = Spread(usual.low / _GUESS_SPREAD, 1.0, usual.high * _GUESS_SPREAD)
    source = Source("estimated from its weight", SourceKind.ASSUMPTION)
    note = "no movement of it is in the tables: an estimate from its weight, half as doubtful again"
    return KnownWood(wood.name, radial, tangential, weight, wide, source, note)


def _two(words: str) -> tuple[float, float]:
    parts = re.split(r"[,;/]| and ", words)
    if len(parts) != 2:
        raise Misread(f"{words!r} is not two shrinkages.", 'Write "4.6 %, 7.4 %": across the rings, then along them.')
    across, along = (100.0 * read_percent(part.strip(), 100.0) for part in parts)
    if not 0.5 <= across <= along <= 20.0:
        raise Misread(
            f"Shrinkage of {across:g} % across and {along:g} % along the rings is not known of any wood.",
            "The first is the smaller; green to oven-dry, as 4.6 %, 7.4 %.",
        )
    return from_shrinkage(across), from_shrinkage(along)


def _joined(notes: list[str]) -> str:
    return "; ".join(notes)


def cut_of(words: str) -> str:
    """flat, rift or quarter.

    >>> cut_of("flat-sawn"), cut_of("quatersawn"), cut_of("plain")
    ('flat', 'quarter', 'flat')
    """
    said = re.sub(r"[^a-z]|sawn", "", words.lower())
    said = {"quater": "quarter", "qtr": "quarter"}.get(said, said)
    found = {"flat": "flat", "plain": "flat", "rift": "rift", "quarter": "quarter", "quartered": "quarter"}.get(said)
    if found is None:
        raise Misread(f"{words!r} is no way to saw a board.", "Write flat, rift or quarter.")
    return found


def humidity(percent: float) -> float:
    """Relative humidity 0 to 1 from a number in per cent. Raises Misread over 100 or for a share of one."""
    if not 0.0 <= percent <= 100.0:
        raise Misread(f"Air of {percent:g} % humidity does not exist.", "Write 0 to 100, as 45.")
    if 0.0 < percent <= 1.0:
        meant = percent * 100
        raise Misread(f"Air of {percent:g} % humidity is never met with.", f"For {meant:g} % write {meant:g}.")
    return percent / 100.0


def temperature(words: str) -> float:
    """Temperature of air, C, at which wood can be reckoned. Raises Misread outside -20 to 70 C."""
    temp_c = read_temp(words)
    if not COLDEST_C <= temp_c <= WARMEST_C:
        raise Misread(
            f"What moisture wood comes to is not known at {words}, only from {COLDEST_C:g} to {WARMEST_C:g} C.",
            "Write the temperature of the air the wood lies in, as 20 C.",
        )
    return temp_c


def moisture(percent: float) -> float:
    """Moisture of wood, %. Raises Misread under 0, for a share of one, and where no wood in a shop is so wet."""
    if math.isnan(percent):
        raise Misread("The moisture is not a number.", "Write what the meter reads, as 8.")
    if percent < 0.0:
        raise Misread(f"Wood of {percent:g} % moisture does not exist.", "Oven-dry wood has 0; write a reading as 8.")
    if 0.0 < percent < 1.0:
        raise Misread(
            f"Wood of {percent:g} % moisture is oven-dry.", f"For {percent * 100:g} % write {percent * 100:g}."
        )
    if percent > FIBRE_SATURATION_PCT:
        raise Misread(
            f"{percent:g} % moisture is above fibre saturation ({FIBRE_SATURATION_PCT:g} %): green wood, which a meter "
            "cannot read and no figure here covers.",
            "Let it dry in the air first; write a reading of 4 to 30.",
        )
    return percent


def settled_pct(temp_c: float, percent: float) -> float:
    """Moisture wood comes to in air given in per cent of humidity."""
    return emc_pct(temp_c, humidity(percent))


@dataclass(frozen=True)
class Coated:
    """A face as asked about: what lies on it and how well it passes damp (None bare, 0 nothing passes)."""

    says: str
    permeance_ng: float | None
    air_side: float = ROOM_AIR
    note: str = ""


_BARE = re.compile(r"(bare|none|nothing|raw|no finish)$")
_SEALED = re.compile(r"(on )?(the |a )?(bench|floor|sealed|plate|foil)$")
_WALL = re.compile(r"(near |against )?(the |a )?wall$")
_COATS = re.compile(
    r"(?P<a>\d+)\s*(?:coats?\s*(?:of\s*)?|x\s*)(?P<b>.+)|(?P<c>.+?)\s*(?:x|×|,)\s*(?P<d>\d+)(?:\s*coats?)?$"
)


def coated(facts: Facts, words: str) -> Coated:
    """A face from words: "bare", "shellac x3", "2 coats alkyd varnish", "bench", "wall"; "+" joins finishes.

    Raises Misread for words that are none of these, or a finish no damp test is known for.
    """
    said = " ".join(words.lower().split())
    if _BARE.match(said) or not said:
        return Coated("bare", None)
    if _SEALED.match(said):
        return Coated(f"flat on a {said.split()[-1]}" if "seal" not in said else "sealed", 0.0)
    if _WALL.match(said):
        return Coated("bare, close to a wall", None, NEAR_WALL)
    passes = [_one_finish(facts, part) for part in said.split("+")]
    held = sum(1.0 / p.permeance_ng for p in passes if p.permeance_ng)
    notes = "; ".join(dict.fromkeys(p.note for p in passes if p.note))
    return Coated(" over ".join(p.says for p in reversed(passes)), 1.0 / held if held else None, note=notes)


def of_coats(facts: Facts, coats: Mapping[str, int]) -> Coated:
    """A face by what lies on it, material to number of coats; what was never tested counts as nothing."""
    held = 0.0
    for id, count in coats.items():
        test = damp_tests().get(id)
        passes = permeance_of_coats(test.permeance_ng, count * test.counts_as) if test else None
        held += 1.0 / passes if passes else 0.0
    says = " and ".join(f"{n} coat{'s' * (n > 1)} of {facts.materials[id].name}" for id, n in coats.items())
    return Coated(says or "bare", 1.0 / held if held else None)


def _one_finish(facts: Facts, words: str) -> Coated:
    found = _COATS.match(words.strip())
    name, count = (words.strip(), 1) if not found else (found["b"] or found["c"], int(found["a"] or found["d"]))
    if not 0 < count <= 40:
        raise Misread(f"{count} coats are not laid.", 'Write it as "shellac x3".')
    match = find_material(facts, name.strip())
    if not match.ids:
        raise Misread(match.says, match.ask)
    tests = {damp_tests()[id].tested_as: damp_tests()[id] for id in match.ids if id in damp_tests()}
    if not tests:
        row = facts.materials[match.ids[0]]
        raise Misread(f"No test of {row.name} against damp is known.", 'Write "bare", or the finish over it.')
    if len(tests) > 1:
        raise Misread(match.says, match.ask)
    test = next(iter(tests.values()))
    permeance = permeance_of_coats(test.permeance_ng, count * test.counts_as)
    shown = facts.materials[match.one].name if match.one else name.strip()
    return Coated(f"{count} coat{'s' * (count > 1)} of {shown}", permeance, note=test.note)
