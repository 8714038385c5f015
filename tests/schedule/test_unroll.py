"""The three example pieces unrolled, against lists of sessions worked out by hand (language, count-back)."""

from __future__ import annotations

from functools import lru_cache
from pathlib import Path

import pytest

from rakelight.errors import Severity
from rakelight.facts import load
from rakelight.piece.file import read_piece
from rakelight.schedule.book import Book
from rakelight.schedule.tasks import Task, Work
from rakelight.schedule.unroll import unroll
from rakelight.shop.file import read_shop
from rakelight.state.model import State

EXAMPLES = Path(__file__).parents[2] / "examples"


@lru_cache
def unrolled(piece: str, shop: str) -> Work:
    """An example piece in an example shop."""
    made, _ = read_piece(EXAMPLES / f"{piece}.toml")
    where, _ = read_shop(EXAMPLES / f"{shop}.toml")
    assert made and where
    return unroll(made, Book.beside(made, EXAMPLES / "x.toml", where), where, load())


def cabinet() -> Work:
    return unrolled("music-cabinet", "shop-winter")


def stools() -> Work:
    return unrolled("eight-stools", "shop-evenings")


def steps(work: Work, part: str, board: bool = False) -> list[str]:
    """Ids of a part's sessions without its name."""
    start = f"{part}/board/" if board else f"{part}/"
    return [t.id.removeprefix(start) for t in work.jobs[part].tasks if t.board == board]


def of(work: Work, id: str) -> Task:
    return work.task(id)


@pytest.mark.parametrize("work", [cabinet, stools, lambda: unrolled("one-board", "shop-winter")])
def test_examples_can_be_done(work) -> None:
    assert not [f for f in work().findings if f.severity is Severity.ERROR]


# -- one board ------------------------------------------------------------------------------------


def test_one_board_on_points_is_oiled_twice_and_waxed() -> None:
    work = unrolled("one-board", "shop-winter")
    assert steps(work, "board") == ["sand", "oil-1", "oil-2", "wax-1", "wax-2"]
    assert set(of(work, "board/oil-1").faces) == {"front", "back", "edges", "ends"}
    assert of(work, "board/sand").grit == 320
    assert [of(work, f"board/{s}").asks.readiness for s in ("sand", "oil-1", "oil-2", "wax-1", "wax-2")] == [
        "", "", "next coat", "wax", "wax",
    ]  # fmt: skip
    assert of(work, "board/wax-1").test == "no smell of oil left in the pores"
    assert of(work, "board/oil-1").block_min == 15
    assert of(work, "board/wax-1").block_min == 20
    assert all(t.lay is None or t.lay.dry_um == 0 for t in work.jobs["board"].tasks)


def test_minutes_of_a_board_by_hand() -> None:
    # 32 x 7 1/2 x 7/8 in: two faces 240 in2 each, edges 2 x 28, ends 2 x 6.5625 in2 = 549.1 in2 = 0.3543 m2
    work = unrolled("one-board", "shop-winter")
    area = 549.125 * 0.00064516
    assert of(work, "board/sand").area_m2 == pytest.approx(area, rel=1e-3)
    assert of(work, "board/sand").minutes.likely == pytest.approx(5 * 25 * area, rel=1e-3)
    oil = of(work, "board/oil-1")
    assert oil.rags_min == 3 and oil.minutes.likely == pytest.approx(30 * area + 3, rel=1e-3)
    assert of(work, "board/sand").rags_min == 0


def test_coats_taken_in_fact_rule_and_ids_stay() -> None:
    piece, _ = read_piece(EXAMPLES / "one-board.toml")
    shop, _ = read_shop(EXAMPLES / "shop-winter.toml")
    assert piece and shop
    book = Book.beside(piece, EXAMPLES / "x.toml", shop)
    work = unroll(piece, book, shop, load(), State(coats_taken={"board/oil": 3}))
    assert steps(work, "board") == ["sand", "oil-1", "oil-2", "oil-3", "wax-1", "wax-2"]
    once = unroll(piece, book, shop, load(), State(coats_taken={"board/oil": 1}))
    assert steps(once, "board") == ["sand", "oil-1", "wax-1", "wax-2"]


# -- music cabinet --------------------------------------------------------------------------------


def test_the_case_as_counted_back_by_hand() -> None:
    assert steps(cabinet(), "case") == [
        "glue-up-the-case",
        "sand",
        "oil-1",
        "to-house-after-oil-1",
        "to-shop-for-seal",
        "seal",
        "seal/inside",
        "scuff",
        "fill-1",
        "fill-2",
        "fill-3",
        "fill-4",
        "sand-2",
        "coat-1",
        "coat-2",
        "coat-3",
        "scuff-before-coat-4",
        "coat-4",
        "coat-5",
        "coat-6",
        "to-house-after-coat-6",
        "to-shop-for-level",
        "level",
        "rub",
        "wax",
    ]


def test_the_case_waits_for_the_oil_in_the_house() -> None:
    work = cabinet()
    there, back = of(work, "case/to-house-after-oil-1"), of(work, "case/to-shop-for-seal")
    assert (there.move_to, there.asks.readiness, there.minutes.likely) == ("house", "dust-free", 10)
    assert (back.move_to, back.asks.readiness) == ("shop", "next coat")
    assert back.asks.over and back.asks.over.material == "shellac_dewaxed"
    assert back.test == "no smell of oil left in the pores"
    assert of(work, "case/seal").test == ""


def test_the_case_waits_for_the_rub_in_the_house() -> None:
    back = of(cabinet(), "case/to-shop-for-level")
    assert back.asks.readiness == "rub"
    assert set(back.asks.faces) == {"back", "left", "right", "rims"}
    assert back.test == "a thumbnail pressed hard leaves no print"


def test_outside_and_inside_share_the_sanding_and_are_sealed_one_after_the_other() -> None:
    work = cabinet()
    sand = of(work, "case/sand")
    assert set(sand.faces) == {"back", "left", "right", "rims", "inside"}
    assert "inside P120, P150" in sand.says
    outside, inside = of(work, "case/seal"), of(work, "case/seal/inside")
    assert outside.lay and outside.lay.cut_lb == 1 and outside.lay.dry_um == 0  # 0.0908 solids: a wash
    assert inside.lay and inside.lay.cut_lb == 2 and inside.faces == ("inside",)
    assert inside.asks.readiness == ""  # bare wood
    assert set(of(work, "case/coat-1").faces) == {"back", "left", "right", "rims"}


def test_scuff_before_the_first_coat_of_each_day() -> None:
    work = cabinet()
    scuff = of(work, "case/scuff-before-coat-4")
    assert scuff.asks.readiness == "sand" and scuff.removes_um == 3 and scuff.grit == 320
    assert [of(work, f"case/coat-{k}").asks.abraded for k in (1, 2, 3, 4, 5, 6)] == [
        True, False, False, True, False, False,
    ]  # fmt: skip
    assert all(of(work, f"case/coat-{k}").asks.a_day == 3 for k in range(1, 7))


def test_what_levelling_and_rubbing_take() -> None:
    # 7.3: levelling brushed 15 um, and a tenth of the P400 grain (35.0 um) that P600 replaces;
    # the wool replaces P600 (25.8 um)
    assert of(cabinet(), "case/level").removes_um == pytest.approx(15 + 3.5)
    assert of(cabinet(), "case/rub").removes_um == pytest.approx(2.58)
    assert of(cabinet(), "case/level").work == "dirty"


def test_standing_faces_hold_at_most_55_um_of_shellac() -> None:
    # docs/decisions.md, "Film"; drawer sides lie while they are coated: 70 um of a 2 lb cut (0.1665) leave 11.7 um
    case, side = of(cabinet(), "case/coat-1").lay, of(cabinet(), "drawer-side/coat-1").lay
    assert case and case.wet_um and case.wet_um.likely == 55
    assert side and side.dry_um == pytest.approx(11.66, abs=0.02)


def test_the_test_board_goes_ahead_and_gates_coat_1() -> None:
    work = cabinet()
    assert steps(work, "case", board=True) == [
        "sand",
        "oil-1",
        "to-house-after-oil-1",
        "to-shop-for-seal",
        "seal",
        "scuff",
        "fill-1",
        "fill-2",
        "fill-3",
        "fill-4",
        "to-house-after-fill-4",
        "to-shop-for-sand",
        "sand-2",
        "coat-1",
        "judge",
    ]
    judge = of(work, "case/board/judge")
    assert judge.gates == "case/coat-1"
    assert judge.asks.at_least and judge.asks.at_least.hours == 24
    assert of(work, "case/coat-1").follows == ("case/board/judge",)
    assert of(work, "case/board/oil-1").area_m2 == pytest.approx(12 * 6 * 0.00064516)
    assert all(t.minutes.likely >= 5 for t in work.jobs["case"].tasks if t.board)


@pytest.mark.parametrize("part", ["drawer-side", "drawer-back", "drawer-bottom", "drawer-front"])
def test_half_a_schedule_before_joining(part: str) -> None:
    work = cabinet()
    assert steps(work, part) == ["sand", "coat-1", "scuff-before-coat-2", "coat-2"]
    assert all(t.faces == ("inside",) for t in work.jobs[part].tasks)


def test_and_half_after() -> None:
    work = cabinet()
    assert steps(work, "drawer") == [
        "join",
        "plane-the-sides-flush-with-the-front",
        "sand",
        "coat-1",
        "scuff-before-coat-2",
        "coat-2",
        "wax",
        "wax-the-runners-with-a-candle",
    ]
    join = of(work, "drawer/join")
    assert join.asks.readiness == "assemble" and join.asks.faces == ("inside",)
    assert join.minutes.likely == 105 and join.wait_after and join.wait_after.hours == 2
    assert "inside" not in of(work, "drawer/coat-1").faces
    assert "inside" in of(work, "drawer/wax").faces
    assert work.jobs["drawer"].begins_after == ("drawer-front", "drawer-side", "drawer-back", "drawer-bottom")
    assert set(work.jobs["drawer"].faces_from["inside"]) == {
        (m, "inside") for m in ("drawer-front", "drawer-side", "drawer-back", "drawer-bottom")
    }


def test_a_bare_glue_up_asks_nothing() -> None:
    work = cabinet()
    assert steps(work, "rail-long") == [] and steps(work, "rail-short") == []
    assert steps(work, "plinth") == [
        "join",
        "sand",
        "oil-1",
        "oil-2",
        "to-house-after-oil-2",
        "to-shop-for-wax-1",
        "wax-1",
        "wax-2",
    ]
    assert of(work, "plinth/join").asks.readiness == ""
    assert of(work, "plinth/to-shop-for-wax-1").asks.over.material == "wax_paste"  # type: ignore[union-attr]


def test_the_shelf_is_turned_for_every_coat() -> None:
    work = cabinet()
    coats = []
    for k in (1, 2, 3, 4):
        if k > 1:
            coats.append(f"scuff-before-coat-{k}")
        coats += [f"coat-{k}/underside", f"coat-{k}/turn", f"coat-{k}/top"]
    assert steps(work, "shelf") == [
        "fill-the-knot-near-the-left-end",
        "sand",
        *coats,
        "to-house-after-coat-4-top",
        "to-shop-for-join",
    ]
    turn = of(work, "shelf/coat-2/turn")
    assert turn.asks.readiness == "turn" and turn.asks.faces == ("underside",) and turn.minutes.likely == 2
    assert of(work, "shelf/coat-2/underside").faces == ("underside",)
    assert set(of(work, "shelf/coat-2/top").faces) == {"top", "edges", "ends"}
    assert set(of(work, "shelf/scuff-before-coat-2").asks.faces) == {"top", "underside", "edges", "ends"}
    knot = of(work, "shelf/fill-the-knot-near-the-left-end")
    assert knot.asks.readiness == "" and knot.wait_after and knot.wait_after.overnight


def test_members_cure_in_the_house_until_the_others_are_done() -> None:
    back = of(cabinet(), "shelf/to-shop-for-join")
    assert back.asks.readiness == "assemble"
    assert set(back.follows) == {"case/wax", "plinth/wax-2", "drawer/wax-the-runners-with-a-candle"}


def test_the_cabinet_is_joined_moved_shown_and_packed() -> None:
    work = cabinet()
    assert steps(work, "cabinet") == [
        "join",
        "fit-the-pulls-and-the-catch",
        "to-house",
        "photograph",
        "wrap-and-load-the-van",
    ]
    assert of(work, "cabinet/join").wait_after is None
    assert of(work, "cabinet/photograph").asks.readiness == "show"
    assert of(work, "cabinet/photograph").place == "house"
    assert of(work, "cabinet/wrap-and-load-the-van").asks.readiness == "pack"
    assert of(work, "cabinet/fit-the-pulls-and-the-catch").tools == ("bradawl", "screwdriver")


def test_members_come_before_what_they_are_joined_into() -> None:
    names = list(cabinet().jobs)
    assert names.index("drawer-side") < names.index("drawer") < names.index("cabinet")
    assert names.index("rail-long") < names.index("plinth") < names.index("cabinet")


# -- eight stools ---------------------------------------------------------------------------------


def test_legs_stand_in_two_lots_beside_the_seats() -> None:
    # count-back: 32 legs on 8 places beside 8 seats on 8 of 12: 2 lots of 16
    lots = [f"{s}/lot-{k}" for s in ("raise-grain", "sand-2", "coat-1") for k in (1, 2)]
    for n in (2, 3):
        lots += [f"{s}/lot-{k}" for s in (f"scuff-before-coat-{n}", f"coat-{n}") for k in (1, 2)]
    work = stools()
    assert steps(work, "leg") == ["sand", *lots]
    assert of(work, "leg/sand").pieces == (1, 32) and of(work, "leg/sand").lot == (1, 1)
    assert [of(work, f"leg/coat-1/lot-{k}").pieces for k in (1, 2)] == [(1, 16), (17, 32)]
    assert all(of(work, f"leg/coat-1/lot-{k}").gun for k in (1, 2))
    grain = of(work, "leg/raise-grain/lot-1")
    assert grain.work == "wet" and grain.lay is None and grain.wait_after and grain.wait_after.overnight


def test_the_first_water_borne_coat_is_cut_back_harder() -> None:
    work = stools()
    assert of(work, "leg/scuff-before-coat-2/lot-1").removes_um == 8
    assert of(work, "leg/scuff-before-coat-3/lot-1").removes_um == 3


def test_seats_on_points_in_one_lot() -> None:
    work = stools()
    assert steps(work, "seat") == [
        "sand", "seal", "coat-1", "scuff-before-coat-2", "coat-2", "scuff-before-coat-3", "coat-3",
        "level", "rub", "wax",
    ]  # fmt: skip
    assert steps(work, "seat", board=True) == ["sand", "seal", "coat-1", "judge"]
    seal = of(work, "seat/seal").lay
    assert seal and seal.solids_volume and seal.solids_volume.likely == pytest.approx(0.40 / 1.25)
    assert of(work, "seat/coat-1").lay.dry_um == pytest.approx(32)  # type: ignore[union-attr]
    assert of(work, "seat/board/judge").asks.at_least.hours == 48  # type: ignore[union-attr]
    # level: 15 and a tenth of P600 (25.8 um); pumice 2 and a tenth of P800 (21.8 um)
    assert of(work, "seat/level").removes_um == pytest.approx(17.58)
    assert of(work, "seat/rub").removes_um == pytest.approx(4.18)


def test_stools_are_glued_one_by_one() -> None:
    work = stools()
    assert steps(work, "stool") == ["join", "level-the-feet", "box-up"]
    join = of(work, "stool/join")
    assert join.minutes.likely == 200 and join.splittable
    assert join.wait_after and join.wait_after.overnight
    assert of(work, "stool/level-the-feet").minutes.likely == 48
    assert of(work, "stool/box-up").asks.readiness == "pack"


def test_unrolling_twice_gives_the_same() -> None:
    first = cabinet()
    piece, _ = read_piece(EXAMPLES / "music-cabinet.toml")
    shop, _ = read_shop(EXAMPLES / "shop-winter.toml")
    assert piece and shop
    second = unroll(piece, Book.beside(piece, EXAMPLES / "x.toml", shop), shop, load())
    assert [t.id for j in first.jobs.values() for t in j.tasks] == [
        t.id for j in second.jobs.values() for t in j.tasks
    ]


@pytest.mark.parametrize("work", [cabinet, stools])
def test_ids_are_met_once_and_what_is_followed_is_there(work) -> None:
    ids = [t.id for j in work().jobs.values() for t in j.tasks]
    assert len(ids) == len(set(ids))
    named = {f for j in work().jobs.values() for t in j.tasks for f in t.follows}
    assert named <= set(ids)
