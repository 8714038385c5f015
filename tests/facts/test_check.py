"""Every fact has a source and a kind; the check of the tables finds what is put wrong."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import fields, is_dataclass, replace
from pathlib import Path

import pytest

from rakelight.errors import SourceKind
from rakelight.facts import Facts, load, read_tables
from rakelight.facts import check as check_module
from rakelight.facts.check import check_tables
from rakelight.facts.records import Pair, Source
from rakelight.spread import Spread


def test_the_tables_have_no_fault() -> None:
    assert check_tables(load()) == []


def _sources_in(value: object) -> Iterator[Source]:
    if isinstance(value, Source):
        yield value
    elif isinstance(value, dict):
        for part in value.values():
            yield from _sources_in(part)
    elif isinstance(value, tuple):
        for part in value:
            yield from _sources_in(part)
    elif is_dataclass(value):
        for one in fields(value):
            yield from _sources_in(getattr(value, one.name))


TABLES = [
    "materials", "woods", "pairs", "practice", "abrasives", "labour", "figures", "filler_limits", "sheens",
    "lubricants", "aliases", "cautions", "solvents", "towns", "film_permeance",
]  # fmt: skip


@pytest.mark.parametrize("table", TABLES)
def test_every_row_has_a_source_with_words_and_a_kind(table: str) -> None:
    rows = getattr(load(), table)
    for row in rows.values() if isinstance(rows, dict) else rows:
        found = list(_sources_in(row))
        assert found, row
        for source in found:
            assert len(source.text) > 3 and isinstance(source.kind, SourceKind), row


def test_every_figure_of_a_material_has_a_source() -> None:
    for material in load().materials.values():
        for name in ("solids_volume", "coverage_m2_per_l", *(f"time_h.{stage}" for stage in material.time_h)):
            assert material.source(name).text


def test_no_source_shows_a_code_or_an_old_value() -> None:
    """A person reads words: no bare code, no path, no history of the table."""
    facts = load()
    for table in TABLES:
        rows = getattr(facts, table)
        for row in rows.values() if isinstance(rows, dict) else rows:
            for source in _sources_in(row):
                assert not source.text.startswith(("S1", "T1", "read-", "mem-")), source.text
                assert "../" not in source.text and ".csv" not in source.text, source.text
                assert "(was " not in source.text, source.text


def _with_time(facts: Facts, id: str, **hours: tuple[float, float, float]) -> Facts:
    material = facts.materials[id]
    times = {**material.time_h, **{stage: Spread.of(three) for stage, three in hours.items()}}
    return replace(facts, materials={**facts.materials, id: replace(material, time_h=times)})


def test_it_finds_stages_out_of_order() -> None:
    wrong = _with_time(load(), "shellac_dewaxed", sandable=(0.05, 2, 4))
    assert check_tables(wrong) == [
        "shellac_dewaxed: touch_dry low 0.08 h is later than sandable 0.05 h"
    ]


def test_it_finds_an_unknown_material_in_a_pair() -> None:
    facts = load()
    stray = Pair("shellac_dewaxed", "treacle", "any", "ok", 2.0, "", facts.pairs[0].source)
    assert check_tables(replace(facts, pairs=(*facts.pairs, stray))) == [
        "pairs.csv: shellac_dewaxed under treacle: no material treacle"
    ]


def test_it_finds_a_never_with_a_wait() -> None:
    facts = load()
    never = next(pair for pair in facts.pairs if pair.verdict == "never")
    pairs = tuple(replace(pair, wait_h=5.0) if pair is never else pair for pair in facts.pairs)
    assert any("a wait stands with never" in fault for fault in check_tables(replace(facts, pairs=pairs)))


def test_it_finds_a_wait_that_is_not_the_materials_own() -> None:
    wrong = _with_time(load(), "omu_brush", recoat_min=(6, 9, 12))
    assert any("omu_brush under omu_brush: 8 h" in fault for fault in check_tables(wrong))


def test_it_finds_a_figure_that_disagrees_with_the_rule_of_thumb() -> None:
    facts = load()
    wrong = replace(facts.figures["pack_h"], value=Spread(72, 100, 336))
    faults = check_tables(replace(facts, figures={**facts.figures, "pack_h": wrong}))
    assert faults == ["figures.csv: pack_h is not what P81 says"]


def test_it_finds_an_unknown_unit() -> None:
    facts = load()
    wrong = replace(facts.figures["gun_left_ml"], unit="thimbles")
    faults = check_tables(replace(facts, figures={**facts.figures, "gun_left_ml": wrong}))
    assert faults == ["figures.csv: gun_left_ml: unknown unit thimbles"]


@pytest.fixture
def copied(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    for path in read_tables.TABLES.iterdir():
        if path.is_file():
            (tmp_path / path.name).write_text(path.read_text("utf-8"), "utf-8")
    monkeypatch.setattr(read_tables, "TABLES", tmp_path)
    monkeypatch.setattr(check_module, "TABLES", tmp_path)
    return tmp_path


@pytest.mark.parametrize(
    ("table", "line", "fault"),
    [
        ("labour.csv", "polish,1,2,3,flat,", "labour.csv:15: source: a fact without a source"),
        ("labour.csv", "polish,1,2,3,flat,hearsay", "does not begin with a code"),
        ("labour.csv", "scuff,1,2,3,flat,A", "labour.csv: scuff stands 2 times"),
        ("labour.csv", "polish,1,2,3,see ../notes,A", "names a path"),
        ("labour.csv", "polish,1,2,3,quite safe,A", "a word that promises"),
        ("pores.csv", "ironwood" + "," * 8 + "1,2,3" + "," * 14, "ironwood has no row in species.csv"),
    ],
)
def test_it_finds_a_bad_row(copied: Path, table: str, line: str, fault: str) -> None:
    facts = load()
    path = copied / table
    path.write_text(path.read_text("utf-8") + line + "\n", "utf-8")
    assert any(fault in found for found in check_tables(facts)), check_tables(facts)


def test_a_table_nobody_checks_is_named(copied: Path) -> None:
    (copied / "hearsay.csv").write_text("a,b\n1,2\n", "utf-8")
    assert check_tables(load()) == ["hearsay.csv: not in the list of tables with a source"]


def test_no_solvent_of_a_class_has_figures_of_its_own():
    """Every row can be reached, and what stands in for it has figures."""
    from rakelight.facts.air_tables import solvent_classes
    from rakelight.facts.names import find_material, find_solvent

    facts = load()
    for row in solvent_classes().values():
        assert not find_material(facts, row.said).ids and not find_solvent(facts, row.said).one, row.said
        assert not row.stands_in or row.stands_in in facts.solvents
