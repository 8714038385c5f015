"""Whether what is told to the shop's file can have been so; where not, one sentence, and nothing is written."""

from __future__ import annotations

from datetime import timedelta
from difflib import get_close_matches
from typing import TYPE_CHECKING

from rakelight.desk import can_sense, sense
from rakelight.desk.one_piece import Desk
from rakelight.errors import Misread, NotFound, RakelightError, Refused
from rakelight.log.events import ABOUT, KINDS, Event

if TYPE_CHECKING:
    from rakelight.desk.shop_file import ShopDesk

#: a clock beside ours may run this much ahead
_AHEAD = timedelta(minutes=2)
_OF_STEPS = ("done", "started", "skipped", "tested", "coats", "rework")
_AMOUNTS = (
    ("used_ml", "what was used"), ("used_g", "what was used"), ("before_g", "the can before"),
    ("after_g", "the can after"), ("took_min", "the time it took"),
)  # fmt: skip


def may_be_told(shop: ShopDesk, event: Event, desk: Desk | None = None) -> None:
    """Raises RakelightError where an event cannot have been so, or speaks of what is not there.

    Parameters: desk, the piece, where it is laid out already.
    """
    if event.kind not in KINDS:
        raise Misread(f"{event.kind!r} is nothing the log knows.", f"It knows: {', '.join(KINDS)}.")
    known = ABOUT.get(event.kind, ())
    if known and event.what not in known:
        raise Misread(f"{event.what!r} is no {event.kind} the log knows.", f"Write one of: {', '.join(known)}.")
    if event.happened > shop.now + _AHEAD:
        when = f"{event.happened:%-d %B %Y %-H:%M}"
        raise Misread(f"{when} is still to come.", "Tell what has happened, or say --now.")
    _amounts(event)
    _read(event)
    for id in (event.corrects, event.takes_back):
        if id:
            _same_piece(shop.store.event(id), event)
    if event.photo:
        shop.photo(event.photo)
    if event.kind == "can":
        can_sense.check(event, shop.stock(), shop.facts)
    if event.kind in _OF_STEPS:
        if not event.piece:
            raise Misread("A step is of a piece, and no piece is named.", "Name the piece.")
        desk = desk or _desk(shop, event)
        _step(desk, event)
    if event.can and event.kind != "can":
        told = shop.store.event(event.corrects) if event.corrects else event
        can_sense.laid_from(event.can, shop.stock(), _laid(desk or _desk(shop, event), told.task))


def _amounts(event: Event) -> None:
    for name, says in _AMOUNTS:
        value = getattr(event, name)
        if value is not None and not value >= 0:
            raise Misread(f"{value:g} is less than nothing, for {says}.", "Write an amount above nothing.")
    if event.before_g is not None and event.after_g is not None and event.after_g > event.before_g:
        raise Misread(
            f"The can weighs more after ({event.after_g:g} g) than before ({event.before_g:g} g).",
            "Change them over, or tell that it was filled.",
        )
    if event.number is not None and not 1 <= event.number <= 20:
        raise Misread(f"{event.number} is no number of coats.", "Write 1 to 20.")


#: what can be read at all, by what it is; unit in the name
_READ = {
    "temp_c": (-40.0, 60.0), "rh": (0.0, 1.0), "mc_pct": (0.0, 200.0), "wet_um": (0.0, 5000.0), "gu": (0.0, 200.0),
    "minutes": (0.0, 10_000.0),
}  # fmt: skip


def _read(event: Event) -> None:
    for name, value in event.values.items() if event.kind == "reading" else ():
        low, high = _READ.get(name, (value, value))
        if not low <= value <= high:
            raise Misread(f"{value:g} is no {event.what} that can be read.", f"Write {low:g} to {high:g} ({name}).")


def _same_piece(earlier: Event, event: Event) -> None:
    if earlier.piece != event.piece:
        raise Misread("What is corrected is of another piece.", "Correct it with the piece it is of.")


def _desk(shop: ShopDesk, event: Event) -> Desk:
    """The piece as it stands."""
    try:
        return shop.desk(event.piece, telling=True)
    except Refused as bad:
        raise RakelightError(f"{event.piece} cannot be read as it is: {bad.findings[0].says}") from bad


def _step(desk: Desk, event: Event) -> None:
    known = steps_of(desk)
    for task in [event.task, *(event.also if event.kind == "rework" else ())]:
        if task not in known and not (event.kind in ("rework", "coats") and not task):
            raise NotFound(no_step(task, known))
    told_again = event.kind == "done" and not event.corrects
    if told_again:
        sense.not_told_before(desk, event.task)
        sense.in_order(desk, event.task, event.happened)
    fact = desk.state.done.get(event.task)
    if event.kind in ("started", "skipped") and not event.corrects and fact and fact.logged:
        raise RakelightError(f"{event.task} is already told as done; `undo` takes that back.")


def _laid(desk: Desk, task: str) -> str:
    """The material a step lays; "" where it lays none, or is not there now."""
    found = next((t for job in desk.work.jobs.values() for t in job.tasks if t.id == task), None)
    return found.lay.material if found and found.lay else ""


def steps_of(desk: Desk) -> list[str]:
    """Ids of the steps of a piece: those it has now, and those of the plan kept last."""
    known = dict.fromkeys(t.id for job in desk.work.jobs.values() for t in job.tasks)
    return [*known, *(k for k in desk.state.kept if k not in known)]


def no_step(said: str, known: list[str]) -> str:
    """That no step is called so, with the nearest there are."""
    near = get_close_matches(said, known, 3, 0.4)
    tell = f"Nearest: {', '.join(near)}." if near else "`rakelight today` shows what the steps are called."
    return f"No step is called {said!r}. {tell}"
