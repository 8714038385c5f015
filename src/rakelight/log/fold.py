"""Events fold to State: a pure function of the events and of the moment asked about."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import datetime

from rakelight.log.events import Event
from rakelight.state.model import Fact, State, Trial


def fold(events: Iterable[Event], now: datetime) -> State:
    """What is so at `now`: what was logged, and, hollow, what the kept plan says would be done by then.

    A failed test holds back the task it was made for, whatever the plan said, and all of that part after it.
    Any prefix of a log folds.
    """
    known = [e for e in events if e.happened <= now]
    gone = {e.takes_back for e in known if e.kind == "taken back"}
    known = [e for e in known if e.id not in gone]
    done: dict[str, Fact] = {}
    trials: dict[str, Trial] = {}
    coats: dict[str, int] = {}
    notes: list[str] = []
    plan: Event | None = None
    for event in known:
        if event.kind == "planned":
            plan = event
        elif event.kind in ("done", "confirmed"):
            done[event.task] = Fact(event.task, event.start or event.happened, event.happened)
        elif event.kind == "tested":
            trial = Trial(event.task, event.readiness, event.happened, bool(event.passed), event.again_h)
            trials[event.task] = trial
        elif event.kind == "coats" and event.number is not None:
            coats[event.task] = event.number
        elif event.kind == "note":
            notes.append(event.words)
    if plan:
        _as_planned(plan, done, trials, now)
    return State(done, tuple(trials.values()), coats, {}, tuple(notes))


def _as_planned(plan: Event, done: dict[str, Fact], trials: dict[str, Trial], now: datetime) -> None:
    """Fill in, hollow, what the plan says has begun by `now` and no failed test holds back."""
    held = {t.task: t for t in trials.values() if not t.passed and t.task not in done}
    holds = {task.split("/")[0]: datetime.fromisoformat(plan.plan[task][0]) for task in held if task in plan.plan}
    for task, (start_words, end_words, _) in plan.plan.items():
        if task in done:
            continue
        start, end = datetime.fromisoformat(start_words), datetime.fromisoformat(end_words)
        held_from = holds.get(task.split("/")[0])
        if start >= now or (held_from is not None and start >= held_from):
            continue
        done[task] = Fact(task, start, end, logged=False)
