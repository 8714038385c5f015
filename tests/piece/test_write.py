"""Files written back: what is read again is what was written, and remarks stay where they can."""

from __future__ import annotations

import tomllib
from datetime import date
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from rakelight.facts import load
from rakelight.piece.file import read_piece
from rakelight.piece.kinds import KINDS
from rakelight.piece.write import replaced, write_toml

EXAMPLES = Path(__file__).parents[2] / "examples"
PIECES = [p for p in sorted(EXAMPLES.glob("*.toml")) if not p.name.startswith("shop-")]

_names = st.from_regex(r"[a-z][a-z0-9]{0,6}(-[a-z0-9]{1,4})?", fullmatch=True)
_words = st.text(max_size=30)
_lengths = st.one_of(
    st.integers(1, 400), st.floats(0.1, 90).map(lambda v: round(v, 3)),
    st.sampled_from(["1 3/8 in", "5' 2-1/2\"", '7/8"', "35 mm", "0.9 m", "16 1/2"]),
)  # fmt: skip
_values = st.recursive(
    st.one_of(
        st.booleans(), st.integers(-(2**60), 2**60), st.floats(allow_nan=False), _words,
        st.dates(date(1950, 1, 1), date(2200, 1, 1)),
    ),
    lambda inner: st.lists(inner, max_size=4) | st.dictionaries(_words, inner, max_size=4),
    max_leaves=12,
)  # fmt: skip


@st.composite
def _parts(draw: st.DrawFn) -> dict[str, Any]:
    """A part as a maker might write it: its kind, wood, the sizes of that kind, more or less of the rest."""
    kind = draw(st.sampled_from(sorted(KINDS)))
    sizes: dict[str, Any] = {need.split("|")[0]: draw(_lengths) for need in KINDS[kind].needs}
    if kind == "slab":
        sizes["wide_at"] = draw(st.lists(_lengths, min_size=3, max_size=6))
    more = {
        "count": st.integers(1, 12),
        "cut": st.sampled_from(["flat", "rift", "quarter"]),
        "arris": st.sampled_from(["sharp", "eased", "3 mm"]),
        "cures_in": _words,
        "finish": st.sampled_from(["oil-and-wax", {"show": "oil-and-wax"}, {"all": {"as": "seal-only", "to": "seal"}}]),
        "extra": st.just([{"own": "fill the knot", "minutes": 20, "wait": "overnight", "before": "sand"}]),
        "test_board": st.just({"through": "coat 1", "age": "1 day"}),
    }
    chosen = draw(st.lists(st.sampled_from(sorted(more)), unique=True))
    wood = draw(st.sampled_from(["cherry", "white oak", ["cherry", "hard maple"]]))
    return {"kind": kind, "wood": wood, **sizes, **{k: draw(more[k]) for k in chosen}}


_pieces = st.fixed_dictionaries(
    {"piece": _words, "part": st.dictionaries(_names, _parts(), min_size=1, max_size=4)},
    optional={
        "unit": st.sampled_from(["in", "mm"]),
        "start": st.sampled_from(["8 Feb 2027", date(2027, 2, 8)]),
        "wanted": st.just([{"by": "19 March 2027 13:00", "for": "pack"}]),
        "must_stand": st.just(["water", "handling"]),
        "schedule": st.just({"mine": {"sheen": "satin", "steps": [{"do": "sand", "grits": [120, 180]}]}}),
    },
)


def _read(text: str) -> Any:
    piece, found = read_piece(text, "piece.toml", load())
    return piece, [(f.id, f.severity, f.says, f.mend) for f in found]


def _bare(piece: Any) -> str:
    """A piece in words, without the lines its file has it on."""
    import re

    return re.sub(r"(line=|lines=)(\d+|\{[^}]*\})|doc=Doc\(.*?\), (?=data=)", "", repr(piece)) if piece else ""


@settings(max_examples=60, deadline=None)
@given(st.dictionaries(_words, _values, max_size=5))
def test_any_table_reads_back_equal(data: dict[str, Any]) -> None:
    assert tomllib.loads(write_toml(data)) == data


@settings(max_examples=60, deadline=None)
@given(_pieces)
def test_a_piece_reads_back_equal(data: dict[str, Any]) -> None:
    text = write_toml(data)
    assert tomllib.loads(text) == data
    first = sorted((f.id, f.says) for f in read_piece(text, "p", load())[1])
    again = write_toml(tomllib.loads(text))
    assert again == text
    assert sorted((f.id, f.says) for f in read_piece(again, "p", load())[1]) == first


@pytest.mark.parametrize("path", PIECES, ids=lambda p: p.stem)
def test_the_examples_are_the_same_piece_when_written_anew(path: Path) -> None:
    text = path.read_text("utf-8")
    before, after = _read(text), _read(write_toml(tomllib.loads(text)))
    assert before[1] == after[1]
    assert before[0] is not None
    for name, part in before[0].parts.items():
        other = after[0].parts[name]
        assert (part.sizes, part.woods, part.faces, part.of) == (other.sizes, other.woods, other.faces, other.of)
        assert _bare(part.finish) == _bare(other.finish)
        assert [t.data for t in part.extra] == [t.data for t in other.extra]
    assert (before[0].name, before[0].unit, before[0].start) == (after[0].name, after[0].unit, after[0].start)


@pytest.mark.parametrize("path", [*PIECES, *EXAMPLES.glob("shop-*.toml")], ids=lambda p: p.stem)
def test_one_table_written_anew_leaves_the_rest_and_its_remarks(path: Path) -> None:
    text = path.read_text("utf-8")
    data = tomllib.loads(text)
    key = "part" if "part" in data else "place"
    remarks = [line for line in text.splitlines() if line.startswith("#")]
    for name, table in data[key].items():
        changed = {**table, "cures_in": "the attic"}
        found = replaced(text, (key, name), changed)
        assert tomllib.loads(found) == {**data, key: {**data[key], name: changed}}
        assert [line for line in found.splitlines() if line.startswith("#")] == remarks
        gone = tomllib.loads(replaced(text, (key, name), None)).get(key, {})
        assert gone == {k: v for k, v in data[key].items() if k != name}


def test_keys_at_the_head_are_written_anew_and_its_remark_stays() -> None:
    text = '# A shelf.\npiece = "Shelf"\n\n# The board.\n[part.board]\nwood = "cherry" # from the attic\n'
    found = replaced(text, (), {"piece": "Long shelf", "unit": "in"})
    assert found == (
        '# A shelf.\npiece = "Long shelf"\nunit = "in"\n\n# The board.\n[part.board]\n'
        'wood = "cherry" # from the attic\n'
    )


def test_a_new_part_goes_to_the_end() -> None:
    text = 'piece = "Shelf"\n\n[part.board]\nwood = "cherry"\n'
    found = replaced(text, ("part", "cleat"), {"wood": "oak"})
    assert found == text + '\n[part.cleat]\nwood = "oak"\n'


def test_parts_without_a_heading_are_written_anew_with_one() -> None:
    text = '# Kept.\npiece = "Shelf"\npart = { board = { wood = "cherry" } }\n'
    found = replaced(text, ("part", "board"), {"wood": "oak"})
    assert found == '# Kept.\n\npiece = "Shelf"\n\n[part.board]\nwood = "oak"\n'.replace("\n\npiece", "\npiece")
