"""A solver's starts laid on the calendar again by the planner's own hand, with the true waits."""

from __future__ import annotations

from collections.abc import Mapping

from rakelight.plan.doing import Doing
from rakelight.plan.draft import Draft
from rakelight.plan.fitting import Coat, Fitting, Session
from rakelight.plan.problem import Node, Problem, in_turn
from rakelight.plan.reckon import reckon
from rakelight.plan.timeline import Span
from rakelight.schedule.tasks import Task


class Kept(Fitting):
    """Puts each task at its planned start where it fits there, else as soon after as it does."""

    spans: Mapping[str, tuple[Span, ...]]

    def dry(self, task: Task, place: str, earliest: int, unit: int) -> tuple[Span, ...]:
        """As planned where all of it fits there; else from the planned start on."""
        spans = self.spans.get(task.id, ())
        if spans and spans[0][0] >= earliest and self._all_fit(task, place, spans):
            return spans
        return super().dry(task, place, max(earliest, self.planned.get(task.id, earliest)), unit)

    def _all_fit(self, task: Task, place: str, spans: tuple[Span, ...]) -> bool:
        left = list(spans)
        for a, b in self._dry_gaps(task, place, spans[0][0]):
            while left and a <= left[0][0] and left[0][1] <= b:
                left.pop(0)
            if not left:
                return True
            if a > left[0][0]:
                return False
        return False

    def block(
        self,
        task: Task,
        node: Node,
        place: str,
        earliest: int,
        length: int,
        coat: Coat | None,
        takes: float,
        until: float = 0.0,
    ) -> int:
        """As planned: not before the planned start."""
        start = max(earliest, self.planned.get(task.id, earliest))
        return super().block(task, node, place, start, length, coat, takes, until)

    def session(self, task: Task, minute: int) -> Session:
        """Of a coat that is kept waiting, that of the day it is planned for."""
        return super().session(task, max(minute, self.planned.get(task.id, minute)))


Planned = dict[str, tuple[Span, ...]]


def replay(
    problem: Problem, nodes: Mapping[str, Node], planned: Planned, floors: Mapping[str, float], keep: bool
) -> Draft:
    """A plan in the order of planned spans: each step there (`keep`), or as early as order and waits allow."""
    starts = {key: spans[0][0] for key, spans in planned.items()}
    doing = Doing(problem, nodes, 0.05, 0, {}, floors)
    if keep:
        kept = Kept(problem, doing.busy, doing.rooms, 0.05, 0)
        kept.planned, kept.spans = starts, planned
        doing.fitting = kept
    order = {key: (0.0, float(starts.get(key, 10**7))) for key in nodes}
    for key, (spans, _) in problem.done.items():
        if key in order:
            order[key] = (-1.0, float(spans[0][0]))
    for node in in_turn(nodes, order):
        doing.place(node)
    return reckon(doing)

