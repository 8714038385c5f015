"""Rules: the next coat too soon, or past its recoat time without abrading."""

from __future__ import annotations

import math
from collections.abc import Iterator
from itertools import pairwise

from rakelight.plan.waits import Happened, Stay
from rakelight.rules.case import Case
from rakelight.rules.joints import Joint, joints
from rakelight.rules.registry import NOTE, WARNING, Hit, rule
from rakelight.rules.words import days, spread_words
from rakelight.schedule.over import BARRIER
from rakelight.schedule.steps import Duration
from rakelight.schedule.tasks import Task
from rakelight.shop.hours import hours_between
from rakelight.shop.model import Shop
from rakelight.spread import Spread

#: hour of the first day a coat is laid, where no plan says when
_LAID_AT_H = 4.0


@rule("recoat-too-soon", "layers", "A time between two coats that is shorter than the coat beneath asks.")
def too_soon(case: Case) -> Iterator[Hit]:
    for joint in (*direct_joints(case), *_unrubbed_wax(case)):
        gap, words = _gap(case, joint)
        needs = _needs(case, joint) if gap is not None else None
        if gap is None or needs is None or gap >= needs.likely:
            continue
        lower, upper = case.material(joint.under), case.material(joint.over)
        severity = WARNING if gap < case.facts.likely("wait_short_share") * needs.likely or gap < needs.low else NOTE
        says = (
            f"{words} between {lower.name} and {upper.name}; here it asks {spread_words(needs)}"
            f"{_because(joint)}."
        )
        mend = "Leave the time out: the tables' wait is kept by itself. " if _written(words) else ""
        seals = joint.over.kind != "wax" and joint.over.material != BARRIER
        ways = "dry it warmer, or seal it with dewaxed shellac." if seals else "or dry it warmer."
        mend += f"Judge by hand first (no smell, no print of a thumb), {ways}"
        figures = {"gap_h": gap, "wait_h": needs.likely, "wait_low_h": needs.low, "wait_high_h": needs.high}
        source = joint.pair.source if joint.pair else lower.time_source("recoat_min")
        yield Hit(severity, says, mend, source, joint.on.part, joint.on.face.name, joint.over.task, figures)


@rule(
    "recoat-window-missed-unabraded",
    "layers",
    "A coat laid past the recoat time of the one beneath, unabraded.",
)
def window_missed(case: Case) -> Iterator[Hit]:
    for joint in direct_joints(case):
        lower = case.material(joint.under)
        window = lower.time_h.get("recoat_max_without_abrading")
        fits = joint.pair is not None and joint.verdict == "ok" and not joint.over.abraded_before
        if window is None or not fits or _late_scuff(case, joint):
            continue
        gap = _least_gap(case, joint)
        ends = _window(case, joint, window)
        if gap is None or gap <= ends.low:
            continue
        past = gap > ends.likely
        wrinkles = lower.coats_join == "fuse_then_witness"
        how = "past" if past else "maybe past"
        why = "in between, the fresh coat lifts it" if wrinkles else "later it only holds on what was abraded"
        says = (
            f"About {days(gap)} between coats of {lower.name} is {how} its recoat time, "
            f"{spread_words(ends)} here: {why}."
        )
        mend = "Lay the next coat the same day, or write scuff = 320 and wait until it sands to powder."
        severity = WARNING if past or wrinkles else NOTE
        figures = {"gap_h": gap, "window_h": ends.likely, "window_low_h": ends.low}
        source = lower.time_source("recoat_max_without_abrading")
        yield Hit(severity, says, mend, source, joint.on.part, joint.on.face.name, joint.over.task, figures)


@rule(
    "scuff-put-in", "plan", "The plan has put a scuff before a coat because the recoat time is over by then."
)
def scuff_put_in(case: Case) -> Iterator[Hit]:
    for joint in direct_joints(case):
        if _late_scuff(case, joint):
            lower = case.material(joint.under)
            says = (
                f"By the time the next coat can be laid, {lower.name} is past its recoat time: a scuff is "
                "put in."
            )
            mend = 'Write { do = "scuff", grit = 320 } before it to plan it yourself'
            turned = case.work.jobs[joint.on.part].part.both_faces == "turned"
            mend += ', or coat it on points (both_faces = "on points").' if turned else "."
            source = lower.time_source("recoat_max_without_abrading")
            yield Hit(NOTE, says, mend, source, joint.on.part, joint.on.face.name, joint.over.task)


def direct_joints(case: Case) -> Iterator[Joint]:
    """Joints of a coat on what it touches, each pair of sessions once a face."""
    yield from (joint for joint in _timed(case) if joint.over.kind != "wax")


def _unrubbed_wax(case: Case) -> Iterator[Joint]:
    """Wax on what was not rubbed since it was laid; after a rub its own rest holds."""
    waxed = (joint for joint in _timed(case) if joint.over.kind == "wax")
    yield from (joint for joint in waxed if _between(case, joint) is not None)


def _timed(case: Case) -> Iterator[Joint]:
    for joint in joints(case):
        laid = joint.under.task  # an old finish has no hour it was laid
        if laid and joint.through != "barrier" and joint.verdict not in ("never", "unknown"):
            yield joint


def _late_scuff(case: Case, joint: Joint) -> bool:
    return case.plan is not None and f"{joint.over.task}/scuff-late" in case.plan.placed


def _because(joint: Joint) -> str:
    reason = joint.pair.reason.rstrip(".") if joint.pair else ""
    return f" ({reason})" if reason and joint.under.material != joint.over.material else ""


def _written(words: str) -> bool:
    return words.startswith("You write")


def _gap(case: Case, joint: Joint) -> tuple[float | None, str]:
    """Hours between two coats: as logged, or as the schedule writes them."""
    plan = case.plan
    under, over = (plan.placed.get(j.task) for j in (joint.under, joint.over)) if plan else (None, None)
    if under and over and over.done:
        if over.hollow:
            return None, ""
        gap = hours_between(under.end, over.start)
        if gap < 0:  # told the wrong way round: said where the log is read
            return None, ""
        return gap, f"Only {days(gap)} passed"
    between = _between(case, joint)
    task = case.tasks.get(joint.over.task)
    if between is None or task is None:
        return None, ""
    most = task.asks.at_most
    if not between and most and not most.overnight:
        return most.hours, f"You write at most {days(most.hours)}"
    if any(t.do != "wait" and not t.step.startswith("scuff before") for t in between):
        return None, ""  # what is written there is meant for the sanding
    gaps = _waits_written(case, joint, between)
    least = 0.0 if any(w.overnight for gap in gaps for w in gap) else sum(max(w.hours for w in gap) for gap in gaps)
    return (least, f"You write {days(least)}") if least else (None, "")


def _between(case: Case, joint: Joint) -> list[Task] | None:
    """Sessions between two coats on that face; None where more happens there than scuffing and turning."""
    if joint.under.part != joint.over.part:
        return None
    tasks = [t for t in case.work.jobs[joint.over.part].tasks if not t.board and t.lot[0] == 1]
    ids = [t.id for t in tasks]
    if joint.under.task not in ids or joint.over.task not in ids:
        return None
    between = tasks[ids.index(joint.under.task) + 1 : ids.index(joint.over.task)]
    plain = ("scuff", "sand", "turn", "move", "wait", "points", "raise grain")
    if any(t.do not in plain and set(t.faces) & {joint.on.face.name} for t in between):
        return None
    return [t for t in between if t.do in ("scuff", "sand", "wait", "raise grain")]


def _waits_written(case: Case, joint: Joint, between: list[Task]) -> list[list[Duration]]:
    """Times written at each gap between two steps, of which the longest holds; gaps with none left out."""
    steps = [case.tasks[joint.under.task], *between, case.tasks[joint.over.task]]
    gaps = [[w for w in (a.wait_after, b.asks.at_least) if w] for a, b in pairwise(steps)]
    return [gap for gap in gaps if gap]


def _needs(case: Case, joint: Joint) -> Spread | None:
    """Hours the joint asks: as planned where a plan says when and where, else on the first day."""
    under, over = case.tasks.get(joint.under.task), case.tasks.get(joint.over.task)
    if under is None or over is None or under.lay is None or over.lay is None:
        return None
    laid, stays = _laid(case, joint, under)
    waits = case.waits
    if waits is None or any(s.place not in waits.clock.air for s in stays):
        return case.facts.pair_wait(joint.pair) if joint.pair else None
    ready = waits.explain((Happened(laid, "lay", under.lay),), stays, "next coat", over=over.lay)
    hours = [h - laid for h in (ready.low, ready.likely, ready.high)]
    return Spread(*hours) if all(math.isfinite(h) for h in hours) else None


def _window(case: Case, joint: Joint, window: Spread) -> Spread:
    """The recoat time in this air."""
    under, over = case.tasks.get(joint.under.task), case.tasks.get(joint.over.task)
    waits = case.waits
    if waits is None or under is None or over is None or under.lay is None or over.lay is None:
        return window
    laid, stays = _laid(case, joint, under)
    if any(s.place not in waits.clock.air for s in stays):
        return window
    end = waits.window_end((Happened(laid, "lay", under.lay),), stays, over.lay)
    return window * ((end - laid) / window.likely) if math.isfinite(end) else window


def _least_gap(case: Case, joint: Joint) -> float | None:
    """Hours that pass at least between two coats, as planned or as written."""
    plan = case.plan
    under, over = (plan.placed.get(j.task) for j in (joint.under, joint.over)) if plan else (None, None)
    if under and over:
        return hours_between(under.end, over.start)
    between, task = _between(case, joint), case.tasks.get(joint.over.task)
    if between is None or task is None:
        return None
    night = _night_h(case.shop)
    gaps = _waits_written(case, joint, between)
    hours = sum(max(night if w.overnight else w.hours for w in gap) for gap in gaps)
    if task.asks.a_day == 1:
        hours = max(hours, night)
    return hours or None


def _night_h(shop: Shop) -> float:
    """The shortest night between two days of work, hours."""
    opens = [min(a for a, _ in spans) for spans in shop.hours.values() if spans]
    closes = [max(b for _, b in spans) for spans in shop.hours.values() if spans]
    if not opens:
        return 0.0
    first, last = min(opens), max(closes)
    return 24.0 - (last.hour - first.hour) - (last.minute - first.minute) / 60


def _laid(case: Case, joint: Joint, under: Task) -> tuple[float, tuple[Stay, ...]]:
    """Hour at which the coat beneath is on, and where the part stands: as planned, else on the first day."""
    placed = case.plan.placed.get(under.id) if case.plan else None
    if placed and case.origin:
        return case.hour(placed.end), case.stays(*dict.fromkeys((joint.under.part, joint.over.part)))
    place = under.place or case.shop.place_for(under.work, case.shop.first_place.name)
    return _LAID_AT_H, (Stay(place, 0.0),)
