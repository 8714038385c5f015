"""Where a task fits: inside open windows, clear of wet surfaces and dust, with a place to stand."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass
from itertools import groupby, takewhile

from rakelight.errors import RakelightError
from rakelight.plan.draft import Laid
from rakelight.plan.problem import Node, Problem
from rakelight.plan.rooms import Room
from rakelight.plan.timeline import Busy, Span
from rakelight.plan.waits import Happened
from rakelight.schedule.tasks import Task

GRID = 5  # minutes: starts and lengths are rounded up to it
_STEP = 30  # minutes between the starts looked at for a coat


def on_grid(minute: float) -> int:
    """Up to the next five minutes."""
    return math.ceil(minute / GRID - 1e-9) * GRID


class NoRoom(RakelightError):
    """A step fits nowhere; `mend` says what would let it."""

    def __init__(self, says: str, mend: str) -> None:
        super().__init__(says)
        self.mend = mend


_LONGER = "Make the shop's hours longer, or lay it in a quicker way, or give the step fewer minutes."
_MORE_HOURS = "Open the shop on more days: look at its hours and days off."
_MORE_ROOM = "Make room for more to dry, or sand in one place and lay in another."


@dataclass(frozen=True)
class Session:
    """Minutes of setting up and cleaning that a task brings along, where no other has."""

    before: int = 0
    after: int = 0


@dataclass
class Coat:
    """A wet task being placed: how long it is wet and how long it must stand, from any start."""

    task: Task
    length: int
    before: int  # setting up: the coat itself begins after it
    laying: int  # from the first of it to the last
    dust_free: Callable[[int], float]
    handle: Callable[[int], float]


@dataclass
class Block:
    """Work at a stretch being placed: a coat, or dry work that is not put down."""

    node: Node
    place: str
    length: int
    coat: Coat | None
    takes: float  # of the places to dry
    until: float = 0.0  # of a carrying: how long the part stands there


class Fitting:
    """Finds places on the calendar for one pass."""

    def __init__(
        self,
        problem: Problem,
        busy: Busy,
        rooms: dict[str, Room],
        alpha: float,
        span: int,
        helped: Busy | None = None,
    ) -> None:
        """Args: helped, the hours of a helper."""
        self.problem = problem
        self.busy, self.helped = busy, helped
        self.rooms = rooms
        self.alpha = alpha
        self.span = span
        self.planned: dict[str, int] = {}  # starts of the plan that is followed
        self.sessions: dict[tuple[int, str, str], list[Laid]] = {}
        self.coats: dict[tuple[str, str, int], int] = {}
        figure = problem.facts.figure
        self._brush_clean = figure("brush_clean_min").value.likely
        gun = problem.shop.gear.gun
        self._gun = Session(round(gun.set_up_min), round(gun.clean_min)) if gun else Session()

    # -- dry work -------------------------------------------------------------------------------

    def dry(self, task: Task, place: str, earliest: int, unit: int) -> tuple[Span, ...]:
        """Spans for work that may be put down and taken up, `unit` minutes at least at a time.

        A glue-up is put down only between two of the parts that are joined, so in whole units.
        """
        spans = self._filled(task, self._dry_gaps(task, place, on_grid(earliest), self.busy), unit)
        if spans is None:
            raise NoRoom("no hours are left for it within 400 days.", _MORE_HOURS)
        return spans

    def dry_by_helper(
        self, task: Task, place: str, earliest: int, unit: int, before: int
    ) -> tuple[Span, ...] | None:
        """The same in the helper's hours, where it is done on one day of his and by a minute; else None."""
        assert self.helped is not None
        day_of = self.problem.hours.day
        gaps = self._dry_gaps(task, place, on_grid(earliest), self.helped)
        for _, of_day in groupby(takewhile(lambda gap: gap[0] < before, gaps), lambda gap: day_of(gap[0])):
            spans = self._filled(task, of_day, unit)
            if spans:
                return spans if spans[-1][1] <= before else None
        return None

    def _filled(self, task: Task, gaps: Iterable[Span], unit: int) -> tuple[Span, ...] | None:
        """The spans that are taken of some gaps; None where they do not suffice."""
        left = max(GRID, on_grid(task.minutes.likely))
        whole = task.do == "join"
        spans: list[Span] = []
        for gap in gaps:
            start = on_grid(gap[0])
            take = min((gap[1] - start) // GRID * GRID, left)
            if whole and take < left:
                take = take // unit * unit
            if take < min(unit, left):
                continue
            if not whole and 0 < left - take < unit:
                take = left - unit
                if take < unit:
                    continue
            spans.append((start, start + take))
            left -= take
            if left <= 0:
                return tuple(spans)
        return None

    def _dry_gaps(self, task: Task, place: str, earliest: int, busy: Busy) -> Iterator[Span]:
        room = self.rooms[place] if task.work == "dusty" else None
        for gap in busy.gaps(earliest):
            yield from room.open_to_dust(gap) if room else (gap,)

    # -- blocks ---------------------------------------------------------------------------------

    def session(self, task: Task, minute: int) -> Session:
        """Setting up a task needs before and the cleaning after it, given what is sprayed or brushed that day.

        Whoever is first of a day sets up, whoever is last cleans.
        """
        whole = self._whole(task)
        others = self.sessions.get(self._key(task, minute), [])
        first = not any(x.start < minute for x in others)
        last = not any(x.start > minute for x in others)
        return Session(whole.before if first else 0, whole.after if last else 0)

    def sessions_to_try(self, task: Task, minute: int) -> list[Session]:
        """What it may bring along: as the day stands at a minute, then each other way, the whole last."""
        whole = self._whole(task)
        ways = [
            self.session(task, minute),
            Session(),
            Session(whole.before, 0),
            Session(0, whole.after),
            whole,
        ]
        each = list(dict.fromkeys(ways))
        return each if each[-1] == whole else [*each, whole]

    def _whole(self, task: Task) -> Session:
        if not task.lay or task.do in ("oil", "wax", "fill"):
            return Session()
        if task.gun:
            return self._gun
        return Session(0, round(self._brush_clean)) if task.lay.by in ("brush", "pad") else Session()

    def _key(self, task: Task, minute: int) -> tuple[int, str, str]:
        lay = task.lay
        return (self.problem.hours.day(minute), lay.by if lay else "", lay.material if lay else "")

    def share_session(self, task: Task, laid: Laid) -> None:
        """Note a coat; one laid before it no longer cleans, one laid after it no longer sets up."""
        others = self.sessions.setdefault(self._key(task, laid.start), [])
        for other in others:
            a, b = other.spans[0]
            if other.start < laid.start and other.after_min:
                self._shorten(other, (a, b - other.after_min))
                other.after_min = 0
            elif other.start > laid.start and other.before_min:
                self._shorten(other, (a + other.before_min, b))
                other.before_min = 0
        others.append(laid)

    def _shorten(self, laid: Laid, span: Span) -> None:
        self.busy.give_back(laid.spans[0], span)
        laid.spans = (span,)

    def note_coat(self, task: Task, chain: str, start: int) -> None:
        """Count coats of one step of the schedule in a day."""
        key = (chain, self._series(task), self.problem.hours.day(start))
        self.coats[key] = self.coats.get(key, 0) + 1

    @staticmethod
    def _series(task: Task) -> str:
        """The step a coat belongs to, whatever its number."""
        return task.step.rstrip("0123456789 ")

    def block(self, block: Block, earliest: int) -> int:
        """Start of a block, from a minute on, that crosses no break."""
        if block.length > self.problem.hours.longest:
            longest = self.problem.hours.longest
            says = f"it takes {block.length} minutes at a stretch, and the longest open hours are {longest}."
            raise NoRoom(says, _LONGER)
        first = self._first(block, on_grid(earliest))
        span = self.span
        if block.node.task.id in self.planned and span > 0:
            span = self.planned[block.node.task.id] - first
        coat = block.coat
        if coat is None or coat.dust_free(first) - first - block.length < 2 * GRID or span <= 0:
            return first
        return self._least_blocking(block, coat, (first, first + span))

    def block_by_helper(self, block: Block, earliest: int, before: int) -> int | None:
        """Start of dry work at a stretch in the helper's hours, no later than a minute; else None."""
        assert self.helped is not None
        for gap in takewhile(lambda gap: gap[0] <= before, self.helped.gaps(on_grid(earliest))):
            start = self._start_in(block, gap)
            if start is not None:
                return start if start <= before else None
        return None

    def _first(self, block: Block, earliest: int) -> int:
        for gap in self.busy.gaps(earliest):
            start = self._start_in(block, gap)
            if start is not None:
                return start
        raise NoRoom("no hour is left in which it may be done within 400 days.", _MORE_ROOM)

    def _start_in(self, block: Block, gap: Span) -> int | None:
        start = on_grid(gap[0])
        while start + block.length <= gap[1]:
            later = self._obstacle(block, start)
            if later is None:
                return start
            start = max(start + GRID, on_grid(later))
        return None

    def _obstacle(self, block: Block, start: int) -> float | None:
        task, node, coat = block.node.task, block.node, block.coat
        if coat is None:
            if task.move_to and block.until > start:
                return self.rooms[task.move_to].full(start, block.until, block.takes, node.chains[0])
            return None
        lay = task.lay
        assert lay is not None
        wet, long_h = (start + coat.before) / 60, coat.laying / 60
        may = self.problem.waits.next_hour_to_lay(lay, block.place, wet, long_h) * 60 - coat.before
        if not math.isfinite(may):
            raise RakelightError("it is never warm and dry enough to lay it within 400 days.")
        if may > start + 1:
            return may
        most = task.asks.a_day
        if most:
            day = self.problem.hours.day(start)
            if any(self.coats.get((c, self._series(task), day), 0) >= most for c in node.chains):
                return self.problem.hours.next_day(start)
        room = self.rooms[block.place]
        dust = room.dust_in_the_way(start + coat.before, coat.dust_free(start))
        return room.full(start, coat.handle(start), block.takes, node.chains[0]) if dust is None else dust

    def _least_blocking(self, block: Block, coat: Coat, between: Span) -> int:
        room, hours = self.rooms[block.place], self.problem.hours
        first, latest = between
        best, best_cost = first, room.newly_blocked(first, coat.dust_free(first), hours)
        for gap in self.busy.gaps(first):
            if gap[0] > latest:
                break
            last = (gap[1] - coat.length) // GRID * GRID
            starts = {
                *range(on_grid(max(gap[0], first)), last, _STEP),
                last,
                latest if latest < last else last,
            }
            for start in sorted(starts):
                if start <= first or start > latest or start < gap[0]:
                    continue
                if self.alpha * (start - first) >= best_cost - 1e-9:
                    return best  # and so of every later start
                cost = self.alpha * (start - first) + room.newly_blocked(start, coat.dust_free(start), hours)
                if cost < best_cost - 1e-9 and self._obstacle(block, start) is None:
                    best, best_cost = start, cost
        return best


def lay_event(task: Task, end: int) -> Happened:
    """The event of a coat whose laying ends at a minute."""
    return Happened(end / 60, "lay", task.lay)
