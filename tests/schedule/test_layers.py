"""What lies on each face: film put on and taken off, abrading, what a rub leaves, joined parts, lots."""

from dataclasses import replace

import pytest

from rakelight.facts import load
from rakelight.piece.model import Face, Part, Piece
from rakelight.schedule.layers import Stack, kind_of, stacks_of_work
from rakelight.schedule.steps import Step
from rakelight.schedule.tasks import Job, Lay, Task, Work
from rakelight.spread import Spread

FACTS = load()
TOP = Face("top", "show", 1.0, broad=True)
UNDER = Face("underside", "show", 1.0, broad=True)


def task(id, do, part="board", faces=("top",), lay=None, removes=0.0, **more):
    return Task(id, part, id, do, id, faces, "quiet", Spread.exact(5), lay=lay, removes_um=removes, **more)


def coat(id, material, dry=0.0, by="brush", **more):
    return task(id, "coat", lay=Lay(material, by, dry_um=dry), **more)


def work(*jobs, piece=None):
    piece = piece or Piece("p", "in", {j.part.name: j.part for j in jobs})
    return Work(piece, {j.part.name: j for j in jobs})


def board(*tasks, arris=1.0, faces=(TOP, UNDER), name="board"):
    part = Part(name, "panel", woods=("hard maple",), faces=faces, arris_mm=arris)
    return Job(part, tuple(tasks), "hard maple")


def stack(*tasks, arris=1.0):
    return stacks_of_work(work(board(*tasks, arris=arris)), FACTS)["board"]["top"][0]


def test_a_bare_board_has_nothing_on_it():
    made = stack(task("sand", "sand"))
    assert made.layers == () and made.bare and made.film_um == 0


def test_scuffs_take_from_the_coat_beneath_and_never_more_than_is_there():
    made = stack(
        coat("c1", "shellac_dewaxed", 11.0),
        task("s", "scuff", removes=3.0),
        coat("c2", "shellac_dewaxed", 11.0),
    )
    assert [layer.dry_um for layer in made.layers] == [8.0, 11.0]
    assert made.takes[0].film_um == 11 and made.takes[0].over == 1
    thin = stack(coat("c1", "shellac_dewaxed", 2.0), task("s", "scuff", removes=3.0))
    assert thin.film_um == 0 and thin.takes[0].took_um == 2


def test_deep_sanding_goes_on_into_the_coat_below():
    made = stack(
        coat("c1", "shellac_dewaxed", 10.0),
        coat("c2", "shellac_dewaxed", 10.0),
        task("l", "level", removes=15.0),
    )
    assert [layer.dry_um for layer in made.layers] == [5.0, 0.0]


@pytest.mark.parametrize(("radius", "share"), [(0.0, 0.333), (1.0, 0.6), (3.0, 0.8)])
def test_less_lies_at_the_arris_and_more_is_taken_there(radius, share):
    made = stack(coat("c1", "shellac_dewaxed", 10.0), task("s", "scuff", removes=1.0), arris=radius)
    assert made.layers[0].arris_laid_um == pytest.approx(10 * share)
    assert made.layers[0].arris_um == pytest.approx(10 * share - 1.3)


def test_abrading_belongs_to_the_next_coat_and_is_spent_by_it():
    made = stack(
        coat("c1", "omu_brush", 30.0),
        task("s", "scuff", removes=3.0),
        coat("c2", "omu_brush", 30.0),
        coat("c3", "omu_brush", 30.0),
    )
    assert [layer.abraded_before for layer in made.layers] == ["", "scuff", ""]


def test_colour_leaves_wood_bare_and_oil_seals_it():
    dyed = stack(coat("d", "dye_water", by="wipe"), coat("c", "shellac_dewaxed", 11.0))
    oiled = stack(coat("o", "linseed_boiled", by="wipe"), coat("c", "shellac_dewaxed", 11.0))
    assert dyed.layers[1].on_bare and not oiled.layers[1].on_bare


@pytest.mark.parametrize(
    ("wet", "material", "abrasive", "left"),
    [
        ("paste wax", "wax_paste", "steel_wool 0000", "paste wax"),
        ("mineral oil", "", "powder pumice FFF", "mineral oil"),
        ("mineral spirits", "", "", ""),
        ("", "", "steel_wool 0000", "steel wool"),
        ("silicone spray", "", "", "silicone oil"),
    ],
)
def test_what_a_rub_leaves_stands_beneath_the_next_coat(wet, material, abrasive, left):
    step = Step("rub", wet=wet, wet_material=material, abrasive=abrasive)
    made = stack(
        coat("c1", "shellac_dewaxed", 30.0),
        task("r", "rub", removes=2.0, scheduled=step),
        coat("c2", "shellac_dewaxed", 30.0),
    )
    assert made.layers[1].contaminated_by == left


def test_an_own_step_of_cleaning_takes_it_away():
    step = Step("rub", wet="mineral oil")
    cleaned = replace(task("x", "own"), step="clean off with naphtha")
    made = stack(
        coat("c1", "shellac_dewaxed", 30.0),
        task("r", "rub", removes=2.0, scheduled=step),
        cleaned,
        coat("c2", "shellac_dewaxed", 30.0),
    )
    assert made.layers[1].contaminated_by == ""


def test_faces_go_their_own_way_and_boards_and_other_lots_do_not_count():
    job = board(
        coat("c1", "shellac_dewaxed", 11.0),
        coat("c1/underside", "shellac_dewaxed", 11.0, faces=("underside",)),
        coat("b", "shellac_dewaxed", 11.0, board=True),
        coat("c1/lot-2", "shellac_dewaxed", 11.0, lot=(2, 2)),
        coat("c2", "shellac_dewaxed", 11.0),
    )
    found = {face: stacks[0].layers for face, stacks in stacks_of_work(work(job), FACTS)["board"].items()}
    assert [layer.task for layer in found["top"]] == ["c1", "c2"]
    assert [layer.task for layer in found["underside"]] == ["c1/underside"]


def test_a_joined_part_goes_on_from_what_its_members_carry():
    side = board(coat("side/c1", "shellac_dewaxed", 11.0, part="side"), faces=(TOP,), name="side")
    bottom = board(faces=(TOP,), name="bottom")
    drawer = Part("drawer", "joined", faces=(Face("top", "show", 2.0),), of={"side": 2, "bottom": 1})
    wax = task("drawer/wax", "wax", part="drawer", lay=Lay("wax_paste", "wipe"))
    sources = {"top": (("side", "top"), ("bottom", "top"))}
    joined = Job(drawer, (wax,), "hard maple", ("side", "bottom"), sources)
    everything = work(side, bottom, joined)
    stacks = stacks_of_work(everything, FACTS)["drawer"]["top"]
    assert [[layer.material for layer in s.layers] for s in stacks] == [
        ["shellac_dewaxed", "wax_paste"],
        ["wax_paste"],
    ]


@pytest.mark.parametrize(
    ("material", "kind"),
    [
        ("linseed_boiled", "oil"),
        ("hardwax_oil", "oil"),
        ("oil_varnish_blend", "oil"),
        ("gel_stain", "colour"),
        ("dye_alcohol", "colour"),
        ("bleach_oxalic", "bleach"),
        ("filler_oil_paste", "filler"),
        ("size_glue", "size"),
        ("wax_paste", "wax"),
        ("shellac_dewaxed", "film"),
        ("linseed_stand", "film"),
        ("omu_wipe", "film"),
    ],
)
def test_kinds_of_layer(material, kind):
    assert kind_of(FACTS.materials[material]) == kind


def test_an_empty_stack_is_bare():
    assert Stack().bare and Stack().films == ()
