"""Pages: all that is neither the bench nor a piece."""

from __future__ import annotations

from fastapi import APIRouter, FastAPI, Request
from starlette.responses import Response

from rakelight.web.render import render

router = APIRouter(include_in_schema=False)

#: address, word, what is there
ROWS = (
    ("/book", "Book", "The schedules, step by step."),
    ("/stock", "Stock", "Cans, flakes and jars: how much is left, how long each keeps."),
    ("/shop", "Shop", "Hours, places and their air, gear, and the figures learned here."),
)


def register(app: FastAPI) -> None:
    """Add the page."""
    app.include_router(router)


@router.get("/more")
def more(request: Request) -> Response:
    """Where else to go."""
    return render(request, "more.html", rows=ROWS)
