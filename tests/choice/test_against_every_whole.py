"""The search against every whole there is, each planned by the desk as if the piece itself had said so."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from itertools import product

import pytest

from rakelight.choice.alone import makes_of
from rakelight.choice.changes import beats, counts
from rakelight.choice.deciding import choose
from rakelight.choice.model import Choice, Option
from rakelight.choice.slots import dressed
from rakelight.choice.trying import Trying
from rakelight.desk import Answer, Desk, one_piece
from rakelight.desk.choosing import rates_of, trying_of
from rakelight.errors import Severity
from rakelight.plan import conflict

HEAD = """
piece = "Box and lid"
unit = "mm"
start = "8 Feb 2027"
wanted = [{{ by = "{by}" }}]
[schedule.linseed]
schedule = "Linseed"
sheen = "eggshell"
steps = [{{ do = "sand", grits = [120, 180] }}, {{ do = "oil", with = "boiled linseed oil", coats = 2 }}]
"""
BLEND = """
[schedule.blend]
schedule = "Blend"
sheen = "eggshell"
steps = [{ do = "sand", grits = [120, 180] }, { do = "oil", with = "oil-varnish blend", coats = 2 }]
"""
PART = """
[part.{name}]
wood = "hard maple"
long = 300
wide = 200
thick = 12
finish = "linseed"
both_faces = "on points"
"""
EVERY = 10**6


def _all(desk: Desk) -> tuple[Trying, Choice]:
    trying = trying_of(desk)
    trying.book.shelves = []
    trying.book._read.clear()
    return trying, choose(trying, rates_of(desk), EVERY, EVERY, asked=EVERY, kept=EVERY)


def _by_desk(desk: Desk, trying: Trying) -> dict[tuple[str, ...], Answer]:
    """Every whole planned by the desk."""
    rows = [makes_of(trying, slot) for slot in trying.slots]
    found = {}
    for whole in product(*rows):
        makes = {slot.name: make for slot, make in zip(trying.slots, whole, strict=True)}
        other = {name: make for name, make in makes.items() if not make.wished}
        piece, book = dressed(desk.piece, desk.book, trying.slots, other)
        found[tuple(m.name for m in whole)] = replace(desk, piece=piece, book=book).plan(odds="dates")
    return found


def _fits(answer: Answer, odds: float) -> bool:
    kept = all(d.likely and d.likely <= d.by and d.odds and d.odds.chance >= odds for d in answer.plan.due)
    return kept and not [f for f in answer.findings if f.severity is not Severity.NOTE]


@pytest.fixture
def bare_answers(monkeypatch: pytest.MonkeyPatch) -> None:
    """What stands against a missed date, and its latest start, are not compared here: each whole goes without."""
    monkeypatch.setattr(conflict, "conflicts", lambda *_: [])
    monkeypatch.setattr(one_piece, "latest_start", lambda *_: None)


@pytest.mark.usefixtures("bare_answers")
@pytest.mark.parametrize(
    "by, more, parts, wholes",
    [
        ("14 Feb 2027", "", ("lid", "tray"), 16),
        ("16 Feb 2027", BLEND, ("lid",), 8),
        ("20 Feb 2027", "", ("lid", "tray"), 16),
    ],
)
def test_the_search_finds_what_trying_everything_finds(
    by: str, more: str, parts: tuple[str, ...], wholes: int, on_desk: Callable[..., Desk]
) -> None:
    desk = on_desk(HEAD.format(by=by) + more + "".join(PART.format(name=name) for name in parts))
    trying, choice = _all(desk)
    every = _by_desk(desk, trying)
    assert len(every) == wholes and choice.possible <= wholes
    fitting = {key for key, answer in every.items() if _fits(answer, choice.limits.odds)}
    told: dict[tuple[str, ...], Option] = {o.key: o for o in (*choice.options, choice.wished)}
    beaten = {d.key for d in choice.dropped if d.kind == "dominated"}
    assert {o.key for o in choice.options} | beaten == fitting | (beaten & {choice.wished.key})
    for key, option in told.items():
        answer = every[key]
        assert option.likely == (answer.plan.finish.likely if answer.plan.finish else None)
        assert option.odds == pytest.approx(min(d.odds.chance for d in answer.plan.due if d.odds))
        assert option.fits == (key in fitting)
    _check_dominated(choice)


def _check_dominated(choice: Choice) -> None:
    """By hand: no option shown is beaten by another, and each that was put out is beaten by one that is shown."""
    shown = [*choice.options, *([choice.wished] if choice.wished.fits else [])]
    for one, other in product(shown, repeat=2):
        assert not beats(counts(one), counts(other))
    for out in (d for d in choice.dropped if d.kind == "dominated"):
        assert out.by


def test_what_is_beaten_is_beaten_on_every_count() -> None:
    assert beats((1.0, 2.0), (1.0, 3.0)) and beats((0.0, 0.0), (1.0, 1.0))
    assert not beats((1.0, 2.0), (1.0, 2.0)) and not beats((0.0, 3.0), (1.0, 2.0))
