"""What is told of a shelf becomes this shop's own figures, and those reach its plans."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest

from rakelight.errors import Misread, NotFound
from rakelight.facts import load
from rakelight.log.learning import Learned, Seen, Taught, learn
from rakelight.log.learning.named import named, times_of
from rakelight.schedule.amounts import amounts
from rakelight.units import read_date

OIL = "drying:linseed_boiled"
COVER = "coverage:linseed_boiled:wipe"
FACTS = load()


def shelf(bench, key: str = "shelf") -> str:
    """A shelf oiled once, its oil late: failed after three days, passed after five."""
    key = bench.add(key)
    bench.tell(key, "done", "8 Feb 2027 9:00", "board/sand", took_min=66.0)
    bench.tell(key, "done", "8 Feb 2027 10:30", "board/oil-1", used_ml=40.0)
    bench.tell(key, "tested", "11 Feb 2027 8:00", "board/oil-2", passed=False, readiness="next coat")
    return key


def test_failed_and_then_passed_make_an_interval(bench) -> None:
    key = shelf(bench)
    assert bench.at("11 Feb 2027 9:00").learned().row(OIL) is None  # still open: it holds the plan by itself
    bench.tell(key, "tested", "13 Feb 2027 8:00", "board/oil-2", passed=True, readiness="next coat")
    shop = bench.at("13 Feb 2027 9:00")
    row = shop.learned().row(OIL)
    assert row and row.jobs == 1 and row.seen == 1
    assert row.book.likely == FACTS.materials["linseed_boiled"].time_h["recoat_min"].likely
    # 14 C at night: of the 69.5 and 117.5 hours by the clock so many pass at 21 C and 50 %
    waits = shop.desk(key).problem.waits
    seen = next(s for s in _seen(bench) if s.key == OIL)
    clock, law = waits.clock, waits.doses.laws(FACTS.materials["linseed_boiled"])[0]
    start = shop.desk(key).problem.hours.origin
    for end, told in ((seen.low, "11 Feb 2027 8:00"), (seen.high, "13 Feb 2027 8:00")):
        begun = (bench.at("8 Feb 2027 10:30").now - start).total_seconds() / 3600
        hours = (bench.at(told).now - start).total_seconds() / 3600
        assert math.exp(end) == pytest.approx(clock.passed(law, (), begun, hours) / 24.0, rel=1e-6)
    assert 1.0 < row.times < math.exp(seen.high)
    assert row.yours and row.used.likely < row.yours.likely  # shrinkage: yours is not taken whole


def _seen(bench) -> tuple[Seen, ...]:
    import json

    store = bench.opened[-1].store
    pieces = json.loads(store.setting("taught"))["pieces"]
    return tuple(s for row in pieces.values() for s in Taught.from_plain(row).seen)


def test_what_was_begun_after_a_failed_test_has_passed_it(bench) -> None:
    key = shelf(bench)
    bench.tell(key, "done", "13 Feb 2027 9:00", "board/oil-2", start=bench.at("13 Feb 2027 8:30").now)
    row = bench.at("13 Feb 2027 9:00").learned().row(OIL)
    assert row and row.seen == 1 and row.times > 1


def test_amounts_and_minutes_against_the_book(bench) -> None:
    key = shelf(bench)
    shop = bench.at("11 Feb 2027 9:00")
    learned = shop.learned()
    book = shop.desk(key)
    liquid = book.work.task("board/oil-1")
    assert liquid
    cover, sand = learned.row(COVER), learned.row("minutes:sand one grit")
    assert cover and sand and cover.jobs == sand.jobs == 1
    assert sand.yours and sand.yours.likely == pytest.approx(66 / book.work.task("board/sand").area_m2 / 5 , rel=0.02)
    assert cover.times < 1 and cover.yours and cover.yours.likely < cover.used.likely < cover.book.likely


def test_what_is_learned_reaches_the_plan(bench) -> None:
    key = bench.add("shelf")
    before = bench.at("8 Feb 2027 8:00").desk(key).plan()
    shop = bench.at("8 Feb 2027 8:00")
    shop.pin(OIL, "2 times")
    shop.pin(COVER, "0.5 times")
    shop.pin("minutes:sand one grit", "2")
    desk = shop.desk(key)
    after = desk.plan()
    assert after.plan.due[0].likely > before.plan.due[0].likely
    assert after.amounts.tasks["board/oil-1"].liquid.likely == pytest.approx(
        2 * before.amounts.tasks["board/oil-1"].liquid.likely
    )
    assert desk.work.task("board/sand").minutes.likely > 80


def test_what_one_job_taught_moves_the_plan_of_the_next(bench) -> None:
    first, second = bench.add("first", "4 Jan 2027 8:00"), bench.add("next", "4 Jan 2027 8:00")
    before = bench.at("8 Feb 2027 8:00").desk(second)
    planned = before.plan().plan.due[0].likely
    bench.tell(first, "done", "4 Jan 2027 12:00", "board/sand", took_min=90.0)
    bench.tell(first, "done", "4 Jan 2027 13:00", "board/oil-1", used_ml=60.0)
    for day in (9, 12, 15):
        bench.tell(first, "tested", f"{day} Jan 2027 12:00", "board/oil-2", passed=False, readiness="next coat")
    bench.tell(first, "done", "18 Jan 2027 12:00", "board/oil-2")
    shop = bench.at("8 Feb 2027 8:00")
    after = shop.desk(second)
    assert {row.what for row in shop.learned().rows} >= {OIL, COVER, "minutes:sand one grit"}
    assert after.plan().plan.due[0].likely > planned
    assert after.work.task("board/sand").minutes.likely > 1.2 * before.work.task("board/sand").minutes.likely
    took = [amounts(d.work, d.shop, d.facts).of_task("board/oil-1").liquid.likely for d in (before, after)]
    assert took[1] > 1.1 * took[0]


def test_two_pieces_planned_together_have_this_shops_figures(bench) -> None:
    for key in ("one", "two"):
        bench.add(key)
    shop = bench.at("8 Feb 2027 8:00")
    before = shop.plan(odds="").answers["two"].plan.due[0].likely
    shop.pin(OIL, "2 times")
    assert shop.plan(odds="").answers["two"].plan.due[0].likely > before


def test_a_piece_at_its_end_counts_as_a_job(bench) -> None:
    key = shelf(bench)
    shop = bench.at("11 Feb 2027 9:00")
    assert shop.learned().finished_jobs == 0
    shop.finish(key)
    assert shop.learned().finished_jobs == 1
    assert shop.learned().row(COVER)  # and goes on teaching


def test_pinned_begun_anew_and_taken_back(bench) -> None:
    shelf(bench)
    shop = bench.at("11 Feb 2027 9:00")
    learned = shop.learned().row(COVER)
    assert learned and not learned.pinned
    shop.pin(COVER, "10 m2/l")
    row = shop.learned().row(COVER)
    assert row and row.pinned and row.used.likely == pytest.approx(10.0) and row.yours == learned.yours
    shop.undo()
    assert shop.learned().row(COVER) == learned
    shop.reset(COVER)
    assert shop.learned().row(COVER) is None and shop.learned().row("minutes:sand one grit")
    shop.reset("all")
    assert shop.learned().rows == ()


def test_what_is_taken_back_or_corrected_no_longer_teaches(bench) -> None:
    key = shelf(bench)
    before = bench.at("11 Feb 2027 9:00").learned().row(COVER)
    told = next(e for e in bench.opened[-1].events(key) if e.used_ml)
    shop = bench.at("11 Feb 2027 9:10")
    shop.correct(told.id, replace(told, id="mended", used_ml=30.0))
    after = shop.learned().row(COVER)
    assert before and after and after.times > before.times and after.jobs == 1


def test_a_mistold_amount_is_said_and_not_counted(bench) -> None:
    key = bench.add("shelf")
    bench.tell(key, "done", "8 Feb 2027 9:00", "board/sand")
    bench.tell(key, "done", "8 Feb 2027 10:30", "board/oil-1", used_ml=4000.0)
    learned = bench.at("8 Feb 2027 11:00").learned()
    assert learned.row(COVER) is None
    assert "4000 ml told where the book has" in learned.odd[0]


def test_what_counts_as_done_as_planned_teaches_nothing(bench) -> None:
    key = bench.add("shelf")
    shop = bench.at("8 Feb 2027 8:00")
    desk = shop.desk(key)
    desk.keep(desk.plan())
    bench.tell(key, "tested", "11 Feb 2027 8:00", "board/oil-2", passed=False, readiness="next coat")
    bench.tell(key, "tested", "14 Feb 2027 8:00", "board/oil-2", passed=True, readiness="next coat")
    assert bench.at("14 Feb 2027 9:00").learned().rows == ()  # no one said when the oil was laid


def test_kept_gathering_is_the_same_as_gathered_anew(bench) -> None:
    shelf(bench)
    shop = bench.at("11 Feb 2027 9:00")
    first = shop.learned()
    assert bench.at("11 Feb 2027 9:00").learned() == first
    shop.store.put_setting("taught", "{not json")
    assert bench.at("11 Feb 2027 9:00").learned() == first


def ratios(key: str, values: list[float]) -> Learned:
    """Readings of so many times the book, one a job."""
    when = read_date("8 Feb 2027 8:00")
    from datetime import UTC, datetime

    assert when
    seen = [Seen(key, datetime(2027, 1, 1, tzinfo=UTC), math.log(v), math.log(v)) for v in values]
    return learn([Taught(f"job {n}", (s,)) for n, s in enumerate(seen)], FACTS)


@pytest.mark.parametrize("key", [COVER, "coverage:shellac_dewaxed:brush", "minutes:rub", "minutes:sand one grit"])
@pytest.mark.parametrize("odd", [0.25, 4.0])
def test_two_jobs_do_not_swing_a_plan_wildly(key: str, odd: float) -> None:
    """However far off two jobs were, a figure stays within the book's own range; five of them are believed."""
    two, many = (ratios(key, [odd] * n).row(key) for n in (2, 8))
    assert two and many and two.held and not many.held
    assert two.book.low <= two.used.likely <= two.book.high
    assert two.weight < 0.8
    assert abs(math.log(many.times / odd)) < 0.15 * abs(math.log(odd))


def test_figures_are_found_by_words_and_values_in_their_own_unit(bench) -> None:
    learned = ratios("minutes:rub", [1.2])
    assert named("rub", FACTS, learned) == "minutes:rub"
    assert named("drying:shellac_dewaxed", FACTS, learned) == "drying:shellac_dewaxed"
    assert times_of("90 min/m2", "minutes:rub", FACTS, learned) == pytest.approx(1.5)
    assert times_of("8.361 min/ft2", "minutes:rub", FACTS, learned) == pytest.approx(1.5, rel=1e-3)
    assert times_of("448 ft2/gal", COVER, FACTS, learned) == pytest.approx(1.0, rel=0.01)
    assert times_of("2 days", OIL, FACTS, learned) == pytest.approx(2.0)
    assert times_of("120 %", OIL, FACTS, learned) == 1.2
    for bad in ("", "soon", "-3", "1000 times", "3 apples", "overnight"):
        with pytest.raises(Misread):
            times_of(bad, OIL, FACTS, learned)
    for unknown in ("foo", "linseed", "coverage:water:brush"):
        with pytest.raises(NotFound):
            named(unknown, FACTS, learned)


def test_who_tells_what_failed_is_taken_at_his_word() -> None:
    """Passed at half the book's time in four jobs: quicker, and more so where the shop tells failed tests too."""
    from datetime import UTC, datetime

    when = datetime(2027, 1, 1, tzinfo=UTC)
    quick = [Taught(f"job {n}", (Seen(OIL, when, high=math.log(0.5), doubt=0.54),)) for n in range(4)]
    failed = Taught("other", (Seen("drying:shellac_dewaxed", when, low=0.0, high=0.2, doubt=0.4),))
    alone, beside = (learn(jobs, FACTS).row(OIL) for jobs in (quick, [*quick, failed]))
    assert alone and beside and beside.times < alone.times < 0.8 and alone.yours is None
