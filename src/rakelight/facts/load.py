"""All facts in one object, loaded once."""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from functools import cached_property, lru_cache

from rakelight.errors import NotFound
from rakelight.facts.materials import read_materials
from rakelight.facts.read_tables import TABLES, listed, number, read_sources, rows, triple
from rakelight.facts.records import (
    Abrasive,
    Alias,
    Caution,
    Figure,
    FillerLimit,
    FilmFault,
    FilmPermeance,
    Labour,
    Lubricant,
    Material,
    MonthAir,
    Pair,
    Practice,
    SheenClass,
    Solvent,
    Source,
    Wood,
)
from rakelight.facts.sources import Sources
from rakelight.facts.this_shop import Factor, own_labour, read_factors
from rakelight.facts.woods import read_woods
from rakelight.facts.words import VERDICT_WORDS
from rakelight.spread import Spread

#: ways of laying that count as "hand" in the pairs
HAND = frozenset({"hand", "brush", "wipe", "pad", "trowel"})
#: verdicts from the mildest to the strictest
VERDICTS = tuple(VERDICT_WORDS)
_WORDS = ("cas", "skin_note", "nfpa30_class", "antoine_note")
_NOT_NUMBERS = ("name", *_WORDS, "note", "source")


@dataclass(frozen=True, eq=False)
class Facts:
    """Every table of facts; tables a plan seldom needs are read when first asked for."""

    sources: Sources
    materials: dict[str, Material]
    woods: dict[str, Wood]
    pairs: tuple[Pair, ...]
    practice: dict[str, Practice]
    abrasives: dict[str, Abrasive]
    labour: dict[str, Labour]
    figures: dict[str, Figure]
    filler_limits: dict[str, FillerLimit]
    sheens: dict[str, SheenClass]
    lubricants: dict[str, Lubricant]
    aliases: tuple[Alias, ...]
    shop: Mapping[str, Factor] = field(default_factory=dict)  # this shop's own factors, by key

    def in_shop(self, factors: Mapping[str, float]) -> Facts:
        """The same tables with a shop's own factors over them (keys: `facts/this_shop.py`)."""
        if not factors:
            return self
        shop = read_factors(factors)
        return replace(self, shop=shop, labour=own_labour(self.labour, shop))

    def figure(self, id: str) -> Figure:
        """A single named number.

        Raises:
            NotFound: no such id in the table of figures.
        """
        if id not in self.figures:
            raise NotFound(f"the table of figures has no {id!r}")
        return self.figures[id]

    def likely(self, id: str) -> float:
        """Likely value of a named number."""
        return self.figure(id).value.likely

    def paper_um(self, number: int, us: bool = False) -> float | None:
        """Grain size of a paper, FEPA P unless the US scale is meant; None where the table has none."""
        found = self.abrasives.get(f"CAMI {number}" if us else f"FEPA_P P{number}")
        return found.size_um if found else None

    def pair(self, under: str, over: str, method: str = "any") -> Pair | None:
        """The most exact row for one material over another; None where none is listed: test on an offcut.

        Args:
            under: id of what lies there.
            over: id of what is to be laid.
            method: "any", "hand", "spray", or a way of laying by hand ("brush", "wipe", "pad", "trowel").
                With "any", where only rows by method exist, the stricter one.
        """
        way = "hand" if method in HAND else method
        for key in ((under, over), (under, "*"), ("*", over)):
            ways = self._pairs_by_ends.get(key)
            if not ways:
                continue
            found = ways.get(way) or ways.get("any")
            if found:
                return found
            if way == "any":
                return max(ways.values(), key=lambda pair: VERDICTS.index(pair.verdict))
        return None

    def pair_wait(self, pair: Pair) -> Spread | None:
        """Wait of a pair in reference hours: likely, spread as the lower row's recoat time."""
        if pair.wait_h is None:
            return None
        lower = self.materials.get(pair.under)
        if lower is None or "recoat_min" not in lower.time_h:
            return Spread.exact(pair.wait_h)
        recoat = lower.time_h["recoat_min"]
        return recoat * (pair.wait_h / recoat.likely)

    @cached_property
    def _pairs_by_ends(self) -> dict[tuple[str, str], dict[str, Pair]]:
        by_ends: dict[tuple[str, str], dict[str, Pair]] = {}
        for pair in self.pairs:
            by_ends.setdefault((pair.under, pair.over), {})[pair.method] = pair
        return by_ends

    @cached_property
    def cautions(self) -> tuple[Caution, ...]:
        """Sentences to show at an operation with a class of material."""
        with (TABLES / "cautions.toml").open("rb") as file:
            raw = tomllib.load(file)["caution"]
        return tuple(
            Caution(
                id=one["id"],
                material_class=one["class"],
                operation=one["operation"],
                text=tuple(one["text"]),
                defer=one["defer"],
                source=self.sources.read("; ".join(one["sources"])),
            )
            for one in raw
        )

    @cached_property
    def solvents(self) -> dict[str, Solvent]:
        """Solvents by name."""
        by_column: dict[str, dict[str, Source]] = {}
        for row in rows("solvent_sources.csv"):
            by_column.setdefault(row["name"], {})[row["field"]] = self.sources.read(row["source"])
        return {
            row["name"]: _solvent(row, by_column.get(row["name"], {}), self.sources)
            for row in rows("solvents.csv")
        }

    @cached_property
    def towns(self) -> tuple[MonthAir, ...]:
        """Outdoor air of towns by month."""
        return tuple(
            MonthAir(
                town=row["town"],
                state=row["state"],
                month=int(row["month"]),
                temp_c=float(row["temp_c"]),
                rh=float(row["rh_percent"]) / 100.0,
                source=self.sources.read(row["source"]),
            )
            for row in rows("climate_monthly.csv")
        )

    @cached_property
    def film_faults(self) -> dict[str, FilmFault]:
        """What is uneven in a film, by name."""
        return {row["fault"]: _film_fault(row, self.sources) for row in rows("film_faults.csv")}

    @cached_property
    def film_permeance(self) -> tuple[FilmPermeance, ...]:
        """How well coats keep damp out, as tested."""
        return tuple(_permeance(row, self.sources) for row in rows("film_permeance.csv"))


@lru_cache(maxsize=1)
def load() -> Facts:
    """All facts; read from the tables once."""
    sources = read_sources()
    return Facts(
        sources=sources,
        materials=read_materials(sources),
        woods=read_woods(sources),
        pairs=_pairs(sources),
        practice=_practice(sources),
        abrasives=_abrasives(sources),
        labour=_labour(sources),
        figures=_figures(sources),
        filler_limits=_filler_limits(sources),
        sheens=_sheens(sources),
        lubricants=_lubricants(sources),
        aliases=_aliases(sources),
    )


def _pairs(sources: Sources) -> tuple[Pair, ...]:
    return tuple(
        Pair(
            under=row["under"],
            over=row["over"],
            method=row["method"],
            verdict=row["verdict"],
            wait_h=number(row["wait_h"]),
            reason=row["reason"],
            source=sources.read(row["source"]),
        )
        for row in rows("pairs.csv")
    )


def _practice(sources: Sources) -> dict[str, Practice]:
    return {
        row["id"]: Practice(
            id=row["id"],
            stage=row["stage"],
            quantity=row["quantity"],
            value=triple(row, "low", "likely", "high"),
            unit=row["unit"],
            condition=row["condition"],
            source=sources.read(row["source"]),
        )
        for row in rows("practice.csv")
    }


def _abrasives(sources: Sources) -> dict[str, Abrasive]:
    return {
        f"{row['kind']} {row['grade']}": Abrasive(
            kind=row["kind"],
            grade=row["grade"],
            size_um=number(row["size_um"]),
            acts_like_um=number(row["acts_like_um"]),
            source=sources.read(row["source"]),
        )
        for row in rows("abrasives.csv")
    }


def _labour(sources: Sources) -> dict[str, Labour]:
    found = {}
    for row in rows("labour.csv"):
        minutes = triple(row, "minutes_per_m2_low", "minutes_per_m2_likely", "minutes_per_m2_high")
        if minutes is None:
            raise NotFound(f"labour {row['work']!r} has no minutes")
        found[row["work"]] = Labour(row["work"], minutes, row["basis"], sources.read(row["source"]))
    return found


def _figures(sources: Sources) -> dict[str, Figure]:
    return {
        row["id"]: Figure(
            id=row["id"],
            value=Spread(float(row["low"]), float(row["likely"]), float(row["high"])),
            unit=row["unit"],
            what=row["what"],
            source=sources.read(row["source"]),
        )
        for row in rows("figures.csv")
    }


def _filler_limits(sources: Sources) -> dict[str, FillerLimit]:
    return {
        row["sheen"]: FillerLimit(
            row["sheen"],
            number(row["strict_um"]),
            number(row["likely_um"]),
            number(row["lenient_um"]),
            sources.read(row["source"]),
        )
        for row in rows("filler_limits.csv")
    }


def _sheens(sources: Sources) -> dict[str, SheenClass]:
    return {
        row["sheen"]: SheenClass(
            row["sheen"],
            float(row["gloss_60_low"]),
            number(row["gloss_60_high"]),
            sources.read(row["source"]),
        )
        for row in rows("sheen_classes.csv")
    }


def _lubricants(sources: Sources) -> dict[str, Lubricant]:
    return {
        row["name"]: Lubricant(
            name=row["name"],
            aliases=listed(row["aliases"]),
            material=row["material"],
            watery=row["watery"] == "yes",
            oily=row["oily"] == "yes",
            dries_as_oil=row["dries_as_oil"] == "yes",
            silicone=row["silicone"] == "yes",
            waxes_surface=row["waxes_surface"] == "yes",
            note=row["note"],
            source=sources.read(row["source"]),
        )
        for row in rows("lubricants.csv")
    }


def _aliases(sources: Sources) -> tuple[Alias, ...]:
    return tuple(
        Alias(row["say"], row["kind"], listed(row["means"]), row["note"], sources.read(row["source"]))
        for row in rows("aliases.csv")
    )


def _solvent(row: dict[str, str], by_column: dict[str, Source], sources: Sources) -> Solvent:
    antoine = tuple(float(row[f"antoine_{letter}"]) for letter in "abc" if row[f"antoine_{letter}"])
    return Solvent(
        name=row["name"],
        molar_mass_g_mol=float(row["molar_mass_g_mol"]),
        density_kg_m3=float(row["density_20c_kg_m3"]),
        antoine=(antoine[0], antoine[1], antoine[2]) if len(antoine) == 3 else None,
        figures={name: float(cell) for name, cell in row.items() if name not in _NOT_NUMBERS and cell},
        source=sources.read(row["source"]),
        note=row["note"],
        words={name: row[name] for name in _WORDS if row[name]},
        sources=by_column,
    )


def _film_fault(row: dict[str, str], sources: Sources) -> FilmFault:
    heights = [float(row[f"height_{end}_um"]) for end in ("low", "likely", "high")]
    return FilmFault(
        name=row["fault"],
        aliases=listed(row["aliases"]),
        height_um=Spread.of(heights),
        all_over=row["all_over"] == "yes",
        first_paper=f"FEPA_P {row['first_paper']}",
        first_do=row["first_do"],
        source=sources.read(row["source"]),
    )


def _permeance(row: dict[str, str], sources: Sources) -> FilmPermeance:
    return FilmPermeance(
        finish=row["finish"],
        kind_of_finish=row["kind_of_finish"],
        coats=int(row["coats"]),
        mee_pct=(
            number(row["mee_1d_percent"]),
            number(row["mee_7d_percent"]),
            number(row["mee_14d_percent"]),
        ),
        permeance_ng_per_s_m2_pa=number(row["permeance_ng_per_s_m2_pa"]),
        note=row["note"],
        source=sources.read(row["source"]),
        permeance_source=sources.read(row["permeance_source"]) if row["permeance_source"] else None,
    )
