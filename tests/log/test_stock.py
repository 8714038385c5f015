"""Stock: what was bought, mixed and laid, what is left, and how long it keeps."""

from __future__ import annotations

from datetime import UTC, date, datetime, timedelta
from types import SimpleNamespace

import pytest

from rakelight.facts import load
from rakelight.log.events import Event
from rakelight.log.laid import Laid
from rakelight.log.stock import Stock, stock_of
from rakelight.papers.stock_text import stock_lines
from rakelight.schedule.coats import CoatAmount
from rakelight.schedule.mixes import recipe
from rakelight.schedule.tasks import Lay
from rakelight.spread import Spread
from rakelight.units import G_PER_LB, ML_PER_QUART, ML_PER_US_GALLON

FACTS = load()
NOW = datetime(2027, 2, 8, 8, tzinfo=UTC)


def _told(what: str, can: str, days: float = 0, material: str = "", **values: float) -> Event:
    at = NOW - timedelta(days=days)
    return Event("can", at, at, what=what, can=can, material=material, values=values)


def _coat(material: str, ml: Spread, cut: float | None = None) -> CoatAmount:
    row = FACTS.materials[material]
    made = recipe(row, Lay(material, "brush", cut_lb=cut), SimpleNamespace(strength_g_per_l=None), FACTS)
    return CoatAmount("t", "board", "coat", material, row.name, 1.0, ml, recipe=made)


def test_a_can_holds_what_was_bought_less_what_was_used():
    can = _told("bought", "a", 10, "linseed_boiled", size_ml=500.0, price=12.5)
    laid = [Laid(NOW - timedelta(days=3), _coat("linseed_boiled", Spread(40, 60, 90)), Spread.exact(50.0))]
    stock = stock_of([can], FACTS, NOW, laid)
    assert stock.cans[0].left == Spread.exact(450.0) and stock.cans[0].price == 12.5 and not stock.cans[0].counted
    as_planned = stock_of([can], FACTS, NOW, [Laid(laid[0].at, laid[0].coat)])
    assert as_planned.cans[0].left == Spread(410.0, 440.0, 460.0) and as_planned.cans[0].counted


def test_weighing_ends_the_doubt_and_emptying_ends_the_can():
    told = [_told("bought", "a", 10, "linseed_boiled", size_ml=500.0), _told("weighed", "a", 1, left_ml=300.0)]
    laid = [Laid(NOW - timedelta(days=3), _coat("linseed_boiled", Spread(40, 60, 90)))]
    assert stock_of(told, FACTS, NOW, laid).cans[0].left == Spread.exact(300.0)
    gone = stock_of([*told, _told("emptied", "a")], FACTS, NOW, laid)
    assert gone.at_hand == () and gone.can("a").left.likely == 0


def test_what_is_mixed_comes_out_of_flakes_and_alcohol_and_has_its_cut():
    """2 lb cut by definition: two pounds to a US gallon of alcohol. Source: shellac.md."""
    flakes, alcohol = 2 * G_PER_LB / 4, ML_PER_US_GALLON / 4
    told = [
        _told("bought", "bag", 9, "shellac_dewaxed", size_g=500.0),
        _told("bought", "alc", 9, "denatured alcohol", size_ml=1000.0),
        _told("mixed", "jar", 5, "shellac_dewaxed", flakes_g=flakes, thinner_ml=alcohol),
    ]
    stock = stock_of(told, FACTS, NOW)
    jar = stock.can("jar")
    assert jar.cut_lb == pytest.approx(2.0, abs=0.01)
    assert jar.left.likely == pytest.approx(1.2 * ML_PER_QUART, rel=0.002)  # a 2 lb cut is 1.2 times its alcohol
    assert stock.can("bag").left.likely == pytest.approx(500.0 - flakes)
    assert stock.can("alc").left.likely == pytest.approx(1000.0 - alcohol)
    assert jar.use_by == date(2027, 8, 5) or abs((jar.use_by - date(2027, 8, 3)).days) <= 2  # six months


def test_a_coat_is_laid_from_a_jar_of_its_cut_and_the_rest_from_flakes_and_alcohol():
    told = [
        _told("bought", "bag", 9, "shellac_dewaxed", size_g=500.0),
        _told("bought", "alc", 9, "denatured alcohol", size_ml=1000.0),
        _told("mixed", "two", 5, "shellac_dewaxed", flakes_g=24.0, thinner_ml=100.0, cut_lb=2.0),
        _told("mixed", "one", 6, "shellac_dewaxed", flakes_g=12.0, thinner_ml=100.0, cut_lb=1.0),
    ]
    before = stock_of(told, FACTS, NOW)
    coat = _coat("shellac_dewaxed", Spread.exact(200.0), 2.0)
    after = stock_of(told, FACTS, NOW, [Laid(NOW - timedelta(days=1), coat)])
    left = {c.id: c.left.likely for c in after.cans}
    assert left["two"] == 0 and left["one"] == before.can("one").left.likely
    rest = 200.0 - before.can("two").left.likely
    assert before.can("bag").left.likely - left["bag"] == pytest.approx(rest * coat.recipe.flakes_g)
    assert before.can("alc").left.likely - left["alc"] == pytest.approx(rest * coat.recipe.thinner_ml)


def test_the_oldest_opened_can_is_drawn_on_first_and_what_none_held_is_told():
    told = [
        _told("bought", "new", 20, "linseed_boiled", size_ml=250.0),
        _told("bought", "old", 10, "linseed_boiled", size_ml=250.0),
        _told("opened", "old", 9),
    ]
    laid = [Laid(NOW - timedelta(days=1), _coat("linseed_boiled", Spread.exact(600.0)))]
    stock = stock_of(told, FACTS, NOW, laid)
    assert [c.left.likely for c in stock.cans] == [0.0, 0.0]
    assert stock.untold == {"boiled linseed oil": pytest.approx(100.0)}
    some = stock_of(told, FACTS, NOW, [Laid(laid[0].at, _coat("linseed_boiled", Spread.exact(100.0)))])
    assert some.can("old").left.likely == 150.0 and some.can("new").left.likely == 250.0


def test_a_can_named_with_the_step_is_the_one():
    told = [_told("bought", c, 10, "linseed_boiled", size_ml=250.0) for c in ("a", "b")]
    laid = [Laid(NOW - timedelta(days=1), _coat("linseed_boiled", Spread.exact(100.0)), None, "b")]
    stock = stock_of(told, FACTS, NOW, laid)
    assert (stock.can("a").left.likely, stock.can("b").left.likely) == (250.0, 150.0)


def test_life_counts_from_opening_and_a_date_told_rules():
    """C23: an oil-varnish blend kept ten years is far past its life; one opened last autumn is not."""
    told = [
        _told("bought", "old", 3650, "oil_varnish_blend", size_ml=500.0), _told("opened", "old", 3600),
        _told("bought", "new", 130, "oil_varnish_blend", size_ml=500.0), _told("opened", "new", 130),
    ]  # fmt: skip
    stock = stock_of(told, FACTS, NOW)
    assert stock.can("old").old and not stock.can("new").old
    assert stock.can("old").source
    dated = Event("can", NOW, NOW, what="opened", can="new", use_by="2026-12-31")
    assert stock_of([*told, dated], FACTS, NOW).can("new").use_by == date(2026, 12, 31)


def test_any_prefix_is_a_stock_and_nothing_is_ever_less_than_empty():
    told = [
        _told("opened", "found", 30, "linseed_boiled"), _told("weighed", "found", 29, left_ml=120.0),
        _told("bought", "a", 20, "linseed_boiled", size_ml=250.0), _told("emptied", "found", 10),
        _told("mixed", "jar", 9, "shellac_dewaxed", flakes_g=30.0, thinner_ml=120.0),
        _told("opened", "a", 8), _told("emptied", "jar", 2),
    ]  # fmt: skip
    laid = [Laid(NOW - timedelta(days=d), _coat("linseed_boiled", Spread(30, 80, 200))) for d in (25, 15, 5, 4)]
    for n in range(len(told) + 1):
        for can in stock_of(told[:n], FACTS, NOW, laid).cans:
            assert 0 <= can.left.low <= can.left.likely <= can.left.high


def test_what_was_taken_back_or_corrected_counts_as_it_was_put_right():
    bought = _told("bought", "a", 10, "linseed_boiled", size_ml=500.0)
    right = Event.correction(bought, NOW, values={"size_ml": 250.0})
    assert stock_of([bought, right], FACTS, NOW).can("a").left.likely == 250.0
    undo = Event("taken back", NOW, NOW, takes_back=bought.id)
    assert stock_of([bought, undo], FACTS, NOW).cans == ()


def test_what_no_can_was_ever_told_of_is_said_in_one_line():
    stock = Stock((), date(2027, 2, 8), {"paste wax": 20.0, "dewaxed shellac, flakes": 30.0})
    said = " ".join(stock_lines(stock, "mm"))
    assert said.endswith("Laid, and no can of it told of: paste wax (20 ml), dewaxed shellac, flakes (30 g).")
