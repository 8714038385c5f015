"""Fixtures of the rule and case tests: a piece written as text is read, unrolled and checked, as on the desk."""

import os
from pathlib import Path

import pytest
from hypothesis import settings

from rakelight import rules
from rakelight.errors import Severity
from rakelight.facts import load
from rakelight.piece.file import read_piece
from rakelight.plan.planning import Wish, build_problem, make_plan
from rakelight.schedule.book import Book
from rakelight.schedule.unroll import unroll
from rakelight.shop.file import read_shop
from rakelight.shop.hours import by_moment

# the same examples every time, on a busy machine too; `make soak` draws afresh
settings.register_profile("steady", derandomize=True, deadline=None)
settings.register_profile("soak", deadline=None)
settings.load_profile("soak" if os.environ.get("RAKELIGHT_SOAK") else "steady")

FAIR = (Path(__file__).parents[1] / "examples" / "shop-fair.toml").read_text()


def _work(text, shop_text):
    facts = load()
    piece, faults = read_piece(text, "piece.toml", facts=facts)
    shop, more = read_shop(shop_text, "shop.toml")
    assert piece and shop and not [f for f in (*faults, *more) if f.severity is Severity.ERROR], (
        faults,
        more,
    )
    work = unroll(piece, Book(inline=piece.schedules, facts=facts), shop, facts)
    assert not [f for f in work.findings if f.severity is Severity.ERROR], work.findings
    return piece, work, shop, facts


def _plan(piece, work, shop, facts):
    start = by_moment(shop, piece.start)
    wishes = [Wish(w.for_, by_moment(shop, w.by), w.part) for w in piece.wanted]
    return make_plan(build_problem(work, shop, facts, start, wishes), start)


@pytest.fixture
def check():
    """Findings of a piece as text, in a shop as text; with `plan`, those of its plan too."""

    def run(text, shop=FAIR, plan=False):
        case = _work(text, shop)
        return rules.check(*case, _plan(*case) if plan else None)

    return run


@pytest.fixture
def planned():
    """A piece as text, its work, shop, facts and plan."""

    def run(text, shop=FAIR):
        case = _work(text, shop)
        return (*case, _plan(*case))

    return run


@pytest.fixture
def board():
    """A piece of one board as text: its steps, and whatever else is said of it."""

    def write(*steps, wood="hard maple", top="", part="", sheen="", sizes='wide = 6\nthick = "7/8"'):
        lines = "\n".join(f"  {{ {s} }}," for s in steps)
        return f"""
piece = "Board"
unit = "in"
start = "8 Feb 2027"
wanted = [{{ by = "1 Sep 2027" }}]
{top}
[part.board]
wood = "{wood}"
long = 20
{sizes}
finish = "own-way"
both_faces = "on points"
{part}
[schedule.own-way]
{f'sheen = "{sheen}"' if sheen else ""}
steps = [
{lines}
]
"""

    return write
