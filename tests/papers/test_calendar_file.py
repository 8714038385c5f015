"""The calendar file read by a second library, and by the letter of RFC 5545."""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import replace
from datetime import UTC, datetime, timedelta
from zoneinfo import ZoneInfo

import pytest
import vobject
from dateutil.tz import tzical
from icalendar import Calendar

from rakelight.desk import Answer
from rakelight.papers.calendar_file import CalendarText, NotOurs, calendar_file, zone_component
from rakelight.plan.model import Odds
from rakelight.plan.tenths import in_tenths
from rakelight.schedule.rags import RAGS
from rakelight.shop.hours import is_open

PIECES = ("music-cabinet", "eight-stools", "one-board")
NOTHING = CalendarText({}, {})
Planned = Callable[..., Answer]


def _file(answer: Answer, text: CalendarText = NOTHING, before: bytes | None = None) -> bytes:
    return calendar_file(answer.work, answer.plan, answer.shop, text, before)


def _events(raw: bytes) -> list[vobject.base.Component]:
    return list(vobject.readOne(raw.decode("utf-8")).vevent_list)


@pytest.mark.parametrize("piece", PIECES)
def test_a_second_library_reads_every_stretch_of_work(planned: Planned, piece: str) -> None:
    answer = planned(piece)
    calendar = vobject.readOne(_file(answer).decode("utf-8"))
    calendar.validate(raiseException=True)
    spans = sorted(span for p in answer.plan.placed.values() for span in p.spans)
    busy = [e for e in calendar.vevent_list if not hasattr(e, "transp") and RAGS not in e.summary.value]
    assert sorted((e.dtstart.value, e.dtend.value) for e in busy) == spans
    assert len({e.uid.value for e in calendar.vevent_list}) == len(calendar.vevent_list)
    wanted = [e for e in calendar.vevent_list if e.summary.value.startswith("Wanted: ")]
    assert sorted(e.dtstart.value for e in wanted) == sorted(d.by for d in answer.plan.due)


@pytest.mark.parametrize("piece", PIECES)
def test_lines_are_folded_and_end_as_the_standard_asks(planned: Planned, piece: str) -> None:
    raw = _file(planned(piece))
    assert raw.endswith(b"\r\n") and b"\n" not in raw.replace(b"\r\n", b"")
    assert max(len(line) for line in raw.split(b"\r\n")) <= 75
    for event in raw.split(b"BEGIN:VEVENT")[1:]:
        for needed in (b"\r\nUID:", b"\r\nDTSTAMP:", b"\r\nDTSTART"):
            assert event.count(needed) == 1
        times = [re.search(rb"\r\n%s[^:]*:(\S+)" % name, event) for name in (b"DTSTART", b"DTEND")]
        assert times[1] is None or times[0] is None or times[0][1] < times[1][1]  # the end is later, or left out


@pytest.mark.parametrize(
    "name", ["America/Chicago", "Europe/London", "Europe/Dublin", "Asia/Kolkata", "Australia/Lord_Howe", "UTC"]
)
def test_offsets_of_the_zone_are_those_of_the_clocks(name: str) -> None:
    """Read by dateutil, every third hour of a year and each quarter hour around the changes."""
    zone = ZoneInfo(name)
    first, last = datetime(2027, 1, 5, tzinfo=zone), datetime(2027, 12, 20, tzinfo=zone)
    from io import StringIO

    read = tzical(StringIO(zone_component(zone, first, last).to_ical().decode())).get(name)
    moment, before = first.astimezone(UTC), first.utcoffset()
    while moment < last:
        here = moment.astimezone(zone)
        assert here.replace(tzinfo=read).utcoffset() == here.utcoffset() or here.fold, here
        if here.utcoffset() != before:
            for minutes in range(-240, 0, 15):
                near = (moment + timedelta(minutes=minutes)).astimezone(zone)
                again = near.replace(fold=1 - near.fold).utcoffset() != near.utcoffset()
                assert again or near.replace(tzinfo=read).utcoffset() == near.utcoffset(), near
            before = here.utcoffset()
        moment += timedelta(hours=3)


def test_words_a_maker_types_stay_words(planned: Planned) -> None:
    answer = planned("one-board")
    odd = 'Shelf; "A", \\ B\nEND:VEVENT\r\nX: \x07é漢' + "long " * 40
    job = next(iter(answer.work.jobs.values()))
    tasks = tuple(replace(t, says=odd) for t in job.tasks)
    work = replace(answer.work, jobs={job.part.name: replace(job, tasks=tasks)}, piece=replace(answer.piece, name=odd))
    mixes = {t.id: odd for t in tasks}
    named = " ".join(odd.replace("\x07", "").split())
    raw = calendar_file(work, answer.plan, answer.shop, CalendarText(mixes, {}))
    calendar = vobject.readOne(raw.decode("utf-8"))
    plain = odd.replace("\r\n", "\n").replace("\x07", "")
    assert calendar.contents["name"][0].value == named
    event = next(e for e in calendar.vevent_list if not hasattr(e, "transp"))
    assert event.description.value.startswith(plain)
    assert event.summary.value == "Board: " + " ".join(plain.split())
    assert raw.count(b"\r\nEND:VEVENT\r\n") == len(calendar.vevent_list)


def test_a_step_keeps_its_uid_and_the_later_plan_overrules(planned: Planned) -> None:
    first, later = planned("music-cabinet"), planned("music-cabinet", "20 Feb 2027 8:00", "8 Feb 2027 8:00")
    keys = [key for key, p in first.plan.placed.items() if key in later.plan.placed and len(p.spans) == 1]
    assert len(keys) > 40
    one, two = ({_key(e): e for e in _events(_file(a)) if _key(e)} for a in (first, later))
    for key in keys:
        assert one[key].uid.value == two[key].uid.value
        assert int(two[key].sequence.value) > int(one[key].sequence.value)
    logged = [k for k, p in later.plan.placed.items() if p.done and k in two]
    assert logged and all(two[k].status.value == "CONFIRMED" for k in logged)


def _key(event: vobject.base.Component, words: str = "When it is done:") -> str:
    said = re.search(rf"{words} (\S+)$", event.description.value)
    return said[1] if said else ""


@pytest.mark.parametrize("piece", PIECES)
def test_alarms_stand_where_waits_likely_end_and_the_shop_is_open(planned: Planned, piece: str) -> None:
    answer = planned(piece)
    waits = {k: p for k, p in answer.plan.placed.items() if p.waited_for and p.waited_for.likely}
    rung = {_key(e): e for e in _events(_file(answer)) if hasattr(e, "valarm") and _key(e)}
    assert set(rung) == set(waits)
    for key, placed in waits.items():
        trigger = rung[key].valarm.trigger.value
        moment = placed.start.astimezone(UTC) + trigger
        likely = placed.waited_for.likely if placed.waited_for else None
        assert likely and trigger <= timedelta()
        assert moment == placed.start or (likely <= moment and is_open(answer.shop, moment)), key


def test_rags_ring_when_the_oil_is_laid(planned: Planned) -> None:
    answer = planned("one-board")
    oil = next(t.lay.material for j in answer.work.jobs.values() for t in j.tasks if t.lay and t.do == "oil")
    raw = _file(answer, CalendarText({}, {oil: "Lay each rag flat, outdoors."}))
    told = {_key(e, "It belongs to"): e for e in _events(raw) if RAGS in e.summary.value}
    oiled = [key for key in answer.plan.placed if key.startswith("board/oil")]
    assert len(oiled) == 2 and set(oiled) <= set(told)
    for key in oiled:
        event, step = told[key], answer.plan.placed[key]
        assert step.start < event.dtstart.value < event.dtend.value == step.end
        now, last = event.valarm_list
        assert now.trigger.value == timedelta() and "flat, outdoors" in now.description.value
        looks = (event.dtstart.value + last.trigger.value).astimezone(answer.shop.zone)
        assert "last look" in last.description.value
        assert looks.time() == max(end for _, end in answer.shop.hours[looks.weekday()])


def test_what_the_plan_holds_no_more_is_called_off(planned: Planned) -> None:
    answer = planned("one-board")
    old = _file(answer)
    placed = {k: p for k, p in answer.plan.placed.items() if k != "board/wax-2"}
    plan = replace(answer.plan, placed=placed)
    new = calendar_file(answer.work, plan, answer.shop, NOTHING, old)
    off = [e for e in _events(new) if hasattr(e, "status") and e.status.value == "CANCELLED"]
    assert sorted(_key(e) for e in off) == ["", "board/wax-2"]
    assert sum(RAGS in e.summary.value for e in off) == 1 and not any(hasattr(e, "valarm") for e in off)
    assert calendar_file(answer.work, plan, answer.shop, NOTHING, new) == new
    back = _file(answer, before=new)
    assert b"CANCELLED" not in back


def test_another_file_is_left_alone(planned: Planned) -> None:
    board, cabinet = planned("one-board"), planned("music-cabinet")
    with pytest.raises(NotOurs, match="Walnut wall shelf"):
        _file(cabinet, before=_file(board))
    elsewhere = b"BEGIN:VCALENDAR\r\nVERSION:2.0\r\nPRODID:x\r\nEND:VCALENDAR\r\n"
    for other in (b"shopping list\n", b"\xff\xfe\x00", elsewhere):
        with pytest.raises(NotOurs):
            _file(cabinet, before=other)


def test_the_same_plan_gives_the_same_file(planned: Planned) -> None:
    answer = planned("one-board")
    raw = _file(answer)
    assert _file(answer) == raw and _file(answer, before=raw) == raw
    assert len(Calendar.from_ical(raw).errors) == 0


@pytest.mark.parametrize(
    ("chance", "says"),
    [(0.04, "less than 1 in 10"), (0.25, "about 3 in 10"), (0.45, "about 5 in 10"), (0.65, "about 7 in 10"),
     (0.85, "about 9 in 10"), (0.96, "better than 9 in 10")],
)  # fmt: skip
def test_odds_of_a_date_are_never_said_as_certain(planned: Planned, chance: float, says: str) -> None:
    answer = planned("one-board")
    odds = Odds(chance, in_tenths(chance), "book figures", None, None, None)
    due = tuple(replace(d, odds=odds) for d in answer.plan.due)
    calendar = vobject.readOne(_file(replace(answer, plan=replace(answer.plan, due=due))).decode("utf-8"))
    told = [e.description.value for e in calendar.vevent_list if e.summary.value.startswith("Wanted: ")]
    assert told and all(f"The odds that it is kept: {says}, by book figures." in one for one in told)
    assert not any("times in 10" in one for one in told)
