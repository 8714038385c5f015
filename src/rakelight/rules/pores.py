"""Rules: filler that sinks back after a rub, and filler where the pores are wanted open."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import datetime, timedelta

from rakelight.rules.case import Case, OnFace
from rakelight.rules.registry import NOTE, Hit, rule
from rakelight.rules.woods import sheen_named
from rakelight.schedule.layers import Layer, Take
from rakelight.schedule.pores_of import deepest, grain_wanted, pore_limit
from rakelight.shop.hours import hours_between

#: sheens in which a pore that sinks back shows
_SHOWS = ("semi-gloss", "gloss", "high gloss")


@rule("filler-sinks-back", "plan", "A rub sooner after the last coat than filled pores take to sink back.")
def filler_sinks_back(case: Case) -> Iterator[Hit]:
    figure = case.facts.figure("shrink_back_days")
    for on in case.faces:
        found = _rubbed_over_fill(case, on)
        if found is None:
            continue
        top, rub = found
        laid, begins = _end(case, top.task), _start(case, rub.task)
        if laid is None or begins is None or hours_between(laid, begins) >= figure.value.low * 24:
            continue
        first, mostly = (laid + timedelta(days=d) for d in (figure.value.low, figure.value.likely))
        says = (
            f"Filled pores sink back for weeks after the last coat ({_day(laid)}): rubbed on {_day(begins)}, they may "
            f"show again by about {_day(mostly)}."
        )
        mend = (
            f"Rub no sooner than {_day(first)}, for a mirror not before {_day(mostly)}; else look along it against a "
            f"lamp on {_day(mostly)} and rub it once more."
        )
        figures = {"days": hours_between(laid, begins) / 24, "least_days": figure.value.low}
        yield Hit(NOTE, says, mend, figure.source, on.part, on.face.name, rub.task, figures)


def _rubbed_over_fill(case: Case, on: OnFace) -> tuple[Layer, Take] | None:
    """The last coat of film and the first rub after it, where filled pores beneath would show when they sink."""
    layers = on.stack.layers
    films = [n for n, layer in enumerate(layers, 1) if layer.laid_um > 0 and layer.part == on.part]
    if on.face.role != "show" or not films or not any(layer.kind == "filler" for layer in layers):
        return None
    wood = deepest(case.woods(on.part, on.face.name))
    if wood is None or wood.fill_for_level_film not in ("yes", "optional"):
        return None
    if sheen_named(case, on) not in _SHOWS or grain_wanted(case.work, on.part) in ("open", "half"):
        return None
    rubs = [t for t in on.stack.takes if t.over >= films[-1] and t.do in ("level", "rub") and t.part == on.part]
    return (layers[films[-1] - 1], rubs[0]) if rubs else None


def _end(case: Case, task: str) -> datetime | None:
    placed = case.plan.placed.get(task) if case.plan else None
    return placed.end if placed else None


def _start(case: Case, task: str) -> datetime | None:
    placed = case.plan.placed.get(task) if case.plan else None
    return placed.start if placed else None


def _day(moment: datetime) -> str:
    return f"{moment.day} {moment:%B}"


@rule("filler-on-open-look", "layers", "Filler on a face whose pores are wanted open.")
def filler_on_open_look(case: Case) -> Iterator[Hit]:
    for on in case.faces:
        filler = next((x for x in on.stack.layers if x.kind == "filler" and x.part == on.part), None)
        wood = deepest(case.woods(on.part, on.face.name))
        limit = pore_limit(grain_wanted(case.work, on.part), "satin", wood, case.facts)
        if filler is None or limit is not None or on.face.role != "show":
            continue
        says = f"{case.material(filler).name.capitalize()} is laid, and the pores are wanted open."
        mend = 'Leave the fill step out; or write want = { grain = "half" }.'
        yield Hit(NOTE, says, mend, None, on.part, on.face.name, filler.task)
