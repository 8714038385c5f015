"""The small pages of the log: a fault, a picture, a note, and an entry put right or taken back."""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime
from typing import Any

from fastapi import FastAPI, Request
from starlette.responses import HTMLResponse, RedirectResponse, Response

from rakelight.errors import Misread, NotFound, RakelightError
from rakelight.facts.faults import faults
from rakelight.log.events import Event, in_force
from rakelight.shop.hours import hours_later
from rakelight.web import telling
from rakelight.web.content.log_words import says_of
from rakelight.web.keeper import ServedShop, shop_of
from rakelight.web.render import render
from rakelight.web.sent import Form, Sent

#: a picture never changes: it is called by what is in it
_FOR_EVER = {"Cache-Control": "private, max-age=31536000, immutable"}


def register(app: FastAPI) -> None:
    """Add the small pages."""
    _add_pages(app)
    _add_entries(app)


def _add_pages(app: FastAPI) -> None:
    @app.get("/log/{what}", response_class=HTMLResponse, include_in_schema=False)
    def small(request: Request, what: str, piece: str = "", task: str = "") -> HTMLResponse:
        if what not in ("fault", "picture", "note"):
            raise NotFound("There is no such page.")
        shop = shop_of(request)
        about = telling.step_words(task) if task else ""
        name = next((row.name for row in shop.pieces() if row.key == piece), "")
        return render(request, "log_one.html", what=what, piece=piece, task=task, about=about, name=name,
                      faults=tuple(faults().values()))  # fmt: skip

    @app.post("/log/fault", include_in_schema=False)
    def fault(request: Request, sent: Form) -> Response:
        shop = shop_of(request)
        if not (sent["what"] or sent["words"]):
            raise Misread("What was seen is not said.", "Choose the fault, or write what you see.")
        photo = _photo(shop, sent)
        more = {"what": sent["what"], "words": sent["words"], "did": sent["did"], "photo": photo}
        told = telling.tell_simple(sent, shop, "fault", **more)
        helped = told.piece and told.task and told.what
        return RedirectResponse(f"/log/help/{told.id}" if helped else "/", 303)

    @app.post("/log/picture", include_in_schema=False)
    def picture(request: Request, sent: Form) -> Response:
        shop = shop_of(request)
        photo = _photo(shop, sent)
        if not photo:
            raise Misread("No picture was sent.", "Take or choose one first.")
        telling.tell_simple(sent, shop, "photo", photo=photo, words=sent["words"])
        return RedirectResponse("/", 303)

    @app.post("/log/note", include_in_schema=False)
    def note(request: Request, sent: Form) -> Response:
        if not sent["words"]:
            raise Misread("The note is empty.", "Write what you want to find again.")
        telling.tell_simple(sent, shop_of(request), "note", words=sent["words"])
        return RedirectResponse("/", 303)

    @app.get("/photographs/{hash}", include_in_schema=False)
    def photograph(request: Request, hash: str) -> Response:
        if len(hash) != 64 or not all(c in "0123456789abcdef" for c in hash):
            raise NotFound("There is no such picture.")
        return Response(shop_of(request).photo(hash), media_type="image/jpeg", headers=_FOR_EVER)


def _photo(shop: ServedShop, sent: Sent) -> str:
    """Keep the picture of a form; its hash, "" where there is none."""
    if sent.photo is None:
        return ""
    from rakelight.web.photographs import MOST_BYTES, redrawn  # heavy: read when the first picture comes

    content = sent.photo.file.read(MOST_BYTES + 1)
    return shop.add_photo(redrawn(content)) if content else ""


def _add_entries(app: FastAPI) -> None:
    @app.get("/log/entry/{id}", response_class=HTMLResponse, include_in_schema=False)
    def entry(request: Request, id: str) -> HTMLResponse:
        shop = shop_of(request)
        event = _counting(shop, id)
        name = next((row.name for row in shop.pieces() if row.key == event.piece), "")
        return render(request, "entry.html", event=event, says=says_of(event, _unit(shop, event)), name=name,
                      at=event.happened.astimezone(shop.zone), zone=shop.zone)  # fmt: skip

    @app.post("/log/entry/{id}", include_in_schema=False)
    def put_right(request: Request, id: str, sent: Form) -> Response:
        shop = shop_of(request)
        earlier = _counting(shop, id)
        if sent["event"] == "back":
            shop.undo(earlier.id)
            return RedirectResponse("/", 303)
        said: dict[str, Any] = _said(sent, shop, earlier)
        if said:
            shop.correct(earlier.id, replace(Event.correction(earlier, shop.now, **said), device=sent.device))
        return RedirectResponse("/", 303)


def _counting(shop: ServedShop, id: str) -> Event:
    """An entry as it counts now. Raises NotFound where there is none, or it was taken back."""
    kept = shop.store.event(id)
    found = next((e for e in in_force(shop.store.events(kept.piece)) if e.id == id), None)
    if found is None:
        raise RakelightError("That entry was taken back, or another stands in its place.")
    return found


def _said(sent: Sent, shop: ServedShop, earlier: Event) -> dict[str, Any]:
    """What is said otherwise now, by field."""
    said: dict[str, Any] = {}
    happened = sent.happened(shop) if sent["at"] else earlier.happened
    if _minute(happened) != _minute(earlier.happened.astimezone(shop.zone)):
        said["happened"] = happened
    if sent["words"] != earlier.words:
        said["words"] = sent["words"]
    if sent["used_typed"]:
        said |= Sent({**sent.words, "used": "weigh"}, ()).amount()
    took = sent.number("took", "the time it took", 1e4)
    if took is not None and took != earlier.took_min:
        said["took_min"] = took
    if earlier.kind == "done" and ("happened" in said or "took_min" in said):
        begun = _start(earlier, happened, said.get("took_min", earlier.took_min))
        said |= {"start": begun} if begun else {}
    return said


def _start(earlier: Event, happened: datetime, took_min: float | None) -> datetime | None:
    """When it began, by what is said now."""
    if took_min is not None:
        return hours_later(happened, -took_min / 60)
    return earlier.start + (happened - earlier.happened) if earlier.start else None


def _minute(moment: datetime) -> datetime:
    return moment.replace(second=0, microsecond=0)


def _unit(shop: ServedShop, event: Event) -> str:
    row = next((r for r in shop.pieces() if r.key == event.piece), None)
    return "mm" if row and 'unit = "mm"' in row.text else "in"
