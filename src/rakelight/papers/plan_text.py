"""A plan as text for the wall: the dates, what to do on which day, and how long each wait is."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from datetime import date, datetime

from rakelight.papers.findings_text import finding_lines
from rakelight.papers.odds_text import odds_words
from rakelight.papers.wrapping import WIDTH, lower_first, upper_first, wrapped
from rakelight.piece.model import part_words as part_words
from rakelight.plan.model import Due, Odds, Placed, Plan, Ready, rags_span
from rakelight.schedule.rags import RAGS
from rakelight.schedule.tasks import Task, Work
from rakelight.schedule.words import ready_words
from rakelight.shop.hours import hours_between, hours_later
from rakelight.units import show_late, show_span, show_work

__all__ = ["day_words", "due_lines", "finding_lines", "moment_words", "plan_lines", "range_words", "ready_words"]

#: days without work that are worth a line of their own
_GAP_DAYS = 3
_HANG = " " * 16


def day_words(moment: datetime | date) -> str:
    """Tue 9 Feb."""
    return f"{moment:%a} {moment.day} {moment:%b}"


def clock_words(moment: datetime) -> str:
    """9:05."""
    return f"{moment.hour}:{moment:%M}"


def moment_words(moment: datetime) -> str:
    """Tue 9 Feb 9:05."""
    return f"{day_words(moment)} {clock_words(moment)}"


def does_words(task: Task | None) -> str:
    """What is done in a step; the plan's own step of no task is the scuff before a coat laid too late."""
    return task.says if task else "Scuff P320: the coat beneath is past its recoat time"


def range_words(ready: Ready | Due) -> str:
    """The earliest, likely and latest of a readiness, no finer than it is known."""
    if ready.likely is None:
        return "no date in this air"
    low, high = ready.low or ready.likely, ready.high
    if high is None:
        return f"likely {_rounded(ready.likely)}, perhaps never in this air"
    if low.date() == high.date():
        likely = _ten(ready.likely)
        if hours_between(low, high) < 1:
            return f"{day_words(likely)} about {clock_words(likely)}"
        return f"{day_words(likely)}, {clock_words(_ten(low))} to {clock_words(_ten(high))}"
    words = day_words(ready.likely) if hours_between(low, high) > 60 else _rounded(ready.likely)
    return f"likely {words} ({day_words(low)} to {day_words(high)})"


def _ten(moment: datetime) -> datetime:
    """To the nearest ten minutes."""
    moment = hours_later(moment, 5 / 60)
    return moment.replace(minute=moment.minute // 10 * 10, second=0, microsecond=0)


def _rounded(moment: datetime) -> str:
    return moment_words(_ten(moment))


def due_lines(plan: Plan, width: int = WIDTH) -> list[str]:
    """Wanted dates against what is likely."""
    rows = [(_due_name(due), due) for due in plan.due]
    wide = max((len(name) for name, _ in rows), default=0)
    lines: list[str] = []
    for name, due in rows:
        says = f"by {moment_words(due.by)}: "
        says += _planned_and_odds(due, due.odds) if due.odds else f"{range_words(due)}; {_kept(due)}"
        if due.latest_start:
            says += f"; it would have wanted a start by {day_words(due.latest_start)}"
        lines += wrapped(says, width, f"  {name:<{wide}}  ")
    return lines


def _planned_and_odds(due: Due, odds: Odds) -> str:
    """The day if all goes as likely, and how often it does: waits run late more often, and further, than early."""
    if due.likely is None:
        return _kept(due)
    late = show_late(due.by, due.likely)
    kept = f"TOO LATE by {late}" if late else f"{show_span(hours_between(due.likely, due.by))} to spare"
    says = f"{day_words(due.likely)} if all goes as likely, {kept}; the odds of the date are {odds_words(odds)}"
    half = f"half the time by {day_words(odds.p50)}" if odds.p50 else "half the time later than can be told"
    most = f"nine times in ten by {day_words(odds.p90)}" if odds.p90 else "now and then much later"
    return f"{says} ({half}, {most})"


def _due_name(due: Due) -> str:
    words = ready_words(due.for_)
    if due.part:
        return f"{part_words(due.part)} {words}"
    return upper_first(words)


def _kept(due: Due) -> str:
    if due.likely is None:
        return "TOO LATE"
    if late := show_late(due.by, due.likely):
        return f"TOO LATE by {late}"
    spare = show_span(hours_between(due.likely, due.by))
    if due.high is None or due.high > due.by:
        return f"in time with {spare} to spare, though the latest would miss it"
    return f"in time with {spare} to spare"


@dataclass(frozen=True)
class _Row:
    """One stretch of work on one day."""

    key: str
    task: Task | None
    placed: Placed
    number: int  # which stretch of it
    start: datetime
    end: datetime

    @property
    def part(self) -> str:
        return self.key.split("/")[0]

    @property
    def on_board(self) -> bool:
        return bool(self.task and (self.task.board or self.task.do == "judge"))

    @property
    def mark(self) -> str:
        if not self.placed.done:
            return " "
        return "o" if self.placed.hollow else "x"

    @property
    def hours(self) -> float:
        """Work in it; of what was told to go over a night, as long as was planned."""
        if self.start.date() == self.end.date():
            return hours_between(self.start, self.end)
        return self.task.minutes.likely / 60 if self.task else 0.0

    @property
    def clock(self) -> str:
        end = clock_words(self.end) if self.end.date() == self.start.date() else f"{self.end:%a}"
        return f" {self.mark} {clock_words(self.start):>5}-{end:<5}  "


def plan_lines(
    work: Work, plan: Plan, width: int = WIDTH, keep: Callable[[date], bool] | None = None, ids: bool = False
) -> list[str]:
    """The plan day by day. What happens on a test board stands below the part it is for.

    Parameters: keep, which days; ids, whether to say how to call each step when telling that it is done.
    """
    tasks = {t.id: t for job in work.jobs.values() for t in job.tasks}
    days: dict[date, list[_Row]] = {}
    for key, placed in plan.placed.items():
        for number, (a, b) in enumerate(placed.spans):
            days.setdefault(a.date(), []).append(_Row(key, tasks.get(key), placed, number, a, b))
    lines: list[str] = []
    before: date | None = None
    for day in sorted(days):
        if keep and not keep(day):
            continue
        if before and (idle := (day - before).days - 1) >= _GAP_DAYS:
            lines.append(f"      ... {idle} days with nothing to do ...")
        before = day
        rows = sorted(days[day], key=lambda row: row.start)
        hours = sum(r.hours for r in rows)
        lines.append(f"{day_words(day)}" + (f"  ({show_work(hours)} of work)" if hours > 0 else ""))
        lines += _day(rows, width, ids)
    return lines


def _day(rows: list[_Row], width: int, ids: bool) -> list[str]:
    boards: dict[str, list[_Row]] = {}
    for row in rows:
        if row.on_board:
            boards.setdefault(row.part, []).append(row)
    shown = {row.part for row in rows if not row.on_board}
    lines: list[str] = []
    below = {id(_nearest(rows, board)): part for part, board in boards.items() if part in shown}
    for row in rows:
        board = boards.get(row.part)
        if not row.on_board:
            lines += _line(row, width, ids)
            if board and id(row) in below:
                lines += wrapped(f"test board: {_on_board(board, True, ids)}", width, _HANG, _HANG + "  ")
                del boards[row.part]
        elif board and row.part not in shown:
            said = f"{part_words(row.part)}, test board: {_on_board(board, False, ids)}"
            lines += wrapped(said, width, row.clock, _HANG + "  ")
            del boards[row.part]
    return lines


def _nearest(rows: list[_Row], board: list[_Row]) -> _Row:
    """The line of the part that stands nearest to what is done on its test board."""
    own = [row for row in rows if row.part == board[0].part and not row.on_board]
    same = [row for row in own if row.task and board[0].task and row.task.step == board[0].task.step]
    return min(same or own, key=lambda row: abs(row.start - board[0].start))


def _on_board(rows: list[_Row], clock_first: bool, ids: bool) -> str:
    said = []
    for n, row in enumerate(rows):
        words = row.task.says.split(": ", 1)[-1] if row.task else ""
        words = words.split(": ")[0]
        words = lower_first(words)
        clock = f"{clock_words(row.start)} " if clock_first or n else ""
        said.append(f"{clock}{words}" + (f" ({row.key})" if ids else ""))
    return "; ".join(said)


def pieces_words(task: Task) -> str:
    """Which pieces of a part a session is for: " 1 to 4", " 3"; empty where it is for all."""
    first, last = task.pieces
    if task.lot[1] == 1:
        return ""
    return f" {first}" if first == last else f" {first} to {last}"


def hand_words(placed: Placed) -> str:
    """Who does a step where it is not the maker: " (helper)"."""
    return f" ({placed.who})" if placed.who else ""


def _line(row: _Row, width: int, ids: bool) -> list[str]:
    task, placed = row.task, row.placed
    says = does_words(task)
    lot = pieces_words(task) if task else ""
    on = hand_words(placed) + (" (taken up again)" if row.number else "")
    name = f" ({row.key})" if ids else ""
    lines = wrapped(f"{part_words(row.part)}{lot}: {says}{on}{name}", width, row.clock, _HANG + "  ")
    if row.number == len(placed.spans) - 1 and (rags := rags_span(task, placed)):
        lines += wrapped(f"{clock_words(rags[0])} {lower_first(RAGS)}", width, _HANG, _HANG + "  ")
    wait = placed.waited_for
    if row.number or placed.done or wait is None or wait.likely is None:
        return lines
    test = task.test if task else ""
    if test or wait.high is None or wait.high > placed.start:
        said = f"{ready_words(wait.for_)} {range_words(wait)}" + (f"; test: {test}" if test else "")
        lines += wrapped(said, width, _HANG, _HANG + "  ")
    return lines
