"""Telling the log what happened, from the command line."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime, timedelta
from difflib import get_close_matches
from pathlib import Path

from rakelight.cli import show
from rakelight.desk import Answer, Desk
from rakelight.errors import NotFound, RakelightError
from rakelight.log.events import Event
from rakelight.papers.plan_text import moment_words
from rakelight.plan.moved import moved_lines
from rakelight.shop.hours import by_moment
from rakelight.units import read_date, read_duration


@dataclass(frozen=True)
class Kept:
    """The plan the log holds: starts by task, and when each wanted thing was likely."""

    starts: dict[str, datetime]
    dues: dict[str, datetime]


def open_for(piece: Path, shop: Path, now: str, log: Path | None) -> Desk:
    """The desk for a piece whose plan was kept."""
    return show.desk(piece, shop, "", "pack", now, log)


def _moment(desk: Desk, words: str) -> datetime:
    return by_moment(desk.shop, read_date(words)) if words else desk.now


def _task(desk: Desk, words: str) -> str:
    known = [t.id for job in desk.work.jobs.values() for t in job.tasks]
    plan = _plan_event(desk)
    known += [k for k in (plan.plan if plan else {}) if k not in known]
    if words in known:
        return words
    spoken = words.strip().lower().replace(" ", "-")
    close = [k for k in known if k.endswith("/" + spoken)]
    if len(close) == 1:
        return close[0]
    near = close or get_close_matches(spoken, known, 4, 0.4)
    raise NotFound(f"No step is called {words!r}. " + (f"Nearest: {', '.join(near[:6])}." if near else ""))


def _plan_event(desk: Desk) -> Event | None:
    return next((e for e in reversed(desk.log.events()) if e.kind == "planned"), None)


def kept_plan(desk: Desk) -> Kept | None:
    """The plan the log holds, if any."""
    event = _plan_event(desk)
    if event is None:
        return None
    starts = {k: datetime.fromisoformat(v[0]).astimezone(desk.shop.zone) for k, v in event.plan.items()}
    dues = {k: v.astimezone(desk.shop.zone) for k, v in event.dues.items()}
    return Kept(starts, dues)


def moved(before: Kept | None, answer: Answer) -> list[str]:
    """What moved against the plan kept before, in words."""
    if before is None:
        return ["This is the first plan kept; there is nothing to compare it with."]
    return moved_lines(before.starts, before.dues, answer.plan)


def done(desk: Desk, step: str, at: str, took: str, coats: int, note: str) -> str:
    """A step is done."""
    task, end = _task(desk, step), _moment(desk, at)
    start = None
    plan = _plan_event(desk)
    if took:
        start = end - timedelta(hours=read_duration(took)[0])
    elif plan and task in plan.plan:
        a, b = (datetime.fromisoformat(w) for w in plan.plan[task][:2])
        start = end - (b - a)
    desk.log.add(Event("done", end, desk.now, task=task, start=start, words=note))
    if coats:
        part, _, name = task.partition("/")
        desk.log.add(Event("coats", end, desk.now, task=f"{part}/{name.rsplit('-', 1)[0]}", number=coats))
    return f"Written: {task} done, {moment_words(end)}."


def tested(desk: Desk, step: str, at: str, again: str, passed: bool) -> str:
    """A hand test was made before a step."""
    task, moment = _task(desk, step), _moment(desk, at)
    hours = None
    if again:
        hours, overnight = read_duration(again)
        hours = 24.0 if overnight else hours
    desk.log.add(Event("tested", moment, desk.now, task=task, passed=passed, again_h=hours))
    how = "passed" if passed else "failed"
    return f"Written: the test before {task} {how}, {moment_words(moment)}. Say `rakelight replan` to see what moves."


def caught_up(desk: Desk, since: str) -> str:
    """Confirm what was counted as done as planned."""
    from_moment = _moment(desk, since) if since else None
    hollow = [f for f in desk.state.done.values() if not f.logged and f.end and f.end <= desk.now]
    hollow = [f for f in hollow if from_moment is None or f.start >= from_moment]
    if not hollow:
        raise RakelightError("Nothing is open: all that lies behind is written down, or no plan was kept.")
    for fact in hollow:
        assert fact.end is not None
        desk.log.add(Event("confirmed", fact.end, desk.now, task=fact.task, start=fact.start))
    return f"Written: {len(hollow)} steps done as planned."
