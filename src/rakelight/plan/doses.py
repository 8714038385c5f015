"""Which reference hours govern a readiness: the doses of everything that lies on a face and may not be dry.

A history without its hours is a `Shape`; what it asks for a readiness is worked out once and kept.
Source of every rule here: docs/decisions.md, "Waits".
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace

from rakelight.errors import RakelightError
from rakelight.facts.load import Facts
from rakelight.facts.records import Material, Source
from rakelight.facts.this_shop import read_factors
from rakelight.physics.drying import film_factor, thick_coat_factor
from rakelight.plan.clock import HEAT, OXIDATIVE, STOPPED, WATER, Law
from rakelight.schedule.tasks import Lay
from rakelight.spread import Spread

#: what takes finish away and leaves a scratched face
ABRADING = ("sand", "scuff", "level", "rub")
#: pair waits of this many hours and more follow the late law. Source: docs/decisions.md, "Laws"
LATE_PAIR_H = 24.0
#: figures that follow the late law; those of packing and long pair waits do too
LATE = ("rub_out_ready", "full_cure")
#: where a row lacks a figure, the one that stands for it
INSTEAD = {
    "sandable": ("recoat_min",),
    "handling": ("recoat_min", "touch_dry"),
    "touch_dry": ("recoat_min",),
    "recoat_min": ("sandable", "handling"),
    "full_cure": ("handling",),
}


@dataclass(frozen=True)
class Happened:
    """One thing that happened on one face, in order."""

    hour: float  # end of the work
    do: str  # lay, scuff, sand, level, rub
    lay: Lay | None = field(default=None, hash=False)
    removes_um: float = 0.0  # taken off the flat
    apart: bool = False  # laid too late to be one film with the coat of its kind beneath; said by the waits


@dataclass(frozen=True, eq=False, slots=True)
class Need:
    """Reference hours that must pass since one event."""

    at: int  # which event
    material: str  # whose error it shares
    law: Law
    dose: Spread
    figure: str  # time_h.rub_out_ready, pair:a>b, practice P81 ...
    source: Source
    says: str  # "dewaxed shellac ready to rub"
    film_um: float = 0.0  # where the film has changed it
    beneath: tuple[Need, ...] = ()  # next-coat needs of oxidising coats under it, lowest first
    ratio: float = 1.0  # high over likely
    sure: bool = False  # its likely figure alone: the doubt was judged before

    def at_z(self, z: float) -> float:
        """Reference hours at a deviate."""
        return self.dose.likely if z == 0 else self.dose.at_z(z)


@dataclass(frozen=True)
class ManyCoats:
    """The rest after as many coats of one kind as may be laid in a day."""

    most: int
    at: tuple[int, ...]  # events of that kind, the last is the last coat
    need: Need


@dataclass(frozen=True)
class Recipe:
    """All that a readiness asks of a shape."""

    needs: tuple[Need, ...]
    many: ManyCoats | None = None


class Alike:
    """Numbers of coats: those that dry alike, whichever of how many they are, have the same one."""

    def __init__(self) -> None:
        self._known: dict[int, tuple[Lay, int]] = {}  # by identity; the coat is held, so that it stays its own
        self._numbers: dict[Lay, int] = {}

    def number(self, lay: Lay | None) -> int:
        """The number of a coat; -1 of none."""
        if lay is None:
            return -1
        found = self._known.get(id(lay))
        if found is None:
            number = self._numbers.setdefault(replace(lay, coat=1, of=1), len(self._numbers))
            found = self._known[id(lay)] = (lay, number)
        return found[1]


class Shape:
    """A history without its hours; those that go on from it hang below it."""

    __slots__ = ("_next", "alike", "recipes", "steps")

    def __init__(self, alike: Alike, steps: tuple[Happened, ...] = ()) -> None:
        self.alike = alike
        self.steps = steps
        self._next: dict[object, Shape] = {}
        self.recipes: dict[tuple[str, int, bool, bool], Recipe] = {}

    def of(self, events: Sequence[Happened], apart: Sequence[int] = ()) -> Shape:
        """The shape of a history; apart, which of its coats are no one film with the coat of their kind beneath."""
        node = self
        number = self.alike.number
        for at, event in enumerate(events):
            lay = event.lay
            alone = at in apart
            key: object = (event.do, event.removes_um)
            if lay is not None:
                key = (number(lay), alone) if alone else number(lay)
            found = node._next.get(key)
            if found is None:
                steps = (*node.steps, replace(event, hour=0.0, apart=alone))
                found = node._next[key] = Shape(self.alike, steps)
            node = found
        return node


@dataclass
class Film:
    """A film on the face: coats that count as one."""

    group: str
    film_um: float = 0.0
    last: int = -1  # the event that laid its last coat


@dataclass(frozen=True)
class Coat:
    """One coat as the stack has it."""

    at: int
    lay: Lay
    row: Material
    film: Film | None
    film_um: float  # of all that counts as one with it, when it was laid
    thick: float  # factor of a thick oxidising coat


class Doses:
    """Reads the tables for one shop."""

    def __init__(self, facts: Facts, factors: Mapping[str, float]) -> None:
        self.facts = facts
        drying = {k: v for k, v in factors.items() if k.startswith("drying:")}
        self.shop = {k.removeprefix("drying:"): v for k, v in read_factors(drying).items()}
        self.factors = {k: v.times for k, v in self.shop.items()}
        self._normal_um = facts.figure("normal_film_um").value.likely
        self._thick_um = facts.figure("thick_oxidising_um").value.likely
        self._one_film_h = facts.figure("water_borne_one_film_h").value.likely
        self._still = facts.figure("still_air_factor").value.likely
        self._blends: dict[tuple[object, ...], Law] = {}
        self._laws: dict[str, tuple[Law, Law]] = {}

    # -- laws -----------------------------------------------------------------------------------

    def laws(self, row: Material) -> tuple[Law, Law]:
        """Early and late law of a material."""
        if row.id not in self._laws:
            self._laws[row.id] = self._read_laws(row)
        return self._laws[row.id]

    def _read_laws(self, row: Material) -> tuple[Law, Law]:
        kind = row.mechanism
        if kind == "oxidative":
            return OXIDATIVE, OXIDATIVE
        if kind == "coalescence":
            return WATER, HEAT
        if kind == "two_part_after_coalescence":
            return WATER, STOPPED
        if kind == "water_evaporation":
            return WATER, WATER
        if kind == "evaporation_then_crosslink":
            return self._vapour(row), STOPPED
        if kind in ("solvent_evaporation", "hydration_or_solvent_evaporation"):
            early = self._vapour(row)
            return early, early if row.coats_join == "absorbed" else HEAT
        raise RakelightError(f"{row.name} dries in a way that is not known: {kind}.")

    def _vapour(self, row: Material) -> Law:
        shares = row.vapour_solvents_mass or {"ethanol": 1.0}
        solvents = self.facts.solvents
        blend = tuple(
            (share, abc) for name, share in shares.items() if (abc := solvents[name].antoine) is not None
        )
        if blend not in self._blends:
            self._blends[blend] = Law("vapour", blend)
        return self._blends[blend]

    # -- rows -----------------------------------------------------------------------------------

    def row(self, lay: Lay) -> Material:
        """The material laid. Raises RakelightError where no table has it."""
        found = self.facts.materials.get(lay.material)
        if found is None:
            raise RakelightError(f"{lay.material} stands in no table of materials.")
        return found

    def here(self, material: str, hours: Spread) -> Spread:
        """Hours of a table as this shop has them."""
        factor = self.shop.get(material)
        return factor.of(hours) if factor else hours

    def time(self, row: Material, name: str) -> tuple[Spread, str]:
        """A figure of a row in this shop, and its name; another stands for one that is missing."""
        for found in (name, *INSTEAD.get(name, ())):
            if found in row.time_h:
                return self.here(row.id, row.time_h[found]), found
        raise RakelightError(f"{row.name} has no time for {name}.")

    def stack(self, steps: Sequence[Happened]) -> list[Coat]:
        """The coats on a face from the bare wood up, with the film each had when it was laid."""
        films: list[Film] = []
        coats: list[Coat] = []
        for at, event in enumerate(steps):
            if event.lay is None:
                _take(films, event.removes_um)
                continue
            row = self.row(event.lay)
            film = self._lay_film(films, event, row, at)
            film_um = film.film_um if film else 0.0
            coats.append(Coat(at, event.lay, row, film, film_um, self.thick(event.lay, row)))
        return coats

    def melts_until(self, row: Material) -> tuple[Law, float] | None:
        """How long a coat of it takes the next of its kind into one film: law and reference hours.

        Pre-catalysed lacquer within its recoat window, water-borne finish within two hours; None where coats
        always count as one film (shellac, lacquer, varnish) or leave none.
        """
        if not makes_film(row):
            return None
        if row.coats_join == "fuse_then_witness" and "recoat_max_without_abrading" in row.time_h:
            return self.laws(row)[0], self.time(row, "recoat_max_without_abrading")[0].likely
        if row.is_water_borne:
            return self.laws(row)[0], self._one_film_h * self.factors.get(row.id, 1.0)
        return None

    def _lay_film(self, films: list[Film], event: Happened, row: Material, at: int) -> Film | None:
        lay = event.lay
        if lay is None:
            return None
        if not makes_film(row):
            if lay.dry_um > 0:
                films.append(Film(f"{row.id} {at}", lay.dry_um, at))
            return None
        group = film_group(row)
        while films and films[-1].film_um <= 0 and films[-1].group != group:
            films.pop()
        if not films or films[-1].group != group or event.apart:
            films.append(Film(group))
        films[-1].film_um += lay.dry_um
        films[-1].last = at
        return films[-1]

    def thick(self, lay: Lay, row: Material) -> float:
        """Factor of an oxidising coat that is not as thick as its row's."""
        if row.mechanism != "oxidative" or not makes_film(row):
            return 1.0
        rows_um = next(iter(row.wet_film_um.values())).likely * row.solids_volume.likely
        coat_um = lay.dry_um
        if lay.wet_um is not None and lay.solids_volume is not None:
            coat_um = lay.wet_um.likely * lay.solids_volume.likely
        return thick_coat_factor(coat_um, rows_um, self._thick_um) if coat_um > 0 else 1.0

    def film_factor(self, coat: Coat) -> float:
        """Factor of the whole film on late times; 1 where no solvent has to find its way out of it."""
        if coat.film is None or coat.row.mechanism not in ("solvent_evaporation", "coalescence"):
            return 1.0
        return film_factor(coat.film_um, self._normal_um)

    def still(self, law: Law, closed: bool) -> float:
        """How much longer it takes where the air stands still."""
        return self._still if closed and law is OXIDATIVE else 1.0


def makes_film(row: Material) -> bool:
    """Whether coats of it build a film: not what is wiped off, nor wax, filler, size."""
    return "film" in row.roles and row.coats_join != "absorbed"


def is_wax(row: Material) -> bool:
    """Whether it is laid as a last polish and not as a coat."""
    return "wax" in row.roles and "film" not in row.roles


def film_group(row: Material) -> str:
    """What counts as one film: coats that fuse have their main solvent in common, others their name.

    Shellac fuses with shellac, lacquer with lacquer; shellac under lacquer stays a film of its own. Coats that
    come too late to melt in (`Happened.apart`) begin another film of the same group.
    """
    if row.coats_join == "fuse" and row.vapour_solvents_mass:
        return max(row.vapour_solvents_mass, key=lambda name: row.vapour_solvents_mass[name])
    return row.id


def _take(films: list[Film], removes_um: float) -> None:
    """Take film off from the top: what is there, never more."""
    for film in reversed(films):
        taken = min(film.film_um, removes_um)
        film.film_um -= taken
        removes_um -= taken
        if removes_um <= 0:
            return
