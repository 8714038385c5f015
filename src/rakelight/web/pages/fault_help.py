"""The page after a fault is told: what to do now, what it likely came from, and the steps to do again."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from fastapi import FastAPI, Request
from starlette.responses import HTMLResponse, RedirectResponse, Response

from rakelight.errors import Misread, NotFound
from rakelight.facts.faults import Fault, find_fault
from rakelight.log.events import Event, in_force
from rakelight.web import telling
from rakelight.web.keeper import ServedShop, shop_of
from rakelight.web.render import render

if TYPE_CHECKING:
    from rakelight.desk.fault_help import FaultHelp  # heavy: read when a fault is told


def register(app: FastAPI) -> None:
    """Add the page."""

    @app.get("/log/help/{id}", response_class=HTMLResponse, include_in_schema=False)
    def help_page(request: Request, id: str) -> Response:
        from rakelight.papers.fault_text import REACH, cause_words, remedy_words

        shop = shop_of(request)
        event, fault = _told(shop, id)
        found, says = _help(shop, event, fault)
        remedy = found.remedy if found else None
        return render(
            request, "fault_help.html", event=event, fault=fault, says=says, about=telling.step_words(event.task),
            remedy=remedy_words(remedy) if remedy else "", clean=remedy.clean if remedy else "",
            reach=f"{REACH[remedy.reach]}. {remedy.reach_says[:1].upper()}{remedy.reach_says[1:]}" if remedy else "",
            causes=[cause_words(c) for c in found.causes] if found else [],
            again=[telling.step_words(t) for t in remedy.again] if remedy else [], done=_is_told_again(shop, event),
        )  # fmt: skip

    @app.post("/log/help/{id}", include_in_schema=False)
    def again(request: Request, id: str) -> Response:
        from rakelight.desk.fault_help import rework_of

        shop = shop_of(request)
        event, fault = _told(shop, id)
        found, says = _help(shop, event, fault)
        rework = rework_of(found, shop.now, event.happened) if found else None
        if rework is None:
            raise Misread(says or "Nothing has to be done again for that yet.", "Wait, and look again.")
        shop.tell(replace(rework, id=_again(event), piece=event.piece, device=request.state.who.name))
        return RedirectResponse("/", 303)


def _told(shop: ServedShop, id: str) -> tuple[Event, Fault]:
    """A fault as it was told and counts. Raises NotFound where there is none, or it is none of the known."""
    kept = shop.store.event(id)
    event = next((e for e in in_force(shop.store.events(kept.piece)) if e.id == id), None)
    if event is None or event.kind != "fault" or not event.task or not event.what:
        raise NotFound("There is no such fault in the log, or it was taken back.")
    return event, find_fault(event.what)


def _help(shop: ServedShop, event: Event, fault: Fault) -> tuple[FaultHelp | None, str]:
    """Help with it; None, and why, where nothing of it is known."""
    from rakelight.desk.fault_help import fault_help

    try:
        return fault_help(shop.desk(event.piece, telling=True), event.task, fault, event.face, (), shop.stock()), ""
    except (Misread, KeyError) as bad:
        return None, f"{bad.says} {bad.mend}" if isinstance(bad, Misread) else "The plan has no such step now."


def _again(event: Event) -> str:
    return f"{event.id[:58]}-again"


def _is_told_again(shop: ServedShop, event: Event) -> bool:
    return shop.store.find(_again(event)) is not None
