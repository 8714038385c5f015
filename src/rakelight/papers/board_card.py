"""A card for the test board: strips left at each step, what is looked at and when, and how little one pass shows."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

from rakelight.facts.load import Facts
from rakelight.papers.board_later import LaterLook, later_looks
from rakelight.papers.plan_text import day_words, moment_words, range_words, ready_words
from rakelight.papers.wrapping import upper_first
from rakelight.piece.model import part_words
from rakelight.plan.model import Placed, Plan
from rakelight.schedule.steps import LAYING
from rakelight.schedule.tasks import Task, Work
from rakelight.units import show_hours, show_length

#: what one board shows. 0.9 to the 22nd is 0.098: so many boards without a fault leave less than one chance in ten
#: that one in ten or more would fail
LITTLE = (
    "One board that passes shows little: a way of working that spoils every second board passes the first one time "
    "in two. It takes 22 boards in a row without a fault to say, with nine chances in ten, that fewer than one in "
    "ten would fail.",
    "It says nothing of slow faults: filler that sinks for weeks, oil that bleeds back, coats that show their edges "
    "after a month.",
)
_LOOKS = (
    "Colour beside the piece, in the light it will live in",
    "Nothing lifts when tape is pressed on and pulled off at once",
    "Pores as level as they are to be, looked at along a low lamp",
    "No soft spot under a thumbnail, no smell of solvent close to it",
    "No cloud, no lap, no fisheye",
)

_BARE = "Nothing: bare wood, masked off"


@dataclass(frozen=True)
class Strip:
    """One strip of the board, left as it is after a step."""

    name: str  # "Strip 1"
    leave: str  # what lies on it
    test: str  # hand test that settles the wait before it
    when: str
    wait: str  # what it waits for, as on the piece


@dataclass(frozen=True)
class BoardCard:
    """One card."""

    part: str
    schedule: str
    board: str  # size and wood
    rule: str  # the same waits as the piece
    strips: tuple[Strip, ...]
    judge: str  # when and how old
    looks: tuple[str, ...]
    later: tuple[LaterLook, ...]  # what is looked at at other ages
    gates: str  # what waits for the pass
    little: tuple[str, ...] = LITTLE


@dataclass(frozen=True)
class BoardCards:
    """A card for each part with a test board."""

    cards: tuple[BoardCard, ...]


def board_cards(work: Work, plan: Plan, facts: Facts) -> BoardCards:
    """Cards of all the test boards of a piece."""
    cards = []
    for name, job in work.jobs.items():
        board = job.part.test_board
        tasks = [t for t in job.tasks if t.board]
        judge = next((t for t in job.tasks if t.do == "judge"), None)
        if board is None or judge is None:
            continue
        unit = work.piece.unit
        size = f"{show_length(board.long_mm, unit)} by {show_length(board.wide_mm, unit)}, {job.wood}"
        gated = next((t for j in work.jobs.values() for t in j.tasks if t.id == judge.gates), None)
        used = sorted({s.name for s in job.uses.values() if s.name})
        cards.append(
            BoardCard(
                part_words(name), ", ".join(used), size,
                "Same jar, same tool and the same waits as the piece. Mask the end off after each strip and leave it "
                "as it is.",
                _strips([t for t in tasks if t.do != "judge"], plan), _judge(judge, plan, board.age_h),
                tuple(_looks(tasks)),
                later_looks(job, plan, facts, job.part.must_stand or work.piece.must_stand),
                f"{part_words(gated.part)} waits for it: {gated.says}" if gated else "",
            )
        )  # fmt: skip
    return BoardCards(tuple(cards))


def _strips(tasks: list[Task], plan: Plan) -> tuple[Strip, ...]:
    """A strip of bare wood, and one after each step that lays something or abrades.

    The bare one is that after the sanding the board begins with; where it begins with none, it comes first.
    """
    kept = [t for t in tasks if t.do in LAYING or t.do in ("sand", "scuff", "level", "rub")]
    strips = [Strip("Strip 1", _BARE, "", "before all else", "")] if kept and kept[0].do != "sand" else []
    for number, task in enumerate(kept, len(strips) + 1):
        placed = plan.placed.get(task.id)
        says = upper_first(task.says.removeprefix("Test board: "))
        strips.append(Strip(f"Strip {number}", says, task.test, _when(placed.start if placed else None), _wait(placed)))
    return tuple(strips)


def _wait(placed: Placed | None) -> str:
    ready = placed.waited_for if placed else None
    return f"{upper_first(ready_words(ready.for_))}: {range_words(ready)}" if ready else ""


def _when(moment: datetime | None) -> str:
    return day_words(moment) if moment else "not dated"


def _judge(judge: Task, plan: Plan, age_h: float) -> str:
    placed = plan.placed.get(judge.id)
    when = f", on {moment_words(placed.start)} by the plan" if placed else ""
    return f"Judge it {show_hours(age_h)} after the last step or later{when}."


def _looks(tasks: list[Task]) -> list[str]:
    laid = any(t.do == "fill" for t in tasks)
    return [look for look in _LOOKS if laid or not look.startswith("Pores")]
