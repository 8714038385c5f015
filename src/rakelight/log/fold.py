"""Events fold to State: a pure function of the events and of the moment asked about. It reads no clock."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from datetime import datetime

from rakelight.log.events import Event
from rakelight.state.model import Fact, State, Trial


def fold(events: Iterable[Event], now: datetime) -> State:
    """What is so at `now`: what was logged, and, hollow, what the kept plan says would be done by then.

    A repeated id counts once; what was taken back never happened. A failed test holds back the task it was made
    for and all that comes after it, on that part and on what it is joined into, whatever the plan said. Any
    prefix of a log folds.
    """
    once: dict[str, Event] = {}
    for event in events:
        once.setdefault(event.id, event)
    every = list(once.values())
    gone = {e.takes_back for e in every if e.kind == "taken back"}
    done: dict[str, Fact] = {}
    trials: dict[str, Trial] = {}
    coats: dict[str, int] = {}
    notes: list[str] = []
    plan: Event | None = None
    for event in every:
        if event.id in gone or event.happened > now:
            continue
        if event.kind == "planned":
            plan = event
        elif event.kind in ("done", "confirmed"):
            _tell_done(event, done, coats, now)
            notes += [event.words] if event.words else []
        elif event.kind == "tested" and event.task:
            for task in (event.task, *event.also):
                trials[task] = Trial(task, event.readiness, event.happened, bool(event.passed), event.again_h)
        elif event.kind == "coats" and event.number:
            coats[event.step or event.task] = event.number
        elif event.kind == "note":
            notes.append(event.words)
    if plan:
        _as_planned(plan, done, trials, now)
    for event in every:
        if event.kind == "done" and event.id not in gone and event.task in done:
            begun = done[event.task].start
            for task in event.also:  # done before it, though no one told it
                done.setdefault(task, Fact(task, begun, begun, logged=False))
    kept = {task: datetime.fromisoformat(spell[0]) for task, spell in plan.plan.items()} if plan else {}
    return State(done, tuple(trials.values()), coats, {}, tuple(notes), kept)


def _tell_done(event: Event, done: dict[str, Fact], coats: dict[str, int], now: datetime) -> None:
    """One task, or all those a catch-up confirms; and the coats it took, where that was told with it."""
    if event.task:
        start = event.start if event.start and event.start <= event.happened else event.happened
        done[event.task] = Fact(event.task, start, event.happened)
    for task, spell in event.plan.items():
        start, end = datetime.fromisoformat(spell[0]), datetime.fromisoformat(spell[1])
        if start <= now:
            done[task] = Fact(task, start, max(start, end))
    if event.number and event.step:
        coats[event.step] = event.number


def _as_planned(plan: Event, done: dict[str, Fact], trials: dict[str, Trial], now: datetime) -> None:
    """Fill in, hollow, what was begun by `now` as the plan says and no failed test holds back.

    What stands before a task told as done was done before it: it counts so even where it was planned later.
    """
    told = dict(done)
    failed = {t.task for t in trials.values() if not t.passed and t.task not in told}
    held = _after(plan, failed) | failed
    by_end = sorted(told.values(), key=lambda f: f.start)
    for fact in by_end:
        for task in _before(plan.after, fact.task):
            if task in done or task not in plan.plan:
                continue
            start, end = _spell(plan, task)
            done[task] = Fact(task, min(start, fact.start), min(max(start, end), fact.start), logged=False)
    for task in plan.plan:
        start, end = _spell(plan, task)
        if task not in done and task not in held and start < now:
            done[task] = Fact(task, start, max(start, end), logged=False)


def _spell(plan: Event, task: str) -> tuple[datetime, datetime]:
    start, end = plan.plan[task][:2]
    return datetime.fromisoformat(start), datetime.fromisoformat(end)


def _before(after: Mapping[str, list[str]], task: str) -> list[str]:
    """All that must be done before a task, however far back."""
    found: dict[str, None] = {}
    waiting = list(after.get(task, ()))
    while waiting:
        one = waiting.pop()
        if one not in found:
            found[one] = None
            waiting += after.get(one, ())
    return list(found)


def _after(plan: Event, tasks: set[str]) -> set[str]:
    """All of a kept plan that comes after some tasks: on the part, and on what it is joined into.

    A scuff the planner put in belongs to the coat it was put in for. A plan kept without its order (an older
    log) holds the part from the failed step on.
    """
    later: dict[str, list[str]] = {}
    for task, earlier in plan.after.items():
        for one in earlier:
            later.setdefault(one, []).append(task)
    found: set[str] = set()
    waiting = list(tasks)
    while waiting:
        for task in later.get(waiting.pop(), ()):
            if task not in found:
                found.add(task)
                waiting.append(task)
    for task in tasks & plan.plan.keys() if not plan.after else ():
        part, start = task.split("/")[0], _spell(plan, task)[0]
        found |= {k for k in plan.plan if k.split("/")[0] == part and _spell(plan, k)[0] >= start}
    everything = found | tasks
    return found | {k for k in plan.plan if k.endswith("/scuff-late") and k.removesuffix("/scuff-late") in everything}
