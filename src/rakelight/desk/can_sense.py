"""Whether what is told of a can can have been so."""

from __future__ import annotations

from difflib import get_close_matches

from rakelight.errors import Misread, NotFound
from rakelight.facts.cans import thinners
from rakelight.facts.load import Facts
from rakelight.log.events import Event
from rakelight.log.stock import Stock

_MOST = 2.0  # times what the can ever held: more was left than that, so it was misread


def laid_from(said: str, stock: Stock, material: str) -> None:
    """Raises RakelightError, one sentence, where a coat of a material cannot have come from the can told."""
    can = stock.can(said)
    if can is None:
        raise NotFound(_no_can(said, [c.id for c in stock.cans]))
    if material and can.material != material:
        raise Misread(f"{can.id} holds {can.name}, which that step does not lay.", "Name the can it came from.")


def _no_can(said: str, known: list[str]) -> str:
    near = get_close_matches(said, known, 1, 0.4)
    tell = f"Did you mean {near[0]}?" if near else "`rakelight stock` shows what the cans are called."
    return f"No can is called {said!r}. {tell}"


def check(event: Event, stock: Stock, facts: Facts) -> None:
    """Raises RakelightError, one sentence, where it cannot have been so."""
    for name, value in event.values.items():
        if value < 0:
            raise Misread(f"{value:g} is less than nothing, for {name}.", "Write an amount above nothing.")
    known = {c.id: c for c in stock.cans}
    if event.what in ("opened", "weighed", "emptied") and event.can not in known and not event.material:
        raise NotFound(_no_can(event.can, list(known)))
    if event.what in ("bought", "mixed") and event.can in known and not event.corrects:
        raise Misread(f"There is a can called {event.can} already.", "Give this one another name.")
    names = {t.name for t in thinners()}
    if event.material and event.material not in facts.materials and event.material not in names:
        raise Misread(f"{event.material!r} is no material of the tables.", f"Thinners are: {', '.join(sorted(names))}.")
    can = known.get(event.can)
    if event.what == "weighed":
        left = event.values.get("left_ml", event.values.get("left_g"))
        if left is None:
            raise Misread("How much is left in it?", 'Say --left "6 fl oz".')
        if can and can.size and left > can.size * _MOST:
            raise Misread(f"{left:g} {can.unit} is more than {can.id} ever held.", "Write what is left in it.")
    if event.what == "bought" and not any(k in event.values for k in ("size_ml", "size_g")):
        raise Misread("How much is in it?", 'Say --size "1 quart" or --size "250 g".')
    if event.what == "opened" and can and can.bought and event.happened.date() < can.bought:
        raise Misread(f"{can.id} was bought later, {can.bought:%-d %B %Y}.", "Say --at with the day it was opened.")
