"""This shop's own factors reach what is planned: waits, amounts, minutes, numbers of coats, chill, gloss, odds."""

from __future__ import annotations

import math
from dataclasses import replace
from functools import cache
from pathlib import Path

import numpy as np
import pytest

from rakelight.desk import Desk, open_desk
from rakelight.errors import SourceKind
from rakelight.facts import load
from rakelight.facts.this_shop import Factor
from rakelight.papers.odds_text import changed, odds_words
from rakelight.plan.chill import chill_figure
from rakelight.plan.greedy import best_draft
from rakelight.plan.model import Due, Odds
from rakelight.plan.odds import Outlook
from rakelight.plan.planning import build_problem, make_plan
from rakelight.plan.scenarios import Scenarios, draw
from rakelight.schedule.amounts import amounts
from rakelight.schedule.rub_answers import sheen_answer
from rakelight.schedule.unroll import unroll
from rakelight.spread import Spread
from rakelight.state.model import State
from rakelight.units import read_date

EXAMPLES = Path(__file__).parents[2] / "examples"
FACTS = load()
OIL = "linseed_boiled"


@cache
def desk(piece: str = "one-board") -> Desk:
    """An example with nothing told of it."""
    return open_desk(
        EXAMPLES / f"{piece}.toml", EXAMPLES / "shop-winter.toml", now=read_date("8 Feb 2027 8:00"),
        log_path=Path("never-written.jsonl"),
    )  # fmt: skip


def outlook(factors: dict[str, float], n: int = 400) -> Outlook:
    """The board in a shop with factors of its own."""
    d = desk()
    state = State(factors=factors)
    problem = build_problem(d.work, d.shop, d.facts, max(d.start, d.now), list(d.wishes), state)
    return Outlook(problem, best_draft(problem)[0], n)


def test_no_factors_are_the_tables_themselves() -> None:
    assert FACTS.in_shop({}) is FACTS
    assert Factor().of(Spread(1, 2, 3)) == Spread(1, 2, 3)


def test_a_wait_is_as_many_times_the_book_and_its_ends_come_nearer() -> None:
    book, own = outlook({}), outlook({f"drying:{OIL}": 1.25, f"drying:{OIL}~": 0.5})
    before = [w.need.dose for m in book.course.moves for w in m.wants if w.need.material == OIL]
    after = [w.need.dose for m in own.course.moves for w in m.wants if w.need.material == OIL]
    assert before and len(before) == len(after)
    for old, new in zip(before, after, strict=True):
        assert new.likely == pytest.approx(1.25 * old.likely)
        assert math.log(new.high / new.likely) == pytest.approx(math.log(old.high / old.likely) / 2)
        assert math.log(new.low / new.likely) == pytest.approx(math.log(old.low / old.likely) / 2)


def test_with_less_doubt_the_drawn_dates_lie_nearer_together() -> None:
    def width(o: Outlook) -> float:
        low, high = np.quantile(o.reached()[:, 0], (0.1, 0.9))
        return float(high - low)

    assert width(outlook({f"drying:{OIL}": 1.0, f"drying:{OIL}~": 0.5})) < 0.85 * width(outlook({}))


def test_what_each_coat_has_of_its_own_stays_when_the_shared_doubt_goes() -> None:
    """The variance of each coat's own is the same before and after: only what is shared is learned."""
    share, doubt = 0.2, 0.6

    def parts(drawn: Scenarios, width: float) -> tuple[float, float]:
        both = np.stack([drawn.z(OIL, 0), drawn.z(OIL, 1)]) * width
        shared = float(np.cov(both)[0, 1])
        return shared, float(both[0].var()) - shared

    before = parts(draw(outlook({}).course, 40_000), 1.0)
    after = parts(draw(outlook({f"drying:{OIL}": 1.0, f"drying:{OIL}~": doubt}).course, 40_000), doubt)
    assert before == pytest.approx((1 - share, share), abs=0.02)
    assert after == pytest.approx((doubt**2 - share, share), abs=0.02)


def test_twice_the_coverage_takes_half() -> None:
    d = desk("music-cabinet")
    book = amounts(d.work, d.shop, FACTS)
    own = amounts(d.work, d.shop, FACTS.in_shop({"coverage:shellac_dewaxed:brush": 2.0}))
    brushed = [k for k, c in book.tasks.items() if c.material == "shellac_dewaxed"
               and d.work.task(k).lay.by == "brush"]  # type: ignore[union-attr]  # fmt: skip
    assert brushed
    for key, coat in book.tasks.items():
        times = 0.5 if key in brushed else 1.0
        assert own.tasks[key].liquid.likely == pytest.approx(times * coat.liquid.likely)


def test_minutes_of_one_kind_of_work_change_and_no_other() -> None:
    d = desk()
    own = FACTS.in_shop({"minutes:sand one grit": 2.0, "minutes:sand one grit~": 0.5})
    slow = unroll(d.piece, d.book, d.shop, own)
    assert own.labour["sand one grit"].source.kind is SourceKind.MEASURED
    for job in d.work.jobs.values():
        for task in job.tasks:
            times = 2.0 if task.do == "sand" else 1.0
            assert slow.task(task.id).minutes.likely == pytest.approx(times * task.minutes.likely)


def test_coats_of_an_open_number_by_the_wood() -> None:
    d = desk("music-cabinet")
    woods = {job.wood for job in d.work.jobs.values()}
    own = FACTS.in_shop({f"coats:{wood}": 3.0 for wood in woods} | {f"coats:{wood}~": 0.1 for wood in woods})
    more = unroll(d.piece, d.book, d.shop, own)
    steps = [t.scheduled for j in d.work.jobs.values() for t in j.tasks if t.lay and t.scheduled]
    assert any(s.coats.least < s.coats.most for s in steps)
    coats = {k: sum(1 for j in w.jobs.values() for t in j.tasks if t.lay) for k, w in (("book", d.work), ("own", more))}
    assert coats["own"] > coats["book"]


def test_own_chill_moves_the_hours_in_which_it_may_be_laid() -> None:
    row = FACTS.materials["shellac_dewaxed"]
    own = FACTS.in_shop({"chill:shellac_dewaxed:hand": 0.5})
    book = chill_figure(FACTS, row, "brush").value.likely
    assert chill_figure(own, row, "pad").value.likely == pytest.approx(0.5 * book)
    assert chill_figure(own, row, "spray") == chill_figure(FACTS, row, "spray")
    assert chill_figure(own, row, "brush").source.kind is SourceKind.MEASURED


def test_own_scale_of_gloss() -> None:
    own = FACTS.in_shop({"gloss:FEPA_P P1000": 1.3, "gloss:FEPA_P P1000~": 0.5})
    before, after = (sheen_answer(f, "shellac", "P1000").sheen.gu for f in (FACTS, own))
    assert after.likely > before.likely
    assert sheen_answer(own, "shellac", "P2000") == sheen_answer(FACTS, "shellac", "P2000")


def test_after_three_jobs_odds_are_said_in_hundredths_as_the_shops_own() -> None:
    d = desk()
    for jobs, basis in ((0, "book figures"), (2, "book figures"), (3, "yours")):
        problem = build_problem(d.work, d.shop, d.facts, d.now, list(d.wishes), State(finished_jobs=jobs))
        due = make_plan(problem, d.now, odds="dates").due[0]
        assert due.odds and due.odds.basis == basis
        words = odds_words(due.odds)
        assert ("in 100" in words) == (jobs >= 3) and ("in 10," in words) == (jobs < 3)
    odds = Odds(0.832, 8, "yours", None, None, None)
    assert odds_words(odds) == "about 83 in 100, by this shop's own record"
    due = Due("pack", d.now, odds=odds)
    assert changed(due, 0.9) == "its odds fall from about 90 in 100 to about 83 in 100"
    assert changed(replace(due, odds=replace(odds, basis="book figures")), 0.9).endswith("to about 8 in 10")
