"""The examples as the planner takes them, built once for all tests of the plan: one alone, several, two boards."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from datetime import time, timedelta
from functools import cache
from pathlib import Path

from rakelight.desk import Desk, open_desk
from rakelight.plan.draft import Draft
from rakelight.plan.exact.solve import Effort
from rakelight.plan.greedy import best_draft
from rakelight.plan.hands import Helping
from rakelight.plan.model import Plan
from rakelight.plan.planning import build_problem, make_plan
from rakelight.plan.problem import Problem
from rakelight.plan.timeline import Hours
from rakelight.plan.together import together, together_wishes
from rakelight.shop.hours import windows
from rakelight.shop.model import HELPS_AT_LEAST, Helper
from rakelight.state.model import State
from rakelight.units import read_date

#: hours by weekday, Monday 0
Week = Mapping[int, tuple[tuple[time, time], ...]]
EXAMPLES = Path(__file__).parents[2] / "examples"
EFFORT = Effort(seconds=60.0, units=0.1)

BOARD = """
[part.{name}]
wood = "cherry"
long = {long}
wide = 12
thick = "7/8"
both_faces = "on points"
finish = "{schedule}"
"""
QUICK = """
[schedule.{name}]
steps = [
  {{ do = "sand", grits = [{grits}] }},
  {{ do = "coat", with = "{material}", cut = "2 lb", by = "brush", coats = 1 }},
]
"""


@cache
def example(piece: str, shop: str) -> Problem:
    """The problem of an example, built once."""
    return open_desk(
        EXAMPLES / f"{piece}.toml",
        EXAMPLES / f"{shop}.toml",
        now=read_date("8 Feb 2027 8:00"),
        log_path=Path("never-written.jsonl"),
    ).problem


@cache
def greedy(piece: str, shop: str) -> Draft:
    """The greedy plan of an example."""
    return best_draft(example(piece, shop))[0]


def two_boards(folder: Path, long_: int, other: int) -> Problem:
    """Four steps: two boards, each sanded and given one coat, in evenings that both do not fit into."""
    text = 'piece = "Two boards"\nunit = "in"\nwanted = [{ by = "20 Dec 2027" }]\n'
    text += BOARD.format(name="first", long=long_, schedule="one")
    text += BOARD.format(name="second", long=other, schedule="two")
    for name, grits in (("one", "120, 150, 180, 220"), ("two", "120, 150")):
        text += QUICK.format(name=name, grits=grits, material="dewaxed shellac")
    (folder / "boards.toml").write_text(text)
    shop, now = EXAMPLES / "shop-evenings.toml", read_date("8 Feb 2027 19:00")
    return open_desk(folder / "boards.toml", shop, now=now, log_path=folder / "none.jsonl").problem


def helped(problem: Problem, week: Week, does: tuple[str, ...] = HELPS_AT_LEAST) -> Problem:
    """The same shop with a helper."""
    shop = replace(problem.shop, helper=Helper(dict(week), does))
    origin = problem.hours.origin
    his = windows(replace(shop, hours=dict(week)), origin, origin + timedelta(days=400))
    return replace(problem, shop=shop, helper=Helping(Hours(origin, his, shop.zone), frozenset(does)))


KEYS = ("music-cabinet", "one-board", "eight-stools")


@cache
def desk_of(key: str) -> Desk:
    """A piece in the winter shop, with no log."""
    return open_desk(
        EXAMPLES / f"{key}.toml",
        EXAMPLES / "shop-winter.toml",
        now=read_date("8 Feb 2027 8:00"),
        by=read_date("20 April 2027"),
        log_path=Path("never-written.jsonl"),
    )


@cache
def problem_of(*keys: str) -> Problem:
    """Several pieces, the first of which may only be begun ten days later."""
    desks = {key: desk_of(key) for key in keys}
    work = together({key: desk.work for key, desk in desks.items()})
    wishes = together_wishes({key: desk.wishes for key, desk in desks.items()})
    desk = desks[keys[0]]
    later = {keys[0]: desk.now + timedelta(days=10)} if len(keys) > 1 else {}
    return build_problem(work, desk.shop, desk.facts, desk.now, wishes, State(), later)


@cache
def plan_of(*keys: str) -> Plan:
    """Their plan."""
    return make_plan(problem_of(*keys), desk_of(keys[0]).now)
