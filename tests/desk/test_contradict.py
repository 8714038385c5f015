"""A log edited by hand: what cannot all have been so is said once, with the step and the mend."""

from __future__ import annotations

import json
from datetime import timedelta
from pathlib import Path
from typing import Any

import pytest

from rakelight.desk import open_desk
from rakelight.errors import Finding, Severity
from rakelight.units import read_date

EXAMPLES = Path(__file__).parents[2] / "examples"


def row(kind: str, at: str, task: str, **said: Any) -> dict[str, Any]:
    """A line of the log, written when it happened unless it says otherwise."""
    moment = f"2027-02-{at}:00-06:00"
    return {"kind": kind, "id": f"{task}{at}{said}", "happened": moment, "written": moment, "task": task, **said}


SAND = row("done", "08T09:00", "board/sand", start="2027-02-08T08:15:00-06:00")
OIL = row("done", "08T11:00", "board/oil-1", start="2027-02-08T10:30:00-06:00")
AGAIN = row("done", "11T09:00", "board/oil-2", start="2027-02-11T08:30:00-06:00")
TEST = row("tested", "10T09:00", "board/oil-2", readiness="next coat", passed=True)


def said_of(folder: Path, *rows: dict[str, Any], now: str = "12 Feb 2027 8:00") -> list[Finding]:
    log = folder / "log.jsonl"
    log.write_text("".join(json.dumps(one) + "\n" for one in rows), "utf-8")
    desk = open_desk(EXAMPLES / "one-board.toml", EXAMPLES / "shop-winter.toml", now=read_date(now), log_path=log)
    return [found for found in desk.stopping() if found.id.startswith("log-")]


def moved(one: dict[str, Any], **said: Any) -> dict[str, Any]:
    return {**one, **said, "id": f"{one['id']}{said}"}


def test_a_sound_log_draws_no_warning(tmp_path: Path) -> None:
    assert said_of(tmp_path, SAND, OIL, TEST, AGAIN) == []
    earlier = said_of(tmp_path, SAND, OIL, TEST, AGAIN, now="9 Feb 2027 8:00")  # looked at as of an earlier day
    assert earlier == []


def test_the_same_step_told_by_two_phones_within_the_hour_is_no_contradiction(tmp_path: Path) -> None:
    other = moved(OIL, happened="2027-02-08T11:20:00-06:00")
    assert said_of(tmp_path, SAND, OIL, other) == []


LATE = moved(OIL, happened="2027-02-11T15:00:00-06:00", start="2027-02-11T14:30:00-06:00")


@pytest.mark.parametrize(
    ("rows", "id", "says"),
    [
        ((SAND, LATE, AGAIN), "log-contradicts", "board/oil-2 as done Thu 11 Feb 9:00, and board/oil-1"),
        ((SAND, moved(OIL, start="2027-02-08T14:30:00-06:00")), "log-contradicts", "board/oil-1 as begun"),
        ((SAND, OIL, moved(OIL, happened="2027-02-10T11:00:00-06:00")), "log-contradicts", "board/oil-1 as done"),
        ((SAND, moved(TEST, happened="2027-02-08T09:30:00-06:00"), OIL), "log-contradicts", "a test for board/oil-2"),
        ((SAND, OIL, TEST, moved(TEST, passed=False)), "log-contradicts", "the test before board/oil-2 as passed and"),
        ((SAND, moved(OIL, happened="2028-02-08T11:00:00-06:00")), "log-ahead", "board/oil-1 for Tue 8 Feb 2028 11:00"),
    ],
)
def test_two_facts_that_contradict_are_one_warning(
    tmp_path: Path, rows: tuple[dict[str, Any], ...], id: str, says: str
) -> None:
    found = said_of(tmp_path, *rows)
    assert [(f.id, f.severity) for f in found] == [(id, Severity.WARNING)], found
    assert says in found[0].says and "log" in found[0].mend


def test_one_wrong_hour_is_told_once_however_many_steps_it_stands_against(tmp_path: Path) -> None:
    late = moved(SAND, happened="2027-02-11T20:00:00-06:00", start="2027-02-11T19:00:00-06:00")
    assert len(said_of(tmp_path, late, OIL, AGAIN)) == 1


def test_a_piece_with_such_a_log_is_planned_as_far_as_it_may_be(tmp_path: Path) -> None:
    log = tmp_path / "log.jsonl"
    log.write_text("".join(json.dumps(one) + "\n" for one in (SAND, LATE, AGAIN)), "utf-8")
    now = read_date("12 Feb 2027 8:00")
    desk = open_desk(EXAMPLES / "one-board.toml", EXAMPLES / "shop-winter.toml", now=now, log_path=log)
    answer = desk.plan()
    assert [f.id for f in answer.findings if f.severity is Severity.WARNING] == ["log-contradicts"]
    assert answer.plan.finish is not None and answer.plan.finish.likely is not None
    assert answer.plan.finish.likely - desk.now > timedelta(days=7)
