"""Why a date cannot be met: the smallest set of rules that, with all others given up, still makes it late.

Each rule is given up in turn, and stays given up where the date is missed without it too. What is left is enough to
miss it, and without any one of it, it would be met. The planner's quickest way is the judge, not a proof.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import datetime, timedelta

from rakelight.errors import Finding, Severity, Where
from rakelight.plan.doing import Doing
from rakelight.plan.doses import Happened, Recipe
from rakelight.plan.draft import Draft
from rakelight.plan.fitting import Fitting
from rakelight.plan.greedy import Manner, lags_of, wanted_by
from rakelight.plan.laying import Openings
from rakelight.plan.problem import Node, Problem, in_turn, nodes_of, tails
from rakelight.plan.reckon import reckon
from rakelight.plan.timeline import Busy, Hours, Span
from rakelight.plan.together import own_name
from rakelight.plan.waits import Stay, Waits
from rakelight.schedule.tasks import Job, Lay, Task

#: rules in the order in which they are given up: the last are those a maker can change least
RULES = ("places", "dust", "maker", "written", "air", "hours", "drying")

_TOGETHER = (("places", "dust", "maker"), ("written", "air"), ("hours",), ("drying",))
_SAYS = {
    "places": "the drying places",
    "dust": "wet work and dust that must keep apart",
    "maker": "one maker who can be at one thing at a time",
    "written": "the times written in the schedule (at_least, wait, a_day, overnight)",
    "air": "air too cold or too damp to lay it in",
    "hours": "the shop's open hours",
    "drying": "the drying",
}
_MENDS = {
    "places": "make room for more to dry",
    "dust": "sand in one place and lay in another",
    "maker": "get a helper or leave other work out",
    "written": "write shorter times",
    "air": "heat or dry the place",
    "hours": "open longer hours or more days",
    "drying": "dry it warmer, take fewer coats, or choose a finish that dries sooner",
}

_HELPED_SAYS = "a maker and a helper who can each be at one thing at a time"
_HELPED_MENDS = "ask the helper for more hours or more kinds of work, or leave other work out"


@dataclass(frozen=True)
class Against:
    """What stands against a date: rules that together are enough to miss it."""

    rules: tuple[str, ...]
    helped: bool = False  # whether there is a helper

    @property
    def says(self) -> str:
        """As a sentence."""
        words = [_HELPED_SAYS if self.helped and rule == "maker" else _SAYS[rule] for rule in self.rules]
        if len(words) == 1:
            return f"{words[0][:1].upper()}{words[0][1:]} alone makes it late, whatever else were given up."
        return f"Enough to make it late, whatever else were given up: {', '.join(words[:-1])}, and {words[-1]}."

    @property
    def mend(self) -> str:
        """What would let it be met."""
        mends = "; or ".join(
            _HELPED_MENDS if self.helped and rule == "maker" else _MENDS[rule] for rule in self.rules
        )
        return f"{mends[:1].upper()}{mends[1:]}."


def against(problem: Problem, n: int) -> Against | None:
    """The smallest set of rules that makes a target late; None where it is met, or late with all given up too."""
    kept = list(RULES)
    if not _late(problem, n, kept) or _late(problem, n, []):
        return None
    for together in _TOGETHER:  # what seldom matters is given up at once, and one by one only where it does
        without = [r for r in kept if r not in together]
        if _late(problem, n, without):
            kept = without
            continue
        for rule in together if len(together) > 1 else ():
            without = [r for r in kept if r != rule]
            if _late(problem, n, without):
                kept = without
    return Against(tuple(reversed(kept)), problem.helper is not None)


def conflicts(problem: Problem, draft: Draft) -> list[Finding]:
    """A note for each date that is missed: what stands against it; a warning where no hours are open before it."""
    found: list[Finding] = []
    for n, target in enumerate(problem.targets):
        if draft.reached.get(n, math.inf) <= target.by or draft.stuck:
            continue
        part = target.parts[0] if len(target.parts) == 1 and not target.is_step else ""
        where = Where(part=part)
        begin = max(problem.start, min((problem.begin(p) for p in target.parts), default=problem.start))
        if target.by <= problem.start:  # past already: that it is missed says it all
            continue
        if problem.hours.open_minutes(begin, target.by) <= 0:
            by = problem.hours.moment(target.by)
            says = f"The shop has no open hours before {by:%a} {by.day} {by:%B %Y}, when {target.for_} is wanted."
            mend = "Write hours or fewer days off in the shop, or a later date."
            found.append(Finding("no-hours-before-date", Severity.ERROR, where, says, mend))
            continue
        stands = against(problem, n)
        if stands:
            name = f"{own_name(part).replace('-', ' ').capitalize()}: " if part else ""
            says = f"{name}{target.for_} by {problem.hours.moment(target.by):%a %-d %B}. {stands.says}"
            found.append(Finding("against-the-date", Severity.NOTE, where, says, stands.mend))
    return found


# -- rules given up ---------------------------------------------------------------------------------


class _NoWaits(Waits):
    """Dry as soon as it is laid."""

    def _latest(
        self, recipe: Recipe, events: Sequence[Happened], stays: Sequence[Stay], z: Mapping[str, float] | None
    ) -> float:
        return events[-1].hour

    def window_end(self, events: Sequence[Happened], stays: Sequence[Stay], over: Lay) -> float:
        """No limit."""
        return math.inf


class _AnyAir(Waits):
    """It may be laid at any hour."""

    def next_hour_to_lay(self, lay: Lay, place: str, hour: float, long_h: float = 0.0) -> float:
        """That hour."""
        return hour

    def openings(self, lay: Lay, place: str) -> Openings:
        """Always."""
        return Openings([-1e6], [1e9])


class _NoWaitsAnyAir(_NoWaits, _AnyAir):
    """Both."""


class _Hands(Busy):
    """Hands for everything at once."""

    def take(self, span: Span) -> None:
        """Nothing is taken."""

    def give_back(self, span: Span, kept: Span) -> None:
        """Nothing was."""


def _late(problem: Problem, n: int, kept: Sequence[str]) -> bool:
    """Whether a target is missed with some rules kept and all others given up: tried in two orders."""
    eased = _eased(problem, kept)
    nodes = nodes_of(eased.work)
    lags: dict[tuple[str, str], float] = {}
    for _ in range(2):
        draft = _pass(eased, nodes, lags, "maker" in kept)
        if draft.reached[n] <= problem.targets[n].by:
            return False
        lags = lags_of(draft, nodes)
    return True


def _pass(
    problem: Problem, nodes: Mapping[str, Node], lags: Mapping[tuple[str, str], float], one_maker: bool
) -> Draft:
    manner = Manner(0.2)
    doing = Doing(problem, nodes, manner.alpha, manner.span_h, {}, {})
    if not one_maker:
        doing.busy = _Hands(problem.hours)
        doing.helped = _Hands(problem.helper.hours) if problem.helper else None
        span = round(manner.span_h * 60)
        doing.fitting = Fitting(problem, doing.busy, doing.rooms, manner.alpha, span, doing.helped)
    wanted, tail = wanted_by(problem), tails(nodes, lambda a, b: lags.get((a, b), 0.0))
    order = {
        key: (-1.0, float(problem.done[key][0][0][0])) if key in problem.done
        else (0.0, wanted[node.task.part] - tail[key])
        for key, node in nodes.items()
    }  # fmt: skip
    for node in in_turn(nodes, order):
        doing.place(node)
    return reckon(doing)


def _eased(problem: Problem, kept: Sequence[str]) -> Problem:
    changes: list[Callable[[Problem], Problem]] = []
    if "hours" not in kept:
        changes.append(_always_open)
    if "places" not in kept:
        changes.append(_much_room)
    if "dust" not in kept or "written" not in kept:
        changes.append(lambda p: _loosened(p, "dust" in kept, "written" in kept))
    if "drying" not in kept or "air" not in kept:
        changes.append(lambda p: _dry_at_once(p, "drying" in kept, "air" in kept))
    for change in changes:
        problem = change(problem)
    return problem


def _always_open(problem: Problem) -> Problem:
    hours = problem.hours
    end = hours.ends[-1] if hours.ends else 400 * 1440
    origin = hours.origin
    open_: list[tuple[datetime, datetime]] = [(origin, origin + timedelta(minutes=end))]
    always = Hours(origin, open_, hours.zone)
    helper = replace(problem.helper, hours=always) if problem.helper else None
    return replace(problem, hours=always, helper=helper)


def _much_room(problem: Problem) -> Problem:
    places = {name: replace(p, drying_places=10**6) for name, p in problem.shop.places.items()}
    return replace(problem, shop=replace(problem.shop, places=places))


def _loosened(problem: Problem, dust: bool, written: bool) -> Problem:
    def task(one: Task) -> Task:
        if not dust and one.work == "dusty":
            one = replace(one, work="dirty")
        if not written:
            asks = replace(one.asks, at_least=None, a_day=None)
            also = tuple(replace(a, at_least=None) for a in one.also)
            one = replace(one, asks=asks, also=also, wait_after=None)
        return one

    def job(one: Job) -> Job:
        return replace(one, tasks=tuple(task(t) for t in one.tasks))

    jobs = {name: job(one) for name, one in problem.jobs.items()}
    work = replace(problem.work, jobs=jobs)
    return replace(problem, work=work, settle=problem.settle if dust else 0)


def _dry_at_once(problem: Problem, drying: bool, air: bool) -> Problem:
    kind = _AnyAir if drying else (_NoWaits if air else _NoWaitsAnyAir)
    old = problem.waits
    waits = kind(problem.facts, old.clock.air, old.factors, problem.hours.day_of_hour)
    waits.doses, waits.clock = old.doses, old.clock
    return replace(problem, waits=waits)
