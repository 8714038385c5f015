"""What is said in many places is worded in one."""

from __future__ import annotations

from pathlib import Path

import pytest

SRC = Path(__file__).parents[2] / "src" / "rakelight"


@pytest.mark.parametrize("words", [
    "Scuff P320: the coat beneath is past its recoat time",
    'replace("-", " ").capitalize()',
    '"winter" if day <',
    '"go", "warn", "stop", "refuse"',
])  # fmt: skip
def test_it_stands_in_one_file(words: str) -> None:
    assert len([p for p in SRC.rglob("*.py") if words in p.read_text("utf-8")]) == 1
