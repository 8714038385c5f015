"""What is typed becomes a file of the language, what is wrong stands at its field, and nothing typed is lost."""

from __future__ import annotations

import tomllib

import pytest

from rakelight.facts import load
from rakelight.piece.file import read_piece
from rakelight.schedule.book import Book
from rakelight.shop.file import read_shop
from rakelight.web.forms import part_form, piece_form, shop_form
from rakelight.web.forms import steps as schedule_form
from rakelight.web.forms.kinds import PICKED
from rakelight.web.pages.choose import with_finish

from .conftest import EXAMPLES

TABLE = {
    "name": ["Hall table"], "by": ["2027-04-20"], "unit": ["in"], "finish": ["oil-and-wax"], "join": ["screws"],
    "stands": ["water"], "part-1-kind": ["panel"], "part-1-name": ["Top"], "part-1-wood": ["cherry"],
    "part-1-long": ["34"], "part-1-wide": ["14 1/2"], "part-1-thick": ["22 mm"],
    "part-2-kind": ["leg"], "part-2-wood": ["white ash"], "part-2-count": ["4"], "part-2-long": ["28"],
    "part-2-thick": ["1 1/2"],
}  # fmt: skip
#: sizes that make sense for each kind, as they would be measured
SIZES = {
    "panel": {"long": "32", "wide": "7 1/2", "thick": "7/8"}, 
    "slab": {"long": "34", "wide_at": "15 1/2, 16, 15 3/4", "thick": "1"},
    "box": {"wide": "26", "deep": "15", "high": "30", "thick": "3/4"},
    "frame": {"wide": "18", "high": "24", "rail": "2 1/4", "thick": "7/8"}, "leg": {"long": "16 1/2", "thick": "1 1/2"},
    "stick": {"long": "25", "thick": "7/8"}, "moulding": {"long": "60", "girth": "3"},
}  # fmt: skip


def test_a_table_of_two_kinds_of_part_reads_back_with_the_sizes_as_they_were_typed():
    form = piece_form.read_fields(TABLE)
    text = piece_form.check(form, load())
    assert not form.wrong
    piece, found = read_piece(text)
    assert piece and not [f for f in found if f.severity == "error"]
    assert piece.parts["top"].sizes.long_mm == pytest.approx(34 * 25.4)  # inch by definition
    assert piece.parts["top"].sizes.thick_mm == 22  # its own unit is kept
    assert piece.parts["table"].of == {"top": 1, "leg": 4} and piece.parts["table"].join == "screws"
    assert 'thick = "22 mm"' in text and 'by = "20 April 2027"' in text


@pytest.mark.parametrize("kind", [kind.id for kind in PICKED])
def test_every_kind_asks_for_what_it_needs(kind):
    fields = {f"part-1-{key}": [value] for key, value in SIZES[kind].items()}
    form = piece_form.read_fields(
        {"name": ["It"], "part-1-kind": [kind], "part-1-wood": ["cherry"], **fields}
    )
    piece_form.check(form, load())
    assert not form.wrong, [f.says for found in form.parts[0].faults.values() for f in found]
    asked = {size.key for k in PICKED if k.id == kind for size in k.sizes if not size.may_lack}
    for key in asked:  # without any one of them the fault stands at that field
        lacks = {name: value for name, value in fields.items() if name != f"part-1-{key}"}
        form = piece_form.read_fields(
            {"name": ["It"], "part-1-kind": [kind], "part-1-wood": ["cherry"], **lacks}
        )
        piece_form.check(form, load())
        assert key in form.parts[0].faults, (kind, key)


def test_a_wood_that_may_be_several_is_asked_for_and_the_choice_is_taken():
    said = TABLE | {"part-1-wood": ["maple"]}
    form = piece_form.read_fields(said)
    piece_form.check(form, load())
    assert form.wrong and "sugar maple" in form.parts[0].woods and form.parts[0].get("wood") == "maple"
    form = piece_form.read_fields(said | {"part-1-wood_is": ["red maple"]})
    text = piece_form.check(form, load())
    assert not form.wrong and tomllib.loads(text)["part"]["top"]["wood"] == "red maple"
    form = piece_form.read_fields(said | {"part-1-wood": ["cherry"], "part-1-wood_is": ["red maple"]})
    assert (
        tomllib.loads(piece_form.check(form, load()))["part"]["top"]["wood"] == "cherry"
    )  # typed anew: it rules


def test_a_part_more_and_a_part_less_keep_all_else():
    form = piece_form.read_fields(TABLE | {"more": ["yes"]})
    assert len(form.parts) == 3 and form.parts[2].get("wood") == "white ash"
    form = piece_form.read_fields(TABLE | {"less": ["1"]})
    assert [part.get("wood") for part in form.parts] == ["white ash"]


@pytest.mark.parametrize("name", Book(facts=load()).names())
def test_a_schedule_of_the_book_is_the_same_after_it_stood_in_fields(name):
    book = Book(facts=load())
    table = schedule_form.table_of("", book, name)
    form = schedule_form.fields_of(table)
    schedule_form.check(form, name, load())
    assert not form.wrong
    assert schedule_form.as_table(form) == table
    said = {"title": [form.title], "sheen": [form.sheen]}
    for n, step in enumerate(form.steps, 1):
        said |= {f"step-{n}-do": [step.do]} | {
            f"step-{n}-{key}": [step.typed.get(key, "")] for key in step.keys
        }
    assert schedule_form.as_table(schedule_form.read_steps(said)) == table  # and after a browser sent them


def test_steps_are_moved_added_and_taken_out():
    said = {
        "step-1-do": ["sand"],
        "step-1-grits": ["120, 180"],
        "step-2-do": ["oil"],
        "step-2-with": ["pure tung oil"],
    }
    assert [s.do for s in schedule_form.read_steps(said | {"up": ["2"]}).steps] == ["oil", "sand"]
    assert [s.do for s in schedule_form.read_steps(said | {"down": ["1"]}).steps] == ["oil", "sand"]
    assert [s.do for s in schedule_form.read_steps(said | {"off": ["1"]}).steps] == ["oil"]
    added = schedule_form.read_steps(said | {"add": ["1"], "verb-1": ["scuff"]})
    assert [s.do for s in added.steps] == ["sand", "scuff", "oil"] and added.steps[1].open


def test_a_fault_of_a_step_stands_at_that_step():
    said = {
        "step-1-do": ["sand"],
        "step-1-grits": ["120, 180"],
        "step-2-do": ["coat"],
        "step-2-with": ["shelac"],
    }
    form = schedule_form.read_steps(said)
    schedule_form.check(form, "own", load())
    assert not form.steps[0].faults and "shelac" in form.steps[1].faults[0].says and form.wrong


def test_a_changed_schedule_leaves_the_rest_of_the_piece_as_it_was_written():
    text = '# My piece.\npiece = "Shelf"\n\n[part.board] # of the old beam\nwood = "cherry"\nlong = 30\n'
    form = schedule_form.fields_of(schedule_form.table_of(text, Book(facts=load()), "oil-and-wax"))
    changed = schedule_form.into_piece(text, "oil-and-wax", form)
    assert changed.startswith(text.rstrip("\n"))
    assert tomllib.loads(changed)["schedule"]["oil-and-wax"] == schedule_form.as_table(form)


SHOP = {
    "name": ["Cellar"],
    "zone": ["America/Chicago"],
    "week": ["8:00-12:00"],
    "heater": ["electric"],
    "size": ["20 ft x 10 ft x 8 ft"],
}


def test_a_shop_is_said_by_town_or_by_its_own_air():
    for air in (
        {"town": ["Chicago, IL"], "heated_to": ["64 F"]},
        {"open": ["64 F, 45 %"], "closed": ["48 F, 70 %"]},
    ):
        form = shop_form.read_fields(SHOP | air)
        text = shop_form.check(form)
        assert not form.wrong, form.faults
        shop, _ = read_shop(text, "shop.toml")
        assert shop and shop.places["shop"].air_guessed is ("town" in air)


@pytest.mark.parametrize(
    "typed, field",
    [
        ({"week": ["8 to whenever"]}, "week"),
        ({"zone": ["Chicago"]}, "zone"),
        ({"open": ["warm"]}, "open"),
        ({"size": ["big"]}, "size"),
    ],
)
def test_what_is_wrong_with_a_shop_stands_at_its_field(typed, field):
    form = shop_form.read_fields(SHOP | {"town": ["Chicago, IL"]} | typed)
    shop_form.check(form)
    assert field in form.faults, form.faults


PIECE = """# A desk.
piece = "Desk"

[part.top] # of one board
wood = "cherry"
finish = "oil-and-wax"

[part.drawer-side]
wood = "maple"
finish = { inside = { as = "shellac-and-wax", to = "coat" }, show = "wiped-varnish" }
"""


def test_another_finish_is_written_where_the_piece_names_one_and_nowhere_else():
    text = with_finish(PIECE, "top", "all", "varnish-rubbed")
    text = with_finish(text, "drawer-side", "show", "padded-shellac")
    parts = tomllib.loads(text)["part"]
    assert parts["top"]["finish"] == "varnish-rubbed"
    assert parts["drawer-side"]["finish"]["show"] == "padded-shellac"
    assert parts["drawer-side"]["finish"]["inside"] == {"as": "shellac-and-wax", "to": "coat"}
    assert text.startswith("# A desk.")
    halved = tomllib.loads(with_finish(PIECE, "drawer-side", "inside", "seal-only"))["part"]["drawer-side"]["finish"]
    assert halved["inside"] == {"as": "seal-only", "to": "coat"}
    assert with_finish(PIECE, "leg", "all", "varnish-rubbed") == PIECE  # no such part


CABINET = (EXAMPLES / "music-cabinet.toml").read_text("utf-8")


def as_sent(one: part_form.OnePart) -> dict[str, list[str]]:
    """A part as its form would send it back untouched."""
    sent = {f"part-1-{name}": [words] for name, words in one.fields.typed.items()}
    sent["part-1-open"] = list(one.fields.open)
    return sent | {f"of-{name}": [words] for name, words in one.of.items()} | {"join": [one.join]}


@pytest.mark.parametrize("name", sorted(part_form.parts_of(CABINET)))
def test_a_part_sent_back_untouched_leaves_the_piece_as_it_was(name):
    one = part_form.part_of(CABINET, name)
    text = part_form.into_piece(CABINET, part_form.read_part(one, as_sent(one)))
    assert tomllib.loads(text) == tomllib.loads(CABINET)


def test_a_changed_part_keeps_its_faces_masks_and_steps():
    one = part_form.part_of(CABINET, "shelf")
    sent = as_sent(one) | {"part-1-long": ["36 1/2"], "part-1-wood": ["black cherry"]}
    text = part_form.into_piece(CABINET, part_form.read_part(one, sent))
    was, now = part_form.parts_of(CABINET)["shelf"], part_form.parts_of(text)["shelf"]
    assert now == was | {"long": "36 1/2", "wood": "black cherry"}
    assert text.count("#") == CABINET.count("#")  # remarks too


def test_a_part_more_goes_into_what_is_put_together_and_a_part_off_out_of_it():
    one = part_form.read_part(
        part_form.part_of(CABINET, ""),
        {"part-1-kind": ["panel"], "part-1-name": ["Back board"], "part-1-wood": ["sapele"], "part-1-count": ["2"],
         "part-1-long": ["20"], "part-1-wide": ["10"], "part-1-thick": ["1/2"], "part-1-finish": ["bare"],
         "into": ["cabinet"]},
    )  # fmt: skip
    more = part_form.into_piece(CABINET, one)
    assert one.fields.key == "back-board" and "finish" not in part_form.parts_of(more)["back-board"]
    was = part_form.parts_of(CABINET)["cabinet"]["of"]
    assert part_form.parts_of(more)["cabinet"]["of"] == was | {"back-board": 2}
    assert read_piece(more)[0]
    again = part_form.without(more, "back-board")
    assert tomllib.loads(again) == tomllib.loads(CABINET)
    fewer = part_form.without(part_form.without(CABINET, "rail-long"), "rail-short")
    assert "plinth" not in part_form.parts_of(fewer) and read_piece(fewer)[0]  # nothing is left of it


def test_what_is_wrong_with_a_part_stands_at_its_field():
    one = part_form.part_of(CABINET, "shelf")
    form = part_form.read_part(one, as_sent(one) | {"part-1-thick": ["1 x"], "part-1-wood": ["mapel"]})
    text = part_form.into_piece(CABINET, form)
    part_form.check(form, text, read_piece(text)[1], load())
    assert form.wrong and set(form.fields.faults) == {"thick", "wood"}
