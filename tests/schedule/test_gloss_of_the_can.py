"""A finish flatted by its maker has the gloss its can says, where nothing is rubbed."""

from __future__ import annotations

from pathlib import Path

import pytest

from rakelight.errors import Severity
from rakelight.facts import load
from rakelight.piece.file import read_piece
from rakelight.schedule.book import Book
from rakelight.schedule.film_answers import part_film
from rakelight.schedule.unroll import unroll
from rakelight.shop.file import read_shop

SAND = 'do = "sand", grits = [120, 180]'
COAT = 'do = "coat", with = "water-borne acrylic", by = "brush", coats = 3'
FACTS = load()
FAIR = Path(__file__).parents[2] / "examples" / "shop-fair.toml"


def film(planned_work, text):
    return next(a for a in part_film(planned_work(text), "board", FACTS) if a.film.face == "top")


@pytest.fixture
def work():
    def of(text):
        piece, _ = read_piece(text, "piece.toml", facts=FACTS)
        shop, _ = read_shop(FAIR)
        return unroll(piece, Book(inline=piece.schedules, facts=FACTS), shop, FACTS)

    return of


def said(board, *steps: str, more: str) -> str:
    return board(*steps).replace("[schedule.own-way]", f"[schedule.own-way]\n{more}")


def test_the_cans_number_is_the_sheen_and_its_word(work, board) -> None:
    found = film(work, said(board, SAND, COAT, more="gloss = 25")).sheen
    assert found and found.gu.likely == 25 and found.word == "satin" and found.gu.low < 25 < found.gu.high
    rubbed = film(work, said(board, SAND, COAT, 'do = "rub", with = "0000 wool"', more="gloss = 60")).sheen
    assert rubbed and rubbed.gu.likely != 60 and "0000" in rubbed.because


@pytest.mark.parametrize("more", ['gloss = 60\nsheen = "satin"', "gloss = 120", 'gloss = "bright"'])
def test_a_number_that_cannot_be_is_told(work, board, more: str) -> None:
    told = [f for f in work(said(board, SAND, COAT, more=more)).findings if f.severity is Severity.ERROR]
    assert told and "gloss" in f"{told[0].says} {told[0].mend}"


def test_twin_a_number_that_agrees_with_its_word(work, board) -> None:
    assert not work(said(board, SAND, COAT, more='gloss = 30\nsheen = "satin"')).findings
