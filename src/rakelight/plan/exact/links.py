"""The waits of a plan as plain numbers: from the end of which step, so many minutes, to the start of which.

Waits depend on the hour at which a coat is laid. Here they are read off a plan as it stands, need by need, so
that each is counted from the coat it comes from; a plan made with them is read again until nothing changes.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field

from rakelight.plan.asking import BEYOND_TESTS, deviates
from rakelight.plan.draft import Draft, Laid
from rakelight.plan.history import Hist
from rakelight.plan.problem import Node, Problem, chain_keys
from rakelight.plan.reckon import tasks_towards
from rakelight.schedule.tasks import Asks, Task

_ABRADES = ("sand", "scuff", "level", "rub")


@dataclass(frozen=True)
class Link:
    """A wait: minutes from when a coat is on (or other work is done) to the start of a step, or to a date."""

    before: str
    after: str
    minutes: float


@dataclass
class Links:
    """All waits of a plan."""

    waits: list[Link] = field(default_factory=list)
    nights: list[tuple[str, str]] = field(default_factory=list)  # the later on a later day
    windows: list[Link] = field(default_factory=list)  # at most so long, else scuff first
    dates: dict[int, list[Link]] = field(default_factory=dict)  # target -> what it waits for; "after" is empty
    wet: dict[str, float] = field(default_factory=dict)  # coat -> minutes wet after it is on
    stands: dict[str, float] = field(default_factory=dict)  # coat or move -> minutes until it may be handled
    floors: dict[str, float] = field(default_factory=dict)  # step -> not before this minute (hand tests)


class Reader:
    """Reads the waits off one plan."""

    def __init__(self, problem: Problem, nodes: Mapping[str, Node], draft: Draft) -> None:
        self.problem = problem
        self.nodes = nodes
        self.draft = draft
        self.slowed = deviates({}, draft.floors)
        self.owner = {
            _minute(event_minute(x)): key for key, x in draft.laid.items() if x.task and _leaves_event(x.task)
        }

    def read(self) -> Links:
        """All waits, at their length in this plan."""
        links = Links()
        for key, node in self.nodes.items():
            laid = self.draft.laid.get(key)
            if laid is None:
                continue
            if not laid.done:
                self._before(links, key, node)
            if node.task.lay or node.task.move_to:
                self._after(links, key, node, laid)
        for n in range(len(self.problem.targets)):
            links.dates[n] = list(self._date(n))
        return links

    def z(self, readiness: str) -> Mapping[str, float]:
        """Deviates of materials as the planner takes them: a failed test says nothing of packing."""
        return {} if readiness in BEYOND_TESTS else self.slowed

    # -- before a step --------------------------------------------------------------------------

    def _before(self, links: Links, key: str, node: Node) -> None:
        task = node.task
        trial = self.problem.trials.get(key)
        if trial:
            links.floors[key] = float(max(trial.minute, 0 if trial.passed else trial.again or 0))
        for asks in (task.asks, *task.also):
            if asks.readiness and not (trial and trial.passed):
                for hist in self.draft.waited.get(key, ()):
                    links.waits += self._needs(key, node, asks, hist)
            self._clock(links, key, node, asks)
        for earlier in node.before:
            before = self.draft.laid.get(earlier)
            wait = before.task.wait_after if before and before.task else None
            if wait is None:
                continue
            if wait.overnight:
                links.nights.append((earlier, key))
            else:
                links.waits.append(Link(earlier, key, wait.hours * 60 + self._cleaning(earlier)))
        if task.lay:
            self._window(links, key, node)

    def _needs(self, key: str, node: Node, asks: Asks, hist: Hist) -> Iterable[Link]:
        over = asks.over or node.task.lay
        parts = self.problem.waits.parts(
            hist.events, hist.stays, asks.readiness, over=over, closed=hist.closed, z=self.z(asks.readiness)
        )
        for need, hour in parts:
            event = hist.events[need.at]
            owner = self.owner.get(_minute(event.hour * 60))
            if owner in self.nodes and owner != key and math.isfinite(hour):
                yield Link(str(owner), key, max(0.0, (hour - event.hour) * 60))

    def _clock(self, links: Links, key: str, node: Node, asks: Asks) -> None:
        for wait, into in ((asks.at_least, links.waits), (asks.at_most, links.windows)):
            if wait is None or (into is links.windows and not node.task.lay):
                continue
            for earlier in node.before:
                if earlier not in self.draft.laid:
                    continue
                if not wait.overnight:
                    into.append(Link(earlier, key, wait.hours * 60 + self._cleaning(earlier)))
                elif into is links.waits:
                    links.nights.append((earlier, key))

    def _cleaning(self, key: str) -> int:
        """Links count from when a coat is on; written times from when the work is over."""
        laid = self.draft.laid[key]
        return laid.after_min if laid.task and laid.task.lay else 0

    def _window(self, links: Links, key: str, node: Node) -> None:
        task = node.task
        if task.lay is None or task.asks.readiness != "next coat" or task.asks.abraded:
            return
        for hist in self.draft.waited.get(key, ()):
            events = tuple(e for e in hist.events if self.owner.get(_minute(e.hour * 60)) in self.nodes)
            if not events:
                continue
            end = self.problem.waits.window_end(events, hist.stays, task.lay)
            last = next((e for e in reversed(events) if e.lay), None)
            owner = self.owner.get(_minute(last.hour * 60)) if last else None
            if last and owner and math.isfinite(end):
                links.windows.append(Link(owner, key, max(0.0, (end - last.hour) * 60)))

    # -- after a coat ---------------------------------------------------------------------------

    def _after(self, links: Links, key: str, node: Node, laid: Laid) -> None:
        hour = event_minute(laid) / 60
        dry = handle = hour
        for name in node.chains:
            chain = self.draft.pasts.get(name)
            for hist in chain.all_pasts() if chain else []:
                past, waits = hist.until(hour), self.problem.waits
                if not past.events:
                    continue
                handle = max(handle, _finite(past.ready(waits, "handle", z=self.z("handle")), hour))
                if node.task.lay:
                    dry = max(dry, _finite(past.ready(waits, "dust-free", z=self.z("dust-free")), hour))
        if node.task.lay:
            links.wet[key] = (dry - hour) * 60
        links.stands[key] = (handle - hour) * 60

    # -- dates ----------------------------------------------------------------------------------

    def _date(self, n: int) -> Iterable[Link]:
        target = self.problem.targets[n]
        if target.is_step:
            for part in target.parts:
                for task in self.problem.jobs[part].tasks:
                    if (target.for_ in (task.step, task.do)) and task.id in self.draft.laid:
                        yield Link(task.id, "", float(self._cleaning(task.id)))
            return
        for part in target.parts:
            for task in tasks_towards(self.problem, part, target.for_):
                if task.id in self.draft.laid:
                    yield Link(task.id, "", float(self._cleaning(task.id)))
            for key in chain_keys(self.problem.jobs[part]):
                chain = self.draft.pasts.get(key)
                for hist in chain.all_pasts() if chain else []:
                    yield from self._dry(target.for_, hist)

    def _dry(self, readiness: str, hist: Hist) -> Iterable[Link]:
        parts = self.problem.waits.parts(
            hist.events, hist.stays, readiness, closed=hist.closed, z=self.z(readiness)
        )
        for need, hour in parts:
            event = hist.events[need.at]
            owner = self.owner.get(_minute(event.hour * 60))
            if owner in self.nodes and math.isfinite(hour):
                yield Link(str(owner), "", max(0.0, (hour - event.hour) * 60))


def event_minute(laid: Laid) -> int:
    """Minute at which what a step does to a face is done."""
    return laid.laid_end if laid.task and laid.task.lay else laid.end


def _leaves_event(task: Task) -> bool:
    return bool(task.lay) or task.do in _ABRADES


def _minute(minute: float) -> int:
    return round(minute)


def _finite(hour: float, instead: float) -> float:
    return hour if math.isfinite(hour) else instead + 7 * 24


def takes_of(node: Node, chain: str) -> float:
    """Drying places one lot of a part takes."""
    if chain.endswith("#board"):
        return 1.0
    task, part = node.task, node.job.part
    here = part.takes * (task.pieces[1] - task.pieces[0] + 1 if task.lot[1] > 1 else part.count)
    return here / len(node.chains)


def scuff_minutes(problem: Problem, node: Node) -> float:
    """Minutes to scuff what a coat goes on."""
    faces = [f for f in node.job.part.faces if f.name in node.task.faces]
    area = sum(f.area_m2 for f in faces) * node.job.part.count
    least = problem.facts.figure("labour_least_min").value.likely
    return max(least, problem.facts.labour["scuff"].minutes_per_m2.likely * area)


def cleaning_of(problem: Problem, node: Node) -> tuple[float, float] | None:
    """Minutes of setting up and cleaning of a session, where the coat belongs to one."""
    task = node.task
    if not task.lay or task.do in ("oil", "wax", "fill"):
        return None
    gun = problem.shop.gear.gun
    if task.gun and gun:
        return round(gun.set_up_min), round(gun.clean_min)
    if task.gun or task.lay.by not in ("brush", "pad"):
        return None
    return 0, round(problem.facts.figure("brush_clean_min").value.likely)
