"""Waits for one of the maker's own steps: on another part, by its name, in any order; and those that cannot be."""

from __future__ import annotations

import pytest

from rakelight.errors import Severity
from rakelight.facts import load
from rakelight.piece.file import read_piece
from rakelight.schedule.book import Book
from rakelight.schedule.unroll import unroll
from rakelight.shop.file import read_shop

FAIR = """
shop = "Fair"
zone = "America/Chicago"
hours = { mon-sat = "8:00-12:00, 13:00-17:00" }
[place.shop]
size = "20 ft x 20 ft x 9 ft"
air = [{ open = "70 F, 50 %", closed = "70 F, 50 %" }]
"""


def two(first: str, second: str, wanted: str = "pack") -> str:
    """Two boards, each with further steps."""
    board = """
[part.{name}]
wood = "hard maple"
long = 20
wide = 6
thick = "7/8"
both_faces = "on points"
finish = "shellac-and-wax"
extra = [{extra}]
"""
    parts = board.format(name="door", extra=first) + board.format(name="case", extra=second)
    head = f'piece = "Two"\nunit = "in"\nstart = "8 Feb 2027"\nwanted = [{{ by = "1 June 2027", for = "{wanted}" }}]\n'
    return head + parts


def errors(text: str) -> list[str]:
    facts = load()
    piece, found = read_piece(text, "two.toml", facts=facts)
    shop, _ = read_shop(FAIR, "shop.toml")
    assert piece and shop and not found
    work = unroll(piece, Book(inline=piece.schedules, facts=facts), shop, facts)
    return [f.id for f in work.findings if f.severity is Severity.ERROR]


HINGES = '{ own = "fit the hinges", minutes = 20, after = "wax", name = "hinges" }'
WAIT = '{ do = "wait", for = "fit the hinges", before = "coat 2" }'


@pytest.mark.parametrize(("said", "turned"), [("fit the hinges", False), ("Hinges", True)])
def test_a_part_waits_for_an_own_step_of_another(planned, said: str, turned: bool) -> None:  # type: ignore[no-untyped-def]
    wait = WAIT.replace("fit the hinges", said)
    text = two(wait, HINGES, said) if turned else two(HINGES, wait, "fit the hinges")
    fitted, waits = ("case", "door") if turned else ("door", "case")
    *_, plan = planned(text, FAIR)
    placed = plan.placed
    assert placed[f"{waits}/coat-2"].start >= placed[f"{fitted}/hinges"].end
    assert placed[f"{waits}/coat-1"].start < placed[f"{fitted}/hinges"].start
    (due,) = plan.due
    assert due.likely == placed[f"{fitted}/hinges"].end


def test_without_the_wait_the_coat_comes_first(planned) -> None:  # type: ignore[no-untyped-def]
    *_, plan = planned(two(HINGES, ""), FAIR)
    assert plan.placed["case/coat-2"].start < plan.placed["door/hinges"].start


def test_a_wait_after_a_coat_that_comes_before_it_is_no_circle() -> None:
    look = '{ own = "look it over", after = "coat 2" }'
    assert errors(two(f'{look}, {{ do = "wait", for = "look it over", before = "wax" }}', "")) == []


@pytest.mark.parametrize(
    ("first", "second"),
    [
        ('{ own = "look", after = "coat 2" }, { do = "wait", for = "look", before = "coat 1" }', ""),
        (
            '{ own = "fit", after = "wax" }, { do = "wait", for = "hang", before = "coat 1" }',
            '{ own = "hang", after = "wax" }, { do = "wait", for = "fit", before = "coat 1" }',
        ),
    ],
)
def test_a_circle_is_refused(first: str, second: str) -> None:
    assert set(errors(two(first, second))) == {"wait-loop"}


def test_a_step_of_no_part_is_refused() -> None:
    assert errors(two(HINGES, WAIT.replace("hinges", "lock"))) == ["unknown-for"]


@pytest.mark.parametrize(
    ("extra", "says"),
    [
        ('{ own = "a", after = "b" }, { own = "b", after = "a" }', ("a stands after b", "b stands after a")),
        ('{ own = "a", before = "b" }, { own = "b", after = "c" }, { own = "c", after = "a" }',
         ("a stands before b", "b stands after c", "c stands after a")),
        ('{ own = "a", after = "a" }', ("a stands after a",)),
    ],
)  # fmt: skip
def test_steps_that_stand_in_a_circle_are_told_as_one(extra: str, says: tuple[str, ...]) -> None:
    """Once, by name; what hangs on one of them is not told as well; a name that is nowhere is."""
    made, _ = read_piece(two(extra + ', { own = "d", after = "a" }, { own = "e", before = "nowhere" }', ""), "two.toml")
    where, _ = read_shop(FAIR, "fair.toml")
    assert made and where
    found = [f for f in unroll(made, Book(), where, load()).findings if f.severity is Severity.ERROR]
    (circle,) = (f for f in found if f.id == "steps-circle")
    assert all(words in circle.says for words in says)
    (astray,) = (f for f in found if f.id == "no-such-step")
    assert "nowhere" in astray.says
