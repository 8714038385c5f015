"""Events fold to State: a pure function of the events and of the moment asked about. It reads no clock."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from datetime import datetime, timedelta

from rakelight.log.events import Event, in_force
from rakelight.state.model import Again, Fact, Pores, State, Trial


def fold(events: Iterable[Event], now: datetime) -> State:
    """What is so at `now`: what was logged, and, hollow, what the kept plan says would be done by then.

    A repeated id counts once; what was taken back never happened; a correction stands in the place of what it
    corrects. A failed test holds back the task it was made for and all that comes after it, on that part and on
    what it is joined into, whatever the plan said; so does what is to be done again, until a plan is kept that
    knows of it. Any prefix of a log folds.
    """
    every = in_force(list(events))
    told = _Told()
    for event in every:
        if event.happened <= now:
            _tell(event, told, now)
    done = told.done
    if told.plan:
        _as_planned(told, now)
    for event in every:
        if event.kind == "done" and event.task in done:
            begun = done[event.task].start
            for task in event.also:  # done before it, though no one told it
                if task not in told.skipped:
                    done.setdefault(task, Fact(task, begun, begun, logged=False))
    plan = told.plan.plan if told.plan else {}
    kept = {task: datetime.fromisoformat(spell[0]) for task, spell in plan.items()}
    under_way = {task: at for task, at in told.started.items() if task not in done}
    return State(
        done, tuple(told.trials.values()), told.coats, {}, tuple(told.notes), kept, under_way,
        frozenset(told.skipped), tuple(again for again, _ in told.again), told.used_ml, told.used_g, told.took_min,
        told.pores,
    )  # fmt: skip


@dataclass
class _Told:
    """What is gathered from the events that count."""

    done: dict[str, Fact] = field(default_factory=dict)
    trials: dict[str, Trial] = field(default_factory=dict)
    coats: dict[str, int] = field(default_factory=dict)
    notes: list[str] = field(default_factory=list)
    plan: Event | None = None
    started: dict[str, datetime] = field(default_factory=dict)
    skipped: dict[str, None] = field(default_factory=dict)
    again: list[tuple[Again, Event | None]] = field(default_factory=list)  # with the plan kept when it was told
    used_ml: dict[str, float] = field(default_factory=dict)
    used_g: dict[str, float] = field(default_factory=dict)
    took_min: dict[str, float] = field(default_factory=dict)
    pores: dict[str, Pores] = field(default_factory=dict)


def _tell(event: Event, told: _Told, now: datetime) -> None:
    kind = event.kind
    if kind == "planned":
        told.plan = event
    elif kind in ("done", "confirmed"):
        _tell_done(event, told, now)
        told.notes += [event.words] if event.words else []
    elif kind == "started" and event.task:
        told.started[event.task] = event.start or event.happened
    elif kind == "skipped" and event.task:
        told.skipped[event.task] = None
        told.done.pop(event.task, None)
        told.notes += [event.words] if event.words else []
    elif kind == "tested" and event.task:
        for task in (event.task, *event.also):
            told.trials[task] = Trial(task, event.readiness, event.happened, bool(event.passed), event.again_h)
    elif kind == "coats":
        if event.number:
            told.coats[event.step or event.task] = event.number
        if event.step and {"open", "coat"} <= event.values.keys():
            told.pores[event.step] = Pores(int(event.values["coat"]), event.values["open"] > 0, event.happened)
    elif kind == "rework" and event.also:
        again = Again(tuple(event.also), event.task, event.happened, tuple(event.faces), event.did)
        told.again.append((again, told.plan))
    elif kind == "note":
        told.notes.append(event.words)
    if event.task and kind != "rework":
        for kept, amount in ((told.used_ml, event.used_ml), (told.used_g, event.poured_g)):
            if amount is not None:
                kept[event.task] = kept.get(event.task, 0.0) + amount
        if event.took_min is not None:
            told.took_min[event.task] = event.took_min


def _tell_done(event: Event, told: _Told, now: datetime) -> None:
    """One task, or all those a catch-up confirms; and the coats it took, where that was told with it."""
    done = told.done
    if event.task:
        begun = event.start or told.started.get(event.task) or event.happened
        done[event.task] = Fact(event.task, min(begun, event.happened), event.happened)
        told.skipped.pop(event.task, None)
    for task, spell in event.plan.items():
        start, end = datetime.fromisoformat(spell[0]), datetime.fromisoformat(spell[1])
        if start <= now:
            done[task] = Fact(task, start, max(start, end))
    if event.number and event.step:
        told.coats[event.step] = event.number


def _as_planned(told: _Told, now: datetime) -> None:
    """Fill in, hollow, what was begun by `now` as the plan says and no failed test holds back.

    What stands before a task told as done was done before it: it counts so even where it was planned later. A
    step told as begun is done when as much time is gone as the plan gives it.
    """
    plan, done = told.plan, told.done
    assert plan is not None
    first = dict(done)
    failed = {t.task for t in told.trials.values() if not t.passed and t.task not in first}
    put_in = [again.before for again, kept in told.again if kept is plan and again.before]
    failed |= {task for task in put_in if task not in first}
    held = _after(plan, failed) | failed | told.skipped.keys()
    by_end = sorted(first.values(), key=lambda f: f.start)
    for fact in by_end:
        for task in _before(plan.after, fact.task):
            if task in done or task not in plan.plan or task in told.skipped:
                continue
            start, end = _spell(plan, task)
            done[task] = Fact(task, min(start, fact.start), min(max(start, end), fact.start), logged=False)
    for task in plan.plan:
        start, end = _spell(plan, task)
        begun = told.started.get(task)
        if begun is not None:
            start, end = begun, begun + max(end - start, timedelta())
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
