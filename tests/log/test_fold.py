"""A log folds to what is so: any prefix, any order of telling, no clock."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime, timedelta

from hypothesis import given
from hypothesis import strategies as st

from rakelight.log.events import Event, told_twice
from rakelight.log.fold import fold

START = datetime(2027, 2, 8, 8, tzinfo=UTC)
#: a case of three steps, a shelf of two, both joined into a cabinet
ORDER = {
    "case/oil": [], "case/coat-1": ["case/oil"], "case/level": ["case/coat-1"],
    "shelf/coat-1": [], "shelf/coat-1/scuff-late": [], "shelf/coat-2": ["shelf/coat-1"],
    "cabinet/join": ["case/level", "shelf/coat-2"], "cabinet/pack": ["cabinet/join"],
}  # fmt: skip


def _at(hours):
    return START + timedelta(hours=hours)


def _plan(every=10, **more):
    times = {k: [_at(n * every).isoformat(), _at(n * every + 1).isoformat(), "shop"] for n, k in enumerate(ORDER)}
    return Event("planned", START, START, plan=times, after={k: v for k, v in ORDER.items() if v}, **more)


def _done(task, hours, **more):
    return Event("done", _at(hours), _at(hours), task=task, **more)


def _failed(task, hours, passed=False, **more):
    return Event("tested", _at(hours), _at(hours), task=task, passed=passed, **more)


def test_what_is_behind_counts_as_done_as_planned():
    state = fold([_plan()], _at(15))
    assert set(state.done) == {"case/oil", "case/coat-1"}
    assert not any(f.logged for f in state.done.values())


def test_what_was_told_is_not_hollow():
    state = fold([_plan(), _done("case/oil", 3)], _at(15))
    assert state.done["case/oil"].logged and state.done["case/oil"].end == _at(3)


def test_a_failed_test_holds_its_step_and_all_that_comes_after_also_where_it_is_joined():
    state = fold([_plan(), _failed("case/coat-1", 9)], _at(1000))
    assert set(state.done) == {"case/oil", "shelf/coat-1", "shelf/coat-1/scuff-late", "shelf/coat-2"}
    state = fold([_plan(), _failed("shelf/coat-1", 9)], _at(1000))
    assert set(state.done) == {"case/oil", "case/coat-1", "case/level"}


def test_a_test_that_passed_later_lets_go():
    events = [_plan(), _failed("case/level", 20), _failed("case/level", 40, passed=True, also=["case/coat-1"])]
    state = fold(events, _at(1000))
    assert "cabinet/pack" in state.done
    assert {t.task for t in state.trials if t.passed} == {"case/level", "case/coat-1"}


def test_what_stands_before_a_step_that_was_done_was_done_before_it():
    state = fold([_plan(), _done("case/level", 5)], _at(6))
    before = state.done["case/coat-1"]
    assert not before.logged and before.end is not None and before.end <= state.done["case/level"].start


def test_a_plan_kept_without_its_order_holds_the_part():
    old = Event("planned", START, START, plan=_plan().plan)
    assert "case/level" not in fold([old, _failed("case/coat-1", 9)], _at(1000)).done


def test_taken_back_never_happened_whenever_it_was_written():
    told = _done("case/oil", 3, number=2, step="case/oil")
    back = Event("taken back", _at(50), _at(50), takes_back=told.id)
    state = fold([told, back], _at(4))
    assert not state.done and not state.coats_taken
    assert fold([told], _at(4)).coats_taken == {"case/oil": 2}


def test_what_is_still_to_come_is_not_known():
    assert not fold([_done("case/oil", 9)], _at(8)).done


def test_a_repeated_id_counts_once():
    first = _done("case/oil", 3)
    again = Event("done", _at(5), _at(5), id=first.id, task="case/oil")
    assert fold([first, again], _at(9)).done["case/oil"].end == _at(3)


def test_a_catch_up_confirms_many_at_once():
    event = Event.confirmed({"case/oil": (_at(0), _at(1)), "case/coat-1": (_at(10), _at(11))}, _at(12))
    state = fold([_plan(), event], _at(12))
    assert all(state.done[k].logged for k in ("case/oil", "case/coat-1"))


tasks = st.sampled_from([*ORDER, "gone/sand"])
hours = st.floats(0, 90, allow_nan=False)
events = st.one_of(
    st.builds(_plan, st.floats(0.5, 20)),
    st.builds(_done, tasks, hours),
    st.builds(_done, tasks, hours, number=st.integers(1, 4), step=st.just("case/oil")),
    st.builds(_failed, tasks, hours, st.booleans()),
    st.builds(lambda t, h: Event.confirmed({t: (_at(h), _at(h + 1))}, _at(h + 1)), tasks, hours),
    st.builds(lambda h, words: Event("note", _at(h), _at(h), words=words), hours, st.text(max_size=5)),
)


@st.composite
def logs(draw):
    """A log with repeats and corrections anywhere."""
    told = draw(st.lists(events, max_size=12))
    for _ in range(draw(st.integers(0, 3))):
        if told:
            one = draw(st.sampled_from(told))
            back = Event("taken back", _at(draw(hours)), START, takes_back=one.id)
            told.insert(draw(st.integers(0, len(told))), draw(st.sampled_from([one, back])))
    return told


@given(logs(), hours)
def test_any_prefix_folds_to_something_sound(told, hour):
    now = _at(hour)
    for length in range(len(told) + 1):
        state = fold(told[:length], now)
        gone = {e.takes_back for e in told[:length] if e.kind == "taken back"}
        kept = [e for e in told[:length] if e.id not in gone and e.kind in ("done", "confirmed")]
        heard = {task for event in kept for task in (event.task, *event.plan)}
        for task, fact in state.done.items():
            assert fact.task == task and fact.start <= now
            assert fact.end is None or fact.start <= fact.end
            assert not fact.logged or task in heard
        logged = {k for k, f in state.done.items() if f.logged}
        last = {e.task: e for e in told[:length] if e.kind == "tested" and e.id not in gone and e.happened <= now}
        for task, event in last.items():
            ahead = logged & set(_all_after(task))
            if not event.passed and task not in logged and not ahead:
                assert task not in state.done, "a failed test holds its step"


@given(logs(), hours)
def test_sending_everything_twice_changes_nothing(told, hour):
    assert fold(told + told, _at(hour)) == fold(told, _at(hour))


def _all_after(task):
    found, size = {task}, 0
    while len(found) > size:
        size = len(found)
        found |= {k for k, before in ORDER.items() if found & set(before)}
    return found


def test_what_was_done_before_a_told_step_counts_without_a_plan():
    """`also` of a done step: counted, not told; what is told itself goes before it, whichever came first."""
    at = datetime(2027, 2, 9, 17, tzinfo=UTC)
    done = Event("done", at, at, task="board/oil-2", also=["board/sand", "board/oil-1"])
    state = fold([done], at)
    assert not state.done["board/oil-1"].logged and state.done["board/oil-1"].end == at
    told = Event("done", at.replace(hour=9), at, task="board/oil-1")
    assert fold([done, told], at).done["board/oil-1"].logged
    back = Event("taken back", at, at, takes_back=done.id)
    assert not fold([done, back], at).done


def test_a_step_told_as_begun_is_done_when_its_time_is_gone():
    begun = Event("started", _at(13), _at(13), task="case/coat-1")
    state = fold([_plan(), begun], _at(13.5))
    assert state.done["case/coat-1"].start == _at(13) and state.done["case/coat-1"].end == _at(14)
    assert fold([begun], _at(20)).started == {"case/coat-1": _at(13)}
    told = fold([begun, _done("case/coat-1", 15)], _at(20))
    assert told.done["case/coat-1"].start == _at(13) and told.started == {}


def test_a_step_left_out_is_never_counted_as_done_until_it_is_told():
    left = Event("skipped", _at(5), _at(5), task="case/coat-1")
    state = fold([_plan(), left], _at(1000))
    assert "case/coat-1" not in state.done and state.skipped == {"case/coat-1"} and "case/level" in state.done
    state = fold([_plan(), left, _done("case/coat-1", 9)], _at(1000))
    assert state.done["case/coat-1"].logged and state.skipped == frozenset()


def test_what_is_to_be_done_again_holds_back_what_comes_after_until_a_plan_knows_of_it():
    again = Event("rework", _at(15), _at(15), task="case/level", also=["case/coat-1"], faces=["top"])
    state = fold([_plan(), _done("case/coat-1", 11), again], _at(1000))
    assert state.again[0].tasks == ("case/coat-1",) and state.again[0].before == "case/level"
    assert state.again[0].faces == ("top",)
    assert "case/coat-1" in state.done and "case/level" not in state.done and "cabinet/join" not in state.done
    later = _plan()
    state = fold([_plan(), again, later], _at(1000))
    assert "case/level" in state.done


def test_amounts_told_add_up_and_a_can_weighed_is_one():
    first = _done("case/oil", 1, used_ml=30.0)
    second = Event("coats", _at(2), _at(2), task="case/oil", used_ml=12.0)
    weighed = _done("case/coat-1", 3, before_g=500.0, after_g=460.0, took_min=35.0)
    state = fold([first, second, weighed], _at(5))
    assert state.used_ml == {"case/oil": 42.0} and state.used_g == {"case/coat-1": 40.0}
    assert state.took_min == {"case/coat-1": 35.0}


def test_a_correction_stands_in_the_place_of_what_it_corrects():
    wrong = _done("case/oil", 3, number=3, step="case/oil", words="wrong can")
    right = Event.correction(wrong, _at(8), number=2)
    state = fold([wrong, right], _at(10))
    assert state.coats_taken == {"case/oil": 2} and state.done["case/oil"].end == _at(3)
    assert state.notes == ("wrong can",)
    moved = Event.correction(wrong, _at(9), happened=_at(4))
    assert fold([wrong, right, moved], _at(10)).done["case/oil"].end == _at(4)
    assert fold([wrong, right, moved], _at(10)).coats_taken == {"case/oil": 2}
    again = Event.correction(right, _at(9), number=1)
    assert fold([wrong, right, again], _at(10)).coats_taken == {"case/oil": 1}
    back = Event("taken back", _at(9), _at(9), takes_back=right.id)
    assert fold([wrong, right, back], _at(10)).coats_taken == {"case/oil": 3}
    gone = Event("taken back", _at(9), _at(9), takes_back=wrong.id)
    assert fold([wrong, right, gone], _at(10)).done == {}
    instead = _done("case/coat-1", 5, corrects=wrong.id)
    assert set(fold([wrong, instead], _at(10)).done) == {"case/coat-1"}


def test_a_correction_of_something_unknown_says_nothing():
    stray = Event("corrected", _at(3), _at(3), corrects="0" * 32, number=3, step="case/oil")
    assert fold([stray], _at(10)) == fold([], _at(10))


_KINDS = ("done", "started", "skipped", "tested", "rework", "corrected", "taken back", "note")


@given(st.data())
def test_any_prefix_of_any_log_folds(data):
    events = [_plan()]
    for n in range(data.draw(st.integers(1, 12))):
        kind, task = data.draw(st.sampled_from(_KINDS)), data.draw(st.sampled_from([*ORDER, "no/such"]))
        other = data.draw(st.sampled_from(events)).id
        said = {"taken back": {"takes_back": other}, "corrected": {"corrects": other, "number": 2, "step": task},
                "rework": {"task": task, "also": [task]}}.get(kind, {"task": task})  # fmt: skip
        events.append(Event(kind, _at(data.draw(st.integers(0, 100))), _at(100 + n), **said))
    for end in range(len(events) + 1):
        state = fold(events[:end], _at(200))
        assert not state.skipped & {k for k, f in state.done.items() if f.logged}


def test_a_step_told_by_two_devices_is_done_once_as_it_was_told_first():
    first = _done("case/oil", 3, used_ml=40.0)
    second = replace(_done("case/oil", 4, used_ml=45.0), id="from-the-phone")
    log = [_plan(), first, second]
    state = fold(log, _at(15))
    assert state.used_ml == {"case/oil": 40.0} and state.done["case/oil"].end == _at(3)
    assert [e.id for e in told_twice(log)] == ["from-the-phone"]
    back = Event("taken back", _at(5), _at(5), takes_back=first.id)
    assert fold([*log, back], _at(15)).used_ml == {"case/oil": 45.0} and told_twice([*log, back]) == []
    left_out = Event("skipped", _at(5), _at(5), task="case/oil")
    assert fold([_plan(), first, left_out, second], _at(15)).done["case/oil"].end == _at(4)
