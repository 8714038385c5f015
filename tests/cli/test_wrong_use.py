"""Exit codes, and plain words in place of a traceback."""

from __future__ import annotations

import os
import signal
import subprocess
import sys
import time
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]
BOARD, FAIR = "examples/one-board.toml", "examples/shop-fair.toml"


@pytest.mark.parametrize(
    ("words", "tells"),
    [
        (["plan", "none.toml", "--shop", FAIR], "none.toml: No such file"),
        (["plan", "examples/one-bord.toml", "--shop", FAIR], "Did you mean examples/one-board.toml?"),
        (["plan", BOARD, "--shop", "examples/shop-fare.toml"], "Did you mean examples/shop-fair.toml?"),
        (["plan", BOARD], "Say --shop SHOP.toml, or put shop.toml beside the piece."),
        (["film", "examples/one-bord.toml"], "Did you mean examples/one-board.toml?"),
        (["plan", "examples", "--shop", FAIR], "examples: Is a directory"),
        (["plan", BOARD, "--shop", "none.toml"], "none.toml: No such file"),
        (["plan", BOARD, "--shop", FAIR, "--now", "banana"], "cannot be read as a date"),
        (["plan", BOARD, "--shop", FAIR, "--now", "30 Feb 2027"], "30 Feb 2027"),
        (["plan", BOARD, "--shop", FAIR, "--for", "use"], "Say --by"),
        (["plan"], "No shop's file. `rakelight add PIECE.toml --shop SHOP.toml` begins one"),
        (["check"], "Missing argument"),
        (["plan", BOARD, "--colour", "red"], "--colour"),
        (["plam", BOARD], "plan"),
        (["mix", "shelac", "--alcohol", "1 pint"], "dewaxed shellac"),
        (["mix", "shellac"], "--alcohol"),
        (["mix", "shellac", "--alcohol", "3 lb"], "volume"),
        (["mix", "shellac", "--cut", "nan", "--alcohol", "1 pint"], '--cut "1 1/2"'),
        (["mix", "shellac", "--cut", "two", "--alcohol", "1 pint"], "'two' cannot be read as a cut"),
        (["mix", "shellac", "--cut", "2", "--alcohol", "1 pint", "--flakes", "60 g"], "says the same thing twice"),
        (["mix", "shellac", "--cut", "-2", "--alcohol", "1 pint"], "--cut 2"),
        (["thin", "shellac", "--from", "1", "--to", "2"], "weaker"),
        (["thin", "shellac", "--add", "3 oz"], "--from"),
        (["thin", "varnsh", "--by", "25 %"], "nearest"),
        (["over", "lacquer", "oil"], "more than one"),
        (["over", "lacquer", "varnish"], '"varnish" can mean more than one'),
        (["over", "dewaxed shellac", "oak"], "oak is a wood: over asks for two finishes"),
        (["over", "poly", "oak"], "oak is a wood: over asks for two finishes"),
        (["over", "shellac", "wax", "--by", "spade"], "spade"),
        (["facts", "sapel"], "sapele"),
        (["book", "filld"], "filled-shellac"),
        (["done", BOARD, "board/snad", "--shop", FAIR], "board/sand"),
        (["catch-up", BOARD, "--shop", FAIR], "--keep"),
        (["undo", BOARD, "--shop", FAIR], "take back"),
        (["done", BOARD, "board/sand", "--shop", FAIR, "--log", "none/such.jsonl"], "cannot be written"),
        (["today", BOARD, "--shop", FAIR, "--log", "examples"], "cannot be read"),
    ],
)  # fmt: skip
def test_wrong_use_is_told_in_words(run, monkeypatch, words, tells):
    monkeypatch.chdir(ROOT)
    said = run(*words)
    assert said.code == 2, said
    assert tells in said.err and said.out == "" and "Traceback" not in said.err


def test_a_warning_that_stops_gives_one(at_bench):
    said = at_bench("plan", "--by", "12 Feb 2027")
    assert said.code == 1 and "STOP" in said.out and "TOO LATE by" in said.out


def test_a_date_before_the_start_is_told(at_bench):
    said = at_bench("plan", "--by", "2 Jan 2027", now="1 Jan 2027")
    assert said.code == 1 and "before work starts" in said.out


def test_a_fault_in_a_file_gives_one_and_its_line(run, tmp_path):
    piece = tmp_path / "piece.toml"
    piece.write_bytes(b'piece = "x"\nunit = "in"\n\xff\n')
    said = run("plan", piece, "--shop", ROOT / FAIR)
    assert said.code == 1 and "piece.toml" in said.out


def test_an_unknown_readiness_names_those_there_are(at_bench):
    said = at_bench("plan", "--by", "1 March 2027", "--for", "bogus")
    assert said.code == 1 and "bogus" in said.out and "pack" in said.out


def _start(*words, **more):
    return subprocess.Popen(
        [sys.executable, "-m", "rakelight", *words], cwd=ROOT, stdout=subprocess.PIPE, stderr=subprocess.PIPE,
        env={**os.environ, "PYTHONPATH": str(ROOT / "src")}, text=True, **more,
    )  # fmt: skip


def test_the_command_itself_exits_as_it_says():
    for words, code in ((["book"], 0), (["plan", BOARD, "--shop", FAIR, "--by", "9 Feb 2027"], 1), (["bogus"], 2)):
        ran = _start(*words)
        _, err = ran.communicate(timeout=30)
        assert ran.returncode == code, err
        assert "Traceback" not in err


def test_a_reader_that_has_read_enough_is_no_fault():
    ran = _start("facts", "shellac")
    assert ran.stdout and ran.stderr
    ran.stdout.readline()
    ran.stdout.close()
    assert ran.stderr.read() == "" and ran.wait(30) == 0


def test_the_keyboard_stops_it_without_a_traceback():
    ran = _start("plan", "examples/music-cabinet.toml", "--shop", "examples/shop-winter.toml")
    time.sleep(0.7)
    ran.send_signal(signal.SIGINT)
    _, err = ran.communicate(timeout=30)
    assert "Traceback" not in err or "rakelight" not in err
    assert ran.returncode in (0, 1, 130, -signal.SIGINT)


@pytest.mark.parametrize("in_a_shop", [False, True])
def test_a_piece_named_without_its_ending_is_asked_back(run, shelf, tmp_path, monkeypatch, in_a_shop):
    """Its file lies here: that is what was meant."""
    monkeypatch.chdir(tmp_path)
    (tmp_path / "wall-cabinet.toml").write_text("piece = 1")
    file = ["--file", tmp_path / ("of-ours.rakelight" if in_a_shop else "none.rakelight")]
    said = run("plan", "wall-cabinet", *file)
    assert said.code == 2 and "Did you mean wall-cabinet.toml?" in said.err
