"""Parts joined from parts: counts, circles, faces that go on."""

from __future__ import annotations

import pytest

from rakelight.errors import Finding, Severity
from rakelight.piece.file import read_piece
from rakelight.piece.model import Piece


def _read(*parts: str) -> tuple[Piece, list[Finding]]:
    piece, findings = read_piece('piece = "Box"\nunit = "mm"\n' + "\n".join(parts), "box.toml")
    assert piece is not None
    return piece, findings


def _board(name: str, count: int = 1, more: str = 'finish = "oil-and-wax"') -> str:
    return f'[part.{name}]\nwood = "ash"\ncount = {count}\nlong = 100\nwide = 50\nthick = 10\n{more}\n'


def test_counts_that_come_out() -> None:
    """3 of 2 need 6."""
    piece, findings = _read(_board("side", 6), "[part.drawer]\ncount = 3\nof = { side = 2 }")
    assert findings == []
    assert [p.name for p in piece.ends] == ["drawer"]


def test_counts_that_do_not() -> None:
    """Too few is an error with the number to write; too many is asked."""
    _, findings = _read(_board("side", 5), "[part.drawer]\ncount = 3\nof = { side = 2 }")
    assert [(f.id, f.severity, f.where.line) for f in findings] == [("counts", Severity.ERROR, 13)]
    assert "count = 6" in findings[0].mend
    _, findings = _read(_board("side", 7), "[part.drawer]\ncount = 3\nof = { side = 2 }")
    assert [(f.id, f.severity) for f in findings] == [("counts", Severity.WARNING)]
    _, findings = _read(_board("side", 2), "[part.a]\nof = { side = 2 }", "[part.b]\nof = { side = 1 }")
    assert [f.id for f in findings] == ["counts"]
    assert "need 3 of side" in findings[0].says


@pytest.mark.parametrize(
    ("parts", "ids"),
    [
        (["[part.a]\nof = { a = 1 }"], ["joined-from-itself"]),
        (["[part.a]\nof = { b = 1 }", "[part.b]\nof = { a = 1 }"], ["circle"]),
        (
            ["[part.a]\nof = { b = 1 }", "[part.b]\nof = { c = 1 }", "[part.c]\nof = { b = 1 }"],
            ["circle", "counts"],
        ),
        (["[part.a]\nof = { bord = 1 }", _board("board")], ["unknown-part"]),
        (["[part.a]\nof = {}"], ["missing"]),
        (["[part.a]\nof = 3"], ["misread"]),
        (["[part.a]\nof = { board = 0 }", _board("board")], ["misread"]),
        (['[part.a]\nof = { board = 1 }\nwood = "ash"', _board("board")], ["unknown-key"]),
        (["[part.a]\nof = { board = 1 }\nclamped = 4", _board("board")], ["misread"]),
    ],
)
def test_joins_that_cannot_be(parts: list[str], ids: list[str]) -> None:
    """Each is an error of its own kind."""
    _, findings = _read(*parts)
    assert [f.id for f in findings if f.severity is Severity.ERROR] == ids


def test_faces_of_one_name_are_one_face_save_glue_faces() -> None:
    """Two boards and three: tops add up by number, ends are glued away."""
    more = 'faces = { ends = "glue" }\nfinish = "oil-and-wax"'
    piece, findings = _read(_board("a", 2, more), _board("b", 3, more), "[part.x]\nof = { a = 2, b = 3 }")
    assert findings == []
    faces = {f.name: f for f in piece.parts["x"].faces}
    assert set(faces) == {"top", "underside", "edges"}
    assert faces["top"].area_m2 == pytest.approx(5 * 0.1 * 0.05)
    assert (faces["top"].of, faces["top"].count) == ("a+b", 5)
    assert faces["top"].members == (("a", "top"), ("b", "top"))


def test_faces_finished_differently_stay_apart() -> None:
    """A shellacked top and an oiled one are not one face."""
    piece, _ = _read(
        _board("a"), _board("b", 1, 'finish = "shellac-and-wax"'), "[part.x]\nof = { a = 1, b = 1 }"
    )
    assert {"a.top", "b.top"} <= {f.name for f in piece.parts["x"].faces}


def test_one_member_named_alone() -> None:
    """`front.inside` splits that face off; the others stay one."""
    bare = 'faces = { inside = "show", outside = "show" }'
    piece, findings = _read(
        _board("front", 1, bare),
        _board("side", 2, bare),
        "[part.x]\nof = { front = 1, side = 2 }",
        'finish = { show = "oil-and-wax", "front.inside" = "seal-only" }',
    )
    assert findings == []
    x = piece.parts["x"]
    assert {f.name for f in x.faces} == {"front.inside", "inside", "outside", "edges", "ends"}
    assert x.finish["front.inside"].schedule == "seal-only"
    assert x.face("inside").members == (("side", "inside"),)  # type: ignore[union-attr]


def test_a_name_that_means_several_faces_is_written_out() -> None:
    """`outside` reaches every outside that takes finish, not the sliding one."""
    piece, findings = _read(
        _board("front", 1, 'faces = { outside = "show", inside = "hidden" }\nfinish = { all = "x" }'),
        _board("side", 2, 'faces = { outside = "sliding", inside = "hidden" }\nfinish = { all = "x" }'),
        '[part.x]\nof = { front = 1, side = 2 }\nfinish = { outside = "oil-and-wax" }',
    )
    assert findings == []
    assert set(piece.parts["x"].finish) == {"front.outside"}


def test_roles_and_masks_on_the_joined_part() -> None:
    """A face may be given another role after joining, and spots of it masked."""
    piece, findings = _read(
        _board("a", 2),
        '[part.x]\nof = { a = 2 }\nfaces = { underside = "hidden" }\n'
        'mask = [{ on = "underside", long = 10, wide = 50, count = 2 }]',
    )
    assert findings == []
    underside = piece.parts["x"].face("underside")
    assert underside is not None
    assert underside.role == "hidden"
    assert underside.area_m2 == pytest.approx(2 * 0.1 * 0.05 - 2 * 0.01 * 0.05)


def test_joined_of_joined() -> None:
    """Numbers multiply through two joins."""
    pair = "[part.x]\ncount = 3\nof = { a = 2 }"
    piece, findings = _read(_board("a", 6), pair, "[part.y]\nof = { x = 3 }")
    assert findings == []
    top = piece.parts["y"].face("top")
    assert top is not None
    assert top.area_m2 == pytest.approx(6 * 0.1 * 0.05)
    assert (top.of, top.count, top.members) == ("x", 6, (("x", "top"),))


def test_order_in_the_file_does_not_matter() -> None:
    """A part may be joined above its members."""
    above, findings = _read("[part.x]\nof = { a = 1 }", _board("a"))
    assert findings == []
    below, _ = _read(_board("a"), "[part.x]\nof = { a = 1 }")
    assert [(f.name, f.area_m2) for f in above.parts["x"].faces] == [
        (f.name, f.area_m2) for f in below.parts["x"].faces
    ]
