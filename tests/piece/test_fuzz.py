"""Whatever stands in a piece's file: findings, never a traceback."""

from __future__ import annotations

import os
import random
from pathlib import Path

from hypothesis import given, settings
from hypothesis import strategies as st

from rakelight.piece.file import read_piece

SOAK = settings(max_examples=3_000 if os.environ.get("RAKELIGHT_SOAK") else 40, deadline=None)
EXAMPLES = [p.read_text("utf-8") for p in sorted((Path(__file__).parents[2] / "examples").glob("*.toml"))]
KEYS = [
    *("piece", "unit", "start", "wanted", "lives", "must_stand", "part", "schedule", "kind", "wood", "cut"),
    *("veneer_on", "count", "long", "wide", "thick", "deep", "high", "round", "rail", "taper", "turned_at"),
    *("girth", "wide_at", "outline", "natural", "open", "faces", "mask", "arris", "finish", "both_faces"),
    *("cures_in", "takes", "test_board", "extra", "of", "join", "minutes", "clamped", "by", "for", "on"),
    *("at", "as", "from", "to", "through", "age"),
]
WORDS = [
    *("top", "underside", "inside", "outside", "front", "edges", "show", "hidden", "glue", "a", "b", "3 in"),
    *("-1 mm", "7/8", "1 3/8 in", "box", "leg", "slab", "frame", "stick", "panel", "moulding", "walnut"),
    *("oak", "8 Feb 2027", "overnight", "4 h", "sharp", "turned", "hung", "both", "½", "a.inside", "all"),
]

_scalars = st.one_of(
    st.sampled_from(WORDS),
    st.text(max_size=8),
    st.integers(-5, 100),
    st.floats(),
    st.booleans(),
    st.dates(),
    st.just(10**60),
)
_values = st.recursive(
    _scalars,
    lambda inner: st.one_of(
        st.lists(inner, max_size=4), st.dictionaries(st.sampled_from([*KEYS, *WORDS]), inner, max_size=4)
    ),
    max_leaves=8,
)


def _toml(value: object) -> str:
    if isinstance(value, bool):
        return str(value).lower()
    if isinstance(value, dict):
        return "{" + ", ".join(f"{_toml(str(k))} = {_toml(v)}" for k, v in value.items()) + "}"
    if isinstance(value, list):
        return "[" + ", ".join(map(_toml, value)) + "]"
    if isinstance(value, str):
        return '"' + "".join(c if c.isalnum() or c in " .,/-'" else f"\\U{ord(c):08x}" for c in value) + '"'
    if isinstance(value, float | int):
        return repr(value)
    return str(value)


def _sound(source: str | bytes) -> None:
    piece, findings = read_piece(source, "x.toml")
    assert piece is not None or findings
    for found in findings:
        assert found.says
        assert found.mend
        assert found.where.file == "x.toml"
        assert found.where.line >= 0
    for part in piece.parts.values() if piece else ():
        names = [f.name for f in part.faces]
        assert len(names) == len(set(names))
        assert all(0 <= f.area_m2 < 1e6 for f in part.faces)


@given(st.sampled_from(EXAMPLES), st.integers(0, 2**32))
@SOAK
def test_fuzz_examples_with_bytes_changed(text: str, seed: int) -> None:
    """Characters dropped, doubled and swapped; lines moved about."""
    rng = random.Random(seed)
    chars = list(text)
    for _ in range(rng.randint(1, 6)):
        at = rng.randrange(len(chars))
        chars[at : at + rng.randint(0, 3)] = rng.choice(
            ["", "x", '"', "[", "}", "=", "-", "0", "½", "\n", "\ufeff"]
        )
    _sound("".join(chars))
    lines = text.splitlines()
    rng.shuffle(lines)
    _sound("\n".join(lines))


@given(st.sampled_from(EXAMPLES), st.sampled_from(KEYS), _values, st.integers(0, 2**32))
@SOAK
def test_fuzz_examples_with_values_changed(text: str, key: str, value: object, seed: int) -> None:
    """One key, somewhere, gets a value of any kind."""
    rng = random.Random(seed)
    lines = text.splitlines()
    places = [n for n, line in enumerate(lines) if line.partition("=")[0].strip() == key]
    line = f"{key} = {_toml(value)}"
    if places:
        lines[rng.choice(places)] = line
    else:
        lines.insert(rng.randrange(len(lines) + 1), line)
    _sound("\n".join(lines))


@given(
    st.dictionaries(
        st.sampled_from(["a", "b", "leg", "B_1"]), st.dictionaries(st.sampled_from(KEYS), _values)
    ),
    _values,
)
@SOAK
def test_fuzz_parts_of_anything(parts: dict[str, dict[str, object]], wanted: object) -> None:
    """Parts with any keys and any values."""
    text = f'piece = "X"\nwanted = {_toml(wanted)}\n'
    for name, keys in parts.items():
        text += f"[part.{name}]\n" + "".join(f"{k} = {_toml(v)}\n" for k, v in keys.items())
    _sound(text)


@given(st.one_of(st.binary(max_size=200), st.text(max_size=200)))
@SOAK
def test_fuzz_no_toml_at_all(source: str | bytes) -> None:
    """Any bytes, any text."""
    _sound(source)
