"""Odds of dates: what they say, that they are kept, and what drives them."""

from __future__ import annotations

import math
import random
from dataclasses import replace
from functools import cache
from itertools import pairwise
from pathlib import Path
from statistics import NormalDist

import numpy as np
import pytest

from rakelight.desk import Answer, open_desk
from rakelight.log.events import Event, Log
from rakelight.papers.odds_text import changed, driver_lines, odds_words, tenths
from rakelight.plan.chances import full_course
from rakelight.plan.course import course_of
from rakelight.plan.drivers import drivers
from rakelight.plan.follow import Follow
from rakelight.plan.greedy import best_draft
from rakelight.plan.ground import Ground
from rakelight.plan.latest import latest_keeping
from rakelight.plan.many_hours import Floats
from rakelight.plan.model import Due, Odds, Plan
from rakelight.plan.odds import Outlook
from rakelight.plan.planning import make_plan
from rakelight.plan.scenarios import NO_DOUBTS, Doubts, at_z, counted, draw, likely
from rakelight.plan.tenths import in_tenths
from rakelight.spread import Spread
from rakelight.units import read_date

EXAMPLES = Path(__file__).parents[2] / "examples"


def outlook_of(piece: str, shop: str, by: str = "", n: int = 400, seed: int = 1) -> Outlook:
    """An example, ready to be followed."""
    desk = open_desk(
        EXAMPLES / f"{piece}.toml", EXAMPLES / f"{shop}.toml", now=read_date("8 Feb 2027 8:00"),
        by=read_date(by) if by else None, log_path=Path("never-written.jsonl"),
    )  # fmt: skip
    return Outlook(desk.problem, best_draft(desk.problem)[0], n, seed)


@cache
def board(by: str = "") -> Outlook:
    """The board, finished by a day."""
    return outlook_of("one-board", "shop-winter", by)


# -- the plan is one of the scenarios -------------------------------------------------------------


@pytest.mark.parametrize(("piece", "shop"), [("one-board", "shop-winter"), ("music-cabinet", "shop-winter")])
def test_with_nothing_in_doubt_the_walk_ends_by_the_planned_date(piece: str, shop: str) -> None:
    outlook = outlook_of(piece, shop)
    draft = best_draft(outlook.problem)[0]
    reached = Follow(outlook.course, likely(outlook.course), outlook.ground).run().reached()
    for n, minute in draft.reached.items():
        assert reached[0, n] <= minute + 5
        assert reached[0, n] >= minute - 3 * 1440


def test_every_step_is_done_once_its_forerunners_are_and_one_at_a_time() -> None:
    outlook = outlook_of("eight-stools", "shop-evenings")
    walk = Follow(outlook.course, outlook.drawn(60), outlook.ground).run()
    moves = outlook.course.moves
    for k, move in enumerate(moves):
        for b in move.before:
            assert np.all(walk.start_of(k) >= walk.end_of(b) - 1e-6)
    for s in range(60):
        spans = sorted(
            (walk.start_of(k)[s], walk.end_of(k)[s]) for k in range(len(moves))
            if not walk.absent[s, k] and not outlook.ground.bare[k] and walk.end_of(k)[s] < outlook.ground.last - 1e5
        )  # fmt: skip
        assert all(a[1] <= b[0] + 1e-6 for a, b in pairwise(spans))


def test_dust_is_not_made_while_a_coat_is_wet() -> None:
    outlook = outlook_of("music-cabinet", "shop-winter")
    walk = Follow(outlook.course, outlook.drawn(40), outlook.ground).run()
    moves = outlook.course.moves
    dusty = [k for k, m in enumerate(moves) if m.task.work == "dusty"]
    for c in (k for k, m in enumerate(moves) if m.task.lay and m.dry):
        rows = np.flatnonzero(~walk.absent[:, c])
        for d in (k for k in dusty if moves[k].place == moves[c].place):
            both = rows[~walk.absent[rows, d]]
            starts, ends = walk.start_of(d)[both], walk.end_of(d)[both]
            begun = walk.start_of(c)[both]
            assert np.all((ends + outlook.ground.settle <= begun + 1e-6) | (starts >= begun))


# -- the odds -------------------------------------------------------------------------------------


def test_a_date_has_odds_and_three_days_in_order() -> None:
    outlook = board()
    reached = outlook.reached()
    odds = outlook.odds(reached[:, 0], 0)
    assert odds.p10 and odds.p50 and odds.p90
    assert odds.p10 <= odds.p50 <= odds.p90
    assert odds.chance == np.mean(reached[:, 0] <= outlook.by[0])
    assert odds.basis == "book figures"
    assert outlook.odds(reached[:, 0], 0, jobs=3).basis == "yours"


def test_a_later_date_has_better_odds() -> None:
    chances = [board(f"{day} 2027").chance(board(f"{day} 2027").reached()) for day in ("18 Feb", "24 Feb", "20 Mar")]
    assert chances[0] < chances[1] < chances[2]


def test_the_same_draws_give_the_same_odds_and_others_agree() -> None:
    one, same = (outlook_of("one-board", "shop-winter", "24 Feb 2027", 1000) for _ in range(2))
    other = outlook_of("one-board", "shop-winter", "24 Feb 2027", 1000, seed=2)
    assert np.array_equal(one.reached(), same.reached())
    assert abs(one.chance(one.reached()) - other.chance(other.reached())) < 4 * math.sqrt(0.5 / 1000)


def test_drawn_outcomes_fall_in_the_deciles_told() -> None:
    """20,000 outcomes of other draws: each tenth holds a tenth, within three points."""
    told = outlook_of("one-board", "shop-winter", n=4000)
    edges = np.quantile(told.reached()[:, 0], np.arange(0.1, 0.95, 0.1))
    came = Outlook(told.problem, best_draft(told.problem)[0], 20_000, seed=99).reached()[:, 0]
    for edge, p in zip(edges, np.arange(0.1, 0.95, 0.1), strict=True):
        assert abs(np.mean(came <= edge) - p) < 0.03 or np.mean(came == edge) > 0.03


def test_more_doubt_moves_the_late_end_not_the_plan() -> None:
    course = board().course
    late = []
    for coat, weather in ((0.0, 0.0), (0.2, 0.3)):
        drawn = draw(course, 2000, 3, Doubts(weather, coat, 0.5, 0.0))
        late.append(np.quantile(Follow(course, drawn, board().ground).run().reached()[:, 0], 0.9))
    assert late[1] > late[0]


def test_a_part_laid_again_costs_days() -> None:
    course = outlook_of("music-cabinet", "shop-winter")
    assert len(course.course.redo_parts) >= 4
    means = []
    for redo in (0.0, 1.0):
        drawn = draw(course.course, 200, 3, replace(NO_DOUBTS, redo=redo))
        drawn = replace(drawn, material={k: v * 0 for k, v in drawn.material.items()}, coat=drawn.coat * 0)
        means.append(Follow(course.course, drawn, course.ground).run().reached().mean())
    assert 0.1 * 1440 < means[1] - means[0] < 20 * 1440


def test_coats_of_an_open_number_are_drawn_within_their_bounds() -> None:
    z = np.array([NormalDist().inv_cdf((k + 0.5) / 2000) for k in range(2000)])
    took = counted(z, 1, 1, 2)
    assert set(took) == {1.0, 2.0}
    assert 0.1 < np.mean(took == 2) < 0.4
    took = counted(z, 3, 4, 5)
    assert set(took) == {3.0, 4.0, 5.0}
    assert np.mean(took == 4) > 0.4


def test_a_coat_left_out_and_a_coat_more_move_the_date_the_right_way() -> None:
    outlook = outlook_of("music-cabinet", "shop-winter")
    course = outlook.course
    assert course.counts
    ends = []
    for number in (0, 1, 2):
        one = likely(course)
        one = replace(one, coats={k: np.array([float(three[number])]) for k, three in course.counts.items()})
        ends.append(Follow(course, one, outlook.ground).run().reached()[0])
    assert np.all(ends[0] <= ends[2])
    assert np.any(ends[0] < ends[2])


def test_deviates_of_many_are_those_of_one() -> None:
    for spread in (Spread(1.0, 2.0, 5.0), Spread(0.0, 2.0, 5.0), Spread.exact(3.0)):
        for z in (-2.0, -0.3, 0.0, 0.7, 1.9):
            assert at_z(spread, np.array([z]))[0] == pytest.approx(max(0.0, spread.at_z(z)))


def test_a_failed_test_makes_the_odds_worse() -> None:
    """What was not dry by a day is not early stuff."""
    outlook = outlook_of("one-board", "shop-winter", "24 Feb 2027", 800)
    course = replace(outlook.course, floors={"linseed_boiled": 0.6})
    material = {n.material for n in outlook.ground.waiting().wants.needs}
    assert "linseed_boiled" in material
    after = Follow(course, draw(course, 800), outlook.ground).run().reached()
    assert outlook.chance(after) < outlook.chance(outlook.reached()) - 0.05


# -- latest start, drivers, words -----------------------------------------------------------------


def test_the_latest_start_keeps_nine_in_ten_and_two_weeks_later_does_not() -> None:
    outlook = board("20 Apr 2027")
    start = latest_keeping(outlook)
    assert start is not None
    minute = float(outlook.problem.hours.minute(start))
    assert outlook.chance(outlook.reached(2000, start=minute)) > 0.86
    assert outlook.chance(outlook.reached(2000, start=minute + 14 * 1440)) < 0.9


def test_no_latest_start_where_none_keeps_nine_in_ten() -> None:
    assert latest_keeping(board("18 Feb 2027")) is None


def planned(piece: str, shop: str, how: str) -> Plan:
    desk = open_desk(
        EXAMPLES / f"{piece}.toml", EXAMPLES / f"{shop}.toml", now=read_date("8 Feb 2027 8:00"),
        log_path=Path("never-written.jsonl"),
    )  # fmt: skip
    return make_plan(desk.problem, desk.now, odds=how)


def test_what_drives_the_date_is_named_with_its_source_and_what_to_do() -> None:
    plan = planned("one-board", "shop-fair", "all")
    first = plan.drivers[0]
    assert "paste wax over boiled linseed oil" in first.wait
    assert first.p90_gain_days is not None and first.p90_gain_days > 1
    assert first.source and first.kind and first.mend
    gains = [d.p90_gain_days or math.inf for d in plan.drivers]
    assert gains == sorted(gains, reverse=True)
    assert any("moves the late end by" in line for line in driver_lines(plan))
    assert plan.due[0].odds is not None


class Stub(Outlook):
    """The board's outlook with minutes told instead of followed."""

    def __init__(self, plain: float, calm: float) -> None:
        self.__dict__.update(board().__dict__)
        self.told = {False: plain, True: calm}

    def reached(
        self, n: int | None = None, start: float | None = None, calm: frozenset[int] = frozenset()
    ) -> Floats:
        """Eight in ten by day 20; the rest as told."""
        found = np.full((n or 100, len(self.by)), 20 * 1440.0)
        found[: len(found) // 5] = self.told[bool(calm)]
        return found


def test_a_wait_takes_the_late_end_from_never_to_a_date_or_from_date_to_date() -> None:
    first = drivers(Stub(math.inf, 30 * 1440.0))[0]
    moment = board().problem.hours.moment(30 * 1440)
    assert first.p90_gain_days is None and first.p90_then == moment
    says = " ".join(" ".join(driver_lines(Plan({}, drivers=(first,)))).split())
    assert f"moves the late end from never in this air to {moment:%a} {moment.day} {moment:%b %Y}" in says
    assert "days (" not in says
    dated = drivers(Stub(36 * 1440.0, 30 * 1440.0))[0]
    assert dated.p90_gain_days == 6.0 and dated.p90_then is None


def test_no_wait_drives_what_is_never_either_way_or_never_once_it_is_calm() -> None:
    assert drivers(Stub(math.inf, math.inf)) == ()
    assert drivers(Stub(30 * 1440.0, math.inf)) == ()


def test_a_stretch_of_the_air_tells_what_the_whole_of_it_tells() -> None:
    outlook = outlook_of("music-cabinet", "shop-winter")
    horizon = outlook.problem.facts.figure("horizon_days").value.likely
    near, last = outlook.reached(), outlook.ground.last
    assert last < outlook.whole / 2
    outlook.ground = Ground(outlook.course, outlook.whole)
    assert outlook.ground.last >= (horizon - 2) * 1440
    far = outlook.reached()
    assert np.all(np.isfinite(far))
    ended = np.isfinite(near)
    assert ended.all(axis=1).mean() >= 0.95 and np.array_equal(near[ended], far[ended])
    assert np.all(far[~ended] >= last - 1440)


def test_tenths_are_half_up_and_neither_certain_nor_hopeless() -> None:
    chances = (0.04, 0.25, 0.45, 0.65, 0.85, 0.96, 0.05, 0.06, 0.94, 0.95)
    assert [in_tenths(c) for c in chances] == [0, 3, 5, 7, 9, 10, 0, 1, 9, 10]
    assert [tenths(c) for c in chances[:6]] == [
        "less than 1 in 10", "about 3 in 10", "about 5 in 10", "about 7 in 10", "about 9 in 10", "better than 9 in 10",
    ]  # fmt: skip
    minutes = np.where(np.arange(100) < 96, 0.0, 1e6)
    assert board().odds(minutes, 0).in_tenths == 10


def test_odds_are_only_there_where_they_are_asked_for() -> None:
    plan = planned("one-board", "shop-fair", "")
    assert plan.due[0].odds is None
    assert driver_lines(plan) == []


def test_odds_are_said_in_tenths_and_never_as_certain() -> None:
    said = [tenths(random.Random(1).random()) for _ in range(3)] + [tenths(1.0), tenths(0.0), tenths(0.5)]
    assert said[3:] == ["better than 9 in 10", "less than 1 in 10", "about 5 in 10"]
    odds = Odds(0.81, 8, "book figures", None, None, None)
    assert odds_words(odds) == "about 8 in 10, by book figures"


def test_what_became_of_the_odds_is_said() -> None:
    base = planned("one-board", "shop-fair", "").due[0]
    due: Due = replace(base, odds=Odds(0.8, 8, "book figures", None, None, None))
    assert changed(due, 0.9) == "its odds fall from about 9 in 10 to about 8 in 10"
    assert changed(due, 0.6) == "its odds rise from about 6 in 10 to about 8 in 10"
    assert changed(due, 0.81) == "its odds stay about 8 in 10"
    assert changed(due, None) == "the odds of the date are about 8 in 10"
    assert changed(base, 0.9) == ""


def test_the_odds_of_a_kept_plan_are_read_back(tmp_path: Path) -> None:
    log = Log(tmp_path / "a.log.jsonl")
    desk = open_desk(
        EXAMPLES / "one-board.toml", EXAMPLES / "shop-fair.toml", now=read_date("8 Feb 2027 8:00"),
        log_path=log.path,
    )  # fmt: skip
    answer: Answer = desk.plan(odds="dates")
    desk.keep(answer)
    kept: Event = log.events()[-1]
    due = answer.plan.due[0]
    assert due.odds is not None
    assert kept.odds == {due.for_: round(due.odds.chance, 3)}


def test_a_course_with_what_may_come_on_top_keeps_the_plans_order() -> None:
    outlook = outlook_of("music-cabinet", "shop-winter")
    course = full_course(outlook.problem, best_draft(outlook.problem)[0])
    planned_at = [m.planned for m in course.moves]
    assert planned_at == sorted(planned_at)
    for n, move in enumerate(course.moves):
        assert all(b < n or course.moves[b].planned <= move.planned for b in move.before), move.key


def test_where_a_part_stands_is_told_by_its_own_steps_the_carrying_first(tmp_path: Path) -> None:
    """Another part's step may begin at the very minute and place a part is carried to: it says nothing of it."""
    parts = "".join(
        f'[part.{name}]\nwood = "{wood}"\nlong = 20\nwide = 14\nthick = "7/8"\nboth_faces = "on points"\n'
        f'finish = "{finish}"\ncures_in = "house"\n'
        for name, wood, finish in (("left", "white oak", "oil-and-wax"), ("right", "cherry", "wiped-varnish"))
    )
    (tmp_path / "two.toml").write_text(f'piece = "Two"\nunit = "in"\nwanted = [{{ by = "1 May 2027" }}]\n{parts}')
    winter = EXAMPLES / "shop-winter.toml"
    problem = open_desk(tmp_path / "two.toml", winter, now=read_date("8 Feb 2027 8:00")).problem
    course = course_of(problem, best_draft(problem)[0])
    asked = [(m.task.part, w) for m in course.moves for w in (*m.wants, *m.dry)]
    asked += [(course.moves[w.events[-1]].task.part, w) for _, wants in course.ends for w in wants]
    stands = [(part, s) for part, want in asked for s in want.stays[1:]]
    assert {part for part, _ in stands} == {"left", "right"}
    assert all(course.moves[s.step].task.part == part for part, s in stands)
    assert all(s.at_end and course.moves[s.step].task.move_to == s.place for _, s in stands)
