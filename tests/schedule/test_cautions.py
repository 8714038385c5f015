"""Cautions stand at their step, before it or at once after it."""

from __future__ import annotations

from pathlib import Path

import pytest

from rakelight.facts import load
from rakelight.piece.file import read_piece
from rakelight.schedule.book import Book
from rakelight.schedule.cautions import cautions_for, cautions_of
from rakelight.schedule.unroll import unroll
from rakelight.shop.file import read_shop

EXAMPLES = Path(__file__).parents[2] / "examples"
FACTS = load()


@pytest.fixture(scope="module")
def cabinet():
    path = EXAMPLES / "music-cabinet.toml"
    piece, _ = read_piece(path, facts=FACTS)
    shop, _ = read_shop(EXAMPLES / "shop-winter.toml")
    return unroll(piece, Book.beside(piece, path, shop, FACTS), shop, FACTS)


def ids(work, task, when=""):
    return [c.id for c in cautions_of(work, work.task(task), FACTS) if not when or c.when == when]


def test_c65_rags_come_at_once_after_every_oil_and_varnish_step(cabinet):
    for task in ("case/oil-1", "plinth/oil-2", "shelf/coat-2/top", "case/wax"):
        assert "oil-rag" in ids(cabinet, task, "after"), task
    assert "oil-rag" not in ids(cabinet, "case/coat-3"), "shellac does not heat itself"


def test_warm_oil_is_warmed_in_a_bath(cabinet):
    assert ids(cabinet, "case/oil-1", "before")[0] == "oil-warm"
    assert "oil-warm" not in ids(cabinet, "shelf/coat-1/top")


def test_bare_wood_and_finish_are_sanded_with_other_words(cabinet):
    assert "sand-bare" in ids(cabinet, "case/sand") and "sand-fin" not in ids(cabinet, "case/sand")
    assert "sand-fin" in ids(cabinet, "case/level") and "sand-bare" not in ids(cabinet, "case/level")


def test_the_wood_that_sensitises_is_named(cabinet):
    assert any(c.startswith("dust-") for c in ids(cabinet, "case/sand"))
    assert not any(c.startswith("dust-") for c in ids(cabinet, "case/level"))


def test_mixing_is_told_with_the_first_coat_only(cabinet):
    assert "alc-mix" in ids(cabinet, "case/coat-1") and "alc-mix" not in ids(cabinet, "case/coat-2")


def test_a_bare_wait_has_nothing_to_mind(cabinet):
    assert not ids(cabinet, "shelf/coat-1/turn")


@pytest.mark.parametrize("id", sorted(FACTS.materials))
def test_every_flammable_material_has_words_before_its_can_is_opened(id):
    row = FACTS.materials[id]
    if row.flash_point_c is None or row.flash_point_c.low >= 60:
        return
    for by in row.methods:
        assert cautions_for(FACTS, row, by), by


def test_every_caution_defers():
    for caution in FACTS.cautions:
        assert caution.defer in ("sheet", "code")
