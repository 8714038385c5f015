"""The check of a plan: sound plans pass, and each rule finds the one thing that is broken."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta
from functools import cache
from pathlib import Path

import pytest

from rakelight.desk import Desk, open_desk
from rakelight.errors import Severity
from rakelight.log.events import Event
from rakelight.plan import judged
from rakelight.plan.draft import Draft
from rakelight.plan.greedy import MANNERS, best_draft, lags_of, run_pass
from rakelight.plan.problem import Problem, Trial, nodes_of
from rakelight.plan.replay import after_a_night, tell
from rakelight.plan.verify import lots_add_up, verify
from rakelight.schedule.steps import Duration
from rakelight.schedule.tasks import Task
from rakelight.units import read_date

EXAMPLES = Path(__file__).parents[2] / "examples"
CABINET = ("music-cabinet", "shop-winter")
STOOLS = ("eight-stools", "shop-evenings")
BOARD = ("one-board", "shop-winter")
PAIRS = (
    CABINET, STOOLS, BOARD, ("one-board", "shop-fair"), ("rosewood-box", "shop-cellar"),
    ("walnut-table", "shop-summer"), ("music-cabinet", "shop-summer"), ("eight-stools", "shop-fair"),
)  # fmt: skip
HOUR, DAY = 60, 1440


def desk(piece: str, shop: str, now: str = "8 Feb 2027 8:00", log: Path = Path("never-written.jsonl")) -> Desk:
    """A piece of the examples in a shop of theirs."""
    return open_desk(EXAMPLES / f"{piece}.toml", EXAMPLES / f"{shop}.toml", now=read_date(now), log_path=log)


@cache
def problem_of(piece: str, shop: str) -> Problem:
    """The problem of an example, built once."""
    return desk(piece, shop).problem


@cache
def draft_of(piece: str, shop: str) -> Draft:
    """Its greedy plan."""
    return best_draft(problem_of(piece, shop))[0]


def put(draft: Draft, key: str, *spans: tuple[int, int]) -> Draft:
    """A draft with the work of one task elsewhere."""
    return replace(draft, laid={**draft.laid, key: replace(draft.laid[key], spans=spans)})


def shifted(draft: Draft, key: str, minutes: int) -> Draft:
    """A draft with one task earlier or later."""
    return put(draft, key, *((a + minutes, b + minutes) for a, b in draft.laid[key].spans))


def altered(draft: Draft, key: str, **changes: object) -> Draft:
    """A draft with something else changed of one task."""
    return replace(draft, laid={**draft.laid, key: replace(draft.laid[key], **changes)})  # type: ignore[arg-type]


def with_task(problem: Problem, key: str, **changes: object) -> Problem:
    """A problem that asks something else of one task; `asks` is changed by keyword within."""
    job = next(j for j in problem.jobs.values() if any(t.id == key for t in j.tasks))

    def one(task: Task) -> Task:
        if task.id != key:
            return task
        asks = {k[5:]: v for k, v in changes.items() if k.startswith("asks_")}
        rest = {k: v for k, v in changes.items() if not k.startswith("asks_")}
        return replace(task, asks=replace(task.asks, **asks), **rest)  # type: ignore[arg-type]

    jobs = {**problem.work.jobs, job.part.name: replace(job, tasks=tuple(one(t) for t in job.tasks))}
    return replace(problem, work=replace(problem.work, jobs=jobs))


def broken(problem: Problem, draft: Draft, key: str, words: str) -> bool:
    """Whether the check says something of a task, in words."""
    return any(b.startswith(f"{key}:") and words in b for b in verify(problem, draft))


@pytest.mark.parametrize(("piece", "shop"), PAIRS)
def test_every_manner_makes_a_sound_plan(piece: str, shop: str) -> None:
    problem = problem_of(piece, shop)
    nodes = nodes_of(problem.work)
    lags = lags_of(run_pass(problem, MANNERS[0]), nodes)
    for manner in MANNERS:
        assert verify(problem, run_pass(problem, manner, lags, None, nodes)) == []


def test_nothing_begins_before_the_start() -> None:
    problem, draft = problem_of(*BOARD), draft_of(*BOARD)
    late = replace(problem, start=draft.laid["board/sand"].start + 1)
    assert broken(late, draft, "board/sand", "before the work may begin")


def test_work_stays_in_the_open_hours_and_does_not_cross_a_break() -> None:
    problem, draft = problem_of(*CABINET), draft_of(*CABINET)
    opening = problem.hours.windows[0]
    assert broken(problem, put(draft, "shelf/sand", (opening[1] - 30, opening[1] + 75)), "shelf/sand", "across a break")
    assert broken(problem, shifted(draft, "case/level", 12 * HOUR), "case/level", "outside the shop's hours")


def test_a_block_is_whole_and_dry_work_is_not_chopped_up() -> None:
    problem, draft = problem_of(*CABINET), draft_of(*CABINET)
    a, b = draft.laid["case/wax"].spans[0]
    assert broken(problem, put(draft, "case/wax", (a, a + 20), (a + 25, b + 5)), "case/wax", "broken up")
    a, b = draft.laid["shelf/sand"].spans[0]
    assert broken(problem, put(draft, "shelf/sand", (a, a + 10), (a + 15, b + 5)), "shelf/sand", "less than 20")


def test_a_glue_up_is_put_down_only_between_two_of_them() -> None:
    problem, draft = problem_of(*CABINET), draft_of(*CABINET)
    a, b = draft.laid["drawer/join"].spans[0]
    between = put(draft, "drawer/join", (a, a + 35), (a + 40, b + 5))
    within = put(draft, "drawer/join", (a, a + 50), (a + 55, b + 5))
    assert not broken(problem, between, "drawer/join", "half done")
    assert broken(problem, within, "drawer/join", "half done")


def test_the_soak_counts_as_time() -> None:
    problem, draft = problem_of(*BOARD), draft_of(*BOARD)
    a, b = draft.laid["board/oil-1"].spans[0]
    assert broken(problem, put(draft, "board/oil-1", (a, b - 15)), "board/oil-1", "less time")


def test_the_gun_is_set_up_and_cleaned_and_the_brush_cleaned() -> None:
    problem, draft = problem_of(*STOOLS), draft_of(*STOOLS)
    sprayed = sorted((x.start, k) for k, x in draft.laid.items() if x.task and x.task.gun)
    first = next(k for _, k in sprayed if draft.laid[k].before_min)
    last = next(k for _, k in sprayed if draft.laid[k].after_min)
    assert broken(problem, altered(draft, first, before_min=0), first, "gun is not set up")
    assert broken(problem, altered(draft, last, after_min=5), last, "clean the gun")
    brushed = next(k for k, x in draft.laid.items() if x.task and x.task.lay and not x.task.gun and x.after_min)
    assert broken(problem, altered(draft, brushed, after_min=0), brushed, "clean the brush")


def test_order_and_the_test_board() -> None:
    problem, draft = problem_of(*CABINET), draft_of(*CABINET)
    assert broken(problem, shifted(draft, "case/rub", -2 * HOUR), "case/rub", "begins before case/level ends")
    early = shifted(draft, "case/coat-1", -30)
    assert broken(problem, early, "case/coat-1", "before the test board is judged")


def test_a_scuff_put_in_stands_between_the_coats() -> None:
    problem, draft = problem_of(*STOOLS), draft_of(*STOOLS)
    scuff = next(k for k in draft.laid if k.endswith("/scuff-late"))
    coat = scuff.removesuffix("/scuff-late")
    after = draft.laid[coat].end - draft.laid[scuff].start
    assert broken(problem, shifted(draft, scuff, after), scuff, f"not over before {coat}")
    before = draft.laid["seat/seal"].start - draft.laid[scuff].end
    assert broken(problem, shifted(draft, scuff, before), scuff, "beneath is laid")
    assert broken(problem, shifted(draft, scuff, before + 3 * HOUR), scuff, "ready to sand")


def test_a_missed_window_asks_a_scuff() -> None:
    problem, draft = problem_of(*STOOLS), draft_of(*STOOLS)
    scuff = next(k for k in draft.laid if k.endswith("/scuff-late"))
    without = replace(draft, laid={k: v for k, v in draft.laid.items() if k != scuff})
    assert broken(problem, without, scuff.removesuffix("/scuff-late"), "no scuff put in")


def test_a_coat_after_its_latest_time_asks_a_scuff_unless_it_was_abraded() -> None:
    problem, draft = problem_of(*CABINET), draft_of(*CABINET)
    soon = with_task(problem, "case/coat-2", asks_at_most=Duration(1.0))
    assert broken(soon, draft, "case/coat-2", "later than the time written")
    assert verify(with_task(soon, "case/coat-2", asks_abraded=True), draft) == []
    assert verify(with_task(problem, "case/coat-2", asks_at_most=Duration(overnight=True)), draft) == []


def test_waits_are_held_on_every_face_that_is_asked() -> None:
    problem, draft = problem_of(*CABINET), draft_of(*CABINET)
    early = (("case/coat-3", "next coat", 30), ("case/to-shop-for-level", "rub", DAY), ("case/wax", "wax", DAY))
    for key, words, minutes in early:
        assert broken(problem, shifted(draft, key, -minutes), key, f"ready to {words}")
    assert broken(problem, shifted(draft, "shelf/coat-3/turn", -15 * HOUR), "shelf/coat-3/turn", "ready to turn")
    never = with_task(problem, "cabinet/photograph", asks_readiness="use")
    assert broken(never, draft, "cabinet/photograph", "ready to use")


def test_a_join_waits_for_what_its_members_bring_and_clamps_ask_more() -> None:
    problem, draft = problem_of(*STOOLS), draft_of(*STOOLS)
    lots = tell(problem, draft, nodes_of(problem.work)).before["stool/join"]
    pasts = [h for lot in lots for h in lot.pasts()]
    bare, clamped = (max(60 * h.ready(problem.waits, "assemble", clamps=c) for h in pasts) for c in (False, True))
    early = shifted(draft, "stool/join", int((bare + clamped) / 2) - draft.laid["stool/join"].start)
    assert bare < early.laid["stool/join"].start < clamped
    assert broken(problem, early, "stool/join", "ready to assemble")
    unclamped = with_task(problem, "stool/join", asks_clamps=False)
    assert not broken(unclamped, early, "stool/join", "ready to assemble")


def test_a_closed_inside_dries_in_still_air() -> None:
    """Oil in a closed space: the same plan is too early by the still air alone."""
    problem, draft = problem_of(*BOARD), draft_of(*BOARD)
    part = problem.jobs["board"].part
    shut = replace(part, faces=tuple(replace(f, closed=True) for f in part.faces))
    jobs = {"board": replace(problem.jobs["board"], part=shut)}
    closed = replace(problem, work=replace(problem.work, jobs=jobs))
    assert any("before it is ready" in b for b in verify(closed, draft))


def test_a_carrying_asks_for_what_comes_over() -> None:
    problem, draft = problem_of(*CABINET), draft_of(*CABINET)
    key = "case/to-shop-for-seal"
    assert problem.work.task(key).asks.over is not None
    assert broken(problem, shifted(draft, key, -2 * DAY), key, "ready to next coat")


def test_odds_that_a_failed_test_took_lengthen_the_wait_but_not_the_packing() -> None:
    problem, draft = problem_of(*CABINET), draft_of(*CABINET)
    tested = verify(problem, replace(draft, floors={"shellac_dewaxed": 0.9, "wax_paste": 0.9}))
    assert any("ready to rub" in b for b in tested)
    assert not any("ready to pack" in b for b in tested)


def test_a_passed_test_ends_the_wait_but_no_written_time() -> None:
    problem, draft = problem_of(*CABINET), draft_of(*CABINET)
    for key, minutes in (("case/coat-3", 30), ("case/wax", DAY)):
        early = shifted(draft, key, -minutes)
        passed = replace(problem, trials={key: Trial(0, True)})
        assert broken(problem, early, key, "before it is ready")
        assert not broken(passed, early, key, "before it is ready")
    passed = replace(problem, trials={"case/sand-2": Trial(0, True)})
    assert broken(passed, shifted(draft, "case/sand-2", -2 * DAY), "case/sand-2", "time written")


def test_a_failed_test_holds_until_it_is_made_again() -> None:
    problem, draft = problem_of(*CABINET), draft_of(*CABINET)
    start = draft.laid["case/level"].start
    for trial in (Trial(start + 5, False), Trial(start - DAY, False, again=start + 5)):
        assert broken(replace(problem, trials={"case/level": trial}), draft, "case/level", "made again")
    gone = replace(problem, trials={"case/level": Trial(start - DAY, False, again=start)})
    assert not broken(gone, draft, "case/level", "made again")


def test_written_times_hold_by_the_clock_and_overnight() -> None:
    problem, draft = problem_of(*CABINET), draft_of(*CABINET)
    for key, by in (("case/sand", -30), ("shelf/sand", 130 - draft.laid["shelf/sand"].start)):
        assert broken(problem, shifted(draft, key, by), key, "wait written after")
    assert broken(problem, shifted(draft, "case/board/judge", -HOUR), "case/board/judge", "time written")
    same_day = draft.laid["case/fill-4"].end - draft.laid["case/sand-2"].start
    assert broken(problem, shifted(draft, "case/sand-2", same_day), "case/sand-2", "time written")


def test_a_written_time_counts_from_the_last_step_that_is_no_carrying() -> None:
    problem, draft = problem_of(*CABINET), draft_of(*CABINET)
    key = "case/to-shop-for-level"
    since = draft.laid["case/coat-6"].end
    long = (draft.laid[key].start - since) / HOUR
    assert verify(with_task(problem, key, asks_at_least=Duration(long)), draft) == []
    assert broken(with_task(problem, key, asks_at_least=Duration(long + 1)), draft, key, "time written")


@pytest.mark.parametrize(("hour", "day"), ((3, 9), (5, 10), (23, 10)))
def test_a_night_ends_at_four(hour: int, day: int) -> None:
    """Work at 3:00 on 9 Feb is still of the evening before; at 5:00 the night lies ahead again."""
    problem = problem_of(*CABINET)
    late = problem.hours.minute(problem.hours.moment(0).replace(day=9, hour=hour))
    assert f"{problem.hours.moment(after_a_night(problem, late)):%d %H:%M}" == f"{day:02} 08:00"


def test_a_coat_is_not_begun_in_air_too_cold() -> None:
    problem, draft = problem_of(*CABINET), draft_of(*CABINET)
    key = "case/seal"
    lay = problem.work.task(key).lay
    assert lay is not None
    spans = problem.waits.hours_to_lay(lay, "shop")
    gap = next(b for a, b in spans if b * HOUR > draft.laid[key].start)
    assert broken(problem, shifted(draft, key, int(gap * HOUR) + HOUR - draft.laid[key].start), key, "too cold")


def test_work_stays_where_it_may_be_done_and_where_the_part_is() -> None:
    problem, draft = problem_of(*CABINET), draft_of(*CABINET)
    assert broken(problem, altered(draft, "case/seal", place="house"), "case/seal", "wet work in house")
    assert broken(problem, altered(draft, "case/sand", place="house"), "case/sand", "dusty work in house")
    assert broken(problem, altered(draft, "case/wax", place="house"), "case/wax", "only dry")
    assert broken(problem, altered(draft, "case/wax", place="house"), "case/wax", "while it stands in shop")
    assert broken(problem, altered(draft, "case/wax", place="attic"), "case/wax", "does not have")
    away = with_task(problem, "cabinet/to-house", move_to="attic")
    assert broken(away, draft, "cabinet/to-house", "carried to attic")


def test_dust_keeps_off_what_is_wet_and_the_hour_before() -> None:
    problem, draft = problem_of(*BOARD), draft_of(*BOARD)
    oil, sand = draft.laid["board/oil-1"], draft.laid["board/sand"]
    for start in (oil.start - 40 - (sand.end - sand.start), oil.end + 30):
        assert broken(problem, shifted(draft, "board/sand", start - sand.start), "board/sand", "makes dust while")
    just = shifted(draft, "board/sand", oil.start - 60 - sand.end)
    assert not broken(problem, just, "board/sand", "makes dust while")


def test_no_more_dries_in_a_place_than_it_holds() -> None:
    problem, draft = problem_of(*CABINET), draft_of(*CABINET)

    def room(name: str, places: int) -> Problem:
        place = replace(problem.shop.places[name], drying_places=places)
        return replace(problem, shop=replace(problem.shop, places={**problem.shop.places, name: place}))

    assert any("shop has 3 drying places" in b for b in verify(room("shop", 3), draft))
    assert any("house has 1 drying places" in b for b in verify(room("house", 1), draft))
    alone = problem_of(*BOARD)
    none = replace(alone.shop.places["shop"], drying_places=0)
    small = replace(alone, shop=replace(alone.shop, places={**alone.shop.places, "shop": none}))
    assert verify(small, draft_of(*BOARD)) == []


def test_no_more_coats_a_day_than_are_allowed() -> None:
    problem, draft = problem_of(*CABINET), draft_of(*CABINET)
    for key in ("case/coat-2", "case/coat-3"):
        problem = with_task(problem, key, asks_a_day=1)
    assert broken(problem, draft, "case/coat-3", "more than 1 coats in a day")


def test_the_lots_of_a_step_are_the_whole_part() -> None:
    problem = problem_of(*STOOLS)
    short = with_task(problem, "leg/coat-1/lot-2", pieces=(18, 32))
    assert any("leg/coat-1" in b and "31 pieces" in b for b in lots_add_up(short))
    assert any("leg/coat-1" in b for b in verify(short, draft_of(*STOOLS)))


def test_one_maker_does_one_thing() -> None:
    problem, draft = problem_of(*CABINET), draft_of(*CABINET)
    a, _ = draft.laid["case/sand"].spans[0]
    assert broken(problem, put(draft, "shelf/sand", (a + 5, a + 65)), "shelf/sand", "the maker is still at case/sand")


def test_what_has_been_done_is_not_judged_but_happens() -> None:
    """A coat that was laid by night is a fact; the next one must still wait for it."""
    problem, draft = problem_of(*CABINET), draft_of(*CABINET)
    night = shifted(draft, "case/coat-2", 10 * HOUR)
    assert broken(problem, night, "case/coat-2", "outside the shop's hours")
    fact = altered(night, "case/coat-2", done=True)
    assert not any(b.startswith("case/coat-2:") for b in verify(problem, fact))
    assert broken(problem, fact, "case/coat-3", "begins before case/coat-2 ends")


def test_what_is_no_step_and_what_is_left_out() -> None:
    problem, draft = problem_of(*BOARD), draft_of(*BOARD)
    extra = replace(draft, laid={**draft.laid, "board/polish": draft.laid["board/wax-2"]})
    assert broken(problem, extra, "board/polish", "no step of this piece")
    left = replace(draft, laid={k: v for k, v in draft.laid.items() if k != "board/wax-1"})
    assert broken(problem, left, "board/wax-2", "though board/wax-1 is not placed")


@pytest.mark.parametrize("now", ("17 Feb 2027 7:00", "2 March 2027 12:30"))
def test_plans_with_work_done_are_sound(tmp_path: Path, now: str) -> None:
    first = desk(*CABINET, log=tmp_path / "log.jsonl")
    first.keep(first.plan())
    later = desk(*CABINET, now, tmp_path / "log.jsonl").problem
    assert later.done
    assert verify(later, best_draft(later)[0]) == []


def test_a_test_passed_before_a_carrying_ends_the_wait_of_the_step_it_is_for(tmp_path: Path) -> None:
    first = desk(*CABINET, log=tmp_path / "log.jsonl")
    kept = first.plan()
    first.keep(kept)
    at = kept.plan.placed["case/to-shop-for-level"].start - timedelta(days=4)
    first.log.add(Event("tested", at, at, task="case/to-shop-for-level", readiness="rub", passed=True))
    problem = desk(*CABINET, f"{at:%-d %B %Y %H:%M}", tmp_path / "log.jsonl").problem
    draft, _ = best_draft(problem)
    assert verify(problem, draft) == []
    moved, level = (draft.laid[f"case/{name}"] for name in ("to-shop-for-level", "level"))
    assert level.start - moved.end <= 2 * DAY


def test_an_unsound_plan_is_told(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(judged, "verify", lambda *_: ["board/sand: begins too early", "and more"])
    found = [f for f in desk(*BOARD).plan().findings if f.id == "plan-unsound"]
    assert [f.severity for f in found] == [Severity.ERROR]
    assert "board/sand: begins too early" in found[0].says
    assert "tell its makers" in found[0].mend
