"""Telling the log what happened, from the command line."""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import dataclass
from datetime import datetime, timedelta
from difflib import get_close_matches
from typing import TYPE_CHECKING, Any

from rakelight.desk import Answer, Desk, sense
from rakelight.errors import Misread, NotFound, RakelightError
from rakelight.log.events import Event, as_plain, in_force
from rakelight.papers.moved_text import moved_lines
from rakelight.papers.odds_text import changes
from rakelight.papers.plan_text import moment_words
from rakelight.papers.told_text import told_line
from rakelight.schedule.tasks import Task
from rakelight.shop.hours import by_moment, hours_between, hours_later, windows
from rakelight.shop.model import Shop
from rakelight.units import read_amount, read_date, read_duration

if TYPE_CHECKING:
    from rakelight.cli.at_hand import Meant

#: other names of the step that joins a part
_JOINING = re.compile(
    r"(?<![a-z0-9])(?:glu(?:e|ing)-?up|glu(?:e|ing)(?:-together)?|assembl(?:e|y)|joining|screw(?:-together)?)$"
)


@dataclass(frozen=True)
class Kept:
    """The plan the log holds: starts by task, and when each wanted thing was likely."""

    starts: dict[str, datetime]
    dues: dict[str, datetime]
    odds: dict[str, float]


@dataclass(frozen=True)
class Said:
    """What is told with a step, in the words of the command line."""

    at: str = ""
    took: str = ""
    coats: int | None = None
    used: str = ""
    note: str = ""
    id: str = ""
    maker: str = ""
    can: str = ""

    def named(self) -> dict[str, Any]:
        """Who tells, and the id it is told under, where they are given."""
        return {k: v for k, v in (("id", self.id), ("maker", self.maker)) if v}


def _kept(desk: Desk, said: Said) -> tuple[str, Event] | None:
    """What is written under an id already: it is not written again."""
    kept = desk.log.find(said.id) if said.id else None
    return (f"Written already: {_told(kept, desk.shop)}", kept) if kept else None


#: an hour without a day: 10:50, 7 am, noon
_CLOCK = re.compile(r"\s*(?:\d{1,2}:\d\d(?:\s*[ap]m)?|\d{1,2}\s*[ap]m)\s*", re.IGNORECASE)


def moment_in(desk: Desk, words: str) -> datetime:
    """The moment said, or now; an hour by itself is today's. Raises Misread where it is still to come."""
    if not words:
        return desk.now
    day = f"{desk.now:%Y-%m-%d} " if _CLOCK.fullmatch(words) else ""
    moment = by_moment(desk.shop, read_date(day + words.strip()))
    if moment > desk.now:
        raise Misread(f"{words} is still to come.", "Tell what has happened, or say --now.")
    return moment


def _key(words: str) -> str:
    return re.sub(r"[^a-z0-9]+", "-", words.lower()).strip("-")


def _words_in(key: str) -> set[str]:
    """The words of a name, in whatever order, without those that say nothing."""
    return set(_key(key).split("-")) - {"the", "of", "a", "on", "to"}


def task_of(desk: Desk, words: str) -> str:
    """The id of a step, however it is written: case/coat-3, "case coat 3", case/coat3, "seal the case", "coat 3"
    where only one part has it."""
    known = list(dict.fromkeys(t.id for job in desk.work.jobs.values() for t in job.tasks))
    plan = _plan_event(desk)
    known += [k for k in (plan.plan if plan else {}) if k not in known]
    said = _key(words)
    if words in known:
        return words
    for same in (
        [k for k in known if _key(k) == said],
        [k for k in known if _key(k.split("/", 1)[-1]) == said],
        [k for k in known if f"/{_key(k.split('/', 1)[-1])}".startswith(f"/{said}-") and said],
        [k for k in known if _key(k).startswith(f"{said}-") and said],
        [k for k in known if _key(k) == _JOINING.sub("join", said)],
        [k for k in known if _key(k).replace("-", "") == said.replace("-", "") and said],
        [k for k in known if _words_in(k) == _words_in(words)],
    ):
        if len(same) == 1:
            return same[0]
        if same:
            more = f" or {len(same) - 6} more" if len(same) > 6 else ""
            raise NotFound(f"{words!r} can mean more than one step: {', '.join(same[:6])}{more}.")
    near = get_close_matches(said, [_key(k) for k in known], 4, 0.4)
    names = [k for k in known if _key(k) in near]
    tell = f"Nearest: {', '.join(names[:4])}." if names else "`rakelight today` shows what the steps are called."
    raise NotFound(f"No step is called {words!r}. {tell}")


def _scheduled(desk: Desk, key: str) -> Task | None:
    return next((t for job in desk.work.jobs.values() for t in job.tasks if t.id == key), None)


def _plan_event(desk: Desk) -> Event | None:
    return next((e for e in reversed(desk.log.events()) if e.kind == "planned"), None)


def kept_plan(desk: Desk) -> Kept | None:
    """The plan the log holds, if any."""
    event = _plan_event(desk)
    if event is None:
        return None
    starts = {k: datetime.fromisoformat(v[0]).astimezone(desk.shop.zone) for k, v in event.plan.items()}
    dues = {k: v.astimezone(desk.shop.zone) for k, v in event.dues.items()}
    return Kept(starts, dues, event.odds)


def moved(before: Kept | None, answer: Answer) -> list[str]:
    """What moved against the plan kept before, in words."""
    if before is None:
        return ["This is the first plan kept; there is nothing to compare it with."]
    odds = changes(answer.plan, before.odds)
    return moved_lines(before.starts, before.dues, answer.plan, answer.work, answer.state, odds)


def done(desk: Desk, step: str, told: Said) -> tuple[str, Event]:
    """A step is done."""
    if kept := _kept(desk, told):
        return kept
    task, end = task_of(desk, step), moment_in(desk, told.at)
    sense.not_told_before(desk, task)
    start, took_min = None, None
    plan = _plan_event(desk)
    if told.took:
        hours = worked_h(told.took)
        start, took_min = hours_later(end, -hours), hours * 60
    elif plan and task in plan.plan and not _is_begun(desk, task):
        a, b = (datetime.fromisoformat(w) for w in plan.plan[task][:2])
        start = hours_later(end, -min(hours_between(a, b), 12.0))
    step_of = _coats_of(desk, task, told.coats) if told.coats is not None else ""
    used = used_as(desk, task, told.used) if told.used else {}
    used |= from_can(desk, task, told.can) if told.can else {}
    sense.in_order(desk, task, end)
    untold = sense.untold_before(desk, task)
    odd = sense.odd_about(desk, task, start if told.took else None, end, untold)
    event = Event(
        "done", end, desk.now, task=task, start=start, words=told.note, number=told.coats, step=step_of,
        also=untold, took_min=took_min, **used, **told.named(),
    )  # fmt: skip
    event = desk.log.add(event)
    said = f"Written: {task} done, {moment_words(end)}."
    if step_of:
        said += f" It took {told.coats} coat{'s' * (told.coats != 1)}; `rakelight replan` plans the rest by that."
    return " ".join([said, *odd]), event


def all_done(meant: Meant, steps: list[str], told: Said, as_json: bool) -> None:
    """Several steps are done, in the order named; all must be there before the first is written."""
    from rakelight.cli import at_hand, plain, show

    found, said = [], []
    for step in steps:
        with at_hand.desk_of(meant, step) as (desk, name):
            found.append(task_of(desk, name))
            sense.not_told_before(desk, found[-1])
    if len(set(found)) < len(found):
        twice = next(task for task in found if found.count(task) > 1)
        raise Misread(f"{twice} is named twice.", "Name each step once.")
    for step in steps:  # each with what was told just before
        with at_hand.desk_of(meant, step) as (desk, name):
            said.append(done(desk, name, told))
            if not as_json:
                show.told(desk, *said[-1], as_json=False)
    if as_json:
        events = [as_plain(event) for _, event in said]
        plain.data({"schema": 1, "says": " ".join(says for says, _ in said), "event": events[-1], "events": events})


def _is_begun(desk: Desk, task: str) -> bool:
    """Whether its beginning was told: that rules over the time it was planned to take."""
    return any(e.kind == "started" and e.task == task for e in in_force(desk.log.events()))


def worked_h(took: str) -> float:
    """Hours of work from words as "35 min"."""
    hours, overnight = read_duration(took)
    if overnight:
        raise Misread("Overnight is no time that work takes.", "Write it as 35 min or 2 h.")
    return hours


def used_as(desk: Desk, task: str, words: str) -> dict[str, Any]:
    """What a coat took, as told, or the can weighed before and after. Raises Misread where the step lays nothing."""
    known = _scheduled(desk, task)
    if known is not None and known.lay is None:
        raise Misread(f"{task} lays nothing.", "Leave --used out, or name the coat.")
    first, _, last = words.partition(" to ")
    if not last:
        amount = read_amount(words)
        return {f"used_{amount.unit}": amount.value}
    before, after = read_amount(first), read_amount(last)
    if (before.unit, after.unit) != ("g", "g"):
        raise Misread(f"{words!r} is no can weighed before and after.", "Write it as 850 g to 730 g.")
    if after.value > before.value:
        raise Misread(f"The can weighs more after ({last}) than before ({first}).", "Change them over.")
    return {"before_g": before.value, "after_g": after.value}


def from_can(desk: Desk, task: str, can: str) -> dict[str, Any]:
    """The can a coat was laid from. Raises Misread where the step lays nothing."""
    known = _scheduled(desk, task)
    if known is not None and known.lay is None:
        raise Misread(f"{task} lays nothing.", "Leave --can out, or name the coat.")
    return {"can": can}


def begun(desk: Desk, step: str, told: Said) -> tuple[str, Event]:
    """A step is begun."""
    return _of_step(desk, step, told, "started", lambda e: f"begun, {moment_words(e.happened)}.")


def left_out(desk: Desk, step: str, told: Said) -> tuple[str, Event]:
    """A step is left out for good."""
    return _of_step(desk, step, told, "skipped", lambda _: "left out. `rakelight replan` plans without it.")


def _of_step(desk: Desk, step: str, told: Said, kind: str, says: Callable[[Event], str]) -> tuple[str, Event]:
    if kept := _kept(desk, told):
        return kept
    task, at = task_of(desk, step), moment_in(desk, told.at)
    sense.not_told_before(desk, task)
    event = desk.log.add(Event(kind, at, desk.now, task=task, words=told.note, **told.named()))
    return f"Written: {task} {says(event)}", event


def _coats_of(desk: Desk, task: str, coats: int) -> str:
    """The step of the schedule whose coats are told: "case/oil". Raises Misread where none were open."""
    if not 1 <= coats <= 20:
        raise Misread(f"{coats} is no number of coats.", "Write 1 to 20.")
    known = _scheduled(desk, task)
    step = known.scheduled if known else None
    if known is None or known.lay is None or step is None:
        raise Misread(f"{task} lays no coats.", "Leave --coats out, or name the coat.")
    if step.coats.most == step.coats.least:
        mend = "Leave --coats out; to lay another number, write coats = [1, 2, 3] in the schedule."
        raise Misread(f"The schedule of {task} leaves no number of coats open.", mend)
    if known.lay.coat > coats:
        raise Misread(f"{task} is coat {known.lay.coat} itself.", f"Write {known.lay.coat} or more.")
    return f"{known.part}/{step.name or step.do}"


def tested(desk: Desk, step: str, told: Said, again: str, passed: bool) -> tuple[str, Event]:
    """A hand test was made before a step."""
    if kept := _kept(desk, told):
        return kept
    task, moment = task_of(desk, step), moment_in(desk, told.at)
    fact = desk.state.done.get(task)
    if fact and fact.logged:
        mend = "If that was too soon, take it back with `rakelight undo PIECE`."
        raise RakelightError(f"{task} is written down as done, {moment_words(fact.end or fact.start)}. {mend}")
    hours = None
    if again:
        if passed:
            raise Misread("A test that passed is not made again.", "Leave --again or --passed out.")
        hours = _again_h(desk, again, moment)
    sense.may_be_tested(desk, task, moment)
    waits = _waits(desk, task)
    event = Event(
        "tested", moment, desk.now, task=waits.id if waits else task, passed=passed, again_h=hours,
        readiness=waits.asks.readiness if waits else "", words=told.note,
        also=[task] if passed and waits and waits.id != task else [], **told.named(),
    )  # fmt: skip
    event = desk.log.add(event)
    how = "passed" if passed else "failed"
    words = f" ({waits.test})" if waits and waits.test else ""
    said = f"Written: the test before {task}{words} {how}, {moment_words(moment)}."
    return f"{said} `rakelight replan` says what moves.", event


def _again_h(desk: Desk, words: str, moment: datetime) -> float:
    """Hours until a test is made again; tomorrow and overnight mean when the shop opens next, another day."""
    if words.strip().lower() in ("tomorrow", "next day", "overnight"):
        spans = windows(desk.shop, moment, moment + timedelta(days=30))
        opens = next((a for a, _ in spans if a.date() > moment.date()), moment + timedelta(days=1))
        return hours_between(moment, opens)
    hours, overnight = read_duration(words)
    return 24.0 if overnight else hours


def _waits(desk: Desk, key: str) -> Task | None:
    """The task whose start waits for the test: the step named, or the carrying to it, where that waits first."""
    job = next((j for j in desk.work.jobs.values() if any(t.id == key for t in j.tasks)), None)
    if job is None:
        return None
    chain = [t for t in job.tasks if t.board == _scheduled_board(job.tasks, key)]
    at = next(n for n, t in enumerate(chain) if t.id == key)
    found = at
    for n in range(at - 1, -1, -1):
        fact = desk.state.done.get(chain[n].id)
        if chain[n].do not in ("move", "turn", "points") or (fact and fact.logged):
            break
        found = n if chain[n].test else found
    return chain[found] if chain[at].test == "" else chain[at]


def _scheduled_board(tasks: tuple[Task, ...], key: str) -> bool:
    return next(t.board for t in tasks if t.id == key)


def undone(desk: Desk) -> tuple[str, Event]:
    """Take back the last thing told."""
    last = desk.log.last_told()
    if last is None:
        raise RakelightError("Nothing that was told is left to take back.")
    event = Event("taken back", desk.now, desk.now, takes_back=last.id)
    event = desk.log.add(event)
    return taken_back(last, desk.shop), event


def taken_back(last: Event, shop: Shop) -> str:
    """That something told no longer counts."""
    return f"Taken back: {told_line(last, shop.zone)}. It stays in the log, and no longer counts."


def _told(event: Event, shop: Shop) -> str:
    return f"{told_line(event, shop.zone)}."


def caught_up(desk: Desk, since: str) -> tuple[str, Event | None]:
    """Confirm what was counted as done as planned."""
    from_moment = moment_in(desk, since) if since else None
    hollow = [f for f in desk.state.done.values() if not f.logged and f.end and f.end <= desk.now]
    hollow = [f for f in hollow if from_moment is None or f.start >= from_moment]
    if not hollow:
        if _plan_event(desk) is None:
            raise RakelightError("No plan was kept yet: `rakelight plan PIECE --keep` keeps one.")
        return "Nothing is open: all that lies behind is written down.", None
    times = {f.task: (f.start, f.end) for f in hollow if f.end}
    event = Event.confirmed(times, desk.now)
    event = desk.log.add(event)
    first, last = min(f.start for f in hollow), max(f.end for f in hollow if f.end)
    zone = desk.shop.zone
    spell = f"{moment_words(first.astimezone(zone))} to {moment_words(last.astimezone(zone))}"
    return f"Written: {len(times)} step{'s' * (len(times) != 1)} done as planned, {spell}.", event
