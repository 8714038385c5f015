"""Alike parts worked in lots: as many at once as find drying places and fit the longest open hours.

Rules: a lot is as many parts as the drying places hold where they are laid, less those taken by parts that
are joined into the same thing and stand before them in the file (unless that leaves room for none), and as
many as can be laid at a stretch in the longest open window; lots as even as can be. Where there are several,
every session from the first wet one to the last is done lot by lot, each session on all lots before the next;
what is sanded before and what is done after stays one session for all.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import datetime, timedelta

from rakelight.errors import Finding, Severity, Where
from rakelight.piece.model import Part
from rakelight.schedule.bench import Ground, Session
from rakelight.schedule.rags import rags_after
from rakelight.schedule.tasks import Task
from rakelight.shop.model import Shop
from rakelight.spread import Spread

_GRID = 5  # minutes to which the calendar rounds a session up


@dataclass(frozen=True)
class Lots:
    """Lots of one part: how many parts in each."""

    sizes: tuple[int, ...]

    @property
    def largest(self) -> int:
        """Parts in the largest."""
        return max(self.sizes)

    def pieces(self, number: int) -> tuple[int, int]:
        """First and last part of a lot, counted from 1."""
        before = sum(self.sizes[: number - 1])
        return before + 1, before + self.sizes[number - 1]


def even(count: int, most: int) -> tuple[int, ...]:
    """Sizes of the fewest lots of at most so many, as even as can be, the larger first.

    >>> even(32, 24), even(7, 3), even(4, 9)
    ((16, 16), (3, 2, 2), (4,))
    """
    number = math.ceil(count / max(1, most))
    return tuple(count // number + (1 if k < count % number else 0) for k in range(number))


def lots_of(part: Part, rows: Sequence[Session], ground: Ground, taken_places: float = 0.0) -> Lots:
    """How the alike parts of a part are divided.

    Parameters: rows, its sessions; taken_places, drying places taken by parts that dry beside it.
    """
    wet = [row for row in rows if row.wet]
    window = longest_window_min(ground.shop)
    for row in rows:
        if row.task.do in ("own", "join") and not row.wet and not row.task.splittable:
            _fits(row, part, window, ground)
    if not wet:
        return Lots((part.count,))
    place = ground.shop.places[ground.shop.place_for("wet", ground.shop.first_place.name)]
    left = place.drying_places - taken_places
    if left < part.takes:
        left = place.drying_places
    most = max(1, math.floor(left / part.takes + 1e-9)) if part.takes > 0 else part.count
    if part.takes > place.drying_places:
        _no_room(part, place.name, place.drying_places, ground)
    for row in wet:
        most = min(most, _fits(row, part, window, ground))
    return Lots(even(part.count, most))


def _fits(row: Session, part: Part, window_min: float, ground: Ground) -> int:
    """How many parts of a session fit into the longest window."""
    room = window_min - row.task.block_min - _around(row.task, ground)
    need = max(row.one.likely, 0.01)
    if max(need, row.least_min) > room:
        where = Where(file=ground.file, line=part.line, part=part.name, step=row.task.step)
        took = max(need, row.least_min) + row.task.block_min
        says = (
            f"{row.task.says}: {took:.0f} min at a stretch, and the longest open hours are {window_min:.0f}."
        )
        mend = "Make the shop's hours longer, or lay it in a quicker way, or give the step fewer minutes."
        finding = Finding("too-long-for-hours", Severity.ERROR, where, says, mend)
        if finding not in ground.found:
            ground.found.append(finding)
        return part.count
    return max(1, math.floor((room // _GRID * _GRID) / need + 1e-9))


def _around(task: Task, ground: Ground) -> float:
    """Setting up and cleaning within the same stretch."""
    rags = rags_after(task, ground.facts).likely
    gun = ground.shop.gear.gun
    if task.gun and gun:
        return gun.set_up_min + gun.clean_min + rags
    brush = task.lay is not None and task.lay.by in ("brush", "pad") and task.do not in ("oil", "wax", "fill")
    return rags + (ground.likely("brush_clean_min") if brush else 0.0)


def _no_room(part: Part, place: str, places: int, ground: Ground) -> None:
    where = Where(file=ground.file, line=part.line, part=part.name)
    says = f"One {part.shown.lower()} takes {part.takes:g} drying places; the {place} has {places}."
    mend = f"Write a smaller takes for {part.name}, or more drying_places for the {place}."
    ground.found.append(Finding("no-drying-place", Severity.WARNING, where, says, mend))


def longest_window_min(shop: Shop) -> float:
    """Minutes of the longest stretch of open hours in the week; breaks end one."""
    day = datetime(2000, 1, 1)
    longest = timedelta(0)
    for spans in shop.hours.values():
        for start, end in spans:
            close = datetime.combine(day, end)
            if close <= datetime.combine(day, start):
                close += timedelta(days=1)
            longest = max(longest, close - datetime.combine(day, start))
    return longest.total_seconds() / 60


def in_lots(part: Part, rows: Sequence[Session], lots: Lots) -> list[Task]:
    """The sessions as tasks: lot by lot from the first wet one to the last."""
    wet = [at for at, row in enumerate(rows) if row.wet]
    found: list[Task] = []
    for at, row in enumerate(rows):
        if row.task.board:
            found.append(_task(row, 1, part))
        elif len(lots.sizes) == 1 or not wet or not wet[0] <= at <= wet[-1]:
            found.append(replace(_task(row, part.count, part), pieces=(1, part.count)))
        else:
            found += [_of_lot(row, number, part, lots) for number in range(1, len(lots.sizes) + 1)]
    return found


def _of_lot(row: Session, number: int, part: Part, lots: Lots) -> Task:
    task = _task(row, lots.sizes[number - 1], part)
    return replace(
        task,
        id=f"{task.id}/lot-{number}",
        lot=(number, len(lots.sizes)),
        pieces=lots.pieces(number),
    )


def _task(row: Session, count: int, part: Part) -> Task:
    """A session on so many parts."""
    number: float = count
    if row.trips:
        number = min(count, math.ceil(count * part.takes - 1e-9))
    minutes = row.one * number
    if minutes.likely < row.least_min:
        minutes = Spread(row.least_min, row.least_min, max(row.least_min, minutes.high))
    else:
        minutes = Spread(max(row.least_min, minutes.low), minutes.likely, minutes.high)
    minutes = minutes.with_shared(row.rags)
    return replace(row.task, minutes=minutes, rags_min=row.rags.likely, area_m2=row.task.area_m2 * count)
