"""Rule: a coat whose recoat time passes without one open hour in which the next may be laid."""

from __future__ import annotations

import math
from collections.abc import Iterator
from datetime import datetime, timedelta

from rakelight.plan.laying import met, openings
from rakelight.plan.waits import Happened
from rakelight.rules.case import Case
from rakelight.rules.joints import Joint
from rakelight.rules.recoat import direct_joints
from rakelight.rules.registry import WARNING, Hit, rule
from rakelight.rules.words import capital
from rakelight.schedule.tasks import Lay
from rakelight.shop.hours import hours_later, windows


@rule(
    "no-good-hour",
    "plan",
    "No open hour lets the next coat be laid before the recoat time of the one beneath is over.",
)
def no_good_hour(case: Case) -> Iterator[Hit]:
    for joint in direct_joints(case):
        lower = case.material(joint.under)
        fits = joint.pair is not None and joint.verdict == "ok" and not joint.over.abraded_before
        if not fits or "recoat_max_without_abrading" not in lower.time_h:
            continue
        span = _missed(case, joint)
        if span is not None:
            yield _hit(case, joint, *span)


def _missed(case: Case, joint: Joint) -> tuple[float, float, Lay, str] | None:
    """Hours from when the next coat could go on until the recoat time is over, where none of them serves.

    None where the coat is planned in time, was laid already, or it is the shop that is shut and not the air.
    """
    plan, waits, origin = case.plan, case.waits, case.origin
    under, over = (case.tasks.get(j.task) for j in (joint.under, joint.over))
    if plan is None or waits is None or origin is None or not (under and over and under.lay and over.lay):
        return None
    below, above = plan.placed.get(under.id), plan.placed.get(over.id)
    if below is None or above is None or above.done or above.place not in waits.clock.air:
        return None
    laid, stays = case.hour(below.end), case.stays(*dict.fromkeys((joint.under.part, joint.over.part)))
    if any(s.place not in waits.clock.air for s in stays):
        return None
    events = (Happened(laid, "lay", under.lay),)
    ends = waits.window_end(events, stays, over.lay)
    ready = waits.explain(events, stays, "next coat", over=over.lay).likely
    if not ready < ends < min(case.hour(above.start), waits.clock.hours):
        return None
    if over.asks.a_day == 1:
        ready = max(ready, case.hour(_next_day(below.start)))
    opens = windows(case.shop, hours_later(origin, ready), hours_later(origin, ends))
    if not opens:
        return None
    good = openings(waits.doses, waits.clock, over.lay, above.place)
    starts, _ = met((good.starts, good.ends), ([case.hour(a) for a, _ in opens], [case.hour(b) for _, b in opens]))
    return None if len(starts) else (ready, ends, over.lay, above.place)


def _next_day(moment: datetime) -> datetime:
    return moment.replace(hour=0, minute=0) + timedelta(days=1)


def _hit(case: Case, joint: Joint, ready: float, ends: float, lay: Lay, place: str) -> Hit:
    lower, upper = case.material(joint.under), case.facts.materials[lay.material]
    assert case.origin is not None
    first, last = (hours_later(case.origin, h) for h in (ready, ends))
    why = _why(case, lay, place, (math.floor(ready), math.ceil(ends)))
    says = (
        f"{capital(lower.name)} takes the next coat without scuffing from {first:%a %-d %B %H:%M} to "
        f"{last:%a %-d %B %H:%M}; no open hour in between lets {upper.name} be laid in {place}: {why}."
    )
    mend = (
        f"Heat or dry {place} for that day, lay it in a place with better air, or lay the coat beneath later; else "
        "scuff it first and wait until it sands to powder."
    )
    figures = {"ready_h": round(ready, 2), "window_end_h": round(ends, 2)}
    source = lower.time_source("recoat_max_without_abrading")
    return Hit(WARNING, says, mend, source, joint.on.part, joint.on.face.name, joint.over.task, figures)


def _why(case: Case, lay: Lay, place: str, hours: tuple[int, int]) -> str:
    waits = case.waits
    assert waits is not None
    row, air = case.facts.materials[lay.material], waits.clock.air[place]
    warmest = float(air.temp_c[hours[0] : hours[1]].max())
    if row.min_temp_c is not None and warmest < row.min_temp_c:
        return f"it is too cold there, {case.shown.temp(warmest)} at the most against {case.shown.temp(row.min_temp_c)}"
    return "it is too damp there for the wet film, or too cold before it is dust-free"
