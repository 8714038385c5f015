"""The page on the language of the files says what the readers read: every key, verb, word, and its examples."""

from __future__ import annotations

import ast
import re
from fractions import Fraction
from pathlib import Path

import pytest

from rakelight.errors import Severity
from rakelight.facts import load
from rakelight.piece import file as piece_file
from rakelight.piece.faces import MASK_KEYS
from rakelight.piece.file import LIVES, read_piece
from rakelight.piece.kinds import KINDS, ROLES, SIZE_KEYS, keys_of
from rakelight.piece.old_film import OLD_KEYS
from rakelight.piece.part_file import BOTH_FACES, CUT_KEYS, JOIN_KEYS, SHARED_KEYS, STRAINS, TOP_KEYS
from rakelight.piece.want import WANT_KEYS, WORDS
from rakelight.schedule.book import Book
from rakelight.schedule.file import KEYS, SHEENS, read_schedule
from rakelight.schedule.steps import READINESSES, VERBS
from rakelight.schedule.unroll import unroll
from rakelight.schedule.verbs import ANY_STEP, EXTRA_ONLY, METHODS, OWN_KINDS, OWN_ONLY, RULES
from rakelight.shop.choosing import CHOOSE_KEYS, MONEY_KEYS, SMELLS
from rakelight.shop.file import GEAR_KEYS, GUN_KEYS, SHOP_KEYS, read_shop
from rakelight.shop.helper_file import HELPER_KEYS
from rakelight.shop.place_file import AIR_KEYS, HEATERS, PLACE_KEYS, USES

ROOT = Path(__file__).parents[2]
PAGE = (ROOT / "docs" / "language.md").read_text("utf-8")
SRC = Path(piece_file.__file__).parents[1]


def _only(path: str, what: str) -> set[str]:
    """Keys that a reader takes where it spells them out: table.only((...), what)."""
    for node in ast.walk(ast.parse((SRC / path).read_text("utf-8"))):
        if isinstance(node, ast.Call) and isinstance(node.func, ast.Attribute) and node.func.attr == "only":
            keys, said = node.args
            if isinstance(said, ast.Constant) and said.value == what:
                return set(ast.literal_eval(keys))
    raise AssertionError(f"{path} reads no {what}")


#: tables of keys in the order of the page, and what the readers know
KEYS_OF_TABLES = {
    "piece": set(TOP_KEYS),
    "wanted": _only("piece/file.py", "wanted"),
    "cut part": {*SHARED_KEYS, *CUT_KEYS, *SIZE_KEYS},
    "finish": _only("piece/finish.py", "a finish"),
    "mask": set(MASK_KEYS),
    "want": set(WANT_KEYS),
    "old": set(OLD_KEYS),
    "test board": _only("piece/part_file.py", "a test board"),
    "joined part": set(JOIN_KEYS),
    "schedule": set(KEYS),
    "step": {"do", "own", *ANY_STEP, *EXTRA_ONLY, *OWN_ONLY, *(k for rule in RULES.values() for k in rule.takes)},
    "shop": set(SHOP_KEYS),
    "place": set(PLACE_KEYS),
    "air": set(AIR_KEYS),
    "gear": set(GEAR_KEYS),
    "gun": set(GUN_KEYS),
    "helper": set(HELPER_KEYS),
    "choose": set(CHOOSE_KEYS),
    "money": set(MONEY_KEYS),
}


def _tables(first: str) -> list[list[list[str]]]:
    """Every table of the page whose first column is headed so, as rows of cells without the header."""
    found: list[list[list[str]]] = []
    inside = False
    for line in PAGE.splitlines():
        cells = [cell.strip() for cell in line.strip().strip("|").split(" |")] if line.startswith("|") else []
        if not cells:
            inside = False
        elif cells[0] == first:
            inside = True
            found.append([])
        elif inside and not line.startswith("|---"):
            found[-1].append([cell.strip("| ") for cell in cells])
    return found


def _quoted(cell: str) -> list[str]:
    return re.findall(r"`([^`]+)`", cell)


def _examples(kind: str) -> list[str]:
    return re.findall(rf"^```toml {kind}\n(.*?)^```$", PAGE, re.MULTILINE | re.DOTALL)


def test_the_page_has_as_many_tables_of_keys_as_are_checked() -> None:
    assert len(_tables("key")) == len(KEYS_OF_TABLES)


@pytest.mark.parametrize("at, name", list(enumerate(KEYS_OF_TABLES)), ids=list(KEYS_OF_TABLES))
def test_every_key_is_named_and_no_other(at: int, name: str) -> None:
    named = [_quoted(row[0]) for row in _tables("key")[at]]
    assert all(len(keys) == 1 for keys in named)
    assert sorted(keys[0] for keys in named) == sorted(KEYS_OF_TABLES[name])


def test_verbs_with_their_keys_and_defaults() -> None:
    (rows,) = _tables("verb")
    assert [_quoted(row[0])[0] for row in rows] == list(VERBS)
    for verb, takes, on, ready, work in rows:
        rule = RULES[_quoted(verb)[0]]
        assert (tuple(_quoted(takes)), on, ready, work) == (rule.takes, rule.on, rule.when, rule.work), verb


def test_keys_of_a_wait() -> None:
    said = next(line for line in PAGE.replace("\n", " ").split(". ") if '`do = "wait"` takes only' in line)
    assert set(_quoted(said.split("takes only")[1])) == set(RULES["wait"].keys)


def test_readinesses_in_order() -> None:
    (rows,) = _tables("word")
    assert [_quoted(row[0])[0] for row in rows] == list(READINESSES)


def test_kinds_with_their_faces_and_what_they_take() -> None:
    faces, sizes = _tables("kind")[1], _tables("kind")[0]
    assert {row[0] for row in faces} == {row[0] for row in sizes} == set(KINDS)
    for name, said in faces:
        roles: dict[str, str] = {}
        for group in said.split("; "):
            names, role = group.rsplit(": ", 1)
            roles |= dict.fromkeys(_quoted(names), role)
        assert roles == KINDS[name].faces, name
    for name, needs, may, both, takes in sizes:
        assert set(_quoted(needs) + _quoted(may)) == keys_of(name), name
        assert set(_quoted(may)) == set(KINDS[name].may), name
        assert (both, float(Fraction(takes))) == (KINDS[name].both_faces, load().likely(KINDS[name].takes)), name


def test_roles() -> None:
    (rows,) = _tables("role")
    assert [_quoted(row[0])[0] for row in rows] == list(ROLES)


@pytest.mark.parametrize(
    "words",
    [STRAINS, BOTH_FACES, LIVES, HEATERS, USES, SHEENS, METHODS, OWN_KINDS, SMELLS, *WORDS.values()],
    ids=str,
)
def test_every_word_a_key_may_have(words: tuple[str, ...]) -> None:
    assert set(words) <= {word for line in PAGE.splitlines() for word in _quoted(line)}


def test_no_example_goes_unread() -> None:
    """Every block of TOML on the page says which kind of file it is."""
    assert PAGE.count("```toml") == sum(len(_examples(kind)) for kind in ("piece", "schedule", "shop"))
    assert all(_examples(kind) for kind in ("piece", "schedule", "shop"))


@pytest.mark.parametrize("written", _examples("piece"))
def test_pieces_read_and_their_schedules_are_in_the_book(written: str) -> None:
    piece, found = read_piece(written, "page.toml")
    assert piece is not None and found == []
    shop, _ = read_shop(_examples("shop")[0], "page.toml")
    assert shop is not None
    work = unroll(piece, Book(inline=piece.schedules), shop, load())
    assert not [f for f in work.findings if f.severity is Severity.ERROR]


@pytest.mark.parametrize("written", _examples("schedule"))
def test_schedules_read(written: str) -> None:
    schedule, found = read_schedule(written, "page.toml")
    assert schedule is not None and found == []


@pytest.mark.parametrize("written", _examples("shop"))
def test_shops_read(written: str) -> None:
    shop, found = read_shop(written, "page.toml")
    assert shop is not None and found == []


def test_the_first_piece_has_ten_lines() -> None:
    first = [line for line in _examples("piece")[0].splitlines() if line.strip() and not line.startswith("[")]
    assert len(first) == 10
