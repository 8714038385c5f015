"""The work beside the pages: stopped, and begun again."""

from __future__ import annotations

from fastapi import FastAPI, Request
from starlette.responses import RedirectResponse, Response

from rakelight.web.keeper import keeper_of


def register(app: FastAPI) -> None:
    """Add what stops and begins it."""

    @app.post("/plan/cancel", include_in_schema=False)
    def cancel(request: Request) -> Response:
        keeper_of(request).cancel()
        return _back(request)

    @app.post("/plan/again", include_in_schema=False)
    def again(request: Request) -> Response:
        keeper_of(request).again()
        return _back(request)


def _back(request: Request) -> Response:
    from urllib.parse import urlsplit

    came = urlsplit(request.headers.get("referer", ""))
    own = came.netloc == request.headers.get("host") and came.path.startswith("/") and not came.path.startswith("//")
    return RedirectResponse(came.path if own else "/", 303)
