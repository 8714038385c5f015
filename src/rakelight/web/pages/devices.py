"""Who may come in: phones paired by a link that is good once, sensors with a key of their own, all removable."""

from __future__ import annotations

from fastapi import FastAPI, Request
from starlette.exceptions import HTTPException
from starlette.responses import HTMLResponse, RedirectResponse, Response

from rakelight.errors import Misread
from rakelight.web.addresses import addresses, code_svg
from rakelight.web.guard import cookie_line
from rakelight.web.render import render, say
from rakelight.web.sent import Form

_NOT_GOOD = "This link is not good any more."
_MEND = "Open Devices on the shop's computer and make a new one; each is good once, for ten minutes."


def register(app: FastAPI) -> None:
    """Add the pages."""
    _add_devices(app)
    _add_pairing(app)


def _add_devices(app: FastAPI) -> None:
    @app.get("/devices", response_class=HTMLResponse, include_in_schema=False)
    async def devices(request: Request) -> HTMLResponse:
        return await _page(request)

    @app.post("/devices/link", response_class=HTMLResponse, include_in_schema=False)
    async def link(request: Request, sent: Form) -> HTMLResponse:
        _only_here(request)
        return await _page(request, link=request.app.state.devices.link())

    @app.post("/devices/sensor", response_class=HTMLResponse, include_in_schema=False)
    async def sensor(request: Request, sent: Form) -> HTMLResponse:
        _only_here(request)
        if not sent["name"]:
            raise Misread("The thermometer has no name.", "Say where it hangs.")
        _, key = request.app.state.devices.add(sent["name"], "sensor")
        return await _page(request, key=key)

    @app.post("/devices/remove", include_in_schema=False)
    def remove(request: Request, sent: Form) -> Response:
        who = request.state.who
        if who.kind != "here" and who.device != sent["device"]:
            raise HTTPException(403, "Devices are removed on the shop's computer.")
        request.app.state.devices.remove(sent["device"])
        return RedirectResponse("/devices", 303)


async def _page(request: Request, link: str = "", key: str = "") -> HTMLResponse:
    state = request.app.state
    port, secure = request.url.port or (443 if request.url.scheme == "https" else 80), request.url.scheme == "https"
    at = await addresses(port, secure) if state.lan else []
    links = [f"{address}pair/{link}" for address in at] if link else []
    return render(request, "devices.html", devices=state.devices.all(), lan=state.lan, links=links,
                  code=code_svg(links[0]) if links else "", key=key, addresses=at, secure=secure)  # fmt: skip


def _only_here(request: Request) -> None:
    if request.state.who.kind != "here":
        raise HTTPException(403, "Devices are let in on the shop's computer.")


def _add_pairing(app: FastAPI) -> None:
    @app.get("/pair/{word}", response_class=HTMLResponse, include_in_schema=False)
    def asked(request: Request, word: str) -> Response:
        found = request.app.state.devices
        if not found.may_try(_address(request)):
            return say(request, "Too many links that were not good came from here.", 429, "Wait ten minutes.")
        if not found.is_good(word):
            found.pair(word, "", _address(request))  # counts as a wrong try
            return say(request, _NOT_GOOD, 403, _MEND)
        return render(request, "pair.html", word=word)

    @app.post("/pair/{word}", include_in_schema=False)
    def pair(request: Request, word: str, sent: Form) -> Response:
        found = request.app.state.devices
        if not found.may_try(_address(request)):
            return say(request, "Too many links that were not good came from here.", 429, "Wait ten minutes.")
        made = found.pair(word, sent["name"], _address(request))
        if made is None:
            return say(request, _NOT_GOOD, 403, _MEND)
        answer = RedirectResponse("/", 303)
        answer.headers.append("Set-Cookie", cookie_line(made[1], request.url.scheme == "https"))
        return answer



def _address(request: Request) -> str:
    return request.client.host if request.client else ""
