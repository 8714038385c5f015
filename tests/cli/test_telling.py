"""Telling what happened, and planning again."""

from __future__ import annotations

import json

CABINET = {"piece": "music-cabinet", "shop": "shop-winter"}


def _ids(said, key="as_planned"):
    return [s["id"] for s in said.data["steps"] if s[key]]


def test_a_kept_plan_counts_as_done_as_planned_until_it_is_confirmed(at_bench):
    at_bench("plan", "--keep")
    later = "10 Feb 2027 8:00"
    assert _ids(at_bench("plan", "--json", now=later)) == ["board/sand", "board/oil-1", "board/oil-2"]
    assert " o " in at_bench("plan", now=later).out
    assert "3 steps behind are counted as done as planned" in at_bench("today", now=later).out
    assert "3 steps done as planned" in at_bench("catch-up", now=later).out
    said = at_bench("plan", "--json", now=later)
    assert _ids(said) == [] and _ids(said, "done") == ["board/sand", "board/oil-1", "board/oil-2"]
    assert "Nothing is open" in at_bench("catch-up", now=later).out
    at_bench("undo", now=later)
    assert len(_ids(at_bench("plan", "--json", now=later))) == 3


def test_without_a_kept_plan_nothing_counts_as_done(at_bench):
    said = at_bench("plan", "--json", now="20 Feb 2027 8:00")
    assert not any(s["done"] for s in said.data["steps"])
    assert min(s["start"] for s in said.data["steps"]) >= "2027-02-20"
    assert "No plan is kept yet" in at_bench("today", now="20 Feb 2027 8:00").out


def test_a_step_may_be_called_as_people_say_it(at_bench, keep):
    keep()
    for words in ("board/oil-1", "board oil 1", "Board: Oil 1", "oil 1", "board/oil1", "oil 1 of the board"):
        said = at_bench("done", words, "--json", now="9 Feb 2027 8:00")
        assert said.data["event"]["task"] == "board/oil-1", words
        at_bench("undo", now="9 Feb 2027 8:00")
    assert "more than one step" in at_bench("done", "oil", now="9 Feb 2027 8:00").err


def test_several_steps_are_told_at_once(at_bench, keep):
    keep()
    said = at_bench("done", "board/sand", "board/oil-1", "--json", now="9 Feb 2027 8:00")
    assert [event["task"] for event in said.data["events"]] == ["board/sand", "board/oil-1"]
    assert said.data["event"]["task"] == "board/oil-1" and "not told" not in said.data["says"]
    for words, why in (
        (("board/oil-2", "board/nothing"), "nothing"),  # and the first is not written either
        (("board/oil-2", "board/oil-2"), "named twice"),
        (("board/oil-2", "board/fill-1", "--used", "2 fl oz"), "--used is of one step"),
        (("board/oil-2", "board/sand"), "is already told"),
    ):
        refused = at_bench("done", *words, now="9 Feb 2027 9:00")
        assert refused.code == 2 and why in refused.err, refused.err
    told = at_bench("told", "--json", now="9 Feb 2027 9:00").data["events"]
    assert [event["task"] for event in told if event["kind"] == "done"] == ["board/sand", "board/oil-1"]


def test_an_hour_by_itself_is_todays(at_bench, keep):
    keep()
    for words, at in (("10:50", "T10:50"), ("7 am", "T07:00"), ("11:05 am", "T11:05")):
        told = at_bench("done", "board/sand", "--at", words, "--json", now="8 Feb 2027 20:00")
        assert at in told.data["event"]["happened"], words
        at_bench("undo", now="8 Feb 2027 20:00")
    assert at_bench("done", "board/sand", "--at", "21:30", now="8 Feb 2027 20:00").code == 2


def test_what_is_still_to_come_cannot_be_done(at_bench, keep):
    keep()
    assert at_bench("done", "board/sand", "--at", "9 Feb 2027 8:00").code == 2


def test_a_late_step_moves_what_follows(at_bench, keep):
    keep()
    at_bench("done", "board/oil-2", "--at", "9 Feb 2027 16:00", "--took", "30 min", now="9 Feb 2027 17:00")
    steps = {s["id"]: s for s in at_bench("plan", "--json", now="9 Feb 2027 17:00").data["steps"]}
    assert steps["board/oil-2"]["start"].startswith("2027-02-09T15:30")
    assert steps["board/oil-1"]["as_planned"] and not steps["board/oil-2"]["as_planned"]


def test_work_over_the_night_the_clocks_change_took_the_hours_told(at_bench, keep):
    """One hour before 3:30 on 14 March 2027 it is 1:30 in Chicago."""
    keep()
    words = ("done", "board/sand", "--at", "14 March 2027 3:30", "--took", "1 h", "--json")
    told = at_bench(*words, now="15 March 2027 8:00")
    assert told.data["event"]["start"].startswith("2027-03-14T01:30")


def test_a_failed_thumbnail_holds_the_case_and_all_it_is_joined_into(at_bench, keep):
    keep(**CABINET)
    now = "9 March 2027 8:00"
    assert "case/level" in _ids(at_bench("plan", "--json", now=now, **CABINET))
    said = at_bench("failed", "case/level", "--again", "3 days", now=now, **CABINET)
    assert "a thumbnail pressed hard leaves no print" in said.out
    again = at_bench("replan", "--json", now=now, **CABINET).data
    steps = {s["id"]: s for s in again["steps"]}
    for held in ("case/level", "case/rub", "cabinet/join"):
        assert not steps[held]["done"] and steps[held]["start"] >= "2027-03-12", held
    assert steps["drawer/wax"]["as_planned"], "a part the case does not touch goes on as planned"
    case = next(line for line in again["moved"] if line.startswith("Case"))
    assert "because the thumbnail test of 9 March failed" in case and "Fri 12 Mar" in case


def test_a_test_that_passed_ends_the_wait(at_bench, keep):
    keep(**CABINET)
    now = "1 March 2027 8:00"
    before = {s["id"]: s["start"] for s in at_bench("plan", "--json", now=now, **CABINET).data["steps"]}
    at_bench("failed", "case/level", "--passed", now=now, **CABINET)
    after = {s["id"]: s["start"] for s in at_bench("plan", "--json", now=now, **CABINET).data["steps"]}
    assert after["case/level"] < before["case/level"]
    assert after["case/level"] < "2027-03-03"


def test_oil_that_drinks_more_takes_more_coats(at_bench, keep):
    keep(**CABINET)
    now = "9 Feb 2027 13:00"
    said = at_bench("done", "case/oil-1", "--coats", 2, now=now, **CABINET)
    assert said.code == 0 and "2 coats" in said.out
    again = at_bench("replan", "--json", now=now, **CABINET).data
    assert "case/oil-2" in [s["id"] for s in again["steps"]]
    assert any("oil took 2 coats" in line or "oil 2" in line for line in again["moved"])
    at_bench("undo", now=now, **CABINET)
    steps = at_bench("plan", "--json", now=now, **CABINET).data["steps"]
    assert "case/oil-2" not in [s["id"] for s in steps]


def test_coats_that_were_not_open_are_refused(at_bench, keep):
    keep(**CABINET)
    for step, coats in (("case/sand", 2), ("case/oil-1", 0), ("drawer-front/coat-1", 3)):
        assert at_bench("done", step, "--coats", coats, now="9 Feb 2027 13:00", **CABINET).code == 2, step


def test_a_step_written_as_done_cannot_fail_before(at_bench, keep):
    keep()
    at_bench("done", "board/oil-2", now="9 Feb 2027 17:00")
    said = at_bench("failed", "board/oil-2", now="9 Feb 2027 18:00")
    assert said.code == 2 and "undo" in said.err


def test_a_line_that_cannot_be_read_is_told_and_nothing_is_lost(at_bench, keep, tmp_path):
    keep()
    log = tmp_path / "one-board.log.jsonl"
    kept = log.read_text()
    log.write_text(kept + '{"kind": "done", "hap')
    later = "9 Feb 2027 8:00"
    said = at_bench("done", "board/sand", "--at", "8 Feb 2027 9:00", now=later)
    assert said.code == 0 and "one-board.log.jsonl:2" in said.err
    assert log.read_text().startswith(kept + '{"kind": "done", "hap\n{')
    found = at_bench("plan", "--json", now=later).data["findings"]
    assert [f["where"] for f in found if f["id"] == "log-line-unread"] == ["one-board.log.jsonl:2"]


def test_the_log_of_another_piece_is_noted(at_bench, keep, tmp_path):
    keep(**CABINET)
    at_bench("done", "case/oil-1", now="9 Feb 2027 13:00", **CABINET)
    text = (tmp_path / "music-cabinet.log.jsonl").read_text()
    (tmp_path / "one-board.log.jsonl").write_text(text)
    said = at_bench("plan", "--json", now="10 Feb 2027 8:00")
    notes = [f for f in said.data["findings"] if f["id"] == "log-unknown-steps"]
    assert said.code == 0 and len(notes) == 1 and "case/oil-1" in notes[0]["says"]
    assert (tmp_path / "one-board.log.jsonl").read_text() == text
    assert not any(s["done"] for s in said.data["steps"])


def test_keeping_writes_one_line_and_replan_another_where_the_plan_is_another(at_bench, tmp_path):
    def kinds():
        return [json.loads(line)["kind"] for line in (tmp_path / "one-board.log.jsonl").read_text().splitlines()]

    at_bench("plan", "--keep")
    at_bench("replan", now="9 Feb 2027 8:00")
    assert kinds() == ["planned"]  # all went as planned: nothing new to keep
    at_bench("done", "board/sand", now="10 Feb 2027 16:00")
    at_bench("replan", now="10 Feb 2027 16:00")
    assert kinds() == ["planned", "done", "planned"]


def test_a_step_told_twice_is_refused_and_nothing_is_written(at_bench, keep, tmp_path):
    keep()
    at_bench("done", "board/oil-1", "--at", "8 Feb 2027 18:30", now="9 Feb 2027 8:00")
    log = (tmp_path / "one-board.log.jsonl").read_text()
    said = at_bench("done", "board/oil-1", now="9 Feb 2027 9:00")
    assert said.code == 2 and "already told, Mon 8 Feb 18:30; `undo` takes it back" in said.err
    assert (tmp_path / "one-board.log.jsonl").read_text() == log


def test_a_step_told_before_the_ones_before_it_says_what_it_counts(at_bench):
    said = at_bench("done", "board/oil-2", now="9 Feb 2027 17:00")
    assert "board/sand, board/oil-1 are not told yet: they count as done before it." in " ".join(said.out.split())
    steps = {s["id"]: s for s in at_bench("plan", "--json", now="9 Feb 2027 17:00").data["steps"]}
    assert steps["board/oil-1"]["as_planned"] and steps["board/oil-2"]["done"]
    at_bench("done", "board/oil-1", "--at", "9 Feb 2027 9:00", now="9 Feb 2027 18:00")
    steps = {s["id"]: s for s in at_bench("plan", "--json", now="9 Feb 2027 18:00").data["steps"]}
    assert steps["board/oil-1"]["start"].startswith("2027-02-09T09") and not steps["board/oil-1"]["as_planned"]


def test_what_is_counted_as_planned_needs_no_remark(at_bench, keep):
    keep()
    said = at_bench("done", "board/oil-2", now="9 Feb 2027 17:00")
    assert "not told" not in said.out and said.out.count(".") == 1


def test_odd_times_are_written_and_said(at_bench, keep):
    keep()
    early = at_bench("done", "board/sand", "--at", "1 Feb 2027 9:00", now="9 Feb 2027 17:00").out
    assert "before the start the piece gives, Mon 8 Feb 2027" in " ".join(early.split())
    at_bench("done", "board/oil-1", "--at", "9 Feb 2027 16:00", now="9 Feb 2027 17:00")
    long = at_bench("done", "board/oil-2", "--took", "3 h", now="9 Feb 2027 17:30").out
    assert "reaches back before board/oil-1 was done, Tue 9 Feb 16:00" in " ".join(long.split())


def test_a_step_that_took_longer_than_since_the_one_counted_before_it_is_said(at_bench, keep):
    keep()
    said = at_bench("done", "board/oil-2", "--took", "2 days", now="9 Feb 2027 17:00").out
    assert "reaches back before board/oil-1 counts as done, " in " ".join(said.split())


def test_a_step_told_for_earlier_than_the_one_before_it_is_refused(at_bench, keep, tmp_path):
    keep()
    at_bench("done", "board/oil-1", "--at", "9 Feb 2027 16:00", now="9 Feb 2027 17:00")
    before = next(tmp_path.glob("*.jsonl")).read_bytes()
    said = at_bench("done", "board/oil-2", "--at", "9 Feb 2027 10:00", now="9 Feb 2027 17:00").err
    assert "board/oil-1, which comes before board/oil-2, is told for later" in " ".join(said.split())
    assert next(tmp_path.glob("*.jsonl")).read_bytes() == before


def test_a_test_before_the_coat_is_there_is_refused(at_bench, keep, tmp_path):
    keep(**CABINET)
    log = (tmp_path / "music-cabinet.log.jsonl").read_text()
    said = at_bench("failed", "case/level", now="15 Feb 2027 8:00", **CABINET)
    assert said.code == 2 and "case/coat-6" in said.err and "nothing to test yet" in said.err
    assert (tmp_path / "music-cabinet.log.jsonl").read_text() == log


def test_tomorrow_is_when_the_shop_opens_next(at_bench, keep):
    keep(**CABINET)
    said = at_bench("failed", "case/level", "--again", "tomorrow", "--json", now="6 March 2027 9:30", **CABINET)
    assert said.code == 0 and said.data["event"]["again_h"] == 46.5, "Sat 9:30 to Mon 8:00"


def test_a_glue_up_answers_to_what_people_call_it(at_bench, keep):
    keep(**CABINET)
    for words in ("drawer/join", "drawer/glue up", "drawer/assemble", "Drawer: glue-up", "plinth assembly"):
        said = at_bench("done", words, "--json", now="1 March 2027 8:00", **CABINET)
        assert said.code == 0, said.err
        assert said.data["event"]["task"] == ("plinth/join" if "plinth" in words else "drawer/join"), words
        at_bench("undo", now="1 March 2027 8:00", **CABINET)


def test_today_says_what_its_marks_mean(at_bench, keep):
    keep()
    said = at_bench("today", now="8 Feb 2027 12:00").out
    assert " o " in said and "o counted as done as planned" in said
    assert "o counted" not in at_bench("today", now="12 Feb 2027 12:00").out
