"""The file of the log: only ever added to, and read whatever stands in it."""

from __future__ import annotations

import json
from datetime import UTC, datetime, timedelta

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from rakelight.errors import RakelightError
from rakelight.log.events import Event, Log
from rakelight.log.fold import fold

NOW = datetime(2027, 2, 8, 8, tzinfo=UTC)


def test_what_is_written_is_read_back(tmp_path):
    log = Log(tmp_path / "a.jsonl")
    assert not log.began and log.events() == []
    told = [
        Event("done", NOW, NOW, task="case/oil-1", start=NOW - timedelta(hours=1), words="drank \u2028 a lot",
              number=2, step="case/oil"),
        Event("tested", NOW, NOW, task="case/level", passed=False, again_h=72.0),
        Event("planned", NOW, NOW, plan={"a/b": [NOW.isoformat(), NOW.isoformat(), "shop"]},
              after={"a/b": ["a/a"]}, dues={"pack": NOW}),
        Event.confirmed({"a/b": (NOW, NOW)}, NOW),
    ]  # fmt: skip
    for event in told:
        log.add(event)
    assert log.began and log.events() == told
    assert log.read()[1] == []


def test_only_ever_added_to(tmp_path):
    log = Log(tmp_path / "a.jsonl")
    log.add(Event("note", NOW, NOW, words="one"))
    before = log.path.read_bytes()
    log.add(Event("note", NOW, NOW, words="two"))
    assert log.path.read_bytes().startswith(before)


def test_an_event_sent_twice_counts_once(tmp_path):
    log = Log(tmp_path / "a.jsonl")
    event = Event("note", NOW, NOW, words="one")
    log.add(event)
    log.add(event)
    assert log.events() == [event]


def test_the_last_thing_told_is_not_a_plan_nor_what_was_taken_back(tmp_path):
    log = Log(tmp_path / "a.jsonl")
    first, second = Event("done", NOW, NOW, task="a/b"), Event("tested", NOW, NOW, task="a/c", passed=False)
    for event in (first, second, Event("planned", NOW, NOW)):
        log.add(event)
    assert log.last_told() == second
    log.add(Event("taken back", NOW, NOW, takes_back=second.id))
    assert log.last_told() == first
    log.add(Event("taken back", NOW, NOW, takes_back=first.id))
    assert log.last_told() is None


@pytest.mark.parametrize(
    "line",
    [
        "garbage", "[]", "1", "null", '{"kind": "done"}', "[" * 100_000, '{"kind": 3, "id": "x"}',
        '{"kind": "done", "id": "x", "happened": "2027-02-09T13:00", "written": "2027-02-09T13:00"}',
        '{"kind": "done", "id": "x", "happened": 5, "written": "2027-02-09T13:00+00:00"}',
        '{"kind": "planned", "id": "x", "happened": "2027-02-09T13:00Z", "written": "2027-02-10T00Z", "plan": {"": 1}}',
        '{"kind": "coats", "id": "x", "happened": "2027-02-09T13:00Z", "written": "2027-02-10T00Z", "number": -1}',
        '{"kind": "tested", "id": "x", "happened": "2027-02-09T13:00Z", "written": "2027-02-10T00Z", "again_h": NaN}',
    ],
)  # fmt: skip
def test_a_line_that_cannot_be_read_is_told_and_the_rest_counts(tmp_path, line):
    log = Log(tmp_path / "a.jsonl")
    good = Event("done", NOW, NOW, task="a/b")
    log.add(good)
    with log.path.open("a") as file:
        file.write(line)
    later = Event("done", NOW, NOW, task="a/c")
    log.add(later)
    events, faults = log.read()
    assert events == [good, later]
    assert [(f.id, f.where.line) for f in faults] == [("log-line-unread", 2)]


def test_what_a_later_version_adds_is_passed_over(tmp_path):
    log = Log(tmp_path / "a.jsonl")
    log.add(Event("note", NOW, NOW, words="one"))
    row = json.loads(log.path.read_text())
    log.path.write_text(json.dumps({**row, "weather": "snow"}) + "\n")
    assert [e.words for e in log.events()] == ["one"]


def test_a_log_that_cannot_be_read_or_written_is_said_so(tmp_path):
    with pytest.raises(RakelightError, match="cannot be read"):
        Log(tmp_path).events()
    with pytest.raises(RakelightError, match="cannot be written"):
        Log(tmp_path / "none" / "a.jsonl").add(Event("note", NOW, NOW))


@settings(suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(st.lists(st.one_of(
    st.binary(max_size=40),
    st.dictionaries(
        st.sampled_from(["kind", "id", "happened", "written", "task", "plan", "start", "number", "dues", "also"]),
        st.one_of(st.text(max_size=4), st.integers(), st.none(), st.just("2027-02-09T13:00+00:00"),
                  st.sampled_from(["planned", "done", "tested"]), st.lists(st.text(max_size=3), max_size=2),
                  st.dictionaries(st.text(max_size=2), st.lists(st.just("2027-02-09T13:00Z"), max_size=3), max_size=2)),
    ).map(lambda row: json.dumps(row).encode()),
), max_size=6))  # fmt: skip
def test_fuzz_whatever_stands_in_the_file_folds(tmp_path, lines):
    log = Log(tmp_path / "fuzz.jsonl")
    log.path.write_bytes(b"\n".join(lines))
    events, faults = log.read()
    assert len(events) + len(faults) <= sum(b"\n" in x for x in lines) * 40 + len(lines) + 1
    fold(events, NOW + timedelta(days=30))
