"""Which finish by the date: what is said of one board, and what every answer must hold."""

from __future__ import annotations

from collections.abc import Callable
from itertools import product

from rakelight.choice.changes import beats, counts
from rakelight.choice.model import Limits, Want
from rakelight.choice.slots import slots_of
from rakelight.desk import Desk
from rakelight.desk.choosing import choose_for

BOARD = """
piece = "Shelf"
unit = "in"
start = "8 Feb 2027"
wanted = [{{ by = "{by}" }}]
[part.board]
wood = "cherry"
long = 30
wide = 8
thick = "7/8"
finish = "{finish}"
both_faces = "on points"
"""
#: one of each kind: what oxidises slowly, what evaporates, what cures in hours
BOOK = ("tung-oil", "oil-and-wax", "padded-shellac", "sprayed-water-borne")


def test_a_finish_that_has_time_fits(on_desk: Callable[..., Desk]) -> None:
    choice = choose_for(on_desk(BOARD.format(by="10 May 2027", finish="oil-and-wax"), book=BOOK))
    assert choice.wished.fits and choice.wished.odds >= 0.8 and choice.wished.short_days == 0
    assert not choice.rescues and not choice.nearest and not choice.contradictions
    assert choice.latest_start is not None and choice.latest_start > choice.wished.plan.now


def test_one_that_has_none_is_refused_and_quicker_ones_are_named(on_desk: Callable[..., Desk]) -> None:
    choice = choose_for(on_desk(BOARD.format(by="17 Feb 2027", finish="tung-oil"), book=BOOK))
    assert not choice.wished.fits and choice.wished.short_likely_days > 3
    assert choice.latest_start is not None and choice.latest_start < choice.wished.plan.now
    assert choice.options
    for option in choice.options:
        assert option.fits and option.odds >= choice.limits.odds and option.likely <= option.plan.due[0].by
        assert option.cost.all_hours.likely > 0
        assert {c.slot for c in option.changes} <= {"", "board"}
        assert next(c for c in option.gained if c.what == "days").by > 3
    for one, other in product(choice.options, repeat=2):
        assert not beats(counts(one), counts(other)), "an option shown is beaten by another"


def test_what_the_shop_does_not_take_is_not_offered(on_desk: Callable[..., Desk]) -> None:
    desk = on_desk(BOARD.format(by="17 Feb 2027", finish="tung-oil"), book=BOOK)
    choice = choose_for(desk, Limits(smell="none"))
    laid = {step.material for o in choice.options for m in o.makes.values() for step in m.schedule.steps}
    voc = {m: desk.facts.materials[m].voc_g_per_l for m in laid if m}
    assert all(v is None or v.likely <= 50 for v in voc.values())
    assert any(d.kind == "limits" and "smells" in d.why for d in choice.dropped)


def test_wishes_that_contradict_each_other_are_named(on_desk: Callable[..., Desk]) -> None:
    desk = on_desk(BOARD.format(by="9 Feb 2027", finish="oil-and-wax"), book=BOOK)
    want = Want(build="in the wood", feel="glass")
    choice = choose_for(desk, wants={slot.name: want for slot in slots_of(desk.piece)})
    assert not choice.options
    assert dict(choice.contradictions[0].wishes) == {"build": "in the wood", "feel": "glass"}
    assert len(choice.nearest) <= 3
