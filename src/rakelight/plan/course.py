"""A plan made ready to be followed many times over: steps in order, and where each wait counts from.

The plan's own pasts are read; every event in them is traced back to the step that made it, so that the same
wait can be asked with other hours.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field, replace

from rakelight.plan.clock import Stay
from rakelight.plan.doses import Happened, Need
from rakelight.plan.draft import Draft, Laid
from rakelight.plan.history import Hist
from rakelight.plan.needs import recipe_of
from rakelight.plan.problem import Node, Problem, Target, chain_keys, nodes_of
from rakelight.plan.reckon import tasks_towards
from rakelight.schedule.tasks import Asks, Lay, Task

#: minutes after which a coat put off by the plan is no longer put off (as the planner's manners have it)
HOLD_MIN = 864


@dataclass(frozen=True)
class Stand:
    """A place a part stands in from the start or the end of a step on; step -1: from the beginning."""

    place: str
    step: int
    at_end: bool = False


@dataclass(frozen=True, eq=False)
class Want:
    """One need of one past: hours from the steps that laid the coats it speaks of (last: its own)."""

    need: Need
    events: tuple[int, ...]
    stays: tuple[Stand, ...]


@dataclass(frozen=True, eq=False)
class Rest:
    """The rest after as many coats as a day allows."""

    most: int
    coats: tuple[int, ...]
    want: Want


@dataclass(frozen=True)
class Move:
    """One step of the course."""

    key: str
    task: Task
    planned: float
    place: str
    before: tuple[int, ...]
    wants: tuple[Want, ...] = ()
    rests: tuple[Rest, ...] = ()
    dry: tuple[Want, ...] = ()  # dust-free once laid
    window: Want | None = None  # until when the coat needs no scuffing
    session: tuple[int, int] = (0, 0)  # setting up and cleaning, as planned
    unit: int = 20
    day_before: int = -1  # the coat that must lie on an earlier day: as many coats as a day allows before
    done: tuple[tuple[int, int], ...] = ()
    slot: int = -1  # the step whose event it renews; itself where -1
    group: str = ""  # coats of an open number: part and step
    ordinal: int = 0
    earlier: int = -1  # the coat before it, whose hour stands where this one is left out
    redo: str = ""  # part that is laid again
    sure_from: float = -math.inf  # a hand test made: not before
    passed: bool = False
    helped: bool = False  # the plan gives it to the helper


@dataclass(frozen=True)
class Course:
    """All that following a plan needs."""

    problem: Problem
    moves: tuple[Move, ...]
    ends: tuple[tuple[tuple[int, ...], tuple[Want, ...]], ...]  # by target: steps, and what must be dry after
    counts: Mapping[str, tuple[int, int, int]] = field(default_factory=dict)
    redo_parts: tuple[str, ...] = ()
    floors: Mapping[str, float] = field(default_factory=dict)


class Compiler:
    """Reads a draft into a course."""

    def __init__(self, problem: Problem, draft: Draft) -> None:
        self.problem, self.draft = problem, draft
        self.nodes: dict[str, Node] = nodes_of(problem.work)
        self.order = sorted(draft.laid, key=lambda k: (draft.laid[k].start, draft.laid[k].end, self._rank(k)))
        self.at = {key: n for n, key in enumerate(self.order)}
        self.before = {key: self._before(key) for key in self.order}
        self.past = self._ancestors()
        self._same: dict[object, Want] = {}
        by_minute: dict[tuple[int, str], list[str]] = {}
        for key, laid in draft.laid.items():
            if laid.task:
                do = "lay" if laid.task.lay else laid.task.do
                by_minute.setdefault((laid.laid_end if laid.task.lay else laid.end, do), []).append(key)
        self.by_minute = by_minute
        self.moved: dict[tuple[str, int], list[str]] = {}  # by place and minute: the steps that bring a part there
        self.begun: dict[tuple[str, int], list[str]] = {}  # and those begun there
        for key in self.order:
            laid = draft.laid[key]
            self.begun.setdefault((laid.place, laid.start), []).append(key)
            if laid.task and laid.task.move_to:
                self.moved.setdefault((laid.task.move_to, laid.end), []).append(key)

    def _rank(self, key: str) -> int:
        node = self.nodes.get(key.removesuffix("/scuff-late"))
        return node.rank * 2 + (key in self.nodes) if node else 0

    def _before(self, key: str) -> tuple[str, ...]:
        """Steps that must be done first; a scuff the planner put in stands between."""
        base = key.removesuffix("/scuff-late")
        node = self.nodes.get(base)
        before = tuple(b for b in node.before if b in self.draft.laid) if node else ()
        late = f"{key}/scuff-late"
        return (*before, late) if late in self.draft.laid else before

    def _ancestors(self) -> dict[str, frozenset[str]]:
        found: dict[str, frozenset[str]] = {}
        names = [*self.nodes, *(k for k in self.order if k not in self.nodes)]
        for key in sorted((k for k in names if k in self.at), key=self._rank):
            mine: set[str] = set()
            for b in self.before[key]:
                mine |= {b, *found.get(b, ())}
            found[key] = frozenset(mine)
        return found

    # -- tracing --------------------------------------------------------------------------------

    def trace(self, event: Happened, among: Iterable[str]) -> int:
        """The step that made an event; among the steps before the one that asks."""
        keys = self.by_minute.get((round(event.hour * 60), event.do), [])
        allowed = set(among)
        best = [k for k in keys if k in allowed] or keys
        for key in best:
            task = self.draft.laid[key].task
            if task and (event.lay is None or task.lay is event.lay):
                return self.at[key]
        return self.at[best[0]] if best else -1

    def stands(self, stays: Sequence[Stay], among: Iterable[str]) -> tuple[Stand, ...]:
        """The same stays, by step: by the carrying where one brought it there, else by what was begun there."""
        allowed = set(among)
        found = []
        for n, stay in enumerate(stays):
            if n == 0:
                found.append(Stand(stay.place, -1))
                continue
            moment = (stay.place, round(stay.from_hour * 60))
            moved = [k for k in self.moved.get(moment, ()) if k in allowed]
            begun = [k for k in self.begun.get(moment, ()) if k in allowed]
            if moved or begun:  # whatever the order of a set: the odds are the same each time
                found.append(Stand(stay.place, self.at[(moved or begun)[0]], bool(moved)))
        return tuple(found)

    def wants(
        self, hist: Hist, readiness: str, over: Lay | None, closed: bool, among: frozenset[str]
    ) -> tuple[list[Want], Rest | None]:
        """What a readiness asks of one past."""
        waits = self.problem.waits
        recipe = recipe_of(waits.doses, waits.shape(hist.events, hist.stays), readiness, over, closed, False)
        steps = [self.trace(e, among) for e in hist.events]
        stays = self.stands(hist.stays, among)
        found = [self._want(need, steps, stays) for need in recipe.needs]
        rest = None
        if recipe.many:
            coats = tuple(steps[at] for at in recipe.many.at[-recipe.many.most :])
            rest = Rest(recipe.many.most, coats, self._want(recipe.many.need, steps, stays))
        return found, rest

    def _want(self, need: Need, steps: list[int], stays: tuple[Stand, ...]) -> Want:
        events = tuple(steps[n.at] for n in (*need.beneath, need))
        key = (need.figure, need.material, need.dose, need.law.kind, need.sure, events, stays)
        if key not in self._same:
            self._same[key] = Want(need, events, stays)
        return self._same[key]

    # -- moves ----------------------------------------------------------------------------------

    def course(self) -> Course:
        """The whole course."""
        moves = [self._move(key) for key in self.order]
        moves = self._by_day(moves)
        return Course(self.problem, tuple(moves), self._ends(), {}, (), dict(self.draft.floors))

    def _move(self, key: str) -> Move:
        laid = self.draft.laid[key]
        task = laid.task
        assert task is not None
        trial = self.problem.trials.get(key)
        passed = bool(trial and trial.passed)
        wants, rests = ([], []) if passed or laid.done else self._asked(key, task)
        return Move(
            key, task, laid.start, laid.place, tuple(sorted(self.at[b] for b in self.before[key])),
            tuple(dict.fromkeys(wants)), tuple(rests), self._dry(key, laid), self._window(key, task),
            (laid.before_min, laid.after_min), self._unit(key, task),
            done=laid.spans if laid.done else (),
            sure_from=max(trial.minute, trial.again or 0) if trial else -math.inf, passed=passed,
            helped=bool(laid.who),
        )  # fmt: skip

    def _asked(self, key: str, task: Task) -> tuple[list[Want], list[Rest]]:
        wants: list[Want] = []
        rests: list[Rest] = []
        for asks in (task.asks, *task.also):
            for hist in self.draft.waited.get(key, ()) if asks.readiness else ():
                more, rest = self.wants(
                    hist, asks.readiness, asks.over or task.lay, self._closed(key, task, asks), self.past[key]
                )
                wants += more
                rests += [rest] if rest else []
        return wants, rests

    def _closed(self, key: str, task: Task, asks: Asks) -> bool:
        node = self.nodes.get(key)
        faces = asks.faces or task.faces
        return bool(node) and any(f.closed for f in node.job.part.faces if f.name in faces)  # type: ignore[union-attr]

    def after(self, key: str, laid: Laid) -> list[Hist]:
        """The pasts of the faces a coat leaves behind, up to and with it."""
        found: dict[object, Hist] = {}
        hour = laid.laid_end / 60 + 1e-6
        for name in self.nodes[key].chains if key in self.nodes else ():
            chain = self.draft.pasts.get(name)
            for hist in chain.pasts(laid.task.faces) if chain and laid.task else []:
                events = tuple(e for e in hist.events if e.hour <= hour)
                stays = tuple(s for n, s in enumerate(hist.stays) if n == 0 or s.from_hour <= hour)
                if events:
                    found[events, stays] = Hist(events, stays)
        return list(found.values())

    def _dry(self, key: str, laid: Laid) -> tuple[Want, ...]:
        if laid.task is None or laid.task.lay is None:
            return ()
        among = self.past[key] | {key}
        wants = [w for h in self.after(key, laid) for w in self.wants(h, "dust-free", None, False, among)[0]]
        return tuple(dict.fromkeys(wants))

    def _window(self, key: str, task: Task) -> Want | None:
        """The recoat window of the coat beneath, as a want with no doubt."""
        if task.lay is None or task.asks.readiness != "next coat" or task.asks.abraded:
            return None
        if f"{key}/scuff-late" in self.draft.laid:
            return None
        for hist in self.draft.waited.get(key, ()):
            found = self.problem.waits.window_need(hist.events, task.lay)
            if found:
                steps = [self.trace(e, self.past[key]) for e in hist.events]
                return self._want(found, steps, self.stands(hist.stays, self.past[key]))
        return None

    def _unit(self, key: str, task: Task) -> int:
        least = self.problem.least_dry
        node = self.nodes.get(key)
        if task.do != "join" or node is None:
            return least
        one = math.ceil(task.minutes.likely / node.job.part.count / 5) * 5
        return one if one <= self.problem.hours.longest else least

    def _by_day(self, moves: list[Move]) -> list[Move]:
        """Where a step of the schedule has a daily number of coats: the coat that must lie on an earlier day."""
        series: dict[tuple[str, str], list[int]] = {}
        found = list(moves)
        for n, move in enumerate(moves):
            most = move.task.asks.a_day
            node = self.nodes.get(move.key)
            if not most or node is None:
                continue
            row = series.setdefault((node.chains[0], move.task.step.rstrip("0123456789 ")), [])
            if len(row) >= most:
                found[n] = replace(move, day_before=row[-most])
            row.append(n)
        return found

    def _ends(self) -> tuple[tuple[tuple[int, ...], tuple[Want, ...]], ...]:
        found = []
        for target in self.problem.targets:
            steps: list[int] = []
            wants: list[Want] = []
            for part in target.parts:
                steps += [self.at[t.id] for t in _towards(self.problem, part, target) if t.id in self.at]
                wants += [] if target.is_step else self._dry_for(part, target.for_)
            found.append((tuple(dict.fromkeys(steps)), tuple(dict.fromkeys(wants))))
        return tuple(found)

    def _dry_for(self, part: str, readiness: str) -> list[Want]:
        found: list[Want] = []
        own = [t.id for t in self.problem.jobs[part].tasks if t.id in self.at]
        mine = frozenset(own).union(*(self.past[key] for key in own))
        for key in chain_keys(self.problem.jobs[part]):
            chain = self.draft.pasts.get(key)
            for hist in chain.all_pasts() if chain else []:
                if hist.events:
                    found += self.wants(hist, readiness, None, False, mine)[0]
        return found


def _towards(problem: Problem, part: str, target: Target) -> list[Task]:
    """Tasks that must be done before a target means anything."""
    if target.is_step:
        return [t for t in problem.jobs[part].tasks if target.for_ in (t.step, t.do)]
    return tasks_towards(problem, part, target.for_)


def course_of(problem: Problem, draft: Draft) -> Course:
    """A plan made ready to be followed."""
    return Compiler(problem, draft).course()
