"""A constant of nature, or a factor between units, stands in one place of the code."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

SRC = Path(__file__).parents[2] / "src" / "rakelight"


@pytest.mark.parametrize("number", [r"8\.314\d*", r"101_?325(\.0)?", r"\b3600(\.0)?\b"])
def test_it_stands_in_one_file(number: str) -> None:
    plain = re.compile(rf"^[^#\"]*{number}", re.MULTILINE)
    rooms = (SRC / "physics", SRC / "units")
    assert len([p for room in rooms for p in room.rglob("*.py") if plain.search(p.read_text("utf-8"))]) == 1
