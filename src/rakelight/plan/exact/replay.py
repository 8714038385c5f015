"""A solver's starts laid on the calendar again by the planner's own hand, with the true waits."""

from __future__ import annotations

from collections.abc import Mapping

from rakelight.plan.doing import Doing
from rakelight.plan.draft import Draft
from rakelight.plan.fitting import Block, Fitting, Session, on_grid
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
        whole = sum(b - a for a, b in spans) >= on_grid(task.minutes.likely)
        if spans and whole and spans[0][0] >= earliest and self._all_fit(task, place, spans):
            return spans
        return super().dry(task, place, max(earliest, self.planned.get(task.id, earliest)), unit)

    def _all_fit(self, task: Task, place: str, spans: tuple[Span, ...]) -> bool:
        left = list(spans)
        for a, b in self._dry_gaps(task, place, spans[0][0], self.busy):
            while left and a <= left[0][0] and left[0][1] <= b:
                left.pop(0)
            if not left:
                return True
            if a > left[0][0]:
                return False
        return False

    def block(self, block: Block, earliest: int) -> int:
        """As planned: not before the planned start."""
        return super().block(block, max(earliest, self.planned.get(block.node.task.id, earliest)))

    def session(self, task: Task, minute: int) -> Session:
        """Of a coat that is kept waiting, that of the day it is planned for."""
        return super().session(task, max(minute, self.planned.get(task.id, minute)))


class Trusted(Kept):
    """The same, trusting that the coats planned later in a day will be laid then: the last of them cleans."""

    days: dict[tuple[int, str, str], list[int]]

    def session(self, task: Task, minute: int) -> Session:
        """What the plan asks of a coat: the first of its day sets up, the last cleans."""
        planned = self.planned.get(task.id)
        starts = self.days.get(self._key(task, minute), []) if planned is not None else []
        if planned not in starts:
            return super().session(task, minute)
        whole = self._whole(task)
        return Session(whole.before if planned == starts[0] else 0, whole.after if planned == starts[-1] else 0)

    def trust(self, nodes: Mapping[str, Node]) -> None:
        """Note which coats are planned for which day."""
        self.days = {}
        for key, start in sorted(self.planned.items(), key=lambda item: item[1]):
            if key in nodes and nodes[key].task.lay:
                self.days.setdefault(self._key(nodes[key].task, start), []).append(start)


Planned = dict[str, tuple[Span, ...]]


def replay(
    problem: Problem,
    nodes: Mapping[str, Node],
    planned: Planned,
    floors: Mapping[str, float],
    keep: bool,
    trust: bool = False,
) -> Draft:
    """A plan in the order of planned spans: each step there (`keep`), or as early as order and waits allow.

    `trust`: with `keep`, that every coat is laid on the day it is planned for; the check of the plan says if not.
    """
    starts = {key: spans[0][0] for key, spans in planned.items()}
    doing = Doing(problem, nodes, 0.05, 0, {}, floors)
    if keep:
        kept = (Trusted if trust else Kept)(problem, doing.busy, doing.rooms, 0.05, 0)
        kept.planned, kept.spans = starts, planned
        if isinstance(kept, Trusted):
            kept.trust(nodes)
        doing.fitting = kept
    order = {key: (0.0, float(starts.get(key, 10**7))) for key in nodes}
    for key, (spans, _) in problem.done.items():
        if key in order:
            order[key] = (-1.0, float(spans[0][0]))
    for node in in_turn(nodes, order):
        doing.place(node)
    return reckon(doing)

