"""What was seen on the film: haze or none bounds how far it cools while wet; gloss tells what an abrasive leaves."""

from __future__ import annotations

import math
from datetime import datetime, timedelta

from rakelight.facts.faults import faults
from rakelight.facts.records import Abrasive
from rakelight.log.events import Event
from rakelight.log.learning.grid import normal_below
from rakelight.log.learning.past import Past
from rakelight.log.learning.seen import Seen
from rakelight.physics.air import dew_point_c
from rakelight.physics.gloss import GRAIN_UM, scale_from_reading
from rakelight.plan.chill import book_chill, chill_key
from rakelight.plan.replay import Deed, Story
from rakelight.schedule.sheen_of import acts_like_um, gloss_key
from rakelight.schedule.tasks import Lay, Task
from rakelight.spread import Z90

#: no haze teaches nothing where the book held haze to be this unlikely. Source: assumption
_UNLIKELY = 0.02
#: air read so long before a coat was laid is still the air it was laid in. Source: assumption
_BEFORE = timedelta(hours=1)
#: a reading of gloss so many times off the book is told and not counted. Source: assumption
_MOST_GLOSS = 3.0


def haze_in(past: Past) -> tuple[list[Seen], list[str]]:
    """Bounds of the chill of each coat told as done: haze lies it above the least gap to the dew point, none below.

    Haze counts as not seen once something else was told of the part after the coat.
    """
    haze = {name for name, fault in faults().items() if fault.kind == "haze"}
    hazed = {e.task: e for e in past.events if e.kind == "fault" and e.what in haze}
    found: list[Seen] = []
    story = past.story()
    for deed in story.deeds.values():
        lay = deed.task.lay
        if lay is None or not past.told(deed.key) or deed.task.board:
            continue
        row = past.facts.materials.get(lay.material)
        if row is None:
            continue
        chill = book_chill(past.facts, row, lay.by).value
        if chill.likely <= 0 or chill.certain:
            continue
        gap, key = _gap_k(past, story, deed, lay), chill_key(row, lay.by)
        if deed.key in hazed:
            found.append(Seen(key, hazed[deed.key].written, low=gap))
        elif _seen_after(past, deed.task):
            doubt = math.hypot((chill.high - chill.low) / (2 * Z90), past.facts.likely("learn_chill_sd_k"))
            if 1 - float(normal_below((gap - chill.likely) / doubt)) >= _UNLIKELY:
                found.append(Seen(key, past.written_of(deed.key).written, high=gap))
    return found, []


def _seen_after(past: Past, task: Task) -> bool:
    """Whether something was told of the part after a coat."""
    fact = past.state.done[task.id]
    done = past.state.done.items()
    return any(past.told(k) and f.start > fact.start and past.tasks.get(k, task).part == task.part for k, f in done)


def _gap_k(past: Past, story: Story, deed: Deed, lay: Lay) -> float:
    """Least degrees from the air to its dew point while the film was wet: as read there, else as the shop has it."""
    waits = past.problem.waits
    place = story.before[deed.key][0].place
    row = waits.doses.row(lay)
    time, _ = waits.doses.time(row, "touch_dry")
    begun, need_h = deed.laid.laid_end / 60, time.high * waits.doses.thick(lay, row)
    stays = next((h.stays for h in story.before[deed.key][0].pasts(deed.task.faces)), ())
    dry = waits.clock.until(waits.doses.laws(row)[0], stays, begun, need_h)
    read = _air_read(past, begun, dry)
    if read:
        return min(temp_c - float(dew_point_c(temp_c, rh)) for temp_c, rh in read)
    first, last = int(begun), int(min(math.ceil(dry), waits.clock.hours))
    gaps = waits.clock.air[place].temp_c[first:last] - waits.clock.dew_c(place)[first:last]
    return float(gaps.min())


def _air_read(past: Past, begun: float, dry: float) -> list[tuple[float, float]]:
    """Air read from an hour before a coat until it was dry."""
    origin = past.problem.hours.origin
    first = origin + timedelta(hours=begun) - _BEFORE
    last = origin + timedelta(hours=min(dry, begun + 1000))
    return [
        (e.values["temp_c"], e.values["rh"])
        for e in past.events
        if e.kind == "reading" and e.what == "air" and first <= e.happened <= last
        and "temp_c" in e.values and 0 < e.values.get("rh", 0) <= 1
    ]  # fmt: skip


def gloss_in(past: Past) -> tuple[list[Seen], list[str]]:
    """Scale of gloss of the last abrasive at each reading of a gloss meter, by the index of what lies on top."""
    found, odd = [], []
    for event in past.events:
        if event.kind != "reading" or event.what != "gloss" or "gu" not in event.values:
            continue
        rub = _last(past, event, ("rub", "level"))
        top = _last(past, event, ("lay",))
        abrasive = _abrasive(past, rub) if rub else None
        row = past.facts.materials.get(event.material or (top.lay.material if top and top.lay else ""))
        grain = acts_like_um(abrasive) if abrasive else None
        if abrasive is None or grain is None or row is None or row.refractive_index is None:
            continue
        scale = scale_from_reading(event.values["gu"], grain, row.refractive_index.likely)
        if scale is None:
            continue
        times = scale / GRAIN_UM.likely
        if not 1 / _MOST_GLOSS <= times <= _MOST_GLOSS:
            odd.append(f"gloss {event.values['gu']:g} read after {abrasive.grade}; too far off the book to be counted.")
            continue
        found.append(Seen(gloss_key(abrasive), event.written, math.log(times), math.log(times)))
    return found, odd


def _abrasive(past: Past, rub: Task) -> Abrasive | None:
    named = rub.scheduled.abrasive if rub.scheduled else ""
    return past.facts.abrasives.get(named) or past.facts.abrasives.get(f"FEPA_P P{rub.grit}")


def _last(past: Past, event: Event, what: tuple[str, ...]) -> Task | None:
    """The last step told as done by a reading's hour, of its part and face: one that rubs, or one that lays."""
    part = event.task.split("/")[0]
    best: tuple[datetime, Task] | None = None
    for key, fact in past.state.done.items():
        task = past.tasks.get(key)
        end = fact.end or fact.start
        if task is None or not fact.logged or end > event.happened or (part and task.part != part):
            continue
        if event.face and event.face not in task.faces:
            continue
        kind = "lay" if task.lay else task.do
        if kind in what and (best is None or end >= best[0]):
            best = (end, task)
    return best[1] if best else None
