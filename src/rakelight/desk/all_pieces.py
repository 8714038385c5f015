"""One plan for all pieces at hand: one maker works on them in turn."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field, replace
from datetime import datetime
from typing import TYPE_CHECKING

from rakelight.desk.one_piece import Answer, Desk
from rakelight.errors import Finding, Refused
from rakelight.piece.model import DateWords
from rakelight.plan.model import Plan
from rakelight.plan.planning import build_problem, make_plan
from rakelight.plan.problem import Problem
from rakelight.plan.solving import Ask
from rakelight.plan.together import apart, together, together_state, together_wishes
from rakelight.schedule import buying
from rakelight.schedule.buying import BuyLine
from rakelight.schedule.shelf import Drawn

if TYPE_CHECKING:
    from rakelight.desk.shop_file import ShopDesk

#: what is wanted of a piece in place of what it says: by when, and of which readiness
Asked = Mapping[str, tuple[DateWords, str]]


@dataclass(frozen=True)
class ShopPlan:
    """The plans of all pieces at hand, made together."""

    now: datetime
    answers: dict[str, Answer] = field(default_factory=dict)  # by key of the piece
    refused: dict[str, list[Finding]] = field(default_factory=dict)  # pieces that cannot be planned as they are
    plan: Plan | None = None  # of all together, under the keys; None: no piece at hand

    @property
    def buy(self) -> tuple[BuyLine, ...]:
        """What to buy for all pieces, each thing once, in whole cans of what all of them take."""
        rows: dict[tuple[str, str], list[BuyLine]] = {}
        for answer in self.answers.values():
            for line in answer.amounts.buy:
                rows.setdefault((line.name, line.unit), []).append(line)
        unit = next((a.piece.unit for a in self.answers.values()), "in")
        return tuple(buying.together(lines, unit) for lines in rows.values())


def plan_all(
    shop: ShopDesk,
    odds: str = "dates",
    tell: Callable[[str], None] | None = None,
    ask: Ask | None = None,
    asked: Asked | None = None,
) -> ShopPlan:
    """One plan for all pieces at hand; those that cannot be planned as they are stand in `refused`."""
    desks: dict[str, Desk] = {}
    refused: dict[str, list[Finding]] = {}
    for row in shop.pieces():
        if not row.at_hand and row.key not in (asked or {}):
            continue
        by, for_ = (asked or {}).get(row.key, (None, "pack"))
        try:
            desks[row.key] = shop.desk(row.key, by, for_)
            desks[row.key].stopping()
        except Refused as bad:
            desks.pop(row.key, None)
            refused[row.key] = bad.findings
    if not desks:
        return ShopPlan(shop.now, refused=refused)
    return plan_desks(desks, odds, tell, ask, refused)


def plan_desks(
    desks: Mapping[str, Desk],
    odds: str = "dates",
    tell: Callable[[str], None] | None = None,
    ask: Ask | None = None,
    refused: dict[str, list[Finding]] | None = None,
) -> ShopPlan:
    """One plan for some pieces, by their keys: one shop, one moment. The one wanted first counts first.

    Raises Refused where one of them cannot be planned at all.
    """
    if len(desks) == 1:
        key, desk = next(iter(desks.items()))
        answer = desk.plan(ask, tell, odds)
        return ShopPlan(desk.now, {key: answer}, refused or {}, answer.plan)
    first = sorted(desks, key=lambda k: min(w.by for w in desks[k].wishes))
    for key in first:
        desks[key].stopping()
    return _together({key: desks[key] for key in first}, refused or {}, odds, tell, ask or Ask())


def _together(
    desks: dict[str, Desk],
    refused: dict[str, list[Finding]],
    odds: str,
    tell: Callable[[str], None] | None,
    ask: Ask,
) -> ShopPlan:
    one = next(iter(desks.values()))
    now = one.now
    work = together({key: desk.work for key, desk in desks.items()})
    state = together_state({key: desk.state for key, desk in desks.items()})
    state = replace(state, finished_jobs=one.finished_jobs)
    wishes = together_wishes({key: desk.dates() for key, desk in desks.items()})
    begins = {key: max(desk.start, now) for key, desk in desks.items()}

    def made(begins: Mapping[str, datetime], odds: str) -> tuple[Problem, Plan]:
        problem = build_problem(work, one.shop, one.facts, min(begins.values()), wishes, state, begins)
        return problem, make_plan(problem, now, ask, tell, odds)

    problem, plan = made(begins, "all" if ask.late else odds)
    if ask.late and plan.keeps_90 and not state.done:
        late = plan.keeps_90
        problem, plan = made({key: max(begin, late) for key, begin in begins.items()}, odds)
    answers: dict[str, Answer] = {}
    drawn: list[Drawn] = []  # what the pieces before it take from the shelf
    for key, desk in desks.items():
        desk.shelf = desk.shelf.less(drawn) if desk.shelf else None
        answers[key] = desk.answer(apart(plan, key), problem.waits, problem.hours.origin)
        drawn += answers[key].amounts.drawn
    return ShopPlan(now, answers, refused, plan)
