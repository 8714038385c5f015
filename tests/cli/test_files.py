"""Where the shop is found when it is not named, and slips in the names of files."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest

EXAMPLES = Path(__file__).parents[2] / "examples"
NOW = "8 Feb 2027 8:00"


@pytest.fixture
def bench(tmp_path, monkeypatch):
    """A piece in a folder of its own; the working folder beside it."""
    (tmp_path / "piece").mkdir()
    (tmp_path / "here").mkdir()
    shutil.copy(EXAMPLES / "one-board.toml", tmp_path / "piece" / "one-board.toml")
    monkeypatch.chdir(tmp_path / "here")
    return tmp_path


def _shop(folder: Path, name: str) -> None:
    text = (EXAMPLES / "shop-fair.toml").read_text()
    first, *rest = [line for line in text.splitlines() if not line.startswith("#")]
    assert first.startswith("shop = ")
    (folder / "shop.toml").write_text("\n".join([f'shop = "{name}"', *rest]))


def test_the_shop_beside_the_piece_goes_before_the_one_here(run, bench):
    piece = bench / "piece" / "one-board.toml"
    assert "put shop.toml beside the piece" in run("check", piece, "--now", NOW).err
    _shop(bench / "here", "Shop here")
    assert "in Shop here" in run("plan", piece, "--now", NOW).out
    _shop(bench / "piece", "Shop beside")
    assert "in Shop beside" in run("plan", piece, "--now", NOW).out


def test_a_folder_without_any_such_file_names_none(run, bench):
    said = run("plan", bench / "nowhere" / "x.toml")
    assert said.code == 2 and said.err.strip().endswith("No such file.")


def test_a_slip_in_a_piece_names_the_nearest(run, bench):
    said = run("plan", bench / "piece" / "oneboard.toml")
    assert "Did you mean" in said.err and "one-board.toml?" in said.err
