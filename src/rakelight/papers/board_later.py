"""What a test board is looked at again for, after it was judged: at which age, on which day."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import timedelta

from rakelight.facts.load import Facts
from rakelight.papers.plan_text import day_words, moment_words
from rakelight.plan.model import Placed, Plan, Ready
from rakelight.schedule.layers import kind_of
from rakelight.schedule.tasks import Job, Task
from rakelight.units import show_hours

_TRIES = {
    "water": "a wet cup",
    "alcohol": "a splash of spirits",
    "heat": "a warm plate",
    "wear": "a coin drawn across",
    "handling": "a thumb pressed hard",
}


@dataclass(frozen=True)
class LaterLook:
    """One look at the board, long after or between."""

    age: str  # after the last step: "14 days"; or "when ready to rub"
    when: str  # the day, by the plan
    look: str


def later_looks(job: Job, plan: Plan, facts: Facts, must_stand: tuple[str, ...]) -> tuple[LaterLook, ...]:
    """Looks beside the judging, the earliest first; days by the plan, "not dated" where it has none."""
    laid = [t for t in job.tasks if t.board and t.lay]
    if not laid:
        return ()
    return tuple(_looks(job, laid, plan, facts, must_stand))


def _looks(job: Job, laid: list[Task], plan: Plan, facts: Facts, must_stand: tuple[str, ...]) -> Iterator[LaterLook]:
    last = plan.placed.get(laid[-1].id)
    kinds = [kind_of(facts.materials[t.lay.material]) for t in laid if t.lay]
    oils = [t for t, kind in zip(laid, kinds, strict=True) if kind == "oil"]
    if oils:
        bleeds = facts.practice["P27"].value
        age = f"{show_hours(bleeds.likely)} after the oil" if bleeds else "an hour after the oil"
        yield LaterLook(age, _after(plan.placed.get(oils[-1].id), (bleeds.likely if bleeds else 1.0) / 24, clock=True),
                        "Oil creeping out of pores: wipe it off till it stops")  # fmt: skip
    rubbed = any(not t.board and t.do in ("level", "rub") for t in job.tasks)
    if rubbed and (ready := _ready(last, "rub")):
        yield LaterLook("when ready to rub", _range(ready),
                        "A corner rubbed out: sheen as wanted, no contour line")  # fmt: skip
    if len({k for k in kinds if k in ("oil", "colour", "film", "filler", "size")}) > 1:
        days = facts.likely("board_grid_days")
        yield LaterLook(f"{days:.0f} days", _after(last, days),
                        "A small grid cut, tape pulled off it: nothing lifts")  # fmt: skip
    if "filler" in kinds:
        sinks = facts.figure("shrink_back_days").value
        for days in (sinks.low, sinks.likely):
            yield LaterLook(f"{days:.0f} days", _after(last, days),
                            "Pores along a low lamp: no deeper than before")  # fmt: skip
    if ready := _ready(last, "use"):
        tries = ", ".join(_TRIES[use] for use in must_stand if use in _TRIES)
        yield LaterLook("when fully hard", _range(ready),
                        f"What the piece must stand: {tries or _TRIES['handling']}")  # fmt: skip


def _ready(placed: Placed | None, for_: str) -> Ready | None:
    return next((r for r in placed.ready if r.for_ == for_ and r.likely), None) if placed else None


def _range(ready: Ready) -> str:
    """Its likely day, and the days it may be: "Fri 2 Apr (23 Feb to 2 Jul)"."""
    likely = ready.likely
    if likely is None:
        return "not dated"
    low, high = ready.low or likely, ready.high
    until = f"{high.day} {high:%b}" if high else "perhaps never in this air"
    alone = high is not None and low.date() == high.date()
    return day_words(likely) if alone else f"{day_words(likely)} ({low.day} {low:%b} to {until})"


def _after(placed: Placed | None, days: float, clock: bool = False) -> str:
    if placed is None:
        return "not dated"
    moment = placed.end + timedelta(days=days)
    return moment_words(moment.replace(minute=moment.minute // 10 * 10)) if clock else day_words(moment)
