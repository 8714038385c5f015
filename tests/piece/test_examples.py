"""The three example pieces read as they stand; their areas by hand, in square inches."""

from __future__ import annotations

from math import hypot, pi
from pathlib import Path

import pytest

from rakelight.piece.file import read_piece
from rakelight.piece.model import Part, Piece

EXAMPLES = Path(__file__).parents[2] / "examples"
IN2 = 25.4**2 / 1e6


def _read(name: str) -> Piece:
    piece, findings = read_piece(EXAMPLES / f"{name}.toml")
    assert findings == []
    assert piece is not None
    return piece


def _in2(part: Part) -> dict[str, float]:
    return {face.name: face.area_m2 / IN2 for face in part.faces}


def test_one_board() -> None:
    """32 x 7 1/2 x 7/8, front shown and back hidden, on points."""
    board = _read("one-board").parts["board"]
    assert _in2(board) == pytest.approx(
        {
            "front": 32 * 7.5,  # 240
            "back": 32 * 7.5,
            "edges": 2 * 32 * 0.875,  # 56
            "ends": 2 * 7.5 * 0.875,  # 13 1/8
        }
    )
    assert [f.role for f in board.faces] == ["show", "hidden", "show", "show"]
    assert (board.woods, board.both_faces) == (("black walnut",), "on points")


def test_eight_stools() -> None:
    """Seats round, 13 across, four tenon sockets of 1 in masked; legs tapered 1 1/4 to 7/8, tenon masked."""
    piece = _read("eight-stools")
    assert _in2(piece.parts["seat"]) == pytest.approx(
        {
            "top": pi * 13**2 / 4,  # 132.73
            "underside": pi * 13**2 / 4 - 4 * pi / 4,  # 129.59
            "edges": pi * 13 * 1.25,  # 51.05
        }
    )
    # four trapezoids: mean width (1.25 + 0.875) / 2 = 1.0625, slant over half the difference, 0.1875, in 16.5
    whole = 4 * 1.0625 * hypot(16.5, 0.1875)  # 70.13
    # 1.25 down it is 1.25 - 0.375 x 1.25 / 16.5 = 1.22159 wide
    tenon = 4 * (1.25 + 1.22159) / 2 * hypot(1.25, 0.01420)  # 6.18
    assert _in2(piece.parts["leg"]) == pytest.approx(
        {"sides": whole - tenon, "top": 1.25**2, "foot": 0.875**2}, rel=1e-5
    )
    stool = piece.parts["stool"]
    assert _in2(stool)["sides"] == pytest.approx(4 * (whole - tenon), rel=1e-5)
    assert "top" in _in2(stool)  # of the seat; the top of the leg is a glue face and gone
    assert stool.face("top").of == "seat"  # type: ignore[union-attr]
    assert (stool.clamped, stool.join_minutes, len(stool.extra)) == ("overnight", 25, 2)
    assert piece.parts["seat"].test_board.age_h == 48  # type: ignore[union-attr]
    assert piece.parts["seat"].arris_mm == 3
    assert [p.name for p in piece.ends] == ["stool"]


def test_case_of_the_music_cabinet() -> None:
    """26 wide, 15 deep, 30 high, walls 3/4, front open."""
    case = _read("music-cabinet").parts["case"]
    assert _in2(case) == pytest.approx(
        {
            "top": 26 * 15,
            "underside": 26 * 15,
            "back": 26 * 30,
            "left": 15 * 30,
            "right": 15 * 30,
            "rims": 26 * 30 - 24.5 * 28.5,  # 81 3/4
            # top and underside 24 1/2 x 14 1/4, sides 14 1/4 x 28 1/2, back 24 1/2 x 28 1/2
            "inside": 2 * 24.5 * 14.25 + 2 * 14.25 * 28.5 + 24.5 * 28.5,  # 2208 3/4
        }
    )
    roles = {f.name: f.role for f in case.faces}
    assert (roles["top"], roles["back"], roles["inside"]) == ("hidden", "show", "inside")
    assert not any(f.closed for f in case.faces)
    assert {k: u.schedule for k, u in case.finish.items()} == {
        "show": "filled-shellac",
        "inside": "seal-only",
    }


def test_drawer_of_the_music_cabinet() -> None:
    """Faces of one name and role are one face; the outsides differ in role and keep their part's name."""
    drawer = _read("music-cabinet").parts["drawer"]
    assert _in2(drawer) == pytest.approx(
        {
            "inside": (24.375 * 9.25 - 2 * 8.75 * 0.5)  # front, two grooves masked
            + 2 * (14 * 8.75 - 14 * 0.25)  # two sides, one groove each
            + 24 * 8  # back
            + 23.5 * 13.5,  # bottom
            "edges": 2 * 24.375 * 0.75
            + 2 * 2 * 14 * 0.5
            + 2 * 24 * 0.5,  # front, sides, back; the bottom's are glued
            "ends": 2 * 9.25 * 0.75,  # of the front; all others are glued
            "drawer-front.outside": 24.375 * 9.25,
            "drawer-side.outside": 2 * 14 * 8.75,
            "drawer-back.outside": 24 * 8,
            "drawer-bottom.outside": 23.5 * 13.5,
        }
    )
    assert drawer.finish["inside"].from_step == "wax"
    inside = drawer.face("inside")
    assert inside is not None
    assert set(inside.members) == {(m, "inside") for m in drawer.of}
    assert inside.count == 5


def test_shelf_of_the_music_cabinet() -> None:
    """Nine widths 4 1/4 in apart by Simpson's rule: 4.25 / 3 x (ends + 4 x odd + 2 x even)."""
    piece = _read("music-cabinet")
    shelf = _in2(piece.parts["shelf"])
    odd, even = 16 + 16.375 + 15.75 + 16.5, 16.25 + 16 + 16.125
    assert shelf["top"] == pytest.approx(4.25 / 3 * (15.5 + 16.375 + 4 * odd + 2 * even))
    assert shelf["ends"] == pytest.approx((15.5 + 16.375) * 1.125)
    # the natural edges wander less than an inch over 34: hardly longer than straight
    assert 2 * 34 * 1.125 < shelf["edges"] < 2 * 34 * 1.125 * 1.005
    assert [p.name for p in piece.ends] == ["cabinet"]


def test_what_stands_in_the_head_of_the_music_cabinet() -> None:
    """Dates, place and strains."""
    piece = _read("music-cabinet")
    assert [(w.for_, w.by.day.day, w.line) for w in piece.wanted] == [("photograph", 18, 9), ("pack", 19, 10)]
    assert (piece.lives, piece.lives_town, piece.must_stand) == ("heated house", "Chicago", ("handling",))
    assert piece.parts["shelf"].must_stand == ("water", "handling")
    assert piece.parts["drawer-bottom"].veneer_on == "plywood"
    assert piece.parts["plinth"].clamped == 4.0
    assert piece.parts["cabinet"].clamped is None
