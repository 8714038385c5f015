"""What the calendar shows, as plain data: rows of parts with their work and waits, dates, open hours, places."""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from datetime import datetime, timedelta

from rakelight.errors import Finding, Severity
from rakelight.papers.plan_text import day_words, range_words, ready_words
from rakelight.papers.wrapping import lower_first, upper_first
from rakelight.piece.model import part_words
from rakelight.plan.full_use import full_use
from rakelight.plan.model import Due, Placed, Plan, Ready
from rakelight.schedule.steps import READINESSES
from rakelight.schedule.tasks import Job, Task, Work
from rakelight.shop.hours import windows
from rakelight.shop.model import Shop

#: rows above which members stand in the row of what they are joined into, for each cut
WIDE_ROWS, NARROW_ROWS = 12, 5

#: kinds of work by their top edge
WET, DUSTY, HAND = "wet", "dusty", "hand"
_BY_EDGE = {"wet": WET, "dusty": DUSTY, "dirty": DUSTY}

#: a block that has no name of its own in the picture; small work inside a run of coats
_UNNAMED = ("scuff", "turn", "points", "judge")
#: named only where there is room
_LESSER = ("move",)
#: a row's share of the length kept free behind the last thing on it
_AFTER = 0.04
_LEAST_DAYS = 5
#: the picture reaches on to a later readiness where that makes it no longer than by this share
_REACH = 0.25


@dataclass(frozen=True)
class Block:
    """Work on one part: from when to when, and what it is called."""

    start: datetime
    end: datetime
    edge: str  # wet, dusty, hand
    base: str  # "coat", "sand"; "" no name
    number: int = 0
    done: bool = False
    stopped: bool = False
    lesser: bool = False


@dataclass(frozen=True)
class Wait:
    """What must be waited for: up to low for sure, hardly past high; None where it may never come."""

    start: datetime
    likely: datetime
    low: datetime
    high: datetime | None
    fact: bool = False  # past: it ended at `likely`


@dataclass(frozen=True)
class Stay:
    """Where a part stands for a time, other than in the first place."""

    place: str
    start: datetime
    end: datetime


@dataclass(frozen=True)
class Row:
    """One part: its work in order, its waits, where it stands."""

    name: str
    below: str  # its wood, and how many
    blocks: tuple[Block, ...]
    waits: tuple[Wait, ...] = ()
    stays: tuple[Stay, ...] = ()
    start: datetime | None = None  # of the part: None from the beginning
    end: datetime | None = None  # joined into another then
    says: str = ""  # beside the last wait: "full use likely 3 April"
    whole: bool = False


@dataclass(frozen=True)
class Flag:
    """A wanted date; tenths, how many times in ten it is kept, where that is known."""

    at: datetime
    says: str
    tenths: int | None = None


@dataclass(frozen=True)
class CalendarModel:
    """All that the calendar shows."""

    title: str
    says: str
    start: datetime
    end: datetime
    now: datetime | None
    rows: tuple[Row, ...]
    flags: tuple[Flag, ...]
    open: tuple[tuple[datetime, datetime], ...]
    shut: tuple[tuple[datetime, datetime], ...]  # closed days, midnight to midnight
    places: tuple[str, ...] = ()  # others than the first, as the rows have them


def calendar_model(
    work: Work,
    plan: Plan,
    shop: Shop,
    found: Iterable[Finding] = (),
    *,
    most_rows: int = WIDE_ROWS,
) -> CalendarModel:
    """The calendar of a plan.

    Parameters: found, for the steps that are barred; most_rows, above which parts that are joined into another
    are shown in its row.
    """
    barred = {(f.where.part, f.where.step) for f in found if f.severity is Severity.ERROR and f.where.step}
    jobs = [job for job in _in_order(work) if any(t.id in plan.placed for t in job.tasks)]
    groups = [[job] for job in jobs]
    if len(groups) > most_rows:
        groups = _folded(jobs)
    rows = [_row(group, jobs, work, plan, shop, barred) for group in groups]
    whole = jobs[-1].part.name if jobs else ""
    dues = sorted(plan.due, key=lambda d: d.by)
    flags = tuple(Flag(d.by, flag_words(d, whole), d.odds.in_tenths if d.odds else None) for d in dues)
    start, end = _ends(rows, plan, shop)
    now = plan.now if plan.now and start <= plan.now <= end else None
    days = _days(start, end)
    hours = windows(shop, start, end)
    opened = {a.date() for a, _ in hours}
    shut = tuple((a, b) for a, b in days if a.date() not in opened)
    places = tuple(dict.fromkeys(s.place for r in rows for s in r.stays))
    title = f"Calendar of {work.piece.name}, {start.day} {start:%B} to {end.day} {end:%B %Y}"
    return CalendarModel(
        title, _says(plan, whole), start, end, now, tuple(rows), flags, tuple(hours), shut, places
    )


def _in_order(work: Work) -> list[Job]:
    """Members stand right before what they are joined into, the whole piece last."""
    jobs, seen = work.jobs, dict[str, Job]()

    def add(name: str) -> None:
        if name in seen or name not in jobs:
            return
        for member in jobs[name].part.of or jobs[name].begins_after:
            add(member)
        seen[name] = jobs[name]

    taken = {m for job in jobs.values() for m in job.begins_after}
    for name in sorted(jobs, key=lambda n: (n not in taken and bool(jobs[n].begins_after))):
        if name not in taken:
            add(name)
    for name in jobs:
        add(name)
    return list(seen.values())


def _folded(jobs: Sequence[Job]) -> list[list[Job]]:
    """Members of a joined part in its row, save those of the whole piece."""
    last = jobs[-1] if jobs else None
    into = {m: job for job in jobs if job is not last for m in job.begins_after}
    groups: dict[str, list[Job]] = {}
    for job in jobs:
        head = job
        while head.part.name in into:
            head = into[head.part.name]
        groups.setdefault(head.part.name, []).append(job)
    ends = [job.part.name for job in jobs if job.part.name in groups]
    return [groups[name] for name in ends]


def _row(
    group: Sequence[Job], jobs: Sequence[Job], work: Work, plan: Plan, shop: Shop, barred: set[tuple[str, str]]
) -> Row:
    job = group[-1]
    name = job.part.name
    tasks = [t for j in group for t in j.tasks if t.id in plan.placed and not t.board and t.do != "judge"]
    tasks.sort(key=lambda t: plan.placed[t.id].start)
    blocks = [b for t in tasks for b in _blocks(t, plan.placed[t.id], (t.part, t.step) in barred)]
    into = next((other for other in jobs if name in other.begins_after), None)
    begins = [plan.placed[t.id].start for t in into.tasks if t.id in plan.placed] if into else []
    whole = job is jobs[-1] and bool(job.begins_after)
    waits = [w for t in tasks if (w := _wait(t, tasks, plan))]
    after, says = _after(job, tasks, plan, None if begins else work, whole)
    end = min(begins, default=None)
    joined_here = bool(job.begins_after) and len(group) == 1
    return Row(
        name="All together" if whole else job.part.shown,
        below=_wood_words(job, whole),
        blocks=tuple(blocks),
        waits=tuple(waits + after),
        stays=_stays(tasks, plan, shop, end),
        start=min((b.start for b in blocks), default=None) if joined_here else None,
        end=end,
        says=says,
        whole=whole,
    )


def _wood_words(job: Job, whole: bool) -> str:
    if whole:
        return job.part.shown
    woods = " and ".join(job.part.woods[:2]) if job.part.woods else job.wood
    return f"{woods}, {job.part.count}" if job.part.count > 1 and woods else woods


def _blocks(task: Task, spot: Placed, barred: bool) -> list[Block]:
    base, number = _called(task, spot)
    edge = _BY_EDGE.get(task.work, HAND)
    made = [Block(a, b, edge, base, number, spot.done, barred, task.do in _LESSER) for a, b in spot.spans]
    return [made[0], *(replace(b, base="", stopped=False) for b in made[1:])]


def _called(task: Task, spot: Placed) -> tuple[str, int]:
    """What a block is called, and its number among several."""
    if task.do in _UNNAMED:
        return "", 0
    if task.do == "move":
        return f"to the {task.move_to}", 0
    if task.do == "join":
        return "assemble" if "screw" in task.says.lower() or "dry" in task.says.lower() else "glue up", 0
    said = re.fullmatch(r"(.+?) (\d+)", task.step)
    if said and task.do != "own":
        return said[1], int(said[2])
    return task.step or task.do, 0


def _wait(task: Task, tasks: Sequence[Task], plan: Plan) -> Wait | None:
    """The wait that ends where this task may start: from the work before it on the same pieces."""
    spot = plan.placed[task.id]
    before = [t for t in tasks if t.pieces == task.pieces or t.lot[1] != task.lot[1] or t.lot[1] == 1]
    ends = [(plan.placed[t.id].end, t) for t in before if plan.placed[t.id].end <= spot.start and t.id != task.id]
    if not ends:
        return None
    begin = max(end for end, _ in ends)
    if spot.done:
        worked = [e for e in ends if e[1].do not in ("move", "turn")]
        laid = bool(worked) and max(worked, key=lambda e: e[0])[1].lay is not None
        return Wait(begin, spot.start, spot.start, spot.start, True) if laid and spot.start > begin else None
    return _from_ready(begin, spot.waited_for)


def _from_ready(begin: datetime, ready: Ready | None) -> Wait | None:
    if ready is None or ready.likely is None or max(ready.likely, ready.high or ready.likely) <= begin:
        return None
    low = max(begin, ready.low or ready.likely)
    return Wait(begin, max(begin, ready.likely), low, ready.high)


def _after(job: Job, tasks: Sequence[Task], plan: Plan, work: Work | None, whole: bool) -> tuple[list[Wait], str]:
    """What is still waited for when the work is done: full use of the piece, or of a part that joins nothing."""
    if work is None or not tasks:
        return [], ""
    begin = max(plan.placed[t.id].end for t in tasks)
    wait = _from_ready(begin, full_use(work.jobs.values() if whole else [job], plan))
    if wait is None:
        return [], ""
    return [wait], f"full use likely {wait.likely.day} {wait.likely:%B}"


def _stays(tasks: Sequence[Task], plan: Plan, shop: Shop, until: datetime | None) -> tuple[Stay, ...]:
    """Stretches in other places than the first, from one carry to the next."""
    moves = [(plan.placed[t.id].end, t.move_to) for t in tasks if t.do == "move" and t.lot[0] == 1]
    first = shop.first_place.name
    far = datetime.max.replace(tzinfo=shop.zone) - timedelta(days=2)
    found = []
    for (at, place), (then, _) in zip(moves, [*moves[1:], (until or far, "")], strict=False):
        if place != first and then > at:
            found.append(Stay(place, at, then))
    return tuple(found)


def flag_words(due: Due, whole: str) -> str:
    """A wanted date in words: "ready to pack, wanted Fri 19 Mar"; the whole piece goes unnamed."""
    part = f"{lower_first(part_words(due.part))} " if due.part not in ("", whole) else ""
    what = ready_words(due.for_) if due.for_ in READINESSES else due.for_
    return f"{part}{what}, wanted {day_words(due.by)}"


def _ends(rows: Sequence[Row], plan: Plan, shop: Shop) -> tuple[datetime, datetime]:
    """Midnight before the first work to midnight after the last thing that matters."""
    starts = [b.start for r in rows for b in r.blocks]
    ends = [b.end for r in rows for b in r.blocks] + [d.by for d in plan.due]
    ends += [d.likely for d in plan.due if d.likely]
    moment = plan.now or plan.start or datetime.now(shop.zone)
    first, last = min(starts, default=moment), max([*ends, moment])
    further = [m for r in rows for w in r.waits for m in (w.likely, w.high) if m and not w.fact]
    reach = last + (last - first) * _REACH
    last = max([last, *(m for m in further if m <= reach)])
    last = max(last + (last - first) * _AFTER, first + timedelta(days=_LEAST_DAYS))
    local = first.astimezone(shop.zone), last.astimezone(shop.zone)
    begin = local[0].replace(hour=0, minute=0, second=0, microsecond=0)
    end = (local[1] + timedelta(days=1)).replace(hour=0, minute=0, second=0, microsecond=0)
    return begin, end


def _days(start: datetime, end: datetime) -> list[tuple[datetime, datetime]]:
    days, at = [], start
    while at < end:
        days.append((at, at + timedelta(days=1)))
        at += timedelta(days=1)
    return days


def week_starts(model: CalendarModel) -> list[datetime]:
    """The first midnight of the picture and every Monday."""
    return [a for a, _ in _days(model.start, model.end) if a == model.start or a.weekday() == 0]


def _says(plan: Plan, whole: str) -> str:
    """The picture in words, for those who cannot see it."""
    said = "Rows are parts. Blocks are work, shadows are waits. Behind the now line waits end square; ahead they"
    said += " slope from earliest through likely to latest."
    for due in plan.due:
        said += f" {upper_first(flag_words(due, whole))}: {range_words(due)}."
    return said
