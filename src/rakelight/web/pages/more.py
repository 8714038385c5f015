"""What stands beside bench and pieces: the book, stock, the shop, devices, light or dark."""

from __future__ import annotations

from fastapi import FastAPI, Request
from starlette.responses import HTMLResponse, RedirectResponse, Response

from rakelight.web.kept_pages import may_be_kept
from rakelight.web.render import render
from rakelight.web.sent import Form

_ROWS = (
    ("/book", "Book", "schedules step by step, and the shop's own"),
    ("/stock", "Stock", "cans, jars and flakes: what is left and how old it is"),
    ("/shop", "Shop", "places and their air, hours, days off, gear, what this shop has taught"),
    ("/devices", "Devices", "phones and thermometers that may come in"),
    ("/api", "For other programs", "the same as plain data"),
)
_YEAR_S = 365 * 24 * 3600


def register(app: FastAPI) -> None:
    """Add the pages."""

    @app.get("/more", response_class=HTMLResponse, include_in_schema=False)
    def more(request: Request) -> HTMLResponse:
        may_be_kept(request)
        return render(request, "more.html", rows=_ROWS)

    @app.post("/scheme", include_in_schema=False)
    def scheme(request: Request, sent: Form) -> Response:
        chosen = sent["scheme"] if sent["scheme"] in ("light", "dark") else ""
        answer = RedirectResponse("/more", 303)
        answer.set_cookie("scheme", chosen, max_age=_YEAR_S if chosen else 0, samesite="lax", httponly=True)
        return answer

    @app.get("/api", response_class=HTMLResponse, include_in_schema=False)
    def interface(request: Request) -> HTMLResponse:
        rows = [
            (method.upper(), path, what.get("description", "").split("\n")[0])
            for path, verbs in app.openapi()["paths"].items()
            for method, what in verbs.items()
        ]
        return render(request, "interface.html", rows=rows)
