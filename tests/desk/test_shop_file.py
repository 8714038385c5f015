"""The shop's file on the desk: pieces, plans together, what is told."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta
from itertools import pairwise
from pathlib import Path

import pytest

from rakelight.desk import open_desk, open_shop
from rakelight.errors import NotFound, RakelightError
from rakelight.log.events import Event
from rakelight.units import read_date

EXAMPLES = Path(__file__).parents[2] / "examples"
SHELF = (EXAMPLES / "one-board.toml").read_text("utf-8")


def _told(shop, kind, hours=0.0, **said):
    at = shop.now + timedelta(hours=hours)
    return Event(kind, at, shop.now, piece="one-board", **said)


def test_a_piece_plans_as_it_does_with_its_files(shop, tmp_path):
    plan = shop.plan().answers["one-board"].plan
    alone = open_desk(
        EXAMPLES / "one-board.toml", EXAMPLES / "shop-fair.toml", now=read_date("8 Feb 2027 8:00"),
        log_path=tmp_path / "none.jsonl",
    ).plan(odds="dates").plan  # fmt: skip
    assert plan.placed == alone.placed and plan.due == alone.due


def test_two_pieces_never_need_the_maker_twice_at_once(shop):
    second = shop.copy_piece("one-board", "Second shelf")
    assert second == "second-shelf" and [r.name for r in shop.pieces()] == ["Walnut wall shelf", "Second shelf"]
    plan = shop.plan()
    assert set(plan.answers) == {"one-board", "second-shelf"} and plan.refused == {}
    spans = sorted(s for a in plan.answers.values() for p in a.plan.placed.values()
                   for s in p.spans if a.work.task(p.task).work not in ("none", ""))  # fmt: skip
    assert all(end <= start for (_, end), (start, _) in pairwise(spans))


def test_what_was_kept_and_told_is_there_when_it_is_opened_again(shop, shop_at):
    plan = shop.plan()
    shop.keep(plan)
    shop.keep(plan)
    assert [e.kind for e in shop.events()].count("planned") == 1  # the same plan is kept once
    shop.tell(_told(shop, "done", task="board/sand"))
    later = shop_at("9 Feb 2027 8:00")
    state = later.desk("one-board").state
    assert state.done["board/sand"].logged and state.kept
    assert not state.done["board/oil-1"].logged


def test_the_same_id_is_one_event(shop):
    first = shop.tell(_told(shop, "done", task="board/sand", id="from-the-phone"))
    again = shop.tell(_told(shop, "done", task="board/sand", id="from-the-phone", words="sent again"))
    assert again == first and len([e for e in shop.events() if e.kind == "done"]) == 1


def test_undo_and_correction(shop):
    kept = shop.tell(_told(shop, "done", task="board/sand", took_min=35.0))
    shop.correct(kept.id, Event.correction(kept, shop.now, took_min=50.0))
    assert shop.desk("one-board").state.took_min == {"board/sand": 50.0}
    assert shop.undo().kind == "corrected"
    assert shop.desk("one-board").state.took_min == {"board/sand": 35.0}
    assert shop.undo() == kept and shop.desk("one-board").state.done == {}
    with pytest.raises(RakelightError, match="Nothing that was told is left"):
        shop.undo()


def test_a_piece_put_away_or_finished_is_not_planned_and_comes_back(shop):
    shop.put_away("one-board")
    assert shop.plan().answers == {} and shop.pieces()[0].put_away
    shop.take_out("one-board")
    assert list(shop.plan().answers) == ["one-board"]
    shop.finish("one-board")
    assert shop.plan().answers == {} and shop.pieces()[0].finished == shop.now
    assert [e.what for e in shop.events() if e.kind == "piece"] == ["added", "put away", "taken out", "finished"]


def test_a_changed_piece_keeps_its_earlier_text(shop):
    old = shop.pieces()[0]
    assert not [f for f in shop.change_piece("one-board", SHELF.replace("Walnut wall shelf", "Wall shelf"))
                if f.severity == "error"]  # fmt: skip
    assert shop.pieces()[0].name == "Wall shelf" and shop.store.text(old.text_hash) == SHELF


def test_a_piece_that_cannot_be_read_changes_nothing(shop):
    before = shop.pieces()
    assert [f.severity for f in shop.change_piece("one-board", "piece = ")] == ["error"]
    key, found = shop.add_piece("nothing", "other.toml")
    assert key is None and found and shop.pieces() == before


def test_a_late_piece_does_not_hold_up_the_others(shop_at, shop):
    shop.add_piece(SHELF.replace("2027", "2028"), "late.toml", None)
    later = shop_at("1 Jan 2028 8:00")
    plan = later.plan()
    assert list(plan.refused) == ["one-board"] and list(plan.answers) == ["late"]


BAD = {
    "future": ({"kind": "done", "task": "board/sand", "hours": 24.0}, "is still to come"),
    "no step": ({"kind": "done", "task": "board/snad"}, "No step is called 'board/snad'. Nearest: board/sand"),
    "negative": ({"kind": "done", "task": "board/sand", "used_ml": -3.0}, "-3 is less than nothing"),
    "minutes": ({"kind": "done", "task": "board/sand", "took_min": -3.0}, "-3 is less than nothing"),
    "weighed": ({"kind": "can", "what": "weighed", "before_g": 1.0, "after_g": 2.0}, "weighs more after"),
    "coats": ({"kind": "done", "task": "board/sand", "number": 0}, "0 is no number of coats"),
    "kind": ({"kind": "thought"}, "'thought' is nothing the log knows"),
    "read": ({"kind": "reading", "what": "air", "values": {"rh": -0.4}}, "-0.4 is no air that can be read"),
    "what": ({"kind": "reading", "what": "mood"}, "'mood' is no reading the log knows"),
    "correct": ({"kind": "corrected", "corrects": "0" * 32}, "Nothing with the id"),
    "photo": ({"kind": "photo", "photo": "ab" * 32}, "No photograph abab"),
    "piece": ({"kind": "note", "piece": "one-baord"}, "Did you mean one-board?"),
}


@pytest.mark.parametrize("said, tells", BAD.values(), ids=BAD)
def test_what_cannot_be_so_is_one_sentence_and_nothing_is_written(shop, said, tells):
    before = shop.events()
    event = _told(shop, said["kind"], said.get("hours", 0.0))
    with pytest.raises(RakelightError) as bad:
        shop.tell(replace(event, **{k: v for k, v in said.items() if k not in ("hours", "kind")}))
    assert tells in str(bad.value) and "\n" not in str(bad.value)
    assert shop.events() == before


def test_twice_and_out_of_order_are_refused(shop):
    shop.tell(_told(shop, "done", -2.0, task="board/oil-1"))
    before = shop.events()
    with pytest.raises(RakelightError, match="already told"):
        shop.tell(_told(shop, "done", task="board/oil-1"))
    with pytest.raises(RakelightError, match="board/oil-1, which comes after board/sand, is told for earlier"):
        shop.tell(_told(shop, "done", -1.0, task="board/sand"))
    with pytest.raises(RakelightError, match="already told as done"):
        shop.tell(_told(shop, "skipped", task="board/oil-1"))
    assert shop.events() == before
    shop.tell(_told(shop, "done", -3.0, task="board/sand"))


def test_a_step_told_by_two_devices_at_once_is_written_once(shop, shop_at):
    here, there = shop.desk("one-board", telling=True), shop_at()
    assert here.state.done == {}  # read before the other device tells of it
    there.tell(_told(there, "done", task="board/sand", id="phone"))
    with pytest.raises(RakelightError, match="board/sand is already told"):
        here.log.add(_told(shop, "done", task="board/sand", id="bench"))
    assert [e.id for e in shop.events() if e.kind == "done"] == ["phone"]
    here.log.add(_told(shop, "note", words="told after all that"))


def test_a_coat_is_told_from_a_can_that_is_there_and_holds_it(shop):
    for can, material in (("oil-tin", "linseed_boiled"), ("wax-tin", "wax_paste")):
        size = {"size_ml": 500.0}
        shop.tell(Event("can", shop.now, shop.now, what="bought", can=can, material=material, values=size))
    shop.tell(_told(shop, "done", task="board/sand"))
    for can, says in (("oil-tim", "Did you mean oil-tin?"), ("wax-tin", "holds paste wax, which that step does not")):
        with pytest.raises(RakelightError, match=says):
            shop.tell(_told(shop, "done", task="board/oil-1", can=can, used_ml=40.0))
    shop.tell(_told(shop, "done", task="board/oil-1", can="oil-tin", used_ml=40.0))
    assert shop.stock().can("oil-tin").left.likely == pytest.approx(460.0)


def test_a_photograph_is_kept_by_its_hash(shop):
    hash = shop.add_photo(b"a picture")
    assert shop.add_photo(b"a picture") == hash and shop.photo(hash) == b"a picture"
    (shop.path.parent / f"{shop.path.name}-photographs" / hash).write_bytes(b"another")
    with pytest.raises(NotFound, match="was changed since"):
        shop.photo(hash)


def test_no_shop_yet_is_said(tmp_path):
    with pytest.raises(NotFound, match=r"No shop's file. `rakelight add PIECE.toml --shop SHOP.toml` begins one"):
        open_shop(tmp_path / "none.rakelight", create=False)
    shop = open_shop(tmp_path / "new.rakelight")
    assert shop.pieces() == [] and shop.plan().answers == {}
    with pytest.raises(RakelightError, match="does not know the shop's hours"):
        _ = shop.shop
    shop.close()
