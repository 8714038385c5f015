"""Today over all pieces of the shop's file."""

from __future__ import annotations

import json

import pytest

from rakelight.cli import today as at_bench


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
