"""Whose hands there are: the maker's, and those of a helper for some hours and some kinds of work."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from rakelight.plan.timeline import Hours
from rakelight.schedule.tasks import Task

#: who does a step that is not the maker's
HELPER = "helper"


@dataclass(frozen=True)
class Helping:
    """A helper as plain data: open windows that are his, and what he may do."""

    hours: Hours
    does: frozenset[str]  # verbs, and names of own steps in small letters

    def may(self, task: Task) -> bool:
        """Whether a step may be given to him: dry work of a kind that he does."""
        if task.lay is not None or task.work in ("wet", "none"):
            return False
        return task.do in self.does or (task.do == "own" and task.step.casefold() in self.does)


class Crew:
    """The open minutes of all hands together."""

    def __init__(self, hands: Sequence[Hours]) -> None:
        edges: dict[int, int] = {}
        for hours in hands:
            for a, b in hours.windows:
                edges[a] = edges.get(a, 0) + 1
                edges[b] = edges.get(b, 0) - 1
        self._spans: list[tuple[int, int, int]] = []  # first minute, last, hands
        at, count = 0, 0
        for minute in sorted(edges):
            if count:
                self._spans.append((at, minute, count))
            at, count = minute, count + edges[minute]

    def when_worked(self, start: float, work: float) -> float:
        """The first minute by which so many minutes have been worked by all together."""
        left = work
        for a, b, count in self._spans:
            if b <= start:
                continue
            a = max(a, int(start))
            if (b - a) * count >= left:
                return a + left / count
            left -= (b - a) * count
        return start
