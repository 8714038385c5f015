"""What each step asks at the least, as tables over the hour at which the coat before it is on.

Read off the plan of endless hands: no plan does any step earlier, and in its air no coat dries sooner. So a later
hour of laying only asks for a later hour of going on, and the tables hold for every plan.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from itertools import pairwise

from rakelight.plan.bounds import BestWaits, Unhindered, eased, joined_stays
from rakelight.plan.clock import Law
from rakelight.plan.doses import Happened, Need
from rakelight.plan.draft import Draft, Laid
from rakelight.plan.history import Chain, Hist
from rakelight.plan.problem import Node, Problem, chain_keys, nodes_of
from rakelight.plan.reckon import reckon
from rakelight.plan.waits import Stay
from rakelight.schedule.tasks import Asks


class Traced(Unhindered):
    """The plan of endless hands, with the step that each event on a face comes from."""

    def __init__(self, problem: Problem, nodes: Mapping[str, Node]) -> None:
        super().__init__(problem, nodes)
        self.owner: dict[int, tuple[str, Happened]] = {}

    def _happen(self, node: Node, chains: list[Chain], laid: Laid) -> None:
        super()._happen(node, chains, laid)
        for chain in chains:
            for hist in chain.all_pasts():
                if hist.events:
                    self.owner.setdefault(id(hist.events[-1]), (node.task.id, hist.events[-1]))


@dataclass(frozen=True)
class Asked:
    """So many reference hours of a law from when a coat is on, in the best of the air it may stand in."""

    before: str
    after: str  # a step; "" the finish
    law: Law
    dose_h: float
    stays: tuple[Stay, ...]


@dataclass(frozen=True)
class Pair:
    """A coat and the one of its kind right beneath: one film where no more reference hours lie between."""

    beneath: str
    coat: str
    event: int  # its id
    law: Law
    most_h: float
    stays: tuple[Stay, ...]


@dataclass
class Least:
    """The least that every plan must keep to."""

    free: Draft
    asked: list[Asked] = field(default_factory=list)
    wet: dict[str, list[Asked]] = field(default_factory=dict)  # coat -> what it asks until it is dust-free
    stands: dict[str, list[Asked]] = field(default_factory=dict)  # coat -> until it may be handled
    one_film: list[Pair] = field(default_factory=list)
    gaps: list[tuple[str, str, float]] = field(default_factory=list)  # minutes by the clock from end to start
    nights: list[tuple[str, str]] = field(default_factory=list)
    reader: _Reader | None = None

    def knowing(self, one_film: frozenset[int]) -> Least:
        """The same where some coats are known to be one film with the coat beneath."""
        assert self.reader is not None
        self.reader.waits.one_film = one_film
        return self.reader.read()


def least_of(problem: Problem) -> Least:
    """All that every plan must keep to."""
    nodes = nodes_of(problem.work)
    doing = Traced(eased(problem), nodes)
    for node in nodes.values():
        doing.place(node)
    return _Reader(problem, nodes, doing).read()


class _Reader:
    def __init__(self, problem: Problem, nodes: Mapping[str, Node], doing: Traced) -> None:
        self.problem, self.nodes, self.doing = problem, nodes, doing
        waits = doing.problem.waits
        assert isinstance(waits, BestWaits)
        self.waits = waits
        self.free = reckon(doing)

    def read(self) -> Least:
        found = Least(self.free, reader=self)
        for key, node in self.nodes.items():
            laid = self.free.laid.get(key)
            if laid is None:
                continue
            if not laid.done:
                found.asked += self._before(key, node)
                self._clock(found, key, node)
            if node.task.lay:
                found.wet[key] = list(self._until(key, node, "dust-free"))
                found.stands[key] = list(self._until(key, node, "handle"))
        for target in self.problem.targets:
            for part in () if target.is_step else target.parts:
                for name in chain_keys(self.problem.jobs[part]):
                    chain = self.doing.chains.get(name)
                    for hist in chain.all_pasts() if chain else []:
                        found.asked += self._needs("", hist, target.for_)
        found.asked = list(dict.fromkeys(found.asked))
        found.one_film = list(dict.fromkeys(self._pairs()))
        return found

    def _before(self, key: str, node: Node) -> Iterator[Asked]:
        if self.doing.asking.settled(node):
            return
        for asks in (node.task.asks, *node.task.also):
            if asks.readiness:
                for hist in self.free.waited.get(key, ()):
                    yield from self._needs(key, hist, asks.readiness, asks, node)

    def _needs(
        self, after: str, hist: Hist, readiness: str, asks: Asks | None = None, node: Node | None = None
    ) -> Iterator[Asked]:
        if not hist.events:
            return
        over = asks.over or (node.task.lay if node else None) if asks else None
        parts = self.waits.parts(hist.events, hist.stays, readiness, over=over, closed=hist.closed)
        for need, hour in parts:
            if math.isfinite(hour):
                one = self._asked(after, hist, need)
                if one and one.before != after:
                    yield one

    def _asked(self, after: str, hist: Hist, need: Need) -> Asked | None:
        event = hist.events[need.at]
        owner = self.doing.owner.get(id(event))
        if owner is None or owner[0] not in self.nodes:
            return None
        stays = tuple(joined_stays(hist.stays, event.hour))
        return Asked(owner[0], after, need.law, round(need.at_z(0.0), 6), stays)

    def _until(self, key: str, node: Node, readiness: str) -> Iterator[Asked]:
        """What a coat itself asks until it is dust-free or may be handled."""
        hour = self.free.laid[key].laid_end / 60
        for name in node.chains:
            chain = self.doing.chains.get(name)
            for hist in chain.all_pasts() if chain else []:
                past = hist.until(hour)
                if past.events and self.doing.owner.get(id(past.events[-1]), ("",))[0] == key:
                    yield from (n for n in self._needs("", past, readiness) if n.before == key)

    def _clock(self, found: Least, key: str, node: Node) -> None:
        for earlier in node.before:
            related = set(self.nodes[earlier].chains) & set(node.chains) or (
                self.nodes[earlier].job.part.name in node.job.begins_after
            )
            if earlier not in self.free.laid or not related:
                continue
            task = self.nodes[earlier].task
            waits = [task.wait_after] if task.wait_after else []
            if task.scheduled is not None and task.do not in ("turn", "move", "points") and task.step != node.task.step:
                waits += [a.at_least for a in (node.task.asks, *node.task.also) if a.at_least]
            for wait in waits:
                if wait.overnight:
                    found.nights.append((earlier, key))
                else:
                    found.gaps.append((earlier, key, wait.hours * 60))

    def _pairs(self) -> Iterator[Pair]:
        for chain in self.doing.chains.values():
            for hist in chain.all_pasts():
                coats = [e for e in hist.events if e.lay]
                for beneath, coat in pairwise(coats):
                    assert coat.lay and beneath.lay
                    melts = self.waits.melts(coat.lay.material)
                    owners = [self.doing.owner.get(id(e), ("",))[0] for e in (beneath, coat)]
                    if melts and beneath.lay.material == coat.lay.material and all(o in self.nodes for o in owners):
                        stays = tuple(joined_stays(hist.stays, beneath.hour))
                        yield Pair(owners[0], owners[1], id(coat), *melts, stays)
