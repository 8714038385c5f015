"""Whether what is told can have been so: what cannot is refused, what is odd is written and said."""

from __future__ import annotations

from datetime import datetime

from rakelight.desk.one_piece import Desk
from rakelight.errors import RakelightError
from rakelight.papers.plan_text import moment_words
from rakelight.plan.problem import all_before, nodes_of
from rakelight.shop.hours import by_moment
from rakelight.state.model import Fact

_NAMED = 3  # more steps than this are counted, not named


def not_told_before(desk: Desk, task: str) -> None:
    """Raises RakelightError where a step has been told already."""
    fact = desk.state.done.get(task)
    if fact and fact.logged:
        when = moment_words((fact.end or fact.start).astimezone(desk.shop.zone))
        mend = "`undo` takes it back" + ("" if _is_last(desk, task) else ", once what was told after it is taken back")
        raise RakelightError(f"{task} is already told, {when}; {mend}.")


def _is_last(desk: Desk, task: str) -> bool:
    last = desk.log.last_told()
    return last is not None and (last.task == task or task in last.plan)


def untold_before(desk: Desk, task: str) -> list[str]:
    """Steps that must have been done before a step, and are neither told nor counted; the nearest last."""
    nodes = nodes_of(desk.work)
    return [key for key in nodes if key in all_before(nodes, task) and key not in desk.state.done]


def odd_about(desk: Desk, task: str, start: datetime | None, end: datetime, untold: list[str]) -> list[str]:
    """Sentences on what is odd in a step told as done from `start` (None: not said) to `end`."""
    says = []
    begins = by_moment(desk.shop, desk.piece.start) if desk.piece.start else None
    if begins and end.date() < begins.date():
        says.append(f"That is before the start the piece gives, {begins:%a} {begins.day} {begins:%b %Y}.")
    if untold:
        names = ", ".join(untold[-_NAMED:])
        more = f" and {len(untold) - _NAMED} more" if len(untold) > _NAMED else ""
        one = len(untold) == 1
        says.append(f"{names}{more} {'is' if one else 'are'} not told yet: "
                    f"{'it counts' if one else 'they count'} as done before it.")  # fmt: skip
    before = [desk.state.done[k] for k in all_before(nodes_of(desk.work), task) if k in desk.state.done]
    within = [f for f in before if start and start < _end(f) <= end]
    if within:
        held = max(within, key=_end)
        how = "was done" if held.logged else "counts as done"
        says.append(f"That long reaches back before {held.task} {how}, {_when(desk, held)}.")
    return says


def in_order(desk: Desk, task: str, end: datetime) -> None:
    """Raises RakelightError where a step is told for a time that does not fit with what was told of others."""
    nodes, told = nodes_of(desk.work), {k: f for k, f in desk.state.done.items() if f.logged}
    before = [told[k] for k in all_before(nodes, task) if k in told]
    last = max(before, key=_end, default=None)
    if last and _end(last) > end:
        says = f"{last.task}, which comes before {task}, is told for later, {_when(desk, last)}"
        raise RakelightError(f"{says}: say --at with the hour it was, or take that back with `undo`.")
    later = [f for k, f in told.items() if k in nodes and _end(f) < end and task in all_before(nodes, k)]
    if later:
        first = min(later, key=_end)
        says = f"{first.task}, which comes after {task}, is told for earlier, {_when(desk, first)}"
        raise RakelightError(f"{says}: say --at with the hour it was, or take that back with `undo`.")


def may_be_tested(desk: Desk, task: str, moment: datetime) -> None:
    """Raises RakelightError where what is tested was not there yet: a coat neither told nor counted by then."""
    nodes = nodes_of(desk.work)
    before = all_before(nodes, task)
    coats = [k for k, node in nodes.items() if k in before and node.task.lay and not node.task.board]
    fact = desk.state.done.get(coats[-1]) if coats else None
    if coats and (fact is None or _end(fact) > moment):
        when = f", {_when(desk, fact)}" if fact else ""
        how = f"is told for later{when}" if fact and fact.logged else f"counts as done only later{when}"
        how = how if fact else "is neither told nor counted as done"
        mend = f"Tell `done` of {coats[-1]} first, or the test at a later hour."
        raise RakelightError(f"{coats[-1]}, which the test is made on, {how}: there is nothing to test yet. {mend}")


def _end(fact: Fact) -> datetime:
    return fact.end or fact.start


def _when(desk: Desk, fact: Fact) -> str:
    return moment_words(_end(fact).astimezone(desk.shop.zone))
