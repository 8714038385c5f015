"""The picture of a film: well-formed, to scale, everything in its frame, readable without colour."""

from __future__ import annotations

import re
import xml.etree.ElementTree as ET
from pathlib import Path

import pytest

from rakelight.errors import Severity
from rakelight.facts import load
from rakelight.papers.pictures.canvas import words_width
from rakelight.papers.pictures.film import draw, picture_of, scale_of
from rakelight.papers.pictures.film_model import film_model
from rakelight.piece.file import read_piece
from rakelight.schedule.book import Book
from rakelight.schedule.film_answers import FaceAnswer, piece_film
from rakelight.schedule.unroll import unroll
from rakelight.shop.file import read_shop
from rakelight.spread import Spread

FACTS = load()
ROOT = Path(__file__).parents[2]
SVG = "{http://www.w3.org/2000/svg}"


def faces_of(text: str | Path, old: Spread | None = None) -> list[FaceAnswer]:
    piece, found = read_piece(text, "piece.toml", facts=FACTS)
    shop, _ = read_shop(ROOT / "examples" / "shop-winter.toml")
    assert piece and shop and not [f for f in found if f.severity is Severity.ERROR], found
    work = unroll(piece, Book(inline=piece.schedules, facts=FACTS), shop, FACTS)
    return [a for answers in piece_film(work, FACTS, old=old).values() for a in answers]


BOARD = """
piece = "Board"
unit = "mm"
[part.board]
wood = "{wood}"
long = 500
wide = 300
thick = 20
arris = "{arris}"
finish = "own-way"
[schedule.own-way]
steps = [
 {{ do = "sand", grits = [120, 180] }},
 {{ do = "seal", with = "dewaxed shellac", cut = 2, by = "brush" }},
 {{ do = "fill", with = "water-borne clear grain filler", by = "trowel", coats = 2 }},
 {{ do = "coat", with = "brushing urethane varnish", by = "brush", coats = {coats}, scuff = 320 }},
 {{ do = "level", grits = [400, 600], wet = "soapy water" }},
]
"""


@pytest.fixture(scope="module")
def cabinet() -> list[FaceAnswer]:
    return faces_of(ROOT / "examples" / "music-cabinet.toml")


def board(wood: str = "red oak", arris: str = "1 mm", coats: int = 3) -> FaceAnswer:
    return faces_of(BOARD.format(wood=wood, arris=arris, coats=coats))[0]


def points(root: ET.Element) -> list[tuple[float, float]]:
    found = []
    for shape in root.iter():
        for pair in shape.get("points", "").split():
            x, y = pair.split(",")
            found.append((float(x), float(y)))
    return found


@pytest.mark.parametrize("narrow", [False, True])
def test_every_face_of_the_cabinet_is_drawn_within_its_frame(cabinet, narrow: bool) -> None:
    for face in cabinet:
        root = ET.fromstring(picture_of(face, FACTS, narrow))
        width, height = float(root.get("width") or 0), float(root.get("height") or 0)
        assert width == (360 if narrow else 1152)
        assert all(-1 <= x <= width + 1 and -1 <= y <= height + 1 for x, y in points(root)), face.film.face
        for words in root.findall(f"{SVG}text"):
            wide, x = words_width(words.text or "", "b" in words.get("class", "").split()), float(words.get("x", 0))
            ends, mid = "e" in words.get("class", "").split(), "num" in words.get("class", "")
            left = x - wide if ends else x - wide / 2 if mid else x
            assert left >= -8 and left + wide <= width + 8, words.text
        assert root.find(f"{SVG}title").text and root.find(f"{SVG}desc").text.startswith("To scale")


@pytest.mark.parametrize(("wood", "arris"), [("red oak", "sharp"), ("hard maple", "3 mm"), ("sapele", "0.3 mm")])
def test_the_film_stands_as_high_as_it_is_thick(wood: str, arris: str) -> None:
    """Measured in the drawing: top of the film over the surface of the wood, at the left edge beside the pores."""
    face = board(wood, arris)
    model = film_model(face, FACTS)
    root = ET.fromstring(draw(model))
    lines = {s.get("class"): s.get("points") for s in reversed(root.findall(f"{SVG}polyline"))}
    top = float(lines["top"].split()[0].split(",")[1])
    wood_y = float(lines["pore"].split()[0].split(",")[1])
    assert (wood_y - top) / scale_of(model) == pytest.approx(face.film.dry_um.likely, abs=0.3)
    bar = [float(p.split(",")[0]) for p in [s.get("points") for s in root.findall(f"{SVG}polyline")][-1].split()]
    assert (max(bar) - min(bar)) / scale_of(model) == pytest.approx(100, abs=0.3)


def test_numbers_stand_on_coats_that_do_not_melt_and_one_word_on_those_that_do(cabinet) -> None:
    varnish = picture_of(board(), FACTS)
    assert re.findall(r'class="num n[12]">(\d)<', varnish) == ["1", "2", "3"]
    case = next(a for a in cabinet if a.film.part == "case" and a.film.rubbed)
    assert "6 coats, one film" in picture_of(case, FACTS)


def test_what_is_cut_through_is_said_in_words_and_drawn() -> None:
    sharp = picture_of(board(arris="sharp"), FACTS)
    assert "likely" in sharp and 'class="wit"' in sharp
    calm = faces_of(BOARD.format(wood="red oak", arris="3 mm", coats=3).replace("400, 600", "1500, 2000"))[0]
    model = film_model(calm, FACTS)
    assert not model.through_flat and "On the flat that stays within it" in model.says


def test_unrubbed_face_shows_no_rubbing(cabinet) -> None:
    inside = next(a for a in cabinet if a.film.part == "case" and not a.film.rubbed)
    drawn = picture_of(inside, FACTS)
    assert "rubbing will" not in drawn and 'class="h1"' not in drawn and "floor" not in drawn


def test_old_film_is_drawn_beneath() -> None:
    face = faces_of(BOARD.format(wood="hard maple", arris="1 mm", coats=1), Spread(30, 40, 50))[0]
    assert "old film 40" in picture_of(face, FACTS) and 'class="ko"' in picture_of(face, FACTS)


def test_without_colour_all_edges_are_inked_and_alarms_are_words() -> None:
    drawn = picture_of(board(arris="sharp"), FACTS)
    assert "@media print" in drawn
    for cls in (".k1,.k2", ".top", ".lim", ".fill"):
        assert re.search(rf"{re.escape(cls)}\{{[^}}]*stroke", drawn), cls
    assert "style=" not in drawn


def test_two_pictures_on_one_page_keep_their_ids_apart() -> None:
    face = board()
    a, b = (picture_of(face, FACTS, inline=name) for name in ("one", "two"))
    ids = [set(re.findall(r' id="([^"]+)"', drawn)) for drawn in (a, b)]
    assert not ids[0] & ids[1]
    for drawn, own in ((a, ids[0]), (b, ids[1])):
        assert set(re.findall(r"url\(#([^)]+)\)", drawn)) <= own


def test_a_pore_is_drawn_as_wide_as_the_table_of_woods_has_it() -> None:
    """Red oak, earlywood vessels 220 to 400 um: 310 in the middle."""
    (face, *_) = faces_of(BOARD.format(wood="red oak", arris="1 mm", coats=3))
    assert film_model(face, FACTS).pore_um[0] == 310.0
