"""A shop in which nothing ever dries still gets an answer, as text and as plain data."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from rakelight.cli import main

COLD = """
shop = "Cold shed"
zone = "America/Chicago"
hours = { mon-fri = "8:00-12:00, 13:00-17:00" }
[place.shed]
size = "20 ft x 20 ft x 9 ft"
air = [{ open = "42 F, 60 %", closed = "38 F, 70 %" }]
"""
PIECE = """
piece = "Board"
unit = "in"
start = "8 Feb 2027"
wanted = [{ by = "1 June 2027" }]
[part.board]
wood = "hard maple"
long = 20
wide = 6
thick = "7/8"
finish = "oil-and-wax"
both_faces = "on points"
EXTRA
"""


def run(tmp_path: Path, monkeypatch: pytest.MonkeyPatch, extra: str, *words: str) -> int:
    """Exit code of a command on the board in the cold shed."""
    (tmp_path / "board.toml").write_text(PIECE.replace("EXTRA", extra), "utf-8")
    (tmp_path / "shed.toml").write_text(COLD, "utf-8")
    line = [
        "rakelight",
        words[0],
        str(tmp_path / "board.toml"),
        "--shop",
        str(tmp_path / "shed.toml"),
        *words[1:],
    ]
    monkeypatch.setattr("sys.argv", [*line, "--now", "8 Feb 2027 8:00"])
    with pytest.raises(SystemExit) as stop:
        main()
    return int(stop.value.code or 0)


@pytest.mark.parametrize("command", ("plan", "today"))
def test_never_ready_is_plain_data_too(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str], command: str
) -> None:
    assert run(tmp_path, monkeypatch, "", command, "--json") == 1
    answer = json.loads(capsys.readouterr().out)
    assert any(f["id"] == "date-missed" for f in answer["findings"])
    if command == "plan":
        assert answer["due"][0]["likely"] is None
        assert answer["due"][0]["late_h"] is None


def test_below_the_least_temperature_ways_out_are_named(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    assert run(tmp_path, monkeypatch, "", "plan") == 1
    told = capsys.readouterr().out
    assert "STOP" in told and "armer place" in told


def test_a_wait_for_a_step_that_comes_after_it_is_refused(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    loop = 'extra = [{ do = "wait", for = "look", before = "sand" }, { own = "look", after = "oil" }]'
    assert run(tmp_path, monkeypatch, loop, "check") == 1
    assert "neither could ever begin" in " ".join(capsys.readouterr().out.split())
    sound = 'extra = [{ own = "look", before = "sand" }, { do = "wait", for = "look", before = "sand" }]'
    run(tmp_path, monkeypatch, sound, "check")
    assert "neither could ever begin" not in " ".join(capsys.readouterr().out.split())
