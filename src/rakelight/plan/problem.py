"""The problem as plain data: what is to be done, in which order, where, and by when."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, field
from heapq import heapify, heappop, heappush

from rakelight.facts.load import Facts
from rakelight.plan.hands import Helping
from rakelight.plan.timeline import Hours, Span
from rakelight.plan.waits import Waits
from rakelight.schedule.tasks import Job, Task, Work
from rakelight.shop.model import Shop


@dataclass(frozen=True)
class Target:
    """A wanted date in minutes, and the parts it speaks of."""

    for_: str
    by: int
    parts: tuple[str, ...]
    is_step: bool = False
    piece: str = ""  # key of the piece, where several are planned together
    matters: float = 1.0  # an hour late here against an hour late elsewhere


@dataclass(frozen=True)
class Trial:
    """A hand test in minutes: passed settles the wait before a task; failed says not before."""

    minute: int
    passed: bool
    again: int | None = None  # minute to look again, where the maker said so


@dataclass(frozen=True)
class Problem:
    """Everything a planner needs; nothing in it changes while a plan is laid out."""

    work: Work
    shop: Shop
    facts: Facts
    hours: Hours
    waits: Waits
    start: int  # no work before this minute
    targets: tuple[Target, ...]
    done: Mapping[str, tuple[tuple[Span, ...], str]] = field(default_factory=dict)  # task -> spans, place
    trials: Mapping[str, Trial] = field(default_factory=dict)  # by task whose wait was tested
    kept: Mapping[str, int] = field(default_factory=dict)  # starts of the plan kept last
    settle: int = 60
    least_dry: int = 20
    begins: Mapping[str, int] = field(default_factory=dict)  # part -> no work on it before this minute
    finished_jobs: int = 0  # of this shop, that taught it something
    helper: Helping | None = None

    def begin(self, part: str) -> int:
        """No work on a part before this minute."""
        return max(self.start, self.begins.get(part, self.start))

    @property
    def pieces(self) -> tuple[str, ...]:
        """Keys of the pieces planned together; one empty key for a piece by itself."""
        return tuple(self.work.pieces) or ("",)

    @property
    def jobs(self) -> Mapping[str, Job]:
        """Tasks by part."""
        return self.work.jobs


@dataclass(frozen=True)
class Node:
    """A task with what must be done before it and the lots it acts on."""

    task: Task
    job: Job
    chains: tuple[str, ...]
    before: tuple[str, ...]
    rank: int  # order of reading: ties are broken by it


def chain_keys(job: Job) -> list[str]:
    """Names of a job's lots: "leg#1", "leg#2"."""
    lots = max((t.lot[1] for t in job.tasks if not t.board), default=1)
    return [f"{job.part.name}#{k}" for k in range(1, lots + 1)]


def drop_chain(job: Job, task: Task) -> str:
    """Name of the chain of a drop on glass: it stands beside the part, as a test board does."""
    return f"{job.part.name}#{task.drop}#board"


def nodes_of(work: Work) -> dict[str, Node]:
    """Every task with its predecessors: the task before it on the same lot, and those it names."""
    found: dict[str, Node] = {}
    last_of_part: dict[str, list[str]] = {}
    for job in work.jobs.values():
        keys = chain_keys(job)
        last: dict[str, str] = {}
        ends_of_members = [t for member in job.begins_after for t in last_of_part.get(member, [])]
        gate_of = {t.gates: t.id for t in job.tasks if t.gates}
        coats: dict[str, list[str]] = {}  # sessions of each coat so far, by its step
        for task in job.tasks:
            chains = _chains(task, job, keys)
            before = {last[c] for c in chains if c in last} | set(task.follows)
            if not any(c in last for c in chains) and not task.board and not task.drop:
                before |= set(ends_of_members)
            if task.id in gate_of:
                before.add(gate_of[task.id])
            if task.lay and task.lot[1] > 1:  # a coat is on all lots before the next is begun on any
                earlier = [step for step in coats if step != task.step]
                before |= set(coats[earlier[-1]]) if earlier else set()
                coats.setdefault(task.step, []).append(task.id)
            before.discard(task.id)
            found[task.id] = Node(task, job, chains, tuple(sorted(before)), len(found))
            for chain in chains:
                last[chain] = task.id
        last_of_part[job.part.name] = sorted({last[c] for c in keys if c in last})
        if not last_of_part[job.part.name]:
            last_of_part[job.part.name] = ends_of_members
    return found


def all_before(nodes: Mapping[str, Node], task: str) -> set[str]:
    """All that must be done before a step, however far back."""
    found: set[str] = set()
    waiting = [task]
    while waiting:
        node = nodes.get(waiting.pop())
        new = set(node.before) - found if node else set()
        found |= new
        waiting += new
    return found


def _chains(task: Task, job: Job, keys: list[str]) -> tuple[str, ...]:
    if task.drop:
        return (drop_chain(job, task),)
    if task.board or task.do == "judge":
        return (f"{job.part.name}#board",)
    if task.lot[1] == 1:
        return tuple(keys)
    return (keys[task.lot[0] - 1],)


def in_turn(nodes: Mapping[str, Node], urgency: Mapping[str, tuple[float, float]]) -> Iterator[Node]:
    """Every task once what stands before it has been given out; among those that may, the most urgent."""
    waiting = {key: sum(b in nodes for b in node.before) for key, node in nodes.items()}
    after: dict[str, list[str]] = {key: [] for key in nodes}
    for key, node in nodes.items():
        for earlier in node.before:
            if earlier in after:
                after[earlier].append(key)
    ready = [(*urgency[key], nodes[key].rank, key) for key, count in waiting.items() if count == 0]
    heapify(ready)
    while ready:
        key = heappop(ready)[-1]
        yield nodes[key]
        for later in after[key]:
            waiting[later] -= 1
            if waiting[later] == 0:
                heappush(ready, (*urgency[later], nodes[later].rank, later))


def tails(nodes: Mapping[str, Node], lag: Callable[[str, str], float]) -> dict[str, float]:
    """Minutes from the start of each task to the end of all that follows it, by likely waits."""
    after: dict[str, list[str]] = {key: [] for key in nodes}
    for key, node in nodes.items():
        for earlier in node.before:
            if earlier in after:
                after[earlier].append(key)
    known: dict[str, float] = {}
    for key in reversed(list(nodes)):
        own = nodes[key].task.minutes.likely + nodes[key].task.block_min
        known[key] = own + max((lag(key, later) + known.get(later, 0.0) for later in after[key]), default=0.0)
    return known
