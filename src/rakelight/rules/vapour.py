"""Rules: vapour of the planned coats in the air of their place, for breath and for fire.

One finding a material and place: the session that comes nearest to the limits speaks for all.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from rakelight.facts.records import Source
from rakelight.physics.vapour import purge_h
from rakelight.plan.model import Placed
from rakelight.plan.room_air import (
    DAY_H,
    VERDICTS,
    Exposure,
    Let,
    Room,
    breath_verdict,
    exposure,
    fire_verdict,
    limits_of,
    room_left,
    worse,
)
from rakelight.plan.vapour_answers import SAYS_NOTHING_OF, solvents_of_coat
from rakelight.rules.case import Case
from rakelight.rules.registry import ERROR, NOTE, WARNING, Hit, rule
from rakelight.rules.words import capital, number
from rakelight.schedule.amounts import amounts
from rakelight.schedule.tasks import Task
from rakelight.shop.hours import hours_between
from rakelight.shop.model import Place
from rakelight.units import ML_PER_L

#: of what went into the air before, this share may go unseen: far less than any limit is known to
_UNSEEN = 0.01
#: what cleans brush and gun of shellac
_ALCOHOL = "ethanol"


@dataclass(frozen=True)
class _Coat:
    task: Task
    material: str
    placed: Placed
    liquid_ml: float
    let: Let


@dataclass(frozen=True)
class _Seen:
    coat: _Coat
    seen: Exposure
    verdict: str
    sure: bool  # over a limit even if the alcohol holds no methanol
    cleaning_ml: float = 0.0  # alcohol that cleans brush or gun, where it alone brings it over


@rule("vapour-over-limit", "plan", "Vapour of a planned coat over a limit of breath or near what can burn.")
def vapour_over_limit(case: Case) -> Iterator[Hit]:
    for name, coats in _by_place(case).items():
        place = case.shop.places[name]
        if place.volume_m3 is None:
            continue
        room = Room(place.volume_m3, place.air_changes_per_h, case.facts.likely("mixing_factor"))
        cleaning = _cleaning(case, coats)
        worst: dict[str, list[_Seen]] = {}
        for coat in coats:
            found = _look(case, coat, [c.let for c in coats], cleaning, room)
            if found.verdict != "go":
                worst.setdefault(coat.material, []).append(found)
        for material, all_seen in worst.items():
            yield _hit(case, place, room, material, all_seen)


def _by_place(case: Case) -> dict[str, list[_Coat]]:
    """What is laid in each place, in order, with the solvents each session sets free."""
    found: dict[str, list[_Coat]] = {}
    assert case.plan is not None
    zero = min((p.start for p in case.plan.placed.values()), default=None)
    if zero is None:
        return found
    lay_h = case.facts.likely("lay_release_h")
    for coat in amounts(case.work, case.shop, case.facts).tasks.values():
        placed = case.plan.placed.get(coat.task)
        task = case.tasks.get(coat.task)
        grams = solvents_of_coat(case.facts, coat)
        if placed is None or task is None or task.lay is None or not grams:
            continue
        begin = hours_between(zero, placed.start)
        dry_h = case.facts.materials[coat.material].time_h["touch_dry"].likely
        let = Let(begin, max(lay_h, hours_between(placed.start, placed.end)) + dry_h, grams)
        found.setdefault(placed.place, []).append(_Coat(task, coat.material, placed, coat.liquid.likely, let))
    for coats in found.values():
        coats.sort(key=lambda c: c.let.start_h)
    return found


def _cleaning(case: Case, coats: list[_Coat]) -> list[Let]:
    """Alcohol with which a gun is cleaned after each session, a brush after the last of a day."""
    spirit = case.facts.solvents[_ALCOHOL].density_kg_m3 / ML_PER_L
    lay_h = case.facts.likely("lay_release_h")
    found = []
    for n, coat in enumerate(coats):
        if _ALCOHOL not in coat.let.grams or coat.task.lay is None:
            continue
        sprayed = coat.task.lay.by == "spray"
        later = [c for c in coats[n + 1 :] if _ALCOHOL in c.let.grams]
        if not sprayed and any(c.placed.start.date() == coat.placed.start.date() for c in later):
            continue
        used_ml = case.facts.likely("clean_gun_alcohol_ml" if sprayed else "clean_brush_alcohol_ml")
        done_h = coat.let.start_h + hours_between(coat.placed.start, coat.placed.end)
        found.append(Let(done_h, lay_h, {_ALCOHOL: used_ml * spirit}))
    return found


def _look(case: Case, coat: _Coat, lets: list[Let], cleaning: list[Let], room: Room) -> _Seen:
    begin = coat.let.start_h
    window = (begin, begin + coat.let.hours + case.facts.likely("lay_release_h"))
    back_h = purge_h(1.0, _UNSEEN, room.effective)  # for ever where the air never changes
    until = window[1] + DAY_H  # what the eight hours that begin in the window still meet
    laid, cleaned = (
        [let for let in some if begin <= let.start_h + let.hours + back_h and let.start_h <= until]
        for some in (lets, cleaning)
    )
    near = laid + cleaned
    seen = exposure(case.facts, near, room, window)
    verdict = worse(breath_verdict(seen), fire_verdict(case.facts, seen, False))
    if (
        seen.limits
        and seen.limits[0].solvent not in coat.let.grams
        and fire_verdict(case.facts, seen, False) == "go"
    ):
        return _Seen(coat, seen, "go", False)  # another coat's doing, and said of that one
    sure = verdict != "warn" or _over_even_so(case, near, room, window)
    cleaning_ml = 0.0 if verdict == "go" else _by_cleaning_ml(case, laid, cleaned, room, window)
    return _Seen(coat, seen, verdict, sure, cleaning_ml)


def _by_cleaning_ml(
    case: Case, laid: list[Let], cleaned: list[Let], room: Room, window: tuple[float, float]
) -> float:
    """Alcohol that cleans brush or gun, ml, where what is laid would stay within the limits without it."""
    without = exposure(case.facts, laid, room, window)
    if not cleaned or worse(breath_verdict(without), fire_verdict(case.facts, without, False)) != "go":
        return 0.0
    spirit = case.facts.solvents[_ALCOHOL].density_kg_m3 / ML_PER_L
    return max(let.grams[_ALCOHOL] for let in cleaned) / spirit


def _over_even_so(case: Case, near: list[Let], room: Room, window: tuple[float, float]) -> bool:
    """Over the higher of two bodies' limits too, and without methanol."""
    return breath_verdict(exposure(case.facts, near, room, window, methanol_free=True, lax=True)) != "go"


def _hit(case: Case, place: Place, room: Room, material: str, found: list[_Seen]) -> Hit:
    top = max(found, key=lambda s: (VERDICTS.index(s.verdict), s.seen.most_over, s.seen.share_of_lel))
    stops = top.verdict in ("stop", "refuse")
    sure = any(s.sure for s in found)
    near = top.seen.limits[0] if top.seen.limits else None
    name = capital(case.facts.materials[material].name)
    others = f" ({len(found)} sessions so)" if len(found) > 1 else ""
    limit = f"about {_ppm(near.ppm)} ppm ({near.says} {near.limit_ppm:g} ppm), " if near else ""
    says = (
        f"{name} in {place.name} on {top.coat.placed.start:%a %-d %B}{others}: with all that is laid "
        f"there its vapour comes to {limit}{number(top.seen.share_of_lel * 100)} % of what can burn, the room well "
        f"mixed, at {number(place.air_changes_per_h)} air change{'' if place.air_changes_per_h == 1 else 's'} an hour."
    )
    if top.cleaning_ml:
        tool = "gun" if top.coat.task.lay and top.coat.task.lay.by == "spray" else "brush"
        says += (
            f" Of it {case.shown.volume(top.cleaning_ml)} cleans the {tool}: keep that in a lidded jar, and it stays "
            "within the limit."
        )
    if not sure and near:
        methanol = limits_of(case.facts, near.solvent).because
        why = f"{methanol}" if methanol else "the stricter of two lists"
        says += f" That limit is {why}."
    alone = room_left(case.facts, exposure(case.facts, [top.coat.let], room))
    sound_ml = top.coat.liquid_ml * min(alone, 1.0)
    less = f"lay about {case.shown.volume(sound_ml)} at a time"
    unknown = (
        "" if place.air_changes_given else " (the shop file does not say air_changes: taken as all shut)"
    )
    mend = (
        f"{'Stop: first open' if stops else 'Open'} door and window or draw the air out{unknown}; or {less}, hours "
        f"apart from what else is laid there. {SAYS_NOTHING_OF}"
    )
    figures = {"peak_ppm": round(top.seen.peak_ppm, 1), "share_of_lel": round(top.seen.share_of_lel, 5)}
    severity = ERROR if stops else WARNING if sure else NOTE
    source: Source | None = case.facts.figure("vapour_stop_idlh" if stops else "mixing_factor").source
    if near and near.solvent in case.facts.solvents and not stops:
        source = case.facts.solvents[near.solvent].source
    return Hit(severity, says, mend, source, top.coat.task.part, "", top.coat.task.id, figures)


def _ppm(value: float) -> str:
    step = 10 ** max(0, len(f"{value:.0f}") - 2)
    return f"{round(value / step) * step:,.0f}"
