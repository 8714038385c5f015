"""The plan as a calendar file (RFC 5545): each stretch of work, with an alarm where a wait before it ends.

The same step keeps its UID from one planning to the next, so that a calendar moves it and does not double it. What
an earlier file held and the plan holds no more is called off.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from datetime import UTC, date, datetime, timedelta
from pathlib import PurePath
from typing import Any
from uuid import UUID, uuid5
from zoneinfo import ZoneInfo

from icalendar import Alarm, Calendar, Event, Timezone, TimezoneDaylight, TimezoneStandard
from icalendar.prop import vDDDTypes, vText

from rakelight.papers.odds_text import odds_words
from rakelight.papers.plan_text import does_words, hand_words, pieces_words, range_words, ready_words
from rakelight.papers.wrapping import lower_first, upper_first
from rakelight.piece.model import part_words
from rakelight.plan.full_use import full_use
from rakelight.plan.model import Placed, Plan, Ready, rags_span
from rakelight.schedule.rags import RAGS
from rakelight.schedule.tasks import Task, Work
from rakelight.shop.hours import closing_after, open_from
from rakelight.shop.model import Shop

PRODID = "-//rakelight//calendar of finishing//EN"

#: the root of all UIDs; never to be changed
_UIDS = UUID("4f0f8a52-3a0c-5b53-9a57-5b0a6d2f7c11")
#: versions of an event count minutes since then, so that a later file overrules an earlier one
_FIRST = datetime(2020, 1, 1, tzinfo=UTC)
#: a wait that ends no longer before its step has the alarm at the step. Assumption
_SHORT = timedelta(minutes=30)
#: the alarm for a day without an hour. Assumption: a morning
_MORNING = timedelta(hours=8)
_CONTROL = re.compile("[\x00-\x08\x0b-\x1f\x7f-\x9f\ud800-\udfff]")


class NotOurs(ValueError):
    """A file that is there already and is no calendar of this piece."""


@dataclass(frozen=True)
class CalendarText:
    """What goes into the file beside the plan itself."""

    mixes: Mapping[str, str]  # by task: what to mix
    rags: Mapping[str, str]  # by material: what to do with what is wet with it


def calendar_file(work: Work, plan: Plan, shop: Shop, text: CalendarText, before: bytes | None = None) -> bytes:
    """The plan as iCalendar text.

    Parameters: before, the file this one takes the place of.
    Raises NotOurs where that is not a calendar of this piece.
    """
    now = plan.now or plan.start or datetime.now(shop.zone)
    calendar = Calendar()
    calendar.add("prodid", PRODID)
    calendar.add("version", "2.0")
    calendar.add("calscale", "GREGORIAN")
    name = _line(work.piece.name)
    calendar.add("name", vText(name))
    calendar.add("x-wr-calname", vText(name))
    calendar.add("x-wr-timezone", shop.zone.key)
    events = [*_work_events(work, plan, shop, text, now), *_dates(work, plan, now)]
    gone = _called_off(before, name, {str(e["uid"]) for e in events}, now) if before else []
    moments = [m for p in plan.placed.values() for span in p.spans for m in span] + [d.by for d in plan.due] + [now]
    moments += [m for e in gone if isinstance(m := _begins(e), datetime)]
    calendar.add_component(zone_component(shop.zone, min(moments), max(moments)))
    for event in (*events, *gone):
        calendar.add_component(event)
    return bytes(calendar.to_ical())


def zone_component(zone: ZoneInfo, first: datetime, last: datetime) -> Timezone:
    """The offsets of a zone from a year before a moment to a year after another, each change written out.

    The start of an offset is written as RFC 5545 asks, in the time of the clocks before the change.
    """
    component = Timezone()
    component.add("tzid", zone.key)
    at = int(first.timestamp()) - 366 * 86400
    end = int(last.timestamp()) + 366 * 86400
    known = _clock(zone, at)
    component.add_component(_offset(at, known, known))
    while at < end:
        step = min(at + 7 * 86400, end)
        then = _clock(zone, step)
        if then != known:
            low, high = at, step
            while high - low > 1:
                mid = (low + high) // 2
                low, high = (mid, high) if _clock(zone, mid) == known else (low, mid)
            then = _clock(zone, high)
            component.add_component(_offset(high, known, then))
            step, known = high, then
        at = step
    return component


_Clock = tuple[timedelta, bool, str]


def _clock(zone: ZoneInfo, at: int) -> _Clock:
    moment = datetime.fromtimestamp(at, zone)
    return moment.utcoffset() or timedelta(), bool(moment.dst()), moment.tzname() or ""


def _offset(at: int, before: _Clock, after: _Clock) -> TimezoneStandard | TimezoneDaylight:
    component = TimezoneDaylight() if after[1] else TimezoneStandard()
    component.add("dtstart", (datetime.fromtimestamp(at, UTC) + before[0]).replace(tzinfo=None))
    component.add("tzoffsetfrom", before[0])
    component.add("tzoffsetto", after[0])
    component.add("tzname", after[2])
    return component


def _plain(words: str) -> str:
    """Words a maker typed, without control characters; the writer escapes the rest."""
    return _CONTROL.sub("", words.replace("\r\n", "\n").replace("\r", "\n"))


def _line(words: str) -> str:
    return " ".join(_plain(words).split())


def _event(work: Work, key: str, now: datetime) -> Event:
    event = Event()
    piece = work.piece
    event.add("uid", f"{uuid5(_UIDS, chr(10).join((PurePath(piece.file).name, piece.name, key)))}@rakelight")
    event.add("dtstamp", now.astimezone(UTC))
    event.add("last-modified", now.astimezone(UTC))
    event.add("sequence", _version(now))
    return event


def _work_events(work: Work, plan: Plan, shop: Shop, text: CalendarText, now: datetime) -> Iterator[Event]:
    tasks = {t.id: t for job in work.jobs.values() for t in job.tasks}
    for key, placed in plan.placed.items():
        task = tasks.get(key)
        for n, (start, end) in enumerate(placed.spans):
            event = _event(work, key if n == 0 else f"{key}#{n + 1}", now)
            event.add("summary", _line(_summary(key, task) + hand_words(placed) + (" (taken up again)" if n else "")))
            event.add("dtstart", start)
            event.add("dtend", end)
            event.add("location", _line(placed.place))
            event.add("status", "CONFIRMED" if placed.done else "TENTATIVE")
            event.add("description", _plain("\n".join(_description(key, task, placed, text))))
            if task and task.work in ("wet", "dusty", "dirty"):
                event.add("categories", [task.work])
            if n == 0 and not placed.done and end > now:
                for alarm in _alarms(key, task, placed, shop, now):
                    event.add_component(alarm)
            yield event
        if (rags := rags_span(task, placed)) and task:
            yield _rags_event(work, key, task, placed, rags, shop, text, now)


def _rags_event(
    work: Work, key: str, task: Task, placed: Placed, span: tuple[datetime, datetime], shop: Shop, text: CalendarText,
    now: datetime,
) -> Event:  # fmt: skip
    """What is wet with oil, at once: an alarm when it is time, and one for a last look when the shop closes."""
    event = _event(work, f"{key}#rags", now)
    part = part_words(key.split("/")[0])
    event.add("summary", _line(f"{part}: {RAGS}"))
    event.add("dtstart", span[0])
    event.add("dtend", span[1])
    event.add("location", _line(placed.place))
    event.add("status", "TENTATIVE")
    says = _rags(task, text)
    event.add("description", _plain("\n".join(filter(None, (says, f"It belongs to {key}")))))
    if span[1] > now:
        event.add_component(_alarm(f"{part}: {says or RAGS}", timedelta()))
        closes = closing_after(shop, span[1])
        if closes and closes > span[1]:
            event.add_component(_alarm(f"{part}: a last look for rags, in bins and corners too.", closes - span[0]))
    return event


def _summary(key: str, task: Task | None) -> str:
    part = part_words(key.split("/")[0])
    says = does_words(task)
    lot = pieces_words(task) if task else ""
    return f"{part}{lot}: {says}"


def _description(key: str, task: Task | None, placed: Placed, text: CalendarText) -> list[str]:
    lines = []
    if mix := text.mixes.get(key):
        lines.append(upper_first(mix))
    wait = placed.waited_for
    if wait and not placed.done:
        lines.append(upper_first(f"{ready_words(wait.for_)} {range_words(wait)}."))
        if wait.because:
            lines.append(upper_first(f"{wait.because.says}."))
    if placed.why and not placed.done:
        lines.append(placed.why.says)
    if task and task.test:
        lines.append(f"Test first: {task.test}.")
    if placed.scuff_added:
        lines.append("The coat beneath is past its recoat time: scuff it first.")
    return [*lines, f"When it is done: {key}"]


def _rags(task: Task | None, text: CalendarText) -> str:
    return text.rags.get(task.lay.material, "") if task and task.lay else ""


def _alarms(key: str, task: Task | None, placed: Placed, shop: Shop, now: datetime) -> Iterator[Alarm]:
    """An alarm where the wait before a step likely ends: at that hour where the shop is open, else at opening."""
    wait = placed.waited_for
    if wait is None or wait.likely is None or wait.likely < now:
        return
    moment = open_from(shop, wait.likely)
    early = timedelta(seconds=placed.start.timestamp() - moment.timestamp())
    if early < _SHORT:
        early = timedelta()
    says = f"{part_words(key.split('/')[0])}: {ready_words(wait.for_)}, likely"
    says += f". Test first: {task.test}" if task and task.test else ""
    if early and task:
        says += f". Planned then: {lower_first(task.says.split(': ')[0])}"
    yield _alarm(f"{says}.", -timedelta(minutes=early.total_seconds() // 60))


def _alarm(says: str, when: timedelta) -> Alarm:
    alarm = Alarm()
    alarm.add("action", "DISPLAY")
    alarm.add("description", _line(says))
    alarm.add("trigger", vDDDTypes(when))
    return alarm


def _dates(work: Work, plan: Plan, now: datetime) -> Iterator[Event]:
    """Wanted dates, and the day of full use: they take no time."""
    seen: dict[str, int] = {}
    for due in plan.due:
        key = f"wanted/{due.part}/{due.for_}"
        seen[key] = seen.get(key, 0) + 1
        event = _event(work, f"{key}#{seen[key]}", now)
        whose = part_words(due.part) if due.part else work.piece.name
        event.add("summary", _line(f"Wanted: {whose}, {ready_words(due.for_)}"))
        event.add("dtstart", due.by)  # no end: it takes no time
        event.add("transp", "TRANSPARENT")
        odds = f" The odds that it is kept: {odds_words(due.odds)}." if due.odds else ""
        event.add("description", _plain(upper_first(range_words(due)) + "." + odds))
        yield event
    use = full_use(work.jobs.values(), plan)
    if use and use.likely:
        yield _use(work, use, use.likely.date(), now)


def _use(work: Work, use: Ready, day: date, now: datetime) -> Event:
    event = _event(work, "full use", now)
    event.add("summary", _line(f"{work.piece.name}: ready for full use, likely"))
    event.add("dtstart", day)
    event.add("dtend", day + timedelta(days=1))
    event.add("transp", "TRANSPARENT")
    event.add("description", _plain(upper_first(range_words(use)) + "."))
    event.add_component(_alarm(f"{work.piece.name}: ready for full use, likely.", _MORNING))
    return event


def _called_off(before: bytes, name: str, kept: set[str], now: datetime) -> list[Event]:
    """What the earlier file held ahead of now and the plan holds no more."""
    try:
        old = Calendar.from_ical(before)
    except (ValueError, IndexError, KeyError) as bad:
        raise NotOurs("no calendar") from bad
    if str(old.get("prodid", "")) != PRODID:
        raise NotOurs("a calendar from elsewhere")
    if str(old.get("x-wr-calname", "")) != name:
        raise NotOurs(f"the calendar of {old.get('x-wr-calname', 'another piece')}")
    gone: list[Event] = []
    for event in old.events:
        start = _begins(event)
        ahead = start > now if isinstance(start, datetime) else start > now.date()
        if str(event["uid"]) in kept or not (ahead or str(event.get("status")) == "CANCELLED"):
            continue
        event.subcomponents.clear()
        fresh = {"status": "CANCELLED", "dtstamp": now.astimezone(UTC), "sequence": _version(now)}
        for field, value in fresh.items():
            event.pop(field, None)
            event.add(field, value)
        gone.append(event)
    return gone


def _begins(event: Event) -> datetime | date:
    field: Any = event["dtstart"]
    moment: datetime | date = field.dt
    return moment


def _version(now: datetime) -> int:
    """Counts up with every minute, so that a later file overrules an earlier one."""
    return max(0, int((now - _FIRST).total_seconds() // 60))
