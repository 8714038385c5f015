"""Where what the log tells cannot all have been so: one warning each, with the step, what counts, and the mend.

Telling refuses such things at once (`sense`); they come of a log edited by hand, or of two phones out of reach.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from datetime import datetime, timedelta
from zoneinfo import ZoneInfo

from rakelight.errors import Finding, Severity, Where
from rakelight.log.events import Event, in_force, told_twice
from rakelight.papers.plan_text import clock_words, day_words, moment_words
from rakelight.plan.problem import Node, all_before
from rakelight.state.model import Fact, State

#: a clock may run ahead, and two people may tell one step an hour apart: no contradiction. Source: a choice here
_CLOCKS = timedelta(hours=1)
_TWICE = timedelta(hours=12)
_MEND = "Put its hour right in the log, or take it back with `undo`."


def contradictions(
    events: Sequence[Event], state: State, nodes: Mapping[str, Node], now: datetime, zone: ZoneInfo, file: str
) -> list[Finding]:
    """What the log tells that cannot all have been so; none where nothing but plans is told.

    Parameters: events, all of one piece; state, what they fold to at `now`; nodes, the steps by id with what must
    be done before each; zone, of the shop; file, the log's name.
    """
    if not any(event.kind != "planned" for event in events):
        return []
    counted = in_force(events)
    teller = _Teller(zone, Where(file=file))
    found = [*_ahead(counted, now, teller), *_turned_round(counted, teller), *_twice(events, counted, teller)]
    told = {key: fact for key, fact in state.done.items() if fact.logged and key in nodes}
    found += _out_of_order(told, nodes, teller)
    return [*found, *_tests(counted, told, nodes, teller)]


class _Teller:
    def __init__(self, zone: ZoneInfo, where: Where) -> None:
        self.zone, self.where = zone, where

    def when(self, moment: datetime) -> str:
        return moment_words(moment.astimezone(self.zone))

    def warning(self, id: str, says: str, mend: str = _MEND) -> Finding:
        return Finding(id, Severity.WARNING, self.where, says, mend)


def _ahead(events: Sequence[Event], now: datetime, tell: _Teller) -> Iterator[Finding]:
    """What was told of an hour that had not come when it was written, and has not come yet."""
    for event in events:
        if event.task and event.happened > now and event.happened > event.written + _CLOCKS:
            moment = event.happened.astimezone(tell.zone)
            when = f"{day_words(moment)} {moment.year} {clock_words(moment)}"
            says = f"The log tells of {event.task} for {when}, which has not come: it is not counted."
            yield tell.warning("log-ahead", says)


def _turned_round(events: Sequence[Event], tell: _Teller) -> Iterator[Finding]:
    for event in events:
        if event.kind == "done" and event.start and event.start > event.happened:
            begun, ended = tell.when(event.start), tell.when(event.happened)
            says = f"The log tells {event.task} as begun {begun} and done {ended}, before that: only the end counts."
            yield tell.warning("log-contradicts", says)


def _twice(events: Sequence[Event], counted: Sequence[Event], tell: _Teller) -> Iterator[Finding]:
    """A step told as done at two times far apart."""
    first = {event.task: event for event in counted if event.kind == "done"}
    for event in told_twice(events):
        other = first.get(event.task)
        if other and abs(event.happened - other.happened) > _TWICE:
            says = (
                f"The log tells {event.task} as done {tell.when(other.happened)} and again "
                f"{tell.when(event.happened)}: the first that was told counts."
            )
            yield tell.warning("log-contradicts", says, "Take the wrong one out of the log, or correct the first.")


def _out_of_order(told: Mapping[str, Fact], nodes: Mapping[str, Node], tell: _Teller) -> Iterator[Finding]:
    """A step told for an hour before one that must come before it: once for each such forerunner."""
    said: set[str] = set()
    for key in (key for key in nodes if key in told):
        last = max((told[b] for b in all_before(nodes, key) if b in told), key=_end, default=None)
        if last is None or _end(last) <= _end(told[key]) or last.task in said:
            continue
        said.add(last.task)
        says = (
            f"The log tells {key} as done {tell.when(_end(told[key]))}, and {last.task}, which comes before it, only "
            f"{tell.when(_end(last))}: both are counted as told."
        )
        yield tell.warning("log-contradicts", says, f"Find which of the two is wrong. {_MEND}")


def _tests(
    events: Sequence[Event], told: Mapping[str, Fact], nodes: Mapping[str, Node], tell: _Teller
) -> Iterator[Finding]:
    """A test of a coat that was not there yet, and one told as passed and failed at one hour."""
    at: dict[tuple[str, str, datetime], bool | None] = {}
    for event in events:
        if event.kind != "tested" or event.task not in nodes:
            continue
        key = (event.task, event.readiness, event.happened)
        if at.setdefault(key, event.passed) != event.passed:
            says = f"The log tells the test before {event.task} as passed and as failed {tell.when(event.happened)}: "
            yield tell.warning("log-contradicts", f"{says}the one told last counts.")
        before = [k for k in all_before(nodes, event.task) if k in told]
        coats = [k for k in before if nodes[k].task.lay and not nodes[k].task.board]
        last = max((told[k] for k in coats), key=_end, default=None)
        if last and _end(last) > event.happened:
            says = (
                f"The log tells a test for {event.task} {tell.when(event.happened)}, before {last.task}, which it is "
                f"made on, was laid, {tell.when(_end(last))}."
            )
            yield tell.warning("log-contradicts", says)


def _end(fact: Fact) -> datetime:
    return fact.end or fact.start
