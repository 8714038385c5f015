"""Every row of the pairs, by its way of laying: laid so in a schedule it draws its warning, mended it draws none.

The verdict is the table's (source beside each row); what is held here is that a schedule never passes by it.
"""

from __future__ import annotations

import os
from collections.abc import Callable
from functools import cache

import pytest

from rakelight import rules
from rakelight.errors import Finding, Severity
from rakelight.facts import load
from rakelight.facts.records import Pair
from rakelight.piece.file import read_piece
from rakelight.schedule.book import Book
from rakelight.schedule.unroll import unroll
from rakelight.schedule.verbs import verbs_for
from rakelight.shop.file import read_shop

FACTS = load()
ROWS = [p for p in FACTS.pairs if p.over != "*"]
#: every sixth and all that hang on the way of laying; all of them in `make soak`
EVERY = 1 if os.environ.get("RAKELIGHT_SOAK") else 6
TRIED = [p for at, p in enumerate(ROWS) if p.method != "any" or at % EVERY == 0]
SHOP, _ = read_shop(
    """
shop = "Fair"
zone = "America/Chicago"
hours = { mon-sat = "8:00-12:00, 13:00-17:00" }
[place.shop]
size = "40 ft x 40 ft x 10 ft"
air_changes = 6
air = [{ open = "70 F, 50 %", closed = "70 F, 50 %" }]
[gear]
gun = { set_up = 10, clean = 10 }
""",
    "shop.toml",
)
BARRIER = '{ do = "seal", with = "dewaxed shellac", cut = 2, by = "brush" }'
SCUFF = '{ do = "scuff", grit = 320 }'
#: what says that one material does not go over another, or not so
SPEAKS = {
    "over-never", "over-needs-barrier", "over-needs-abrading", "over-unknown", "alcohol-dye-over-shellac",
    "no-barrier-oil-water-borne", "waxed-shellac-under-urethane", "wool-or-wax-or-silicone-before-coat",
}  # fmt: skip


def step(material: str, method: str = "any", more: str = "") -> str:
    """A step that lays a material in one way."""
    row = FACTS.materials[material]
    hand = [way for way in row.methods if way != "spray"]
    by = {"any": [*hand, *row.methods], "hand": hand or ["brush"], "spray": ["spray"]}[method]
    return f'{{ do = "{verbs_for(row)[0]}", with = "{row.name}", by = "{by[0]}"{more} }}'


@cache
def told(*steps: str) -> tuple[Finding, ...]:
    """What is said of a board finished so, before any plan."""
    text = f"""
piece = "Board"
unit = "in"
start = "8 Feb 2027"
wanted = [{{ by = "1 Sep 2027" }}]
[part.board]
wood = "hard maple"
long = 20
wide = 6
thick = 1
finish = "so"
both_faces = "on points"
[schedule.so]
steps = [
{"".join(f"  {s}," + chr(10) for s in steps)}]
"""
    piece, faults = read_piece(text, "board.toml", facts=FACTS)
    assert piece and SHOP and not faults, faults
    work = unroll(piece, Book(inline=piece.schedules, facts=FACTS), SHOP, FACTS)
    assert not work.findings, (steps, work.findings)
    return tuple(rules.check(piece, work, SHOP, FACTS))


def spoken(*steps: str) -> dict[str, Severity]:
    """Warnings that two materials do not go together, by id."""
    return {f.id: f.severity for f in told(*steps) if f.id in SPEAKS and f.severity is not Severity.NOTE}


def never(pair: Pair) -> None:
    said = spoken(step(pair.under), step(pair.over, pair.method))
    assert Severity.ERROR in said.values(), (pair, said)


def needs_barrier(pair: Pair) -> None:
    over = step(pair.over, pair.method)
    assert spoken(step(pair.under), over), pair
    assert not spoken(step(pair.under), BARRIER, SCUFF, over), pair


def needs_abrading(pair: Pair) -> None:
    over = step(pair.over, pair.method)
    assert "over-needs-abrading" in spoken(step(pair.under), over), pair
    assert not spoken(step(pair.under), SCUFF, over), pair


def goes(pair: Pair) -> None:
    """It passes; oil colour under water-borne passes with the other opinion told. Too soon, it is said."""
    wait = FACTS.pair_wait(pair)
    timed = wait is not None and wait.likely >= 2
    more = f', at_most = "{wait.likely / 5:.2f} h"' if wait and timed else ""
    steps = (step(pair.under), step(pair.over, pair.method, more))
    assert set(spoken(*steps)) <= {"no-barrier-oil-water-borne"}, pair
    assert ("recoat-too-soon" in {f.id for f in told(*steps)}) == timed, pair


HOLDS: dict[str, Callable[[Pair], None]] = {
    "never": never,
    "needs-barrier": needs_barrier,
    "needs-abrading": needs_abrading,
    "ok": goes,
    "ok-after-cure": goes,
}


@pytest.mark.parametrize("verdict", list(HOLDS))
def test_pairs_draw_their_warning_or_pass_soak(verdict: str) -> None:
    for pair in (p for p in TRIED if p.verdict == verdict):
        HOLDS[pair.verdict](pair)


def test_every_way_of_laying_is_among_them() -> None:
    assert {p.method for p in TRIED} == {"any", "hand", "spray"} and {p.verdict for p in TRIED} == set(HOLDS)
