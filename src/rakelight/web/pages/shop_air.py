"""Pages: the air of the shop as it was read, a reading told by hand, and a logger's file taken in."""

from __future__ import annotations

from typing import Annotated, Any

from fastapi import APIRouter, Depends, FastAPI, Request
from starlette.datastructures import UploadFile
from starlette.responses import RedirectResponse, Response

from rakelight.desk.air_heard import event_of_log
from rakelight.errors import Misread, RakelightError
from rakelight.log.events import Event
from rakelight.units import read_air
from rakelight.web.at_hand import shop_of
from rakelight.web.content.air_now import air_of
from rakelight.web.content.air_page import Files, Reading, months_of, reading_of, told_of_air
from rakelight.web.content.shop_page import temp_unit
from rakelight.web.keeper import ServedShop
from rakelight.web.kept_pages import may_be_kept
from rakelight.web.render import new_id, render
from rakelight.web.sent import Sent
from rakelight.web.typed import Said, one

router = APIRouter(include_in_schema=False)
_SAID = ("time", "temp", "rh", "unit", "order")


def register(app: FastAPI) -> None:
    """Add the pages."""
    app.include_router(router)
    app.state.logger_files = Files()


@router.get("/shop/air")
def air(request: Request) -> Response:
    """The air of each place now, what is kept of it, and the ways to tell it."""
    desk = shop_of(request)
    if not desk.shop_text:
        return RedirectResponse("/shop", 303)
    may_be_kept(request)
    return _page(request, desk)


@router.post("/shop/air")
def read_by_hand(request: Request, said: Said) -> Response:
    """What a thermometer on the wall shows."""
    desk, typed = shop_of(request), {name: one(said, name) for name in ("temp", "rh", "place", "id")}
    unit = "F" if temp_unit(desk.shop) == "in" else "C"
    try:
        temp = f"{typed['temp']} {unit}" if typed["temp"].lstrip("-").replace(".", "", 1).isdigit() else typed["temp"]
        temp_c, rh = read_air(f"{temp}, {typed['rh'].rstrip('% ')} %")
        place = _place(desk, typed["place"])
    except Misread as bad:
        return _page(request, desk, typed=typed, bad=bad)
    now = desk.now
    desk.tell(
        Event("reading", now, now, id=Sent(typed, ()).id, what="air", values={"temp_c": temp_c, "rh": rh},
              place=place, device=request.state.who.name)
    )  # fmt: skip
    return RedirectResponse("/shop/air", 303)


async def _sent(request: Request) -> tuple[dict[str, str], str, bytes]:
    form: Any = await request.form(max_files=2, max_fields=40)
    said = {k: v.strip()[:200] for k, v in form.multi_items() if isinstance(v, str)}
    file = form.get("log")
    if not isinstance(file, UploadFile) or not file.filename:
        return said, "", b""
    return said, file.filename.replace("\\", "/").rpartition("/")[2][:80], await file.read()


@router.post("/shop/air/log")
def logger(request: Request, sent: Annotated[tuple[dict[str, str], str, bytes], Depends(_sent)]) -> Response:
    """A logger's file: read and shown, asked about where it leaves something open, and kept when that is said."""
    (said, name, content), desk = sent, shop_of(request)
    files: Files = request.app.state.logger_files
    id = said.get("file", "")
    try:
        place = _place(desk, said.get("place", ""))
        if name:
            id = new_id()
            files.put(id, name, content)
        elif id not in files.rows:
            says = "No file was sent." if not id else "The file is no longer in mind."
            raise Misread(says, "Choose the logger's file.")
    except Misread as bad:
        return _page(request, desk, log_bad=bad)
    unit = temp_unit(desk.shop)
    found = reading_of(desk, id, files.rows[id], place, {key: said.get(key, "") for key in _SAID}, unit)
    if said.get("do") != "keep" or found.faults:
        return _page(request, desk, found=found)
    try:
        desk.tell(event_of_log(desk, place, found.year, found.words))
    except RakelightError as bad:
        return _page(request, desk, found=found, log_bad=Misread(str(bad), ""))
    files.rows.pop(id, None)
    desk.forget()
    return RedirectResponse("/shop/air#read", 303)


def _place(desk: ServedShop, said: str) -> str:
    places = desk.shop.places
    if said and said not in places:
        raise Misread(f"The shop has no place {said[:60]!r}.", f"Known: {', '.join(places)}.")
    return said or desk.shop.first_place.name


def _page(
    request: Request, desk: ServedShop, *, typed: dict[str, str] | None = None, bad: Misread | None = None,
    found: Reading | None = None, log_bad: Misread | None = None,
) -> Response:  # fmt: skip
    unit, places = temp_unit(desk.shop), tuple(desk.shop.places)
    wrong = bad or log_bad or (found and found.faults)
    return render(
        request, "shop_air.html", 422 if wrong else 200, unit=unit, rooms=places,
        airs=[a for place in places if (a := air_of(desk, place))], told=told_of_air(desk, unit), now=desk.now,
        months=months_of(desk, unit), typed=typed or {}, bad=bad, found=found, log_bad=log_bad, zone=desk.zone,
    )  # fmt: skip
