"""What several pieces cost one another, whoever plans them: one maker works the first stage of each in turn.

A stage is the steps of each piece that could begin between two moments were it alone. Whatever the order, the c-th
piece to have its stage done has it no sooner than the maker has worked the c smallest stages, from the first moment
on; and a piece is ready no sooner than it would be alone with the last step of its stage then. Which piece comes
which is left open: the cheapest order counts. So no plan beats the sum.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import partial
from itertools import pairwise

from rakelight.plan.bounds import Unhindered, eased, head, when_worked, worked
from rakelight.plan.draft import Draft, Laid
from rakelight.plan.hands import Crew
from rakelight.plan.history import Chain
from rakelight.plan.problem import Node, Problem, nodes_of
from rakelight.plan.reckon import reached_by
from rakelight.plan.together import piece_of

#: pieces up to which orders are tried out; above, each piece counts as alone
MOST = 8
#: minutes between two steps that part one stage from the next, and stages tried out in full
_STAGE_MIN = 720
_TRIED = 2


@dataclass(frozen=True)
class _Stage:
    """A stage of each piece: its work in minutes, and from when it can be worked."""

    until: float  # offset of the last step's head from the beginning of its piece
    work: Mapping[str, float]
    start: float

    def done(self, problem: Problem) -> list[float]:
        """Minute by which the first, the second ... piece can have it done."""
        found, total = [], 0.0
        helper = problem.helper
        when = Crew((problem.hours, helper.hours)).when_worked if helper else partial(when_worked, problem.hours)
        for minutes in sorted(self.work.values()):
            total += minutes
            found.append(when(self.start, total))
        return found


class Pinned(Unhindered):
    """As if alone, with some steps not before a minute."""

    def __init__(self, problem: Problem, nodes: Mapping[str, Node], pins: Mapping[str, float]) -> None:
        super().__init__(problem, nodes)
        self.pins = pins

    def _find(self, node: Node, chains: list[Chain]) -> Laid:
        pin = self.pins.get(node.task.id)
        if pin is not None:
            for chain in chains:
                chain.free_from = max(chain.free_from, math.floor(pin))
        return super()._find(node, chains)


def crowded(problem: Problem, free: Draft) -> tuple[float, str]:
    """The least sum of the finishes of several pieces, in minutes, and what forces it."""
    keys = problem.pieces
    alone = sum(free.finishes[k] for k in keys)
    if not 1 < len(keys) <= MOST:
        return alone, "waits"
    crowd = _Crowd(problem, free)
    best = max((crowd.sum_of(stage) for stage in crowd.stages()), default=alone)
    return (best, "maker's hours") if best > alone + 1 else (alone, "waits")


class _Crowd:
    def __init__(self, problem: Problem, free: Draft) -> None:
        self.problem, self.free = problem, free
        self.easier = eased(problem)
        self.nodes = nodes_of(problem.work)
        self.of = {key: [k for k in self.nodes if piece_of(k) == key] for key in problem.pieces}
        self.begin = {key: min(problem.begin(self.nodes[k].task.part) for k in ks) for key, ks in self.of.items()}
        self.head = {k: free.laid[k].start - self.begin[piece_of(k)] for k in self.nodes if k in free.laid}
        self.after: dict[str, list[str]] = {k: [] for k in self.nodes}
        for k, node in self.nodes.items():
            for b in node.before:
                self.after[b].append(k)
        self.known: dict[tuple[str, float, float], float] = {}

    def stages(self) -> list[_Stage]:
        """The stages that cost most by a first look."""
        heads = sorted(set(self.head.values()))
        borders = [-1.0, *(float(a) for a, b in pairwise(heads) if b - a > _STAGE_MIN)]
        found = []
        for n, since in enumerate(borders):
            for until in borders[n + 1 :]:
                stage = self._stage(since, until)
                if stage:
                    soonest = min(self._done_alone(key, until) for key in stage.work)
                    cost = sum(max(0.0, c - soonest) for c in stage.done(self.problem))
                    found.append((cost, stage))
        found.sort(key=lambda f: -f[0])
        return [stage for cost, stage in found[:_TRIED] if cost > 0]

    def _stage(self, since: float, until: float) -> _Stage | None:
        work: dict[str, float] = {}
        start = math.inf
        for key, ks in self.of.items():
            own = [k for k in ks if since < self.head.get(k, math.inf) <= until and k not in self.problem.done]
            minutes = sum(worked(self.nodes[k].task) for k in own if self.nodes[k].task.work != "none")
            if minutes > 0:  # a piece with no work in the stage is not kept by it
                work[key] = minutes
                start = min([start, *(float(head(self.problem, self.free.laid[k])) for k in own)])
        return _Stage(until, work, start) if len(work) > 1 else None

    def _done_alone(self, key: str, until: float) -> float:
        return max((float(self.free.laid[k].end) for k in self._within(key, until)), default=0.0)

    def _within(self, key: str, until: float) -> list[str]:
        return [k for k in self.of[key] if self.head.get(k, math.inf) <= until]

    def sum_of(self, stage: _Stage) -> float:
        """The least sum over all orders of the pieces."""
        done = stage.done(self.problem)
        keys = list(stage.work)
        others = sum(self.free.finishes[k] for k in self.of if k not in stage.work)
        best = {0: others}  # pieces taken, as bits -> least sum
        for when in done:
            more: dict[int, float] = {}
            for taken, so_far in best.items():
                for n, key in enumerate(keys):
                    bit = 1 << n
                    if not taken & bit:
                        value = so_far + self.ready(key, stage.until, when)
                        more[taken | bit] = min(value, more.get(taken | bit, math.inf))
            best = more
        return best[(1 << len(keys)) - 1]

    def ready(self, key: str, until: float, when: float) -> float:
        """A piece alone, its steps up to `until` done at `when` and not before."""
        if (key, until, when) not in self.known:
            self.known[key, until, when] = self._ready(key, until, when)
        return self.known[key, until, when]

    def _ready(self, key: str, until: float, when: float) -> float:
        """Any of the last steps of the stage may be the last done: the best of them counts."""
        inside = set(self._within(key, until))
        lasts = [k for k in inside if not inside & set(self.after[k]) and k not in self.problem.done]
        least = math.inf
        alone = self.free.finishes[key]
        for pinned in _one_of_each(lasts, self._part):
            pins: dict[str, float] = {}
            for last in pinned:
                pins |= {k: when for k in self.after[last]}
                task = self.nodes[last].task
                if task.lay or not task.splittable:
                    pins[last] = when - worked(task) - 5
            doing = Pinned(self.easier, self.nodes, pins)
            for k in self.of[key]:
                doing.place(self.nodes[k])
            least = min([least, *(max(alone, self._root_ready(doing, key, self._part(k))) for k in pinned)])
        return least if math.isfinite(least) else alone

    def _part(self, key: str) -> str:
        return self._root(self.nodes[key].task.part)

    def _root(self, part: str) -> str:
        """The part that a part is joined into at last."""
        for name, job in self.problem.jobs.items():
            if part in job.begins_after:
                return self._root(name)
        return part

    def _root_ready(self, doing: Pinned, key: str, root: str) -> float:
        ends = [x.end for k, x in doing.laid.items() if self._part(k) == root]
        targets = [
            replace(t, parts=(root,))
            for t in self.problem.targets
            if t.piece == key and root in t.parts and not t.is_step
        ]
        reached = [m for m in (reached_by(doing, t) for t in targets) if math.isfinite(m)]
        return max([*map(float, ends), *reached], default=0.0)


def _one_of_each(keys: Sequence[str], root: Callable[[str], str]) -> Iterator[list[str]]:
    """All keys in a few sets, no two of one set joined into the same part."""
    groups: dict[str, list[str]] = {}
    for key in keys:
        groups.setdefault(root(key), []).append(key)
    for n in range(max(map(len, groups.values()), default=0)):
        yield [g[n] for g in groups.values() if n < len(g)]
