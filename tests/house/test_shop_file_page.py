"""The page on the shop's file names every table and every kind of event, and no others."""

from __future__ import annotations

import re
from pathlib import Path

from rakelight.log.events import ABOUT, KINDS
from rakelight.store.tables import metadata

PAGE = (Path(__file__).parents[2] / "docs" / "shop-file.md").read_text("utf-8")


def _first_cells(head: str) -> list[str]:
    table = PAGE.split(f"| {head} |")[1].split("\n\n")[0]
    return [name for line in table.splitlines() if line.startswith("| `") for name in
            re.findall(r"`([^`]+)`", line.split(" | ")[0])]  # fmt: skip


def test_every_table_is_explained() -> None:
    assert sorted(_first_cells("table")) == sorted(metadata.tables)


def test_every_kind_of_event_is_explained() -> None:
    assert sorted(_first_cells("kind")) == sorted(KINDS)
    for kind, about in ABOUT.items():
        line = next(line for line in PAGE.splitlines() if line.startswith(f"| `{kind}`"))
        assert ", ".join(about) in line
