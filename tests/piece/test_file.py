"""What is wrong with a piece's file is said with its line, all at once, and with what to write."""

from __future__ import annotations

from pathlib import Path

import pytest

from rakelight.errors import Finding, NotFound, Severity
from rakelight.piece.file import read_piece
from rakelight.piece.model import Piece

HEAD = 'piece = "Table"\nunit = "in"\n'
TOP = '[part.top]\nwood = "black walnut"\nlong = 30\nwide = 20\nthick = 1\nfinish = "oil-and-wax"\n'


def _read(text: str) -> tuple[Piece | None, list[Finding]]:
    return read_piece(text, "table.toml")


def _only(text: str) -> Finding:
    _, findings = _read(text)
    assert len(findings) == 1, [(f.id, f.says) for f in findings]
    assert findings[0].mend
    assert findings[0].where.file == "table.toml"
    return findings[0]


def test_a_good_table_has_no_findings() -> None:
    """The base of the tests below."""
    piece, findings = _read(HEAD + TOP)
    assert findings == []
    assert piece is not None
    assert piece.parts["top"].sizes.long_mm == 762


@pytest.mark.parametrize(
    ("change", "id", "line", "mend"),
    [
        (('unit = "in"', 'unti = "mm"\nunit = "in"'), "unknown-key", 2, "unit"),
        (('wood = "black walnut"', 'wood = "wallnut"'), "unknown-wood", 4, "walnut"),
        (('wood = "black walnut"', 'wood = "oak"'), "which-name", 4, "white oak"),
        (("wide = 20", 'wide = "20 furlongs"'), "misread", 6, "in"),
        (("wide = 20", "wide = 0"), "misread", 6, "above|length"),
        (("wide = 20", "wide = -20"), "misread", 6, "above zero"),
        (("wide = 20", "wide = nan"), "misread", 6, "in"),
        (("wide = 20", "wide = inf"), "misread", 6, "in"),
        (("wide = 20", "wide = 400"), "misread", 6, "unit"),
        (("wide = 20", "wide = true"), "misread", 6, "in"),
        (("wide = 20\n", ""), "missing", 3, "wide ="),
        (("thick = 1", "thick = 21"), "thick-over-wide", 7, "unit|round"),
        (("thick = 1", "thick = 1\ncount = 0"), "misread", 8, "3"),
        (("thick = 1", "thick = 1\ncolour = 3"), "unknown-key", 8, ""),
        (("thick = 1", "thick = 1\ngirth = 3"), "unknown-key", 8, "moulding"),
        (("thick = 1", "thick = 1\nround = 3"), "misread", 8, "Leave out"),
        (("thick = 1", "thick = 1\nwanted = []"), "unknown-key", 8, "top of the file"),
        (("thick = 1", 'thick = 1\ncut = "quartered"'), "misread", 8, "quarter"),
        (("thick = 1", 'thick = 1\nfaces = { tip = "show" }'), "unknown-face", 8, "top"),
        (("thick = 1", 'thick = 1\nfaces = { top = "shown" }'), "misread", 8, "show"),
        (
            ("thick = 1", 'thick = 1\nfaces = { front = "show", outside = "show" }'),
            "two-names",
            3,
            "one pair",
        ),
        (
            ("thick = 1", 'thick = 1\nmask = [{ on = "top", long = 31, wide = 20 }]'),
            "mask-over-face",
            8,
            "sizes",
        ),
        (
            ("thick = 1", 'thick = 1\nmask = [{ on = "top", round = 10, count = 8 }]'),
            "mask-over-face",
            8,
            "count",
        ),
        (("thick = 1", 'thick = 1\nmask = [{ on = "side", round = 1 }]'), "unknown-face", 8, "underside"),
        (("thick = 1", 'thick = 1\nmask = [{ on = "Edges", round = 1 }]'), "unknown-face", 8, "edges"),
        (("thick = 1", 'thick = 1\nmask = [{ on = "top", at = "foot", long = 1 }]'), "misread", 8, "wide"),
        (("thick = 1", "thick = 1\ntakes = -1"), "misread", 8, "1/4"),
        (
            ("thick = 1", 'thick = 1\ntest_board = { through = "coat 1", aged = "1 day" }'),
            "unknown-key",
            8,
            "age",
        ),
        (('finish = "oil-and-wax"', "finish = 3"), "misread", 8, "schedule"),
        (
            ('finish = "oil-and-wax"', 'finish = { all = "oil-and-wax", edgse = "x" }'),
            "unknown-face",
            8,
            "edges",
        ),
        (
            ('finish = "oil-and-wax"', 'finish = { all = "oil-and-wax", glue = "x" }'),
            "finish-on-glue",
            8,
            "Leave",
        ),
        (
            ('finish = "oil-and-wax"', 'finish = { as = "oil-and-wax", till = "x" }'),
            "unknown-key",
            8,
            "from|to",
        ),
        (('finish = "oil-and-wax"', 'finish = { to = "coat" }'), "unknown-face", 8, "edges|top"),
    ],
)
def test_one_thing_wrong(change: tuple[str, str], id: str, line: int, mend: str) -> None:
    """Exactly one error, at its line, that says what to write."""
    import re

    text = (HEAD + TOP).replace(*change)
    assert text != HEAD + TOP
    _, findings = _read(text)
    errors = [f for f in findings if f.severity is Severity.ERROR]
    assert id in [f.id for f in errors], findings
    found = next(f for f in errors if f.id == id)
    assert (found.where.file, found.where.line) == ("table.toml", line)
    assert re.search(mend, found.mend)
    assert len(errors) == 1, [(f.id, f.says) for f in errors]


@pytest.mark.parametrize(
    ("text", "id"),
    [
        ("", "not-read"),
        ("  \n\n", "not-read"),
        ("piece = ", "not-read"),
        ("# only a comment", "missing"),
        ('[part.a]\nwood = "ash"\n[part.a]\n', "not-read"),
        ('shop = "Mine"\nzone = "UTC"', "not-a-piece"),
        ('schedule = "Oil"\nsteps = []', "not-a-piece"),
        (HEAD, "missing"),
        (HEAD + "part = 3", "misread"),
        (HEAD + "[part]", "missing"),
        ("x = " + "[" * 5000, "not-read"),
    ],
)
def test_files_of_which_nothing_can_be_used(text: str, id: str) -> None:
    """No piece, one reason at least."""
    piece, findings = _read(text)
    assert piece is None
    assert id in [f.id for f in findings]


def test_files_that_are_no_text(tmp_path: Path) -> None:
    """Wrong encoding, too large, not there."""
    piece, findings = read_piece(b'piece = "Tisch f\xfcr"', "a.toml")
    assert (piece, findings[0].id) == (None, "not-read")
    assert "UTF-8" in findings[0].mend
    large = tmp_path / "large.toml"
    large.write_bytes(b"# x\n" * 2_500_000)
    piece, findings = read_piece(large)
    assert piece is None
    assert "2 MB" in findings[0].says
    with pytest.raises(NotFound):
        read_piece(tmp_path / "nowhere.toml")


def test_all_faults_at_once() -> None:
    """Five faults in five lines, in order of the file."""
    text = (
        'unit = "in"\nstart = "31 February 2027"\nlives = "barn"\n'
        '[part.leg]\nkind = "leg"\nwood = "asch"\nlong = "-16 in"\n'
        'thick = "1 in"\ntaper = "2 in"\nfinish = "x"\n'
    )
    _, findings = _read(text)
    assert [(f.id, f.where.line) for f in findings] == [
        ("missing", 1),
        ("misread", 2),
        ("misread", 3),
        ("unknown-wood", 6),
        ("misread", 7),
    ]


def test_dates_wanted() -> None:
    """Before the start, of no part, without a date."""
    head = HEAD + 'start = "8 March 2027"\n'
    assert _only(head + 'wanted = [{ by = "1 March 2027" }]\n' + TOP).id == "wanted-before-start"
    assert _only(head + 'wanted = [{ by = "9 March 2027", part = "tpo" }]\n' + TOP).id == "misread"
    assert _only(head + 'wanted = [{ for = "use" }]\n' + TOP).id == "missing"
    assert _only(head + 'wanted = "9 March 2027"\n' + TOP).id == "misread"


@pytest.mark.parametrize(
    ("body", "id", "line"),
    [
        ('kind = "slab"\nlong = 30\nthick = 1\nwide_at = [10, 11]', "misread", 8),
        ('kind = "slab"\nlong = 30\nthick = 12\nwide_at = [10, 11, 13]', "thick-over-wide", 7),
        ('kind = "slab"\nthick = 1\noutline = [[0, 0], [9, 9], [9, 0], [0, 8]]', "misread", 7),
        (
            'kind = "slab"\nthick = 1\nlong = 20\noutline = [[0, 0], [9, 0], [9, 9], [0, 8]]',
            "outline-and-long",
            7,
        ),
        ('kind = "leg"\nlong = 16\nthick = 1\ntaper = 2', "taper-over-thick", 8),
        ('kind = "leg"\nlong = 16\nturned_at = [1, 2]', "misread", 7),
        (
            'kind = "leg"\nlong = 16\nthick = 1\nmask = [{ on = "sides", at = "top", long = 17 }]',
            "mask-over-face",
            8,
        ),
        ('kind = "box"\nwide = 10\ndeep = 1\nhigh = 10\nthick = "3/4"', "thick-over-wide", 7),
        ('kind = "box"\nwide = 10\ndeep = 9\nhigh = 10\nthick = "3/4"\nopen = ["lid"]', "misread", 10),
        ('kind = "frame"\nwide = 10\nhigh = 20\nthick = 1\nrail = 5', "rail-over-frame", 9),
        ('kind = "moulding"\nlong = 30', "missing", 3),
        ('kind = "lge"\nlong = 30', "misread", 5),
    ],
)
def test_shapes_that_cannot_be(body: str, id: str, line: int) -> None:
    """Of each kind, with the line of the key at fault."""
    text = f'{HEAD}[part.x]\nwood = "white ash"\n{body}\nfinish = "oil-and-wax"\n'
    _, findings = _read(text)
    errors = [f for f in findings if f.severity is Severity.ERROR]
    assert [(f.id, f.where.line) for f in errors] == [(id, line)], errors


def test_what_is_taken_when_nothing_is_said() -> None:
    """Defaults of section 2, by kind."""
    text = f"""{HEAD}
[part.leg]
kind = "leg"
wood = "ash"
long = 16
thick = 1
finish = "x"
[part.box]
kind = "box"
wood = "ash"
wide = 10
deep = 10
high = 10
thick = 1
finish = {{ outside = "x", inside = "y" }}
"""
    piece, findings = _read(text)
    assert findings == []
    assert piece is not None
    leg, box = piece.parts["leg"], piece.parts["box"]
    assert (leg.both_faces, leg.takes, leg.count, leg.cut, leg.arris_mm) == ("hung", 0.25, 1, "flat", 1.0)
    assert {f.name: f.role for f in leg.faces} == {"sides": "show", "top": "glue", "foot": "hidden"}
    assert (box.both_faces, box.takes) == ("stands", 2)
    assert box.face("inside").closed  # type: ignore[union-attr]
    assert {f.name: box.finish[f.name].schedule for f in box.faces} == {
        f.name: "y" if f.name == "inside" else "x" for f in box.faces
    }
    assert (piece.lives, piece.must_stand, piece.start) == ("heated house", ("handling",), None)


def test_a_schedule_in_the_piece_is_kept_for_the_schedule_room() -> None:
    """As a table with its lines."""
    piece, findings = _read(HEAD + TOP + '[schedule.own]\nschedule = "Own"\nsteps = [{ do = "sand" }]\n')
    assert findings == []
    assert piece is not None
    assert piece.schedules["own"].line("steps", 0) == 11


def _told(text: str) -> list[tuple[int, str, str]]:
    return [(f.where.line, f.id, f.says + " " + f.mend) for f in _read(text)[1] if f.severity is Severity.ERROR]


def test_a_wrongly_written_part_name_hides_nothing() -> None:
    """The part is read under the name as written, and so are those after it."""
    text = HEAD + TOP.replace("[part.top]", "[part.Top]").replace("wide = 20", "wide = 0")
    text += '[part.leg]\nkind = "leg"\nwood = "white oak"\nlong = 30\nthick = 2\ncount = 0\n'
    assert [(line, id) for line, id, _ in _told(text)] == [(3, "part-name"), (6, "misread"), (14, "misread")]
    piece, _ = _read(text)
    assert piece is not None and list(piece.parts) == ["Top", "leg"]


def test_an_unknown_kind_hides_nothing_else() -> None:
    text = HEAD + '[part.leg]\nkind = "lge"\nwood = "white oak"\nlong = 30\nthick = 2\ncount = 0\ntakes = -1\n'
    text += 'mask = [{ on = "side", at = "top", long = 1 }, { on = "sides", at = "foot", long = 1 }]\n'
    text += 'finish = { sidez = "oil-and-wax" }\ncolour = 2\nboth_faces = "up"\narris = "blunt"\n'
    assert [line for line, _, _ in _told(text)] == [4, 8, 9, 10, 11, 12, 13, 14]


@pytest.mark.parametrize(
    ("kind", "on", "mend"),
    [
        ("leg", "side", "sides"), ("leg", "Sides", "sides"), ("box", "rim", "rims"), ("box", "insde", "inside"),
        ("frame", "inner edge", "inner edges"), ("panel", "end", "ends"), ("panel", "under side", "underside"),
    ],
)  # fmt: skip
def test_a_face_nearly_named_in_a_mask(kind: str, on: str, mend: str) -> None:
    """Also where the mask is a tenon, which only the sides of a leg may have."""
    sizes = "long = 30\nwide = 20\nhigh = 20\ndeep = 20\nthick = 1\nrail = 2\nround = 9\n"
    keep = {"leg": "long thick", "box": "wide deep high thick", "frame": "wide long rail thick"}
    lines = [line for line in sizes.splitlines() if line.split()[0] in keep.get(kind, "long wide thick").split()]
    for spot in ("round = 1", 'at = "top", long = 1') if kind == "leg" else ("round = 1",):
        text = HEAD + f'[part.one]\nkind = "{kind}"\nwood = "white oak"\nfinish = "oil-and-wax"\n'
        text += 'open = ["front"]\n' if kind == "box" else ""
        text += "\n".join(lines) + f'\nmask = [{{ on = "{on}", {spot} }}]\n'
        ((_, id, says),) = _told(text)
        assert id == "unknown-face" and f"Did you mean {mend}?" in says


def test_sizes_hardly_meant_are_a_warning() -> None:
    leg = '[part.leg]\nkind = "leg"\nwood = "white oak"\nlong = 30\nthick = "{}"\nfinish = "oil-and-wax"\n'
    for text, key, line in (
        (HEAD + TOP.replace("thick = 1", 'thick = "0.4 mm"'), 'thick = "3/4 in"', 7),
        (HEAD + leg.format("2 mm"), '"38 mm"', 7),
        (HEAD + leg.format("38 mm") + 'wide = "2 mm"\n', "wide with its unit", 9),
    ):
        (found,) = [f for f in _read(text)[1] if f.id == "thin-size"]
        assert found.severity is Severity.WARNING and key in found.mend and found.where.line == line
    for text in (HEAD + TOP.replace("thick = 1", 'thick = "0.6 mm"'), HEAD + leg.format("4 mm")):
        assert not [f for f in _read(text)[1] if f.id == "thin-size"]
