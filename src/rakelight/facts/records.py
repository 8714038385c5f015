"""The shape of each kind of fact. Numbers carry their unit in the name; every record names its source."""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass, field, fields

from rakelight.errors import NotFound, SourceKind
from rakelight.spread import Spread


@dataclass(frozen=True)
class Source:
    """Where a figure comes from: the words of the table, and what kind of source that is."""

    text: str
    kind: SourceKind


@dataclass(frozen=True)
class Material:
    """A generic finishing material as its row stands (times at 21 C, 50 % RH, one normal coat)."""

    id: str
    name: str
    roles: frozenset[str]  # colour, size, penetrating_oil, sealer, filler, film, barrier, wax ...
    mechanism: str  # oxidative, solvent_evaporation, coalescence, two_part_after_coalescence, ...
    coats_join: str  # fuse, witness, fuse_then_witness, absorbed, keyed
    solids_volume: Spread
    density_kg_per_l: Spread
    coverage_m2_per_l: Spread
    coverage_basis: str
    basis_is_bare: bool
    wet_film_um: dict[str, Spread]  # by method, in table order: first method is the basis
    time_h: dict[str, Spread]  # touch_dry, sandable, recoat_min, recoat_max_without_abrading, ...
    resistance: dict[str, int]  # water, alcohol, heat, abrasion: 1-5
    transfer: Spread | None = None
    min_temp_c: float | None = None
    max_rh: float | None = None  # 0-1
    max_film_um: float | None = None
    mfft_c: Spread | None = None
    refractive_index: Spread | None = None
    flash_point_c: Spread | None = None
    shelf_life_months: Spread | None = None
    voc_g_per_l: Spread | None = None  # what is set free (actual, not less water)
    pot_life_h: Spread | None = None
    vapour_solvents_mass: dict[str, float] = field(default_factory=dict)
    caution_class: tuple[str, ...] = ()
    self_heating_rags: bool = False
    redissolves: str = ""
    binder: str = ""
    carrier: str = ""
    colour_cast: str = ""
    hardness: str = ""
    sandability: int | None = None
    mee_pct_14d_3coats: float | None = None
    food_contact: str = ""
    note: str = ""
    solids_weight: Spread | None = None
    uv_yellowing: int | None = None  # 0 (none) to 5
    sources: dict[str, Source] = field(default_factory=dict)  # by field of the table; "default"

    def source(self, name: str) -> Source:
        """Source of one field of the row (`flash_point_c`, `time_h.sandable`): its own, else the row's default.

        Raises:
            NotFound: the row has no such field.
        """
        table, dot, key = name.partition(".")
        known: Collection[str] = getattr(self, table) if dot and table in _KEYED else _FIELDS
        if (key or name) not in known:
            raise NotFound(f"{self.name} has no field {name!r}")
        return self.sources.get(name) or self.sources["default"]

    def time_source(self, stage: str) -> Source:
        """Source of one of its times (`touch_dry`); raises NotFound where the row has no such time."""
        return self.source(f"time_h.{stage}")

    def wet_source(self, by: str) -> Source:
        """Source of its wet film by a way of laying (`brush`); raises NotFound where the row has none."""
        return self.source(f"wet_film_um.{by}")

    @property
    def methods(self) -> tuple[str, ...]:
        """Ways it can be laid, in table order."""
        return tuple(self.wet_film_um)

    @property
    def only_wax(self) -> bool:
        """Whether it is a wax and no film: cold makes it stiff, and does it no other harm."""
        return "wax" in self.roles and "film" not in self.roles

    @property
    def is_oil(self) -> bool:
        """A penetrating oil: wiped off, leaves no film."""
        return self.coats_join == "absorbed" and "penetrating_oil" in self.roles

    @property
    def is_shellac(self) -> bool:
        """Mixed from flakes and alcohol."""
        return self.binder.startswith("shellac")

    @property
    def is_water_borne(self) -> bool:
        """Laid in water, melting together as the water leaves; fillers of that kind too."""
        return self.mechanism in ("coalescence", "two_part_after_coalescence")


#: fields of a material with a figure to a key, each with a source of its own
_KEYED = ("time_h", "wet_film_um")
#: every other field a source may be asked of, and the row's default
_FIELDS = frozenset({"default", *(f.name for f in fields(Material))}) - {"id", "sources", *_KEYED}


@dataclass(frozen=True)
class Wood:
    """One wood: what its pores, extractives and blotching do to a finish, and how far it moves."""

    name: str
    botanical: str
    aliases: tuple[str, ...]
    porosity: str = ""  # ring-porous, semi-ring-porous, diffuse-porous, softwood ...; "" unknown
    pore_depth_um: Spread | None = None
    pore_area: Spread | None = None
    pore_width_um: tuple[float, float] | None = None  # of its large pores, low and high
    grain: str = ""  # open, medium, closed ... as the table says
    fill_for_level_film: str = ""
    blotch: str = ""  # no, low, some, yes as the table says; "" unknown
    oily: str = ""  # no, yes ...
    extractive: str = ""  # tannins, ...
    dust: str = ""
    c_radial_per_pct: float | None = None
    c_tangential_per_pct: float | None = None
    specific_gravity: float | None = None
    movement_from: str = ""
    note: str = ""
    sources: dict[str, Source] = field(default_factory=dict)  # pores, blotch, oily, movement ...

    @property
    def open_grained(self) -> bool:
        """Whether pores are open enough to show in a level film."""
        return self.fill_for_level_film.startswith("yes")


@dataclass(frozen=True)
class Pair:
    """May one material go over another: verdict, reference hours and reason."""

    under: str
    over: str  # a material id, or "*"
    method: str  # any, hand, spray
    verdict: str  # ok, ok-after-cure, needs-barrier, needs-abrading, never
    wait_h: float | None
    reason: str
    source: Source


@dataclass(frozen=True)
class Practice:
    """A rule of thumb of the trade."""

    id: str
    stage: str
    quantity: str
    value: Spread | None
    unit: str
    condition: str
    source: Source


@dataclass(frozen=True)
class Abrasive:
    """A paper, powder, wool or pad with its grain size."""

    kind: str  # FEPA_P, CAMI, powder, steel_wool, pad
    grade: str
    size_um: float | None
    acts_like_um: float | None
    source: Source


@dataclass(frozen=True)
class Labour:
    """Minutes of one maker for a square metre of flat surface, one pass."""

    work: str
    minutes_per_m2: Spread
    basis: str
    source: Source


@dataclass(frozen=True)
class Figure:
    """A single named number that is not of one material: a factor, a settling time, a share."""

    id: str
    value: Spread
    unit: str
    what: str
    source: Source


@dataclass(frozen=True)
class Caution:
    """Sentences to show at one operation with one class of material."""

    id: str
    material_class: str
    operation: str
    text: tuple[str, ...]
    defer: str  # sheet, code
    source: Source


@dataclass(frozen=True)
class Solvent:
    """A solvent's properties for evaporation (Antoine log10(P/Pa) = A - B/(T/K + C))."""

    name: str
    molar_mass_g_mol: float
    density_kg_m3: float
    antoine: tuple[float, float, float] | None
    figures: dict[str, float]  # every other numeric column as it stands
    source: Source
    note: str = ""
    words: dict[str, str] = field(default_factory=dict)  # columns that are not numbers
    sources: dict[str, Source] = field(default_factory=dict)  # by column


@dataclass(frozen=True)
class MonthAir:
    """Mean outdoor air of a town in a month."""

    town: str
    state: str
    month: int
    temp_c: float
    rh: float
    source: Source


@dataclass(frozen=True)
class FillerLimit:
    """Dip over a pore that still passes as filled at a sheen; None where an open pore is accepted."""

    sheen: str
    strict_um: float | None
    likely_um: float | None
    lenient_um: float | None
    source: Source


@dataclass(frozen=True)
class SheenClass:
    """A word for brightness and the gloss at 60 degrees it covers, from low (inclusive) to high."""

    sheen: str
    gloss_low: float
    gloss_high: float | None
    source: Source


@dataclass(frozen=True)
class Lubricant:
    """What is rubbed with, and what it leaves behind."""

    name: str
    aliases: tuple[str, ...]
    material: str  # id where it is also a finishing material, "" otherwise
    watery: bool
    oily: bool
    dries_as_oil: bool  # a drying oil: rags and wool may take fire by themselves
    silicone: bool
    waxes_surface: bool  # no coat holds over it
    note: str
    source: Source


@dataclass(frozen=True)
class FilmFault:
    """What is uneven in a film: how high it stands, the paper to begin with, and what to do first."""

    name: str
    aliases: tuple[str, ...]
    height_um: Spread
    all_over: bool  # levelling it costs film everywhere, not at single spots
    first_paper: str  # key of the abrasives table
    first_do: str
    source: Source


@dataclass(frozen=True)
class FilmPermeance:
    """How well a number of coats keeps damp from the wood, as tested on pine."""

    finish: str
    kind_of_finish: str
    coats: int
    mee_pct: tuple[float | None, float | None, float | None]  # after 1, 7, 14 days; 100 none gets in
    permeance_ng_per_s_m2_pa: float | None
    note: str
    source: Source
    permeance_source: Source | None = None


@dataclass(frozen=True)
class Alias:
    """What people say, and the ids it may mean; several: ask."""

    say: str
    kind: str  # material, wood, abrasive, solvent
    means: tuple[str, ...]
    note: str
    source: Source
