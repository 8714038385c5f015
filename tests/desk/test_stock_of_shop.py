"""Stock in the shop's file: what the plan draws on, what must be bought, and the drop on glass."""

from __future__ import annotations

import json
from datetime import timedelta
from itertools import pairwise
from pathlib import Path

import pytest

from rakelight.desk import stock_of_shop
from rakelight.errors import Misread, NotFound
from rakelight.log.events import Event
from rakelight.log.laid import Laid, as_plain, from_plain
from rakelight.plan.greedy import best_draft
from rakelight.plan.planning import build_problem
from rakelight.plan.verify import lots_add_up, verify
from rakelight.spread import Spread

EXAMPLES = Path(__file__).parents[2] / "examples"


def _can(shop, what, can, material="", days=10.0, **values):
    at = shop.now - timedelta(days=days)
    return shop.tell(Event("can", at, shop.now, what=what, can=can, material=material, values=values))


def test_without_a_can_told_nothing_is_taken_off(shop):
    answer = shop.plan(odds="").answers["one-board"]
    assert not any(line.stocked for line in answer.amounts.buy) and answer.amounts.drawn == ()


def test_what_stands_on_the_shelf_is_not_bought(shop):
    before = {b.name: b for b in shop.plan(odds="").answers["one-board"].amounts.buy}
    _can(shop, "bought", "oil", "linseed_boiled", size_ml=1000.0)
    after = {b.name: b for b in shop.plan(odds="").answers["one-board"].amounts.buy}
    oil = after["boiled linseed oil"]
    assert oil.stocked and oil.cans == () and oil.missing == 0
    assert [d.can for d in oil.drawn] == ["oil"]
    assert oil.drawn[0].amount == pytest.approx(before["boiled linseed oil"].buy.likely)
    assert after["paste wax"].cans == before["paste wax"].cans
    assert "nothing to buy" in oil.says


def test_what_is_missing_is_bought_and_need_is_what_is_drawn_and_missing(shop):
    _can(shop, "bought", "oil", "linseed_boiled", size_ml=20.0)
    oil = next(b for b in shop.plan(odds="").answers["one-board"].amounts.buy if b.material == "linseed_boiled")
    assert sum(d.amount for d in oil.drawn) + oil.missing == pytest.approx(oil.buy.likely)
    assert oil.cans and oil.missing > 0


def test_two_pieces_never_draw_more_than_a_can_holds(shop):
    shop.copy_piece("one-board", "Second shelf")
    _can(shop, "bought", "oil", "linseed_boiled", size_ml=80.0)
    plan = shop.plan(odds="")
    drawn = [d for a in plan.answers.values() for d in a.amounts.drawn if d.can == "oil"]
    assert len(drawn) == 2 and sum(d.amount for d in drawn) == pytest.approx(80.0)


def test_a_step_done_takes_from_the_can_and_is_needed_no_more(shop, shop_at):
    _can(shop, "bought", "oil", "linseed_boiled", size_ml=1000.0)
    later = shop_at("9 Feb 2027 12:00")
    need = next(b for b in later.plan(odds="").answers["one-board"].amounts.buy if b.material == "linseed_boiled").need
    later.tell(Event("done", later.now, later.now, piece="one-board", task="board/sand"))
    later.tell(Event("done", later.now, later.now, piece="one-board", task="board/oil-1", used_ml=33.0))
    assert later.stock().can("oil").left.likely == 967.0
    rest = next(b for b in later.plan(odds="").answers["one-board"].amounts.buy if b.material == "linseed_boiled").need
    assert rest.likely < need.likely


def _old_oil(shop):
    _can(shop, "bought", "oil", "linseed_boiled", 3000, size_ml=1000.0)
    _can(shop, "opened", "oil", days=2900)


def test_a_can_past_its_life_is_tried_on_glass_a_day_before(shop):
    """C23: "past its life, add a drop on glass, 24 h, before the first coat and hold the schedule on its result"."""
    _old_oil(shop)
    answer = shop.plan(odds="").answers["one-board"]
    placed = answer.plan.placed
    drop, look = placed["board/drop-boiled-linseed-oil"], placed["board/look-boiled-linseed-oil"]
    coats = [p for k, p in placed.items() if k.startswith("board/oil")]
    assert look.start - drop.end >= timedelta(hours=24)
    assert coats and all(look.end <= c.start for c in coats)
    assert "can-past-its-life" in {f.id for f in answer.findings}
    oil = next(b for b in answer.amounts.buy if b.material == "linseed_boiled")
    assert oil.drawn[0].old and "drop on glass must set first, else buy 1 x" in oil.says
    spans = sorted(s for p in placed.values() for s in p.spans)
    assert all(end <= start for (_, end), (start, _) in pairwise(spans))


def test_the_plan_with_drops_is_checked_whole_and_sound(shop):
    _old_oil(shop)
    shop.set_shop((EXAMPLES / "shop-winter.toml").read_text("utf-8"))
    shop.add_piece((EXAMPLES / "music-cabinet.toml").read_text("utf-8"), "music-cabinet.toml")
    desk = shop.desk("music-cabinet")
    problem = build_problem(desk.work, desk.shop, desk.facts, desk.now, desk.dates(), desk.state)
    drops = [t for job in desk.work.jobs.values() for t in job.tasks if t.drop]
    oiled = [t for job in desk.work.jobs.values() for t in job.tasks if t.lay and t.lay.material == "linseed_boiled"]
    assert len(drops) == 2 and all(drops[1].id in t.follows for t in oiled)
    assert verify(problem, best_draft(problem)[0]) == [] and lots_add_up(problem) == []


def test_twin_a_good_can_beside_the_old_one_needs_no_drop(shop):
    _old_oil(shop)
    _can(shop, "bought", "fresh", "linseed_boiled", 30, size_ml=1000.0)
    answer = shop.plan(odds="").answers["one-board"]
    assert not [k for k in answer.plan.placed if "drop" in k]
    assert "can-past-its-life" not in {f.id for f in answer.findings}


def test_twin_an_emptied_can_needs_no_drop(shop):
    _old_oil(shop)
    _can(shop, "emptied", "oil", days=1)
    assert not [k for k in shop.plan(odds="").answers["one-board"].plan.placed if "drop" in k]


def test_a_drop_that_has_set_ends_the_warning(shop, shop_at):
    _old_oil(shop)
    later = shop_at("9 Feb 2027 12:00")
    for task in ("board/drop-boiled-linseed-oil", "board/look-boiled-linseed-oil"):
        later.tell(Event("done", later.now, later.now, piece="one-board", task=task))
    answer = later.plan(odds="").answers["one-board"]
    assert "can-past-its-life" not in {f.id for f in answer.findings}
    assert answer.plan.placed["board/look-boiled-linseed-oil"].done


def test_a_jar_mixed_already_is_laid_from_and_not_mixed_again(shop):
    shop.change_piece("one-board", shop.piece("one-board").text.replace("oil-and-wax", "shellac-and-wax"))
    before = shop.plan(odds="").answers["one-board"].amounts
    _can(shop, "mixed", "jar", "shellac_dewaxed", 1, flakes_g=30.0, thinner_ml=125.0)
    after = shop.plan(odds="").answers["one-board"].amounts
    from_jar = [k for k, c in after.tasks.items() if c.jars]
    assert from_jar and all(before.tasks[k].recipe.cut_lb == pytest.approx(2.0) for k in from_jar)
    flakes = [sum(b.need.likely for b in a.buy if "flakes" in b.name) for a in (before, after)]
    assert flakes[1] < flakes[0]
    mixed = [sum(c.mix.flakes_g for c in a.tasks.values() if c.mix) for a in (before, after)]
    assert mixed[1] < mixed[0]


@pytest.mark.parametrize(
    ("what", "can", "material", "values", "says"),
    [
        ("opened", "oli", "", {}, "Did you mean oil?"),
        ("weighed", "oil", "", {"left_ml": -3.0}, "less than nothing"),
        ("weighed", "oil", "", {"left_ml": 99000.0}, "more than oil ever held"),
        ("weighed", "oil", "", {}, "How much is left"),
        ("bought", "oil", "linseed_boiled", {"size_ml": 5.0}, "a can called oil already"),
        ("bought", "new", "milk", {"size_ml": 5.0}, "no material of the tables"),
        ("bought", "new", "linseed_boiled", {}, "How much is in it"),
        ("opened", "oil", "", {}, "was bought later"),
    ],
)
def test_what_cannot_have_been_so_is_refused_and_nothing_is_written(shop, what, can, material, values, says):
    _can(shop, "bought", "oil", "linseed_boiled", 10, size_ml=500.0)
    kept = shop.events()
    days = 400 if says == "was bought later" else 1
    with pytest.raises((Misread, NotFound), match=says):
        _can(shop, what, can, material, days, **values)
    assert shop.events() == kept


def test_what_a_finished_piece_took_is_kept_until_more_is_told_of_it(shop, shop_at, monkeypatch):
    _can(shop, "bought", "tin", "linseed_boiled", size_ml=1000.0)
    shop.tell(Event("done", shop.now, shop.now, piece="one-board", task="board/sand"))
    oiled = shop.tell(Event("done", shop.now, shop.now, piece="one-board", task="board/oil-1", used_ml=40.0))
    shop.finish("one-board")
    first = shop.stock()
    assert first.can("tin").left.likely == pytest.approx(960.0)
    looked = []
    behind = stock_of_shop.behind
    monkeypatch.setattr(stock_of_shop, "behind", lambda shop, key: looked.append(key) or behind(shop, key))
    assert shop_at().stock() == first and looked == []
    later = shop_at()
    later.correct(oiled.id, Event.correction(oiled, later.now, used_ml=60.0))
    looked.clear()
    assert shop_at().stock().can("tin").left.likely == pytest.approx(940.0) and looked == ["one-board"]
    assert shop_at().stock().can("tin").left.likely == pytest.approx(940.0) and looked == ["one-board"]
    shop_at().take_out("one-board")
    assert shop_at().stock().can("tin").left.likely == pytest.approx(940.0) and len(looked) == 2


def test_a_piece_finished_before_its_plan_is_over_is_looked_at_again(shop, shop_at):
    _can(shop, "bought", "tin", "linseed_boiled", size_ml=1000.0)
    shop.keep(shop.plan(odds=""))
    shop.finish("one-board")
    left = [shop_at(day).stock().can("tin").left.likely for day in ("8 Feb 2027 8:00", "20 Feb 2027 8:00")]
    assert left[0] == 1000.0 and left[1] < 960.0
    assert shop_at("21 Feb 2027 8:00").stock().can("tin").left.likely == pytest.approx(left[1])
    assert shop_at("8 Feb 2027 8:00").stock().can("tin").left.likely == 1000.0


def test_what_a_step_took_is_the_same_again_from_plain_data(shop):
    desk = shop.desk("one-board")
    for coat in desk.plan().amounts.tasks.values():
        for told, can in ((None, ""), (Spread.exact(30.0), "tin")):
            one = Laid(shop.now, coat, told, can)
            again = from_plain(json.loads(json.dumps(as_plain(one))))
            assert (again.at, again.told, again.can, again.coat.taken) == (one.at, told, can, coat.taken)
            assert again.coat.recipe.finish_ml == coat.recipe.finish_ml
            assert again.coat.recipe.thinner == coat.recipe.thinner
