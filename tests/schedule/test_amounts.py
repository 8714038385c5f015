"""Amounts of hand-made work: what each rule does to the litres, and how they add.

Source: docs/decisions.md, "Amounts".
"""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from typing import Any
from zoneinfo import ZoneInfo

import pytest

from rakelight.facts.cans import can_sizes
from rakelight.facts.load import Facts, load
from rakelight.piece import model
from rakelight.piece.model import Face, Part, Piece, Sizes
from rakelight.schedule.amounts import Amounts, amounts
from rakelight.schedule.buying import whole_cans
from rakelight.schedule.coats import product
from rakelight.schedule.steps import Step
from rakelight.schedule.tasks import Job, Lay, Task, Work
from rakelight.shop.model import Shop
from rakelight.spread import Spread

FACTS = load()
SHOP = Shop("bench", ZoneInfo("UTC"), {})
TOP = Face("top", "show", 1.0)
ENDS = Face("ends", "show", 0.1, end_grain=True)
SIDES = Face("sides", "show", 1.0, stands=True)


def part(name: str = "top", kind: str = "panel", faces: tuple[Face, ...] = (TOP,), **more: Any) -> Part:
    return Part(name, kind, faces=faces, **more)


def coat(id: str, material: str, by: str, faces: tuple[str, ...] = ("top",), **more: Any) -> Task:
    lay = {key: more.pop(key) for key in ("cut_lb", "thin", "coat") if key in more}
    step = more.pop("step", Step("coat"))
    return Task(
        id, id.split("/")[0], id.split("/")[1], "coat", id, faces, "wet", Spread.exact(10.0),
        lay=Lay(material, by, **lay), gun=by == "spray", scheduled=step, **more,
    )  # fmt: skip


def work(*jobs: tuple[Part, list[Task]], unit: str = "mm", **faces_from: Any) -> Work:
    made = {
        p.name: Job(p, tuple(tasks), "walnut", faces_from=faces_from.get(p.name, {})) for p, tasks in jobs
    }
    return Work(Piece("Test", unit, {p.name: p for p, _ in jobs}), made)


def reckon(*tasks: Task, of: Part | None = None, facts: Facts = FACTS) -> Amounts:
    return amounts(work((of or part(), list(tasks))), SHOP, facts)


def likely(found: Amounts, id: str) -> float:
    amount = found.of_task(id)
    assert amount is not None
    return amount.liquid.likely


def test_first_coat_on_bare_wood_takes_half_as_much_again() -> None:
    """Row: 13 m2/l on a sealed surface (10 to 16)."""
    found = reckon(
        coat("top/coat 1", "shellac_dewaxed", "brush", cut_lb=2),
        coat("top/coat 2", "shellac_dewaxed", "brush", cut_lb=2),
    )
    assert likely(found, "top/coat 2") == pytest.approx(1000 / 13)
    assert likely(found, "top/coat 1") == pytest.approx(1.5 * 1000 / 13)
    second = found.tasks["top/coat 2"].liquid
    assert (second.low, second.high) == (pytest.approx(1000 / 16), pytest.approx(1000 / 10))


def test_a_row_for_bare_wood_takes_less_later() -> None:
    """Boiled oil: 11 m2/l on bare wood; the second coat two thirds of it."""
    found = reckon(
        coat("top/oil 1", "linseed_boiled", "wipe"), coat("top/oil 2", "linseed_boiled", "wipe")
    )
    assert likely(found, "top/oil 1") == pytest.approx(1000 / 11)
    assert likely(found, "top/oil 2") == pytest.approx(1000 / 11 / 1.5)


def test_what_soaks_in_takes_as_much_from_a_rag_as_from_a_brush() -> None:
    """Elm slab, 1.49 m2 of both faces: two coats of hard-wax oil at 24 m2/l a coat are 2 x 62 = 124 ml, 4 fl oz.

    The row is wiped 25 um and brushed 40, but that is what stays on top; and it is the mean of two coats on bare wood.
    """
    slab = part(faces=(replace(TOP, area_m2=1.49),))
    for by in ("wipe", "brush"):
        found = reckon(*(coat(f"top/oil {n}", "hardwax_oil", by) for n in (1, 2)), of=slab)
        assert likely(found, "top/oil 1") == likely(found, "top/oil 2") == pytest.approx(1490 / 24)
        assert sum(likely(found, f"top/oil {n}") for n in (1, 2)) == pytest.approx(124, abs=0.5)
    brushed = reckon(coat("top/oil", "linseed_boiled", "brush"))
    assert likely(brushed, "top/oil") == pytest.approx(1000 / 11)


@pytest.mark.parametrize(
    ("before", "bare"), [("dye_water", True), ("linseed_boiled", False), ("filler_wb_clear", False)]
)
def test_what_leaves_wood_bare(before: str, bare: bool) -> None:
    """Colour leaves it bare; oiled or filled wood counts as sealed."""
    by = FACTS.materials[before].methods[0]
    found = reckon(coat("top/first", before, by), coat("top/coat", "omu_brush", "brush"))
    assert likely(found, "top/coat") == pytest.approx((1.5 if bare else 1.0) * 1000 / 11)
    assert found.tasks["top/coat"].on_bare is bare


def test_fillers_take_what_the_row_says() -> None:
    found = reckon(*(coat(f"top/fill {n}", "filler_wb_clear", "trowel") for n in (1, 2)))
    assert likely(found, "top/fill 1") == likely(found, "top/fill 2") == pytest.approx(1000 / 9)


def test_end_grain_drinks_twice_the_first_time() -> None:
    ends = part(faces=(ENDS,))
    found = reckon(*(coat(f"top/coat {n}", "omu_brush", "brush", ("ends",)) for n in (1, 2)), of=ends)
    assert likely(found, "top/coat 1") == pytest.approx(100 / 11 * 1.5 * 2)
    assert likely(found, "top/coat 2") == pytest.approx(100 / 11)


def test_another_way_of_laying() -> None:
    """Varnish brushed 80 um is wiped 20: a quarter of the litres."""
    found = reckon(
        coat("top/a", "alkyd_varnish", "brush"),
        coat("top/b", "alkyd_varnish", "wipe"),
        coat("top/c", "alkyd_varnish", "spray"),
    )
    assert likely(found, "top/b") == pytest.approx(1000 / 12 * 20 / 80)
    assert likely(found, "top/c") == pytest.approx(1000 / 12 * 90 / 80 / 0.6)


def test_spray_misses_slender_parts() -> None:
    flat = reckon(coat("top/a", "lacquer_nc", "spray"), coat("top/b", "lacquer_nc", "spray"))
    leg = reckon(
        coat("leg/a", "lacquer_nc", "spray", ("sides",)),
        coat("leg/b", "lacquer_nc", "spray", ("sides",)),
        of=part("leg", "leg", (replace(SIDES, stands=False),)),
    )
    assert likely(flat, "top/b") == pytest.approx(1000 / 10 / 0.6)
    assert likely(leg, "leg/b") == pytest.approx(2 * likely(flat, "top/b"))


def test_a_standing_face_holds_less_shellac() -> None:
    """At most 55 of the 70 um of a brushed coat; a varnish of 80 um is under its 150."""
    case = part("case", "box", (SIDES, replace(TOP, area_m2=1.0)))
    found = reckon(
        coat("case/seal", "shellac_dewaxed", "brush", ("sides", "top"), cut_lb=2),
        coat("case/up", "shellac_dewaxed", "brush", ("sides",), cut_lb=2),
        coat("case/flat", "shellac_dewaxed", "brush", ("top",), cut_lb=2),
        coat("case/varnish", "alkyd_varnish", "brush", ("sides",)),
        of=case,
    )
    assert likely(found, "case/up") == pytest.approx(55 / 70 * likely(found, "case/flat"))
    assert likely(found, "case/varnish") == pytest.approx(1000 / 12)


def test_a_low_part_does_not_run() -> None:
    """Under 100 mm it holds what a flat one does."""
    low = part("rail", "stick", (SIDES,), sizes=Sizes(high_mm=90))
    coats = [coat(f"rail/{n}", "shellac_dewaxed", "brush", ("sides",), cut_lb=2) for n in "ab"]
    found = reckon(*coats, of=low)
    assert likely(found, "rail/b") == pytest.approx(1000 / 13)


def test_lots_and_numbers() -> None:
    """Four alike in two lots: each lot its share, and its own first coat."""
    legs = part("leg", "panel", count=4)
    found = reckon(
        *(
            coat(f"leg/coat {n}/lot-{lot}", "omu_brush", "brush", lot=(lot, 2), pieces=pieces)
            for n in (1, 2)
            for lot, pieces in ((1, (1, 2)), (2, (3, 4)))
        ),
        of=legs,
    )
    assert likely(found, "leg/coat 1/lot-1") == pytest.approx(2 * 1.5 * 1000 / 11)
    assert likely(found, "leg/coat 1/lot-2") == pytest.approx(2 * 1.5 * 1000 / 11)
    assert likely(found, "leg/coat 2/lot-2") == pytest.approx(2 * 1000 / 11)
    assert found.coats["leg", "coat 2"].likely == pytest.approx(4 * 1000 / 11)


def test_a_joined_face_remembers_what_its_members_had() -> None:
    """A drawer whose side was sealed and whose front is bare: one and a half times on the front alone."""
    side = part("side", faces=(Face("inside", "show", 0.2),), count=2)
    front = part("front", faces=(Face("inside", "show", 0.3),))
    drawer = Part("drawer", "joined", of={"side": 2, "front": 1}, faces=(Face("inside", "show", 0.7),))
    found = amounts(
        work(
            (side, [coat("side/seal", "omu_brush", "brush", ("inside",), lot=(1, 1), pieces=(1, 2))]),
            (front, []),
            (drawer, [coat("drawer/coat", "omu_brush", "brush", ("inside",))]),
            drawer={"inside": (("side", "inside"), ("front", "inside"))},
        ),
        SHOP,
        FACTS,
    )
    assert likely(found, "drawer/coat") == pytest.approx((0.4 + 0.3 * 1.5) * 1000 / 11)
    assert found.tasks["drawer/coat"].area_m2 == pytest.approx(0.7)


def test_the_test_board_is_counted_by_itself() -> None:
    """Its one face, and its coat does not seal the piece."""
    top = part(test_board=model.TestBoard("coat 1", long_mm=400, wide_mm=250))
    found = reckon(
        coat("top/board", "omu_brush", "brush", board=True), coat("top/coat", "omu_brush", "brush"), of=top
    )
    assert found.tasks["top/board"].area_m2 == pytest.approx(0.1)
    assert likely(found, "top/coat") == pytest.approx(1.5 * 1000 / 11)


def test_pure_tung_oil_is_half_of_the_litres() -> None:
    """The row's 10 m2/l are of oil mixed 1:1: laid neat it takes half, laid 1:1 half of it is oil."""
    neat = reckon(coat("top/oil", "tung_pure", "wipe"))
    mixed = reckon(coat("top/oil", "tung_pure", "wipe", thin=1.0))
    assert likely(neat, "top/oil") == pytest.approx(50)
    assert likely(mixed, "top/oil") == pytest.approx(100)
    for found in (neat, mixed):
        oil = next(line for line in found.buy if line.material == "tung_pure")
        assert oil.need.likely == pytest.approx(50)
    spirits = next(line for line in mixed.buy if line.name == "mineral spirits")
    assert spirits.need.likely == pytest.approx(50)
    assert [line.material for line in neat.buy] == ["tung_pure"]


def test_shellac_is_bought_as_flakes_and_alcohol() -> None:
    """Laid 3 x 1 m2 at 2 lb: flakes 199.8 g/l of it (table of cuts), and a brush cleaned on one day."""
    found = reckon(*(coat(f"top/coat {n}", "shellac_dewaxed", "brush", cut_lb=2, coat=n) for n in (1, 2, 3)))
    liquid = found.total["shellac_dewaxed"]
    assert liquid.likely == pytest.approx(3.5 * 1000 / 13)
    flakes, alcohol = found.buy
    assert (flakes.unit, alcohol.unit) == ("g", "ml")
    assert flakes.need.likely == pytest.approx(liquid.likely * 0.1998, rel=1e-3)
    assert alcohol.need.likely == pytest.approx(liquid.likely * (1 - 0.1665) + 50, rel=1e-3)
    jars = [a.mix for a in found.tasks.values() if a.mix]
    assert flakes.buy.likely == pytest.approx(sum(jar.flakes_g for jar in jars), abs=0.3)
    assert flakes.buy.likely >= 1.15 * flakes.need.likely and "65 g as mixed above" in flakes.says
    assert alcohol.buy.likely == pytest.approx(sum(jar.thinner_ml for jar in jars) + 50, abs=0.3)


def test_a_small_weight_is_not_said_twice() -> None:
    """A piece in inches: 3 g are too little for ounces, so grams are said, once."""
    small = part(faces=(Face("top", "show", 0.2),))
    found = amounts(
        work((small, [coat("top/coat 1", "shellac_dewaxed", "brush", cut_lb=2)]), unit="in"), SHOP, FACTS
    )
    says = found.buy[0].says
    assert "takes 5 g" in says and "(5 g)" not in says, says


def test_another_cut_takes_the_same_liquid_and_other_flakes() -> None:
    strong = reckon(coat("top/coat", "shellac_dewaxed", "brush", cut_lb=2))
    weak = reckon(coat("top/coat", "shellac_dewaxed", "brush", cut_lb=1))
    assert likely(strong, "top/coat") == likely(weak, "top/coat")
    assert strong.buy[0].need.likely / weak.buy[0].need.likely == pytest.approx(199.8 / 108.9, rel=1e-3)


def test_thinned_varnish_takes_the_same_liquid_and_spirits() -> None:
    found = reckon(coat("top/coat", "alkyd_varnish", "brush", thin=0.25))
    varnish, spirits = found.buy
    assert varnish.need.likely == pytest.approx(1.5 * 1000 / 12 / 1.25)
    assert spirits.need.likely == pytest.approx(varnish.need.likely / 4)
    assert spirits.name == "mineral spirits"


def test_water_is_not_bought() -> None:
    found = reckon(coat("top/coat", "wb_acrylic", "brush", thin=0.1))
    assert [line.material for line in found.buy] == ["wb_acrylic"]


def test_dye_powder_by_its_strength() -> None:
    step = Step("dye", strength_g_per_l=8.0)
    found = reckon(coat("top/dye", "dye_alcohol", "wipe", step=step))
    powder, alcohol = found.buy
    assert powder.need.likely == pytest.approx(8.0 * likely(found, "top/dye") / 1000)
    assert alcohol.name == "denatured alcohol"
    assert alcohol.need.likely == pytest.approx(likely(found, "top/dye"))


@pytest.mark.parametrize(
    ("on", "sessions"),
    [((1, 2), 2), ((1, 1), 1), (None, 1)],
    ids=["two days", "one day", "no plan: three coats of shellac a day"],
)
def test_each_gun_session_leaves_50_ml_and_cleans_with_alcohol(on: tuple[int, int] | None, sessions: int) -> None:
    """A session is a day and a material: two faces and two lots sprayed that day are one."""
    two = [coat(f"top/coat {n}", "shellac_dewaxed", "spray", cut_lb=2, coat=n) for n in (1, 2)]
    tasks = [two[0], replace(two[0], id="top/coat 1/underside"), two[1], replace(two[1], id="top/coat 2/lot-2")]
    days = {t.id: date(2027, 2, on[n // 2]) for n, t in enumerate(tasks)} if on else None
    found = amounts(work((part(), tasks)), SHOP, FACTS, days)
    laid = sum(a.liquid.likely for a in found.tasks.values())
    assert found.total["shellac_dewaxed"].likely == pytest.approx(laid + 50 * sessions)
    alcohol = (laid + 50 * sessions) * (1 - 0.1665) + 150 * sessions
    assert found.buy[1].need.likely == pytest.approx(alcohol, rel=1e-3)


def test_two_materials_sprayed_on_a_day_are_two_sessions_of_the_gun() -> None:
    tasks = [coat("top/seal", "shellac_dewaxed", "spray", cut_lb=2), coat("top/coat", "lacquer_nc", "spray")]
    found = amounts(work((part(), tasks)), SHOP, FACTS, {t.id: date(2027, 2, 1) for t in tasks})
    assert [a.gun_ml for a in found.tasks.values()] == [50, 50]


def test_brush_days_come_from_the_plan_where_there_is_one() -> None:
    tasks = [coat(f"top/coat {n}", "shellac_dewaxed", "brush", cut_lb=2, coat=n) for n in range(1, 7)]
    whole = work((part(), tasks))
    guessed = amounts(whole, SHOP, FACTS).buy[1].need.likely
    days = {t.id: date(2027, 2, 1 + n) for n, t in enumerate(tasks)}
    planned = amounts(whole, SHOP, FACTS, days).buy[1].need.likely
    assert planned - guessed == pytest.approx((6 - 2) * 50)  # three coats a day, or one


def test_coats_of_one_material_share_their_error_and_materials_do_not() -> None:
    """Ends of coats add; alcohol of two materials adds in square."""
    found = reckon(*(coat(f"top/coat {n}", "shellac_dewaxed", "brush", cut_lb=2) for n in (1, 2, 3)))
    ends = [sum(found.tasks[f"top/coat {n}"].liquid.high for n in (1, 2, 3))]
    assert found.total["shellac_dewaxed"].high == pytest.approx(ends[0])
    both = reckon(
        coat("top/a", "shellac_dewaxed", "pad", cut_lb=2), coat("top/b", "shellac_waxy", "pad", cut_lb=2)
    )
    alcohol = next(line for line in both.buy if line.name == "denatured alcohol").need
    a, b = (both.tasks[f"top/{n}"].liquid * (1 - 0.1665) for n in "ab")
    assert alcohol.likely == pytest.approx(a.likely + b.likely, rel=1e-3)
    assert alcohol.high < (a.high + b.high) * 0.99


def test_the_jar_to_mix_is_said() -> None:
    large = part(faces=(replace(TOP, area_m2=5.0),))
    found = reckon(coat("top/coat 1", "shellac_dewaxed", "pad", cut_lb=2), of=large)
    mix = found.tasks["top/coat 1"].mix
    assert mix is not None
    assert mix.made_ml >= likely(found, "top/coat 1")
    assert mix.flakes_g == pytest.approx(mix.made_ml * 0.1998, rel=0.005)
    assert mix.says.endswith(", a 2 lb cut.")
    assert found.mix_lines()[0].startswith("Top, coat 1: dewaxed shellac, ")


def test_nothing_laid_nothing_bought() -> None:
    sand = Task("top/sand", "top", "sand", "sand", "Sand", ("top",), "dusty", Spread.exact(10.0))
    found = reckon(sand)
    assert found.of_task("top/sand") is None
    assert found.buy == ()


@pytest.mark.parametrize(
    ("system", "least", "cans"),
    [
        ("us", 100, (("1/2 pint", 1),)),
        ("us", 700, (("1 quart", 1),)),
        ("us", 1700, (("1 quart", 2),)),
        ("us", 3000, (("1 gallon", 1),)),
        ("us", 4000, (("1 gallon", 1), ("1/2 pint", 1))),
        ("metric", 600, (("1 l", 1),)),
        ("metric", 2300, (("2.5 l", 1),)),
    ],
)
def test_whole_cans(system: str, least: float, cans: tuple[tuple[str, int], ...]) -> None:
    """What a maker would carry out of the shop."""
    sizes = [s for s in can_sizes() if s.system == system and s.kind == "liquid"]
    assert whole_cans(least, sizes) == cans


def test_cans_always_hold_what_is_needed() -> None:
    sizes = [s for s in can_sizes() if s.system == "us" and s.kind == "liquid"]
    holds = {s.words: s.holds.value for s in sizes}
    for least in range(10, 20_000, 173):
        held = sum(holds[size] * count for size, count in whole_cans(least, sizes))
        assert least <= held + 1e-6 < least + holds["1 gallon"]


def test_products_of_doubts_are_narrower_than_the_worst_of_both() -> None:
    one = Spread(0.5, 1.0, 2.0)
    both = product([one, one])
    assert both.likely == 1.0
    assert both.high == pytest.approx(2 ** (2**0.5))
    assert both.low == pytest.approx(1 / both.high)


def test_the_list_reads_back_as_plain_data() -> None:
    found = reckon(coat("top/coat 1", "shellac_dewaxed", "brush", cut_lb=2))
    line = found.buy[0].as_json()
    assert line["unit"] == "g" and line["cans"] == [{"size": "100 g", "count": 1}]
    assert line["low"] < line["likely"] < line["high"]
    row = found.tasks["top/coat 1"].as_json()
    assert row["unit"] == "ml" and row["value"] == pytest.approx(115, abs=1)
