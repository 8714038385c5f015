"""Fixtures of the command line: the real command, run in this process."""

from __future__ import annotations

import json
import sys
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import pytest

from rakelight.cli import main

EXAMPLES = Path(__file__).parents[2] / "examples"
NOW = "8 Feb 2027 8:00"
SHELF = EXAMPLES / "one-board.toml"


@dataclass(frozen=True)
class Said:
    """What a command wrote, and its exit code."""

    code: int
    out: str
    err: str

    @property
    def data(self) -> dict[str, Any]:
        return json.loads(self.out)


@pytest.fixture
def run(monkeypatch, capsys, tmp_path):
    """Run `rakelight` with some words; a fault of the program itself is raised, not told."""
    monkeypatch.setenv("RAKELIGHT_TRACE", "1")
    monkeypatch.setenv("COLUMNS", "100")
    monkeypatch.setenv("RAKELIGHT_SHOP", str(tmp_path / "shop.rakelight"))

    def call(*words: object) -> Said:
        monkeypatch.setattr(sys, "argv", ["rakelight", *map(str, words)])
        with pytest.raises(SystemExit) as stop:
            main()
        said = capsys.readouterr()
        return Said(int(stop.value.code or 0), said.out, said.err)

    return call


@pytest.fixture(scope="session")
def kept_plans():
    """The line `plan --keep` writes beside a piece, by piece and shop: the same for all tests that begin with it."""
    return {}


@pytest.fixture
def keep(at_bench, kept_plans, tmp_path):
    """Keep the plan of an example as it is on the first day."""

    def call(piece: str = "one-board", shop: str = "shop-fair") -> None:
        log = tmp_path / f"{piece}.log.jsonl"
        if (piece, shop) not in kept_plans:
            assert at_bench("plan", "--keep", piece=piece, shop=shop).code == 0
            kept_plans[piece, shop] = log.read_bytes()
        log.write_bytes(kept_plans[piece, shop])

    return call


@pytest.fixture
def at_bench(run, tmp_path):
    """Run a command on an example piece in its shop, with a log of its own."""

    def call(what: str, *words: object, piece: str = "one-board", shop: str = "shop-fair", now: str = NOW) -> Said:
        log = tmp_path / f"{piece}.log.jsonl"
        return run(
            what, EXAMPLES / f"{piece}.toml", *words, "--shop", EXAMPLES / f"{shop}.toml", "--now", now, "--log", log
        )

    return call


@pytest.fixture
def at(run, tmp_path):
    """Run a command on the shop's file of this test, as of a moment."""

    def call(*words, now=NOW):
        return run(*words, "--file", tmp_path / "of-ours.rakelight", "--now", now)

    return call


@pytest.fixture
def shelf(at, kept_plans, tmp_path):
    """The same, with a shelf in it."""
    file = tmp_path / "of-ours.rakelight"
    if "shelf" not in kept_plans:
        assert at("add", SHELF, "--shop", EXAMPLES / "shop-fair.toml").code == 0
        kept_plans["shelf"] = file.read_bytes()  # whole: the last to close it has written all into it
    file.write_bytes(kept_plans["shelf"])
    return at


def kinds(shop_file: Path) -> list[tuple[str, str, str, str]]:
    """What was told in a shop's file: kind, piece, step, id."""
    from rakelight.desk import open_shop

    shop = open_shop(shop_file)
    try:
        return [(e.kind, e.piece, e.task, e.id) for e in shop.events()]
    finally:
        shop.close()
