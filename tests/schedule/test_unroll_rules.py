"""Rules of unrolling on small pieces: faces and roles, turning, places, lots, and what cannot be done."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rakelight.errors import Finding, Severity
from rakelight.facts import load
from rakelight.piece.file import read_piece
from rakelight.schedule.book import Book
from rakelight.schedule.lots import even
from rakelight.schedule.tasks import Work
from rakelight.schedule.unroll import unroll
from rakelight.shop.file import read_shop

HEAD = 'piece = "Thing"\nunit = "in"\nstart = "8 Feb 2027"\nwanted = [{ by = "20 April 2027" }]\n'
SHOP = """
shop = "Shop"
zone = "America/Chicago"
hours = { mon-fri = "8:00-12:00, 13:00-17:00" }
[place.shop]
size = "20 ft x 20 ft x 9 ft"
drying_places = 6
air = [{ open = "68 F, 45 %", closed = "60 F, 50 %" }]
[place.loft]
use = "drying only"
carry = "15 min"
air = [{ open = "68 F, 45 %", closed = "68 F, 45 %" }]
[gear]
pad = true
"""
BOARD = """
[part.board]
wood = "hard maple"
long = 32
wide = 12
thick = "7/8"
"""


def undo(piece: str, shop: str = SHOP, head: str = HEAD) -> Work:
    """A piece unrolled from text."""
    made, found = read_piece(head + piece, "thing.toml")
    where, faults = read_shop(shop, "shop.toml")
    assert made and where, [f.says for f in found + faults]
    return unroll(made, Book(inline=made.schedules), where, load())


def steps(work: Work, part: str = "board") -> list[str]:
    return [t.id.removeprefix(f"{part}/") for t in work.jobs[part].tasks if not t.board]


def errors(work: Work, id: str) -> list[Finding]:
    return [f for f in work.findings if f.id == id and f.severity is Severity.ERROR]


def schedule(*lines: str, name: str = "mine") -> str:
    return f"\n[schedule.{name}]\nsteps = [\n" + ",\n".join(lines) + "\n]\n"


SAND = '{ do = "sand", grits = [150, 220] }'
OIL = '{ do = "oil", with = "boiled linseed oil", coats = 2 }'
SHELLAC = '{ do = "coat", with = "dewaxed shellac", cut = 2, by = "brush", coats = 2 }'
VARNISH = '{ do = "coat", with = "brushing urethane varnish", by = "brush", coats = 2 }'
FILL = '{ do = "fill", with = "water-borne clear grain filler" }'
WAX = '{ do = "wax", with = "paste wax" }'


# -- faces ----------------------------------------------------------------------------------------


def test_hidden_faces_get_only_what_is_for_all() -> None:
    work = undo(
        BOARD + 'faces = { underside = "hidden" }\nfinish = "mine"\n' + schedule(SAND, SHELLAC, FILL, WAX)
    )
    assert "underside" in work.task("board/sand").faces
    assert work.task("board/coat-1/underside").faces == ("underside",)
    assert "underside" not in work.task("board/fill").faces
    assert "underside" not in work.task("board/wax").faces


def test_a_face_beats_a_role_and_a_role_beats_all() -> None:
    finish = 'finish = { all = "a", show = "b", top = "c" }\nfaces = { underside = "hidden" }\n'
    scheds = [schedule(SAND, SHELLAC, name=n) for n in ("a", "b", "c")]
    job = undo(BOARD + finish + "".join(scheds)).jobs["board"]
    assert {f: s.name for f, s in job.uses.items()} == {
        "top": "c",
        "underside": "a",
        "edges": "b",
        "ends": "b",
    }


def test_glue_and_sliding_faces_get_nothing() -> None:
    work = undo(
        BOARD
        + 'faces = { ends = "glue", underside = "sliding" }\nfinish = "mine"\n'
        + schedule(SAND, SHELLAC)
    )
    assert all(set(t.faces) == {"top", "edges"} for t in work.jobs["board"].tasks)


def test_an_inside_gets_nothing_unless_it_is_named() -> None:
    box = '[part.board]\nkind = "box"\nwood = "hard maple"\nwide = 20\ndeep = 12\nhigh = 10\n'
    box += 'thick = "3/4"\nopen = "front"\n'
    bare = undo(box + 'finish = "mine"\n' + schedule(SAND, SHELLAC))
    assert all("inside" not in t.faces for t in bare.jobs["board"].tasks)
    named = undo(box + 'finish = { all = "mine", inside = "mine" }\n' + schedule(SAND, SHELLAC))
    assert "inside" in named.task("board/coat-1").faces


# -- several schedules on one part ----------------------------------------------------------------


def test_two_schedules_make_one_order() -> None:
    two = schedule(SAND, OIL, SHELLAC, WAX, name="long") + schedule(
        '{ do = "sand", grits = [120] }',
        '{ do = "coat", with = "dewaxed shellac", cut = 1, by = "brush" }',
        name="short",
    )
    work = undo(BOARD + 'both_faces = "on points"\nfinish = { show = "long", underside = "short" }\n' + two)
    assert steps(work) == ["sand", "oil-1", "oil-2", "coat-1", "coat", "coat-2", "wax"]
    assert work.task("board/coat").faces == ("underside",)
    assert work.task("board/sand").minutes.likely > work.task("board/coat-1").minutes.likely


def test_the_same_coat_of_two_schedules_is_one_session() -> None:
    two = schedule(SAND, SHELLAC, WAX, name="long") + schedule(SAND, SHELLAC, name="short")
    work = undo(BOARD + 'both_faces = "on points"\nfinish = { show = "long", underside = "short" }\n' + two)
    assert steps(work) == ["sand", "coat-1", "coat-2", "wax"]
    assert "underside" in work.task("board/coat-2").faces and "underside" not in work.task("board/wax").faces


# -- turning --------------------------------------------------------------------------------------


def test_without_a_scuff_the_part_is_turned_back_for_the_next_coat() -> None:
    work = undo(BOARD + 'finish = "mine"\n' + schedule(SAND, SHELLAC))
    assert steps(work) == [
        "sand",
        "coat-1/underside",
        "coat-1/turn",
        "coat-1/top",
        "coat-2/turn-back",
        "coat-2/underside",
        "coat-2/turn",
        "coat-2/top",
    ]
    assert work.task("board/coat-2/turn-back").asks.faces == ("top",)
    assert work.task("board/coat-1/turn").asks.faces == ("underside",)


def test_the_hidden_face_lies_down_first() -> None:
    work = undo(
        BOARD + 'faces = { front = "hidden", back = "show" }\nfinish = "mine"\n' + schedule(SAND, SHELLAC)
    )
    assert steps(work)[1:4] == ["coat-1/front", "coat-1/turn", "coat-1/back"]


def test_points_end_the_turning() -> None:
    lines = schedule(
        SAND, '{ do = "seal", with = "dewaxed shellac", cut = 1, by = "brush" }', '{ do = "points" }', SHELLAC
    )
    work = undo(BOARD + 'finish = "mine"\n' + lines)
    assert steps(work) == ["sand", "seal/underside", "seal/turn", "seal/top", "points", "coat-1", "coat-2"]
    assert work.task("board/points").asks.readiness == "handle"


def test_wax_is_one_session_on_a_turned_part() -> None:
    work = undo(
        BOARD + 'finish = "mine"\n' + schedule(SAND, '{ do = "wax", with = "paste wax", on = "all" }')
    )
    assert steps(work) == ["sand", "wax"]


# -- waits ----------------------------------------------------------------------------------------


def test_a_wait_for_more_than_the_step_asks_is_asked_too() -> None:
    wait = '{ do = "wait", for = "handle", test = "no print of a thumb", at_least = "2 days" }'
    work = undo(BOARD + 'both_faces = "on points"\nfinish = "mine"\n' + schedule(SAND, OIL, wait, SHELLAC))
    task = work.task("board/coat-1")
    assert task.asks.readiness == "next coat" and [a.readiness for a in task.also] == ["handle"]
    assert task.test == "no print of a thumb"
    assert task.asks.at_least and task.asks.at_least.hours == 48


def test_a_wait_at_the_end_is_kept() -> None:
    work = undo(
        BOARD
        + 'both_faces = "on points"\nfinish = "mine"\n'
        + schedule(SAND, SHELLAC, '{ do = "wait", for = "use" }')
    )
    last = work.jobs["board"].tasks[-1]
    assert (last.do, last.work, last.asks.readiness, last.minutes.likely) == ("wait", "none", "use", 0)


def test_own_step_that_asks_pack_is_waited_for_where_it_cures() -> None:
    part = BOARD + 'both_faces = "on points"\nfinish = "mine"\ncures_in = "loft"\n'
    work = undo(part + 'extra = [{ own = "wrap", when = "pack" }]\n' + schedule(SAND, SHELLAC))
    assert steps(work) == ["sand", "coat-1", "coat-2", "to-loft-after-coat-2", "to-shop-for-wrap", "wrap"]
    assert work.task("board/to-shop-for-wrap").asks.readiness == "pack"


def test_all_faces_freshly_varnished_are_carried_only_when_they_may_be_handled() -> None:
    part = BOARD + 'both_faces = "on points"\nfinish = "mine"\ncures_in = "loft"\n'
    film = undo(part + schedule(SAND, VARNISH)).task("board/to-loft-after-coat-2")
    oil = undo(part + schedule(SAND, OIL)).task("board/to-loft-after-oil-2")
    assert (film.asks.readiness, oil.asks.readiness) == ("handle", "dust-free")
    assert film.minutes.likely == 15


def test_own_steps_on_bare_wood_ask_nothing_and_later_ask_handle() -> None:
    extra = 'extra = [{ own = "ease the edges", before = "sand" }, { own = "fit hooks" }]\n'
    work = undo(BOARD + 'finish = "mine"\n' + extra + schedule(SAND, SHELLAC))
    assert work.task("board/ease-the-edges").asks.readiness == ""
    assert work.task("board/fit-hooks").asks.readiness == "handle"


def test_further_steps_stand_where_they_say() -> None:
    extra = (
        'extra = [{ own = "a", after = "coat" }, { own = "b", after = "coat" },'
        ' { own = "c", before = "coat 2" },'
        ' { own = "d", before = "e" }, { own = "e" }]\n'
    )
    work = undo(BOARD + 'both_faces = "on points"\nfinish = "mine"\n' + extra + schedule(SAND, SHELLAC, WAX))
    assert steps(work) == ["sand", "coat-1", "c", "coat-2", "a", "b", "wax", "d", "e"]


# -- places ---------------------------------------------------------------------------------------

TWO_ROOMS = SHOP.replace(
    "[place.loft]",
    '[place.spray]\nuse = "wet only"\nair = [{ open = "68 F, 45 %", closed = "68 F, 45 %" }]\n[place.loft]',
).replace("drying_places = 6", 'use = "dusty only"\ndrying_places = 6')


def test_wet_work_is_carried_to_the_room_that_takes_it() -> None:
    part = BOARD + 'both_faces = "on points"\nfinish = "mine"\n'
    scuffed = '{ do = "coat", with = "dewaxed shellac", cut = 2, by = "brush", coats = 2, scuff = 320 }'
    work = undo(part + schedule(SAND, scuffed), TWO_ROOMS)
    assert steps(work) == [
        "sand",
        "to-spray-for-coat-1",
        "coat-1",
        "to-shop-for-scuff-before-coat-2",
        "scuff-before-coat-2",
        "to-spray-for-coat-2",
        "coat-2",
    ]
    assert work.task("board/to-shop-for-scuff-before-coat-2").asks.readiness == "sand"
    back = work.task("board/to-spray-for-coat-2").asks
    assert back.readiness == "next coat" and back.over and back.over.coat == 2


# -- lots -----------------------------------------------------------------------------------------


@given(st.integers(1, 500), st.integers(1, 60))
def test_lots_are_few_even_and_complete(count: int, most: int) -> None:
    sizes = even(count, most)
    assert sum(sizes) == count and max(sizes) <= most and max(sizes) - min(sizes) <= 1
    assert (len(sizes) - 1) * most < count


def test_lots_by_drying_places() -> None:
    work = undo(
        BOARD + 'count = 13\nboth_faces = "on points"\nfinish = "mine"\n' + schedule(SAND, SHELLAC, WAX)
    )
    tasks = [t for t in work.jobs["board"].tasks if t.step == "coat 1"]
    assert [t.pieces for t in tasks] == [(1, 5), (6, 9), (10, 13)]
    assert [t.lot for t in tasks] == [(1, 3), (2, 3), (3, 3)]


def test_lots_by_the_open_window() -> None:
    # 6 boards find room, but a coat with 100 minutes a board fits twice into four hours
    coat = '{ do = "coat", with = "dewaxed shellac", cut = 2, by = "brush", minutes = 100 }'
    work = undo(BOARD + 'count = 6\nboth_faces = "on points"\nfinish = "mine"\n' + schedule(SAND, coat))
    coats = [t for t in work.jobs["board"].tasks if t.do == "coat"]
    assert [t.minutes.likely for t in coats] == [200, 200, 200]


def test_what_fits_no_window_is_an_error() -> None:
    coat = '{ do = "coat", with = "dewaxed shellac", cut = 2, by = "brush", minutes = 250 }'
    found = errors(
        undo(BOARD + 'both_faces = "on points"\nfinish = "mine"\n' + schedule(SAND, coat)),
        "too-long-for-hours",
    )
    assert found and "250 min" in found[0].says and "240" in found[0].says
    fits = coat.replace("250", "230")
    assert not errors(
        undo(BOARD + 'both_faces = "on points"\nfinish = "mine"\n' + schedule(SAND, fits)),
        "too-long-for-hours",
    )


def test_a_session_is_never_under_five_minutes() -> None:
    small = BOARD.replace("long = 32", "long = 4").replace("wide = 12", "wide = 3")
    work = undo(small + 'both_faces = "on points"\nfinish = "mine"\n' + schedule(SAND, SHELLAC))
    assert all(t.minutes.likely == 5 for t in work.jobs["board"].tasks)


def test_shaped_parts_take_longer() -> None:
    leg = (
        '[part.board]\nkind = "leg"\nwood = "hard maple"\nlong = 30\nthick = 3\ncount = 4\nfinish = "mine"\n'
    )
    task = undo(leg + schedule(SAND, SHELLAC)).task("board/coat-1")
    assert task.minutes.likely == pytest.approx(15 * 1.5 * task.area_m2)


# -- what cannot be done --------------------------------------------------------------------------

SPRAYED = '{ do = "coat", with = "nitrocellulose lacquer", by = "spray", coats = 2 }'


def test_spraying_without_a_gun_names_another_way() -> None:
    work = undo(BOARD + 'both_faces = "on points"\nfinish = "mine"\n' + schedule(SAND, SPRAYED))
    (found,) = errors(work, "no-gun")
    assert 'write by = "brush" in the schedule mine' in found.mend and found.where.line
    work = undo(BOARD + 'finish = "sprayed-water-borne"\n')
    (found,) = errors(work, "no-gun")
    assert "a copy of the schedule sprayed-water-borne beside the piece" in found.mend
    assert 'may say by = "brush"' in found.mend
    with_gun = SHOP + 'gun = { set_up = "10 min", clean = "15 min" }\n'
    assert not errors(undo(BOARD + 'finish = "mine"\n' + schedule(SAND, SPRAYED), with_gun), "no-gun")


def test_places_that_are_not_there() -> None:
    assert errors(undo(BOARD + 'cures_in = "attic"\nfinish = "mine"\n' + schedule(SAND)), "unknown-place")
    moved = schedule(SAND, '{ do = "move", to = "attic" }')
    (found,) = errors(undo(BOARD + 'finish = "mine"\n' + moved), "unknown-place")
    assert "shop, loft" in found.mend


@pytest.mark.parametrize(
    "written",
    [
        'finish = { as = "mine", to = "varnish" }',
        'finish = { as = "mine", from = "coat 7" }',
        'finish = "mine"\ntest_board = { through = "polish" }',
        'finish = "mine"\nextra = [{ own = "x", before = "polish" }]',
        'finish = "mine"\nextra = [{ own = "x", after = "coat 9" }]',
    ],
)
def test_names_that_are_no_step(written: str) -> None:
    (found,) = errors(undo(BOARD + written + "\n" + schedule(SAND, SHELLAC)), "no-such-step")
    assert found.where.line > 1


@pytest.mark.parametrize(
    ("stretch", "left"),
    [
        ('to = "coat"', ["sand", "coat-1", "coat-2"]),
        ('to = "coat 1"', ["sand", "coat-1"]),
        ('from = "coat"', ["coat-1", "coat-2", "wax"]),
        ('from = "coat 2", to = "coat 2"', ["coat-2"]),
        ('from = "wax"', ["wax"]),
    ],
)
def test_from_and_to_are_included(stretch: str, left: list[str]) -> None:
    work = undo(
        BOARD
        + f'both_faces = "on points"\nfinish = {{ as = "mine", {stretch} }}\n'
        + schedule(SAND, SHELLAC, WAX)
    )
    assert steps(work) == left


def test_what_cannot_be_rubbed_is_an_error() -> None:
    rubbed = schedule(SAND, OIL, '{ do = "rub", with = "0000 wool" }')
    assert errors(undo(BOARD + 'finish = "mine"\n' + rubbed), "cannot-be-rubbed")
    sound = schedule(SAND, SHELLAC, '{ do = "rub", with = "0000 wool" }')
    assert not errors(undo(BOARD + 'finish = "mine"\n' + sound), "cannot-be-rubbed")


def test_an_unknown_schedule_is_told_once() -> None:
    assert len(errors(undo(BOARD + 'finish = "oil-and-wacks"\n'), "unknown-schedule")) == 1


def test_a_board_that_takes_more_than_there_is_room() -> None:
    work = undo(BOARD + 'takes = 9\nfinish = "mine"\n' + schedule(SAND, SHELLAC))
    assert [f.id for f in work.findings] == ["no-drying-place"]
