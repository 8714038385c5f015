"""What happened, as the pages and the interface tell it: from words sent to an entry of the log."""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime, timedelta
from typing import Any

from rakelight.desk import Desk, sense
from rakelight.desk.pore_test import pore_test
from rakelight.errors import Misread, RakelightError
from rakelight.log.events import TOLD, Event
from rakelight.papers.plan_text import moment_words
from rakelight.piece.model import part_words
from rakelight.shop.hours import hours_between, hours_later
from rakelight.web.keeper import ServedShop
from rakelight.web.sent import Sent

_MOST_PLANNED_H = 12.0
UNDO_FOR = timedelta(minutes=1)


class ToldBefore(RakelightError):
    """A step that another device has told already."""


def step_words(task: str) -> str:
    """A step by its part and name: "Case, coat 3"."""
    part, _, step = task.partition("/")
    return f"{part_words(part)}, {step.replace('-', ' ').replace('/', ', ')}" if step else part_words(part)


def base(sent: Sent, shop: ServedShop, kind: str, **more: Any) -> Event:
    """An entry with what every entry has: when, of which piece, from which device."""
    return Event(
        kind, sent.happened(shop), shop.now, id=sent.id, piece=sent["piece"], task=sent["task"], device=sent.device,
        **more,
    )  # fmt: skip


def tell_done(sent: Sent, shop: ServedShop) -> Event:
    """A step is done: with what it used, how long it took and how many coats, where that is said."""
    event = base(sent, shop, "done", words=sent["words"], **sent.amount(), **sent.minutes())
    if _is_kept(shop, event.id, event.piece):
        return event
    desk = shop.desk(event.piece)
    _not_told_before(shop, desk, event)
    start = _start(desk, event)
    number = sent.number("coats", "the coats it took", 20)
    step_of = _coats_of(desk, event.task) if number else ""
    also = sense.untold_before(desk, event.task)
    return shop.tell(
        replace(event, start=start, also=also, number=round(number) if number else None, step=step_of)
    )


def tell_as_of(event: Event, shop: ServedShop) -> Event:
    """A step is done as planned, ended when the entry says."""
    if _is_kept(shop, event.id, event.piece):
        return event
    desk = shop.desk(event.piece)
    _not_told_before(shop, desk, event)
    return shop.tell(replace(event, start=_start(desk, event), also=sense.untold_before(desk, event.task)))


def _is_kept(shop: ServedShop, id: str, piece: str) -> bool:
    return any(e.id == id for e in shop.store.events(piece))


def _not_told_before(shop: ServedShop, desk: Desk, event: Event) -> None:
    fact = desk.state.done.get(event.task)
    if not (fact and fact.logged):
        return
    told = next((e for e in reversed(shop.counting(event.piece)) if event.task in (e.task, *e.plan)), None)
    when = moment_words((fact.end or fact.start).astimezone(desk.shop.zone))
    who = f", from {told.device}" if told and told.device else ""
    raise ToldBefore(f"{step_words(event.task)} is told already, {when}{who}. It counts once.")


def _start(desk: Desk, event: Event) -> datetime:
    """When it began: as told, as long before its end as it took, or as the plan has it."""
    begun = desk.state.started.get(event.task)
    if event.took_min is not None:
        return hours_later(event.happened, -event.took_min / 60)
    if begun is not None:
        return min(begun, event.happened)
    counted = desk.state.done.get(event.task)
    if counted and counted.end:
        planned_h = hours_between(counted.start, counted.end)
    else:
        task = next((t for job in desk.work.jobs.values() for t in job.tasks if t.id == event.task), None)
        planned_h = task.minutes.likely / 60 if task else 0.0
    return hours_later(event.happened, -min(max(planned_h, 0.0), _MOST_PLANNED_H))


def _coats_of(desk: Desk, task: str) -> str:
    """The step of the schedule whose coats are told: "case/oil"."""
    known = next((t for job in desk.work.jobs.values() for t in job.tasks if t.id == task), None)
    if known is None or known.lay is None or known.scheduled is None:
        raise Misread(f"{step_words(task)} lays no coats.", "Leave the number of coats out.")
    return f"{known.part}/{known.scheduled.name or known.scheduled.do}"


def tell_test(sent: Sent, shop: ServedShop, passed: bool) -> Event:
    """A hand test was made: it passed, or is to be made again later."""
    event = base(sent, shop, "tested", passed=passed)
    if _is_kept(shop, event.id, event.piece):
        return event
    desk = shop.desk(event.piece)
    _not_told_before(shop, desk, event)
    sense.may_be_tested(desk, event.task, event.happened)
    task = next((t for job in desk.work.jobs.values() for t in job.tasks if t.id == event.task), None)
    again = None if passed else sent.number("again_h", "the hours until you look again", 24 * 60) or None
    return shop.tell(replace(event, readiness=task.asks.readiness if task else "", again_h=again))


def tell_dust(sent: Sent, shop: ServedShop, open_: bool) -> Event:
    """Dust was rubbed over a coat of filler: it lies white in open pores, or they are filled."""
    event = base(sent, shop, "coats")
    if _is_kept(shop, event.id, event.piece):
        return event
    found = pore_test(shop.desk(event.piece), event.task, open_)
    values = {"open": float(open_), **found.values}
    return shop.tell(replace(event, step=found.step, number=found.number, values=values))


def tell_simple(sent: Sent, shop: ServedShop, kind: str, **more: Any) -> Event:
    """Begun, left out, a note, a fault, rags out: what needs no reckoning."""
    event = base(sent, shop, kind, **more)
    if not _is_kept(shop, event.id, event.piece) and kind in ("started", "skipped"):
        _not_told_before(shop, shop.desk(event.piece), event)
    return shop.tell(event)


def tell_as_planned(shop: ServedShop, piece: str, tasks: set[str], id: str, device: str) -> Event | None:
    """Steps of a piece were done as planned; None where none of them is open."""
    desk = shop.desk(piece)
    now = shop.now
    hollow = [f for f in desk.state.done.values() if not f.logged and f.end and f.end <= now and f.task in tasks]
    if not hollow:
        return None
    told = Event.confirmed({f.task: (f.start, f.end) for f in hollow if f.end}, now)
    return shop.tell(replace(told, id=f"{id}-{piece}"[-64:], piece=piece, device=device))


def last_within_undo(shop: ServedShop, device: str) -> Event | None:
    """What this device told last, where that is within the last minute and not taken back."""
    now = shop.now
    told = shop.once("told last", lambda: shop.store.events(after=shop.last_seq() - 40))
    mine = (e for e in reversed(told) if e.kind not in ("planned", "piece", "learned") and e.device == device)
    last = next(mine, None)
    return last if last and last.kind != "taken back" and now - last.written <= UNDO_FOR else None


def undo_left_s(shop: ServedShop, event: Event) -> int:
    """Seconds for which an entry may still be taken back where it was pressed."""
    return max(0, round((event.written + UNDO_FOR - shop.now).total_seconds()))


def told_today(shop: ServedShop) -> list[Event]:
    """What was told and counts of today, the last first."""
    day = shop.now.date()

    def read() -> list[Event]:
        begins = shop.now.replace(hour=0, minute=0, second=0, microsecond=0)
        rows = shop.lately(begins, TOLD)
        today = (e for e in rows if e.happened.astimezone(shop.zone).date() == day)
        return sorted(today, key=lambda e: e.written, reverse=True)

    return shop.once(f"told {day}", read)

