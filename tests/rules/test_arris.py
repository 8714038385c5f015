"""Going through at the arris is said in the plan and on the printed step, by the length of all arrises."""

from __future__ import annotations

import math
import re
from datetime import datetime
from pathlib import Path

import pytest

from rakelight import rules
from rakelight.errors import Severity
from rakelight.facts import load
from rakelight.papers.bench import BenchStep, by_part
from rakelight.physics.cutting import chance
from rakelight.piece.file import read_piece
from rakelight.plan.planning import build_problem, make_plan
from rakelight.schedule.amounts import amounts
from rakelight.schedule.book import Book
from rakelight.schedule.cautions import cautions_of
from rakelight.schedule.film_ledger import ledger
from rakelight.schedule.unroll import unroll
from rakelight.shop.file import read_shop

FACTS = load()
EXAMPLES = Path(__file__).parents[2] / "examples"
SHOP, _ = read_shop(EXAMPLES / "shop-fair.toml")
NOW = datetime(2027, 2, 8, 8, tzinfo=SHOP.zone)
TOP = """
piece = "Top"
unit = "in"
start = "8 Feb 2027"
wanted = [{{ by = "1 Sep 2027" }}]
[part.top]
wood = "hard maple"
long = {long}
wide = 18
thick = "7/8"
arris = "{arris}"
finish = "{finish}"
both_faces = "on points"
"""


def worked(arris="1 mm", finish="filled-shellac", long=40):
    piece, faults = read_piece(TOP.format(arris=arris, finish=finish, long=long), "top.toml", facts=FACTS)
    assert not faults
    return piece, unroll(piece, Book.beside(piece, EXAMPLES / "top.toml", SHOP, FACTS), SHOP, FACTS)


def of_the_arris(**how):
    piece, work = worked(**how)
    return [f for f in rules.check(piece, work, SHOP, FACTS) if f.id == "sands-through"], work


def test_a_sharp_arris_under_coarse_paper_is_warned_of_along_its_whole_length():
    (one,), work = of_the_arris(arris="sharp")
    film = ledger(work, FACTS)["top"][0]
    level = work.task("top/level")
    spot = chance(film.arris_um.likely, film.arris_rub_um.likely, FACTS.likely("film_cv_arris"),
                  FACTS.likely("removal_cv_hand"))  # fmt: skip
    length_mm = 4 * (40 + 18 + 0.875) * 25.4  # twelve arrises of a board
    assert one.severity is Severity.WARNING and "to the wood" in one.says and "19 1/2 ft" in one.says
    assert one.figures["odds"] == pytest.approx(spot)
    assert one.figures["anywhere"] == pytest.approx(1 - (1 - spot) ** (length_mm / 100))
    assert "3/8 in off the edge" in one.mend and "1/8 in before finishing" in one.mend
    assert len(level.faces) > 1


@pytest.mark.parametrize(
    ("arris", "finish", "severity"),
    [
        ("1 mm", "filled-shellac", Severity.NOTE),
        ("3 mm", "filled-shellac", Severity.NOTE),  # 4 spots in 100, along 60 of them
        ("3 mm", "varnish-rubbed", Severity.NOTE),  # to the coat beneath: a line, no bare wood
        ("1 mm", "varnish-rubbed", Severity.NOTE),
        ("3 mm", "lacquer-filled-rubbed", None),  # begun with P800, over eight coats
        ("1 mm", "padded-shellac", None),  # not levelled
        ("sharp", "wiped-varnish", None),
        ("sharp", "shellac-and-wax", None),  # wool alone cuts no arris
    ],
)
def test_what_is_sound_draws_a_word_at_most(arris, finish, severity):
    found, _ = of_the_arris(arris=arris, finish=finish)
    assert {f.severity for f in found} == ({severity} if severity else set())
    assert all(("to the coat beneath" in f.says) == (finish == "varnish-rubbed") for f in found)


def test_a_shorter_arris_is_cut_through_less_often():
    long, short = (of_the_arris(arris="3 mm", long=long)[0][0].figures for long in (40, 20))
    assert short["odds"] == pytest.approx(long["odds"]) and short["anywhere"] < long["anywhere"]
    spots = [math.log1p(-each["anywhere"]) for each in (long, short)]
    assert spots[0] / spots[1] == pytest.approx((40 + 18.875) / (20 + 18.875))


@pytest.fixture(scope="module")
def level_steps() -> list[BenchStep]:
    _, work = worked()
    plan = make_plan(build_problem(work, SHOP, FACTS, NOW, ()), NOW)
    sheet = by_part(work, plan, amounts(work, SHOP, FACTS), FACTS)
    return [s for page in sheet.pages for s in page.steps if s.says.startswith("Level")]


def test_the_printed_step_says_how_to_keep_off_it(level_steps):
    step = level_steps[0]
    assert any(re.search(r"Stay 3/8 in off every arris.* through to the wood \d times in 10", a) for a in step.amounts)


def test_spirits_on_the_paper_are_minded_and_soapy_water_is_not(level_steps):
    step = level_steps[0]
    said = " ".join(text for c in step.cautions for text in c.text)
    assert ("flame" in said) == ("mineral spirits" in step.says) and "mineral spirits" in step.says
    _, work = worked(finish="varnish-rubbed")
    task = work.task("top/level")
    assert task.scheduled and "water" in task.scheduled.wet
    assert not [c for c in cautions_of(work, task, FACTS) if c.id.startswith("wet-spirits")]
