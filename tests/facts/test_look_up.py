"""What a maker sees when asking for a word."""

from __future__ import annotations

from rakelight.errors import SourceKind
from rakelight.facts.look_up import Row, look_up


def _one(words: str, table: str) -> Row:
    rows = [row for row in look_up(words) if row.table == table]
    assert len(rows) == 1, [row.name for row in rows]
    return rows[0]


def test_a_material_with_its_figures_units_and_sources() -> None:
    row = _one("boiled linseed oil", "materials")
    entry = next(entry for entry in row.entries if entry.what == "dust-free, at 21 C")
    assert entry.value == "18 (6 to 24) h"
    assert "Ohio Revised Code section 3741.09" in entry.source and entry.kind == "published"


def test_a_material_brings_its_pairs() -> None:
    names = [row.name for row in look_up("boiled linseed oil") if row.table == "one over another"]
    assert "dewaxed shellac over boiled linseed oil" in names
    assert "boiled linseed oil over dewaxed shellac" in names


def test_a_pair_says_yes_or_no_in_words() -> None:
    rows = {row.name: row for row in look_up("dewaxed shellac")}
    assert rows["boiled linseed oil over dewaxed shellac"].entries[0].value.startswith("no,")
    assert rows["alcohol-soluble dye over dewaxed shellac, sprayed"].entries[0].value.startswith("yes")


def test_a_word_with_several_meanings_shows_each() -> None:
    names = [row.name for row in look_up("varnish") if row.table == "materials"]
    assert names == ["alkyd varnish", "brushing urethane varnish", "wiping urethane varnish"]


def test_a_wood() -> None:
    row = _one("hard maple", "woods")
    assert row.name == "sugar maple"
    assert any(entry.what == "depth of pores" and entry.kind == "assumption" for entry in row.entries)


def test_rules_of_thumb_and_figures_by_their_words() -> None:
    tables = {row.table for row in look_up("rotten") + look_up("dust settles") + look_up("scuff")}
    assert {"rules of thumb", "figures", "minutes of work"} <= tables


def test_an_abrasive_and_a_town() -> None:
    assert _one("P320", "abrasives").entries[0].value == "46.2 um"
    assert len([row for row in look_up("Chicago") if row.table == "air of towns"]) == 12


def test_nothing() -> None:
    assert look_up("zzzzzz") == [] and look_up("  ") == []


def test_every_fact_shown_has_words_and_kind() -> None:
    kinds = {kind.value for kind in SourceKind}
    for words in ("shellac", "lacquer", "oak", "pumice", "mineral spirits", "wax", "gloss"):
        rows = look_up(words)
        assert rows
        for row in rows:
            for entry in row.entries:
                assert entry.what and entry.value and entry.source and entry.kind in kinds, row
