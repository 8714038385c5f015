"""Any text at all as a shop's file: findings, never a traceback. RAKELIGHT_SOAK=1 tries many more."""

from __future__ import annotations

import os
from datetime import UTC, datetime, timedelta
from pathlib import Path

from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from rakelight.errors import Severity
from rakelight.shop.climate import hourly
from rakelight.shop.file import SHOP_KEYS, read_shop
from rakelight.shop.hours import next_opening, windows
from rakelight.shop.place_file import PLACE_KEYS

EXAMPLES = Path(__file__).parents[2] / "examples"
LINES = [
    line
    for name in ("winter", "evenings", "fair")
    for line in (EXAMPLES / f"shop-{name}.toml").read_text().splitlines()
] + [
    'town = "Chicago"', 'heated_to = "64 F"', 'holidays = "US"', 'book = "own"', 'now_in = "shop"',
    'volume = "30 m3"', "[place.barn]", "[[place]]", "[hours]", 'sun = "1:00-4:00"', "off = 2027-03-01",
]  # fmt: skip

MANY = 5000 if os.environ.get("RAKELIGHT_SOAK") else 60

words = st.text(st.characters(exclude_characters='"\\', exclude_categories=["Cc", "Cs"]), max_size=20)
scalars = st.one_of(
    st.sampled_from(
        [
            "nan", "inf", "-inf", "0", "-1", "1e400", "true", "[]", "{}", '""', "[[[]]]", "{ a = 1 }",
            "1979-05-27T07:32:00Z", "9999-12-31", "0001-01-01", "07:32:00", '"1 day"', '"-40 C, 100 %"',
            '"0:00-23:59"', '"64 F, 45 %"', '"٣ C, 45 %"', '"²"', '"\\u0000"', '"America"', '"UTC"', 
            "[[], 1, {}, 'x']",
        ]
    ),
    st.integers().map(str),
    st.floats().map(repr),
    words.map('"{}"'.format),
)  # fmt: skip


@st.composite
def mangled(draw: st.DrawFn) -> str:
    """Lines of real shops, some dropped, some doubled, some with another value."""
    lines = draw(st.lists(st.sampled_from(LINES), max_size=25)) if draw(st.booleans()) else list(LINES[:27])
    for _ in range(draw(st.integers(0, 4))):
        if not lines:
            break
        at = draw(st.integers(0, len(lines) - 1))
        change = draw(st.sampled_from(["drop", "double", "value", "move"]))
        if change == "drop":
            del lines[at]
        elif change == "double":
            lines.insert(at, lines[at])
        elif change == "move":
            lines.append(lines.pop(at))
        else:
            key, equals, _ = lines[at].partition("=")
            lines[at] = f"{key}= {draw(scalars)}" if equals else lines[at]
    return "\n".join(lines)


def judge(text: str | bytes) -> None:
    shop, findings = read_shop(text, "shop.toml")
    for found in findings:
        assert found.says and found.mend and found.where.line >= 0
    if shop is None:
        assert any(f.severity is Severity.ERROR for f in findings)
    elif not any(f.severity is Severity.ERROR for f in findings):
        start = datetime(2027, 3, 1, tzinfo=UTC)
        windows(shop, start, start + timedelta(days=30))
        next_opening(shop, start)
        for place in shop.places:
            air = hourly(shop, place, start, 24)
            assert ((air.rh > 0) & (air.rh <= 0.98)).all() and (abs(air.temp_c) <= 60).all()


@settings(max_examples=MANY, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(mangled())
def test_a_mangled_shop(text: str) -> None:
    judge(text)


@settings(max_examples=MANY, deadline=None)
@given(st.one_of(st.text(max_size=200), st.binary(max_size=200)))
def test_any_text_and_any_bytes(raw: str | bytes) -> None:
    judge(raw)


@settings(max_examples=MANY, deadline=None)
@given(scalars, st.sampled_from(SHOP_KEYS))
def test_any_value_of_any_key(value: str, key: str) -> None:
    text = (EXAMPLES / "shop-fair.toml").read_text()
    kept = "\n".join(line for line in text.splitlines() if not line.startswith(f"{key} ="))
    judge(f"{key} = {value}\n{kept}")


@settings(max_examples=MANY, deadline=None)
@given(scalars, st.sampled_from(PLACE_KEYS))
def test_any_value_of_any_key_of_a_place(value: str, key: str) -> None:
    text = (EXAMPLES / "shop-fair.toml").read_text()
    kept = "\n".join(line for line in text.splitlines() if not line.startswith(f"{key} ="))
    judge(kept.replace("[place.shop]", f"[place.shop]\n{key} = {value}"))
