"""The bench: what to do now and next, what dries, and the log of what was done."""

from __future__ import annotations

from fastapi import FastAPI, Request
from starlette.responses import HTMLResponse

from rakelight.web.keeper import keeper_of
from rakelight.web.render import render


def register(app: FastAPI) -> None:
    """Add the page."""

    @app.get("/", response_class=HTMLResponse, include_in_schema=False)
    def bench(request: Request) -> HTMLResponse:
        keeper = keeper_of(request)
        return render(request, "bench.html", today=keeper.today(), working=keeper.working)
