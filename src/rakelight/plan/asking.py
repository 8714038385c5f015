"""When a task may begin: the wait its faces ask for, the clock times written, and the hand tests made."""

from __future__ import annotations

import math
from collections.abc import Mapping
from statistics import NormalDist

from rakelight.plan.history import Chain, Hist
from rakelight.plan.problem import Node, Problem
from rakelight.schedule.tasks import Asks, Task

_NORMAL = NormalDist()


def after_failed(z: float, share: float) -> float:
    """A material's deviate once a failed test has ruled out the lower `share` of its odds (Bayes, truncation)."""
    if share <= 0:
        return z
    return _NORMAL.inv_cdf(min(1 - 1e-9, share + (1 - share) * _NORMAL.cdf(z)))


class Asking:
    """Answers "from which minute?" for one pass."""

    def __init__(self, problem: Problem, z: Mapping[str, float], floors: Mapping[str, float]) -> None:
        self.problem = problem
        self.given = dict(z)
        self.floors = dict(floors)
        self.z: dict[str, float] = {}
        self._tell()

    def _tell(self) -> None:
        names = {*self.given, *self.floors}
        self.z = {m: after_failed(self.given.get(m, 0.0), self.floors.get(m, 0.0)) for m in names}

    def ready(self, node: Node, chains: list[Chain], begin: int) -> tuple[float, str, list[Hist]]:
        """Minute from which the task may begin, the readiness that ruled, and the pasts that were read."""
        task = node.task
        trial = self.problem.trials.get(task.id)
        best, ruled = float(begin), ""
        read: list[Hist] = []
        for asks in (task.asks, *task.also):
            pasts = self._pasts(task, asks, chains)
            read += pasts
            if not (trial and trial.passed):
                for hist in pasts:
                    minute = self._hour(node, asks, hist) * 60
                    if minute > best:
                        best, ruled = minute, asks.readiness
            clock = self._clock(asks, chains)
            if clock > best:
                best, ruled = clock, "the time written"
        if trial:
            best = self._tried(node, chains, best)
        return best, ruled, read

    def _pasts(self, task: Task, asks: Asks, chains: list[Chain]) -> list[Hist]:
        if not asks.readiness:
            return []
        if task.do == "join":
            found = {id(h): h for c in chains for h in c.all_pasts()}
        else:
            found = {id(h): h for c in chains for h in c.pasts(asks.faces or task.faces)}
        return [h for h in found.values() if h.events]

    def _hour(self, node: Node, asks: Asks, hist: Hist) -> float:
        over = asks.over or node.task.lay
        faces = asks.faces or node.task.faces
        closed = any(f.closed for f in node.job.part.faces if f.name in faces)
        return self.problem.waits.ready(
            hist.events, hist.stays, asks.readiness, over=over, closed=closed, clamps=False, z=self.z
        )

    def _clock(self, asks: Asks, chains: list[Chain]) -> float:
        if asks.at_least is None:
            return 0.0
        last = max(c.last_end for c in chains)
        if asks.at_least.overnight:
            return float(self.problem.hours.after_a_night(last))
        return last + asks.at_least.hours * 60

    def _tried(self, node: Node, chains: list[Chain], best: float) -> float:
        task = node.task
        trial = self.problem.trials[task.id]
        if trial.passed:
            return max(best, float(trial.minute))
        share = self._share_ruled_out(node, chains, trial.minute)
        for material, p in share.items():
            self.floors[material] = max(self.floors.get(material, 0.0), p)
        self._tell()
        for asks in (task.asks, *task.also):
            for hist in self._pasts(task, asks, chains):
                best = max(best, self._hour(node, asks, hist) * 60)
        return max(best, float(trial.minute), float(trial.again or 0))

    def _share_ruled_out(self, node: Node, chains: list[Chain], minute: int) -> dict[str, float]:
        """By material: the odds, in the tables' eyes, that the test should have passed by then."""
        found: dict[str, float] = {}
        task = node.task
        for asks in (task.asks, *task.also):
            for hist in self._pasts(task, asks, chains):
                over = asks.over or node.task.lay
                why = self.problem.waits.explain(hist.events, hist.stays, asks.readiness, over=over)
                material = why.because.material if why.because else ""
                if not material:
                    continue
                low, high = -3.0, 3.0
                for _ in range(24):
                    mid = (low + high) / 2
                    at = self.problem.waits.ready(
                        hist.events, hist.stays, asks.readiness, over=over, z={material: mid}
                    )
                    low, high = (mid, high) if at * 60 < minute else (low, mid)
                # what is laid on several faces is slow enough only where its slowest face fails
                found[material] = min(found.get(material, 1.0), _NORMAL.cdf(low))
        return found

    def window_end(self, task: Task, chains: list[Chain]) -> float:
        """Minute by which a coat must be on if it is not to be abraded first."""
        end = math.inf
        if task.lay and task.asks.readiness == "next coat" and not task.asks.abraded:
            for hist in self._pasts(task, task.asks, chains):
                end = min(end, self.problem.waits.window_end(hist.events, hist.stays, task.lay) * 60)
        if task.asks.at_most is not None and task.lay:
            last = max(c.last_end for c in chains)
            most = task.asks.at_most
            end = min(
                end, self.problem.hours.after_a_night(last) if most.overnight else last + most.hours * 60
            )
        return end
