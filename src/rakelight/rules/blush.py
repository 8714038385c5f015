"""Rules: a planned coat against the dew point of the hours in which it is laid and becomes dust-free."""

from __future__ import annotations

import math
from collections.abc import Iterator

from rakelight.facts.records import Source
from rakelight.plan.chill import chill_figure
from rakelight.plan.clock import reach
from rakelight.plan.good_hours import hourly_margins
from rakelight.plan.model import Placed
from rakelight.rules.case import Case
from rakelight.rules.registry import WARNING, Hit, rule
from rakelight.rules.words import capital
from rakelight.schedule.tasks import Lay, Task


@rule(
    "may-haze",
    "plan",
    "A planned coat whose wet film comes within 2 K of the dew point before it is dust-free.",
)
def may_haze(case: Case) -> Iterator[Hit]:
    if case.plan is None:
        return
    clear_k = case.facts.likely("blush_go_k")
    for task in case.tasks.values():
        placed = case.plan.placed.get(task.id)
        if task.lay is None or placed is None or placed.done:
            continue
        row = case.facts.materials[task.lay.material]
        figure = chill_figure(case.facts, row, task.lay.by)
        if figure.value.high <= 1 or not case.shop.places[placed.place].air:
            continue
        least = _least_margin(case, task.lay, placed)
        if least >= clear_k:
            continue
        yield _hit(case, task, placed, capital(row.name), least, figure.value.likely, clear_k, figure.source)


def _hit(
    case: Case, task: Task, placed: Placed, name: str, least: float, chill: float, clear: float, source: Source
) -> Hit:
    day = f"{placed.start:%a %-d %B %H:%M}"
    degrees = case.shown.degrees
    falls = f"{degrees(abs(least))} {'above' if least >= 0 else 'below'}"
    ends = "may haze" if least >= 0 else "turns white"
    says = f"{name} laid on {day} in {placed.place} comes to {falls} the dew point before it is dust-free: it {ends}."
    mend = (
        f"Warm the piece by {degrees(clear - least)}, keep the heat on until it is dust-free, or lay it earlier that "
        "day; what decides is the film, about "
        f"{degrees(chill)} colder than the piece."
    )
    figures = {"margin_k": round(least, 2), "chill_k": chill}
    return Hit(WARNING, says, mend, source, task.part, ", ".join(task.faces), task.id, figures)


def _least_margin(case: Case, lay: Lay, placed: Placed) -> float:
    """Smallest margin from laying to dust-free at the high end; inf past the air looked ahead."""
    waits, origin = case.waits, case.origin
    if waits is None or origin is None:
        return math.inf
    row = waits.doses.row(lay)
    time, _ = waits.doses.time(row, "touch_dry")
    need_h = time.high * waits.doses.thick(lay, row)
    begin, end = case.hour(placed.start), case.hour(placed.end) - placed.after_min / 60
    dry = reach(waits.clock.sums(waits.doses.laws(row)[0], placed.place), end, need_h)
    if begin < 0 or not math.isfinite(dry):
        return math.inf
    hours = hourly_margins(waits, case.facts, lay, placed.place, origin, (int(begin), math.ceil(dry)))
    return min((h.margin_k for h in hours), default=math.inf)
