"""How well so many coats of a finish keep damp from the wood, from the published tests."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import lru_cache

from rakelight.facts.load import load
from rakelight.facts.read_tables import rows
from rakelight.facts.records import Source


@dataclass(frozen=True)
class DampTest:
    """Tests of one material, or of what stands in for it: permeance by coats, None where no film was seen."""

    material: str
    tested_as: str
    counts_as: float  # a coat of this counts as so many of those tested
    stands_in: bool
    note: str
    permeance_ng: Mapping[int, float | None]  # ng/(s m2 Pa)
    source: Source


@lru_cache(maxsize=1)
def damp_tests() -> dict[str, DampTest]:
    """Every material that the tests speak of, by id.

    >>> round(damp_tests()["shellac_dewaxed"].permeance_ng[3])
    163
    """
    facts = load()
    by_finish: dict[str, dict[int, float | None]] = {}
    for row in facts.film_permeance:
        if row.mee_pct[1] is not None:
            by_finish.setdefault(row.finish, {})[row.coats] = row.permeance_ng_per_s_m2_pa
    return {
        row["material"]: DampTest(
            row["material"],
            row["tested_as"],
            float(row["counts_as"]),
            row["stands_in"] == "yes",
            row["note"],
            by_finish[row["tested_as"]],
            facts.sources.read(row["source"]),
        )
        for row in rows("film_of_material.csv")
    }
