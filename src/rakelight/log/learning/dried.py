"""Hand tests become bounds: what had passed of a wait when it was tested, at 21 C and 50 %, over what is asked."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass, replace

from rakelight.log.events import Event
from rakelight.log.learning.grid import normal_below
from rakelight.log.learning.past import Past
from rakelight.log.learning.seen import Seen
from rakelight.plan.doses import Need
from rakelight.plan.history import Hist
from rakelight.plan.replay import Story
from rakelight.schedule.tasks import Asks, Task
from rakelight.spread import Z90

#: a material is held to be what failed where so much of the odds of it is its own. Source: assumption
_ITS_OWN = 0.8
#: a test that the book held to be this sure teaches nothing. Source: assumption
_SURE = 0.02


@dataclass(frozen=True)
class _Wait:
    """What one material asked at a test: hours that had passed over hours asked, as a logarithm."""

    material: str
    figure: str
    since: tuple[str, float]  # the coat it runs from: a test of another coat is another wait
    gone: float
    doubt: float

    @property
    def chance(self) -> float:
        """In the book's eyes, that it was not ready yet."""
        return float(1 - normal_below(self.gone / self.doubt))


def seen_in(past: Past) -> tuple[list[Seen], list[str]]:
    """Bounds of the drying of each material, from the hand tests of a piece; failed and then passed make one.

    A failed test speaks of the material that most likely held it up, and of none where that is not plain. One that is
    still open teaches nothing: it holds the plan by itself. What was begun after a failed test has passed it.
    """
    tests = _tests(past)
    found: list[Seen] = []
    for task, told in tests.items():
        low: dict[tuple[str, float], Seen] = {}
        for event, passed in told:
            for wait, seen in _of_test(past, past.tasks[task], event, passed):
                if not passed:
                    low[wait.since] = replace(seen, low=wait.gone)
                    continue
                failed = low.pop(wait.since, None)
                if failed is None and wait.chance < _SURE:
                    continue
                least = failed.low if failed else -math.inf
                found.append(replace(seen, low=min(least, wait.gone - 1e-6), high=wait.gone))
        if _over(past, task):
            found += low.values()
    return found, []


def _tests(past: Past) -> dict[str, list[tuple[Event, bool]]]:
    """Tests by the step that waited, in order; a step told as done after a failed test has passed one."""
    found: dict[str, list[tuple[Event, bool]]] = {}
    for event in sorted(past.events, key=lambda e: e.happened):
        if event.kind == "tested" and event.task in past.tasks:
            found.setdefault(event.task, []).append((event, bool(event.passed)))
    for task, told in found.items():
        fact = past.state.done.get(task)
        last, passed = told[-1]
        if not passed and fact and fact.logged and fact.start > last.happened:
            told.append((replace(past.written_of(task), task=task, happened=fact.start), True))
    return found


def _over(past: Past, task: str) -> bool:
    """Whether a wait can no longer be passed: its step was left out."""
    return task in past.state.skipped


def _of_test(past: Past, task: Task, event: Event, passed: bool) -> Iterator[tuple[_Wait, Seen]]:
    minute = past.problem.hours.minute(event.happened)
    waits = _waits(past, task, past.story(task.id, minute), minute)
    if not passed:
        total = sum(w.chance for w in waits)
        waits = [w for w in waits if total > 0 and w.chance >= _ITS_OWN * total]
    for wait in waits:
        seen = Seen(f"drying:{wait.material}", event.written, doubt=wait.doubt, figure=wait.figure)
        yield wait, seen


def _waits(past: Past, task: Task, story: Story, minute: int) -> list[_Wait]:
    """Of each material the wait that is furthest from over, at a minute; only those that run from coats told."""
    told = {
        (round(deed.laid.laid_end / 60, 4), id(deed.task.lay))
        for deed in story.deeds.values()
        if deed.task.lay and past.told(deed.key)
    }
    found: dict[str, _Wait] = {}
    for asks, hist in _pasts(task, story):
        over = asks.over or task.lay
        for need, ready in past.problem.waits.parts(hist.events, hist.stays, asks.readiness, over, hist.closed):
            event = hist.events[need.at]
            wait = _wait(past, need, hist, minute / 60, ready)
            if wait and (round(event.hour, 4), id(event.lay)) in told:
                other = found.get(wait.material)
                found[wait.material] = wait if other is None or wait.gone < other.gone else other
    return list(found.values())


def _pasts(task: Task, story: Story) -> Iterator[tuple[Asks, Hist]]:
    lots = story.before.get(task.id, ())
    for asks in (task.asks, *task.also):
        if asks.readiness:
            names = () if task.do == "join" else asks.faces or task.faces
            found = {id(h): h for lot in lots for h in lot.pasts(names) if h.events}
            for hist in found.values():
                yield asks, hist


def _wait(past: Past, need: Need, hist: Hist, hour: float, ready: float) -> _Wait | None:
    """One need at an hour; None where it says nothing of this shop's drying."""
    clock, since = past.problem.waits.clock, hist.events[need.at].hour
    if need.law.kind == "clock" or need.sure or not math.isfinite(ready) or need.dose.certain:
        return None
    asked = clock.passed(need.law, hist.stays, since, ready)
    gone = clock.passed(need.law, hist.stays, since, hour)
    if asked <= 0 or gone <= 0:
        return None
    doubt = math.log(need.dose.high / need.dose.low) / (2 * Z90)
    return _Wait(need.material, need.figure, (need.material, round(since, 4)), math.log(gone / asked), doubt)
