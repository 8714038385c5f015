"""Today over all pieces of the shop's file."""

from __future__ import annotations

import json

import pytest

from rakelight.cli import today as at_bench
from rakelight.log.events import Event


def test_two_pieces_are_told_together(shop, shop_at, capsys):
    shop.copy_piece("one-board", "Second shelf")
    shop.keep(shop.plan())
    later = shop_at("9 Feb 2027 8:00")
    plan = later.plan()
    at_bench.of_shop(later, plan, True)
    told = json.loads(capsys.readouterr().out)
    assert {"now", "next", "drying", "tests", "buy", "unconfirmed", "rags"} <= set(told)
    assert isinstance(told["now"], list)
    assert {d["piece"] for d in told["drying"]} == {"one-board", "second-shelf"}
    assert all({"part", "for", "low", "likely", "high"} <= set(d) for d in told["drying"])
    assert told["unconfirmed"]["steps"] == len(told["unconfirmed"]["ids"]) > 0
    at_bench.of_shop(later, plan, False)
    text = " ".join(capsys.readouterr().out.split())
    assert "Second shelf, board" in text and "rags of Second shelf, board" in text and "`rakelight catch-up`" in text


def test_a_shop_without_pieces_says_so(shop, capsys):
    shop.put_away("one-board")
    at_bench.of_shop(shop, shop.plan(), False)
    assert "No piece is at hand" in capsys.readouterr().out


def test_one_piece_that_cannot_be_planned_does_not_hide_the_other(shop, capsys):
    text = shop.piece("one-board").text
    shop.add_piece(text.replace("oil-and-wax", "no-such-finish"), "broken.toml")
    plan = shop.plan()
    if "broken" not in plan.refused:
        pytest.fail("a schedule that is not there must be refused")
    at_bench.of_shop(shop, plan, False)
    text = capsys.readouterr().out
    assert "cannot be planned as it is" in text and "(one-board" not in text and "(board/sand)" in text


def test_what_two_pieces_want_is_bought_once(shop):
    one = shop.plan(odds="")
    shop.copy_piece("one-board", "Second shelf")
    plan = shop.plan(odds="")
    oil = [next(line for line in of if line.material == "linseed_boiled") for of in (one.buy, plan.buy)]
    assert oil[1].buy.likely == pytest.approx(2 * oil[0].buy.likely) and oil[1].need.high > 1.9 * oil[0].need.high
    assert oil[0].cans == oil[1].cans == (("1/2 pint", 1),)  # 3 1/2 fl oz with the reserve: one can for both
    rows = [b for b in shop.today(plan).buy if b.line.material == "linseed_boiled"]
    assert [(b.pieces, b.line.cans) for b in rows] == [(("Walnut wall shelf", "Second shelf"), oil[1].cans)]


def test_one_can_on_the_shelf_is_drawn_on_by_both_and_only_the_rest_is_bought(shop):
    shop.copy_piece("one-board", "Second shelf")
    held = {"size_ml": 90.0}
    tin = Event("can", shop.now, shop.now, what="bought", can="tin", material="linseed_boiled", values=held)
    shop.tell(tin)
    plan = shop.plan(odds="")
    oil = next(line for line in plan.buy if line.material == "linseed_boiled")
    assert [(d.can, d.amount) for d in oil.drawn] == [("tin", pytest.approx(90.0))]
    assert oil.missing == pytest.approx(oil.buy.likely - 90.0) and oil.cans == (("1/2 pint", 1),)
    assert "3 fl oz of it stands on the shelf; buy 1 x 1/2 pint" in oil.says
