"""When a task may begin: the wait its faces ask for, the clock times written, and the hand tests made."""

from __future__ import annotations

import math
from collections.abc import Mapping

from rakelight.plan.history import Chain, Hist
from rakelight.plan.problem import Node, Problem
from rakelight.schedule.steps import Duration
from rakelight.schedule.tasks import Asks, Task


def after_failed(z: float, share: float) -> float:
    """A material's deviate once a failed test has ruled out the lower `share` of its odds (Bayes, truncation)."""
    if share <= 0:
        return z
    from statistics import NormalDist  # only once a test has failed

    normal = NormalDist()
    return normal.inv_cdf(min(1 - 1e-9, share + (1 - share) * normal.cdf(z)))


def _below(z: float) -> float:
    """Share of the odds below a deviate."""
    return 0.5 * (1.0 + math.erf(z / math.sqrt(2.0)))


#: share of its odds that failed tests rule out at the most: beyond, the book does not speak of this can
MOST_RULED_OUT = 0.99

#: readinesses a hand test of drying says nothing about: they rest on rules of the trade and on full cure
BEYOND_TESTS = ("pack", "use")


def deviates(given: Mapping[str, float], floors: Mapping[str, float]) -> dict[str, float]:
    """Deviates of all materials once failed tests have ruled out their share of the odds."""
    return {m: after_failed(given.get(m, 0.0), floors.get(m, 0.0)) for m in {*given, *floors}}


class Asking:
    """Answers "from which minute?" for one pass."""

    def __init__(
        self, problem: Problem, nodes: Mapping[str, Node], z: Mapping[str, float], floors: Mapping[str, float]
    ) -> None:
        self.problem = problem
        self.nodes = nodes
        self.given = dict(z)
        self.floors = dict(floors)
        self.slowed: dict[str, float] = {}
        self._tell()

    def _tell(self) -> None:
        self.slowed = deviates(self.given, self.floors)

    def z(self, readiness: str) -> Mapping[str, float]:
        """Each material's deviate for a readiness: a failed test speaks of drying, not of when it may be packed."""
        return self.given if readiness in BEYOND_TESTS else self.slowed

    def ready(self, node: Node, chains: list[Chain], begin: int) -> tuple[float, str, list[Hist]]:
        """Minute from which the task may begin, the readiness that ruled, and the pasts that were read."""
        task = node.task
        trial = self.problem.trials.get(task.id)
        best, ruled = float(begin), ""
        read: list[Hist] = []
        for asks in (task.asks, *task.also):
            pasts = self._pasts(task, asks, chains)
            read += pasts
            if not self.settled(node):
                for hist in pasts:
                    minute = self._minute(task, asks, hist)
                    if minute > best:
                        best, ruled = minute, asks.readiness
            clock = self._clock(task, asks, chains)
            if clock > best:
                best, ruled = clock, "the time written"
        if trial:
            best = self._tried(node, chains, best)
        return best, ruled, read

    def settled(self, node: Node) -> bool:
        """Whether a hand test has passed for it, or for the carrying that brought the part here for it."""
        trials = self.problem.trials
        carried = [b for b in node.before if b in self.nodes and self.nodes[b].task.move_to]
        return any(key in trials and trials[key].passed for key in (node.task.id, *carried))

    def _pasts(self, task: Task, asks: Asks, chains: list[Chain]) -> list[Hist]:
        if not asks.readiness:
            return []
        if task.do == "join":
            found = {id(h): h for c in chains for h in c.all_pasts()}
        else:
            found = {id(h): h for c in chains for h in c.pasts(asks.faces or task.faces)}
        return [h for h in found.values() if h.events]

    def _minute(self, task: Task, asks: Asks, hist: Hist) -> float:
        over = asks.over or task.lay
        return 60 * hist.ready(self.problem.waits, asks.readiness, over, asks.clamps, self.z(asks.readiness))

    def _clock(self, task: Task, asks: Asks, chains: list[Chain]) -> float:
        if asks.at_least is None:
            return 0.0
        return self._later(max(c.since(task.step) for c in chains), asks.at_least)

    def _later(self, minute: int, wait: Duration) -> float:
        return float(self.problem.hours.after_a_night(minute)) if wait.overnight else minute + wait.hours * 60

    def _tried(self, node: Node, chains: list[Chain], best: float) -> float:
        task = node.task
        trial = self.problem.trials[task.id]
        if trial.passed:
            return max(best, float(trial.minute))
        share = self._share_ruled_out(task, chains, trial.minute)
        for material, p in share.items():
            self.floors[material] = max(self.floors.get(material, 0.0), p)
        self._tell()
        for asks in (task.asks, *task.also):
            for hist in self._pasts(task, asks, chains):
                best = max(best, self._minute(task, asks, hist))
        return max(best, float(trial.minute), float(trial.again or 0))

    def _share_ruled_out(self, task: Task, chains: list[Chain], minute: int) -> dict[str, float]:
        """The material likeliest to be late, and the odds, in the tables' eyes, that it should have been ready by then.

        One test speaks of one wait: what should long have dried besides it is not thought slow as well.
        """
        found: dict[str, float] = {}
        waits = self.problem.waits
        for asks in (task.asks, *task.also):
            for hist in self._pasts(task, asks, chains):
                over = asks.over or task.lay
                material = hist.explain(waits, asks.readiness, over, asks.clamps).because.material
                if not material:
                    continue
                low, high = -3.0, 3.0
                for _ in range(24):
                    mid = (low + high) / 2
                    at = hist.ready(waits, asks.readiness, over, asks.clamps, {material: mid})
                    low, high = (mid, high) if at * 60 < minute else (low, mid)
                # what is laid on several faces is slow enough only where its slowest face fails
                found[material] = min(found.get(material, MOST_RULED_OUT), _below(low))
        return dict([min(found.items(), key=lambda pair: pair[1])]) if found else {}

    def window_end(self, task: Task, chains: list[Chain]) -> float:
        """Minute by which a coat must be on if it is not to be abraded first."""
        end = math.inf
        if task.lay and task.asks.readiness == "next coat" and not task.asks.abraded:
            for hist in self._pasts(task, task.asks, chains):
                end = min(end, self.problem.waits.window_end(hist.events, hist.stays, task.lay) * 60)
        if task.asks.at_most is not None and task.lay:
            end = min(end, self._later(max(c.since(task.step) for c in chains), task.asks.at_most))
        return end
