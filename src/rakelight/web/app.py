"""The application: guard, static files, every page and the plain-data interface, and what is said of a fault."""

from __future__ import annotations

import pkgutil
import sys
import traceback
from collections.abc import AsyncIterator, Callable
from contextlib import asynccontextmanager
from datetime import datetime
from importlib import import_module
from pathlib import Path
from typing import Any

from fastapi import Depends, FastAPI, Request
from fastapi.exceptions import RequestValidationError
from starlette.exceptions import HTTPException
from starlette.middleware.gzip import GZipMiddleware
from starlette.responses import Response
from starlette.staticfiles import StaticFiles

from rakelight import __version__
from rakelight.errors import Misread, NotFound, RakelightError, Refused
from rakelight.web import pages
from rakelight.web.devices import Devices
from rakelight.web.guard import Guard, checked
from rakelight.web.keeper import Keeper, real_clock
from rakelight.web.kept_pages import KeptPages
from rakelight.web.render import say

STATIC = Path(__file__).parent / "static"


class Static(StaticFiles):
    """Our own style and script; the browser asks again each time and is told "unchanged"."""

    def file_response(self, *args: Any, **kwargs: Any) -> Response:
        """A file, with how long it may be kept."""
        answer = super().file_response(*args, **kwargs)
        answer.headers["Cache-Control"] = "no-cache"
        return answer


def create_app(
    shop_path: Path | None = None, *, lan: bool = False, clock: Callable[[], datetime] = real_clock
) -> FastAPI:
    """The application over one shop's file.

    Parameters: shop_path, the shop's file (None: where it lies by itself); lan, whether paired devices on the
    shop's network may come in; clock, the moment it is, for tests and for looking ahead.
    """
    keeper = Keeper(shop_path, clock)
    devices = Devices(keeper.file_beside("devices.json"), clock)

    @asynccontextmanager
    async def lifespan(_: FastAPI) -> AsyncIterator[None]:
        yield
        keeper.close()

    app = FastAPI(
        title="rakelight", version=__version__, lifespan=lifespan, dependencies=[Depends(checked)],
        docs_url=None, redoc_url=None, openapi_url="/api/openapi.json",
    )  # fmt: skip
    app.state.keeper, app.state.devices, app.state.lan = keeper, devices, lan
    for page in sorted(m.name for m in pkgutil.iter_modules(pages.__path__)):
        import_module(f"rakelight.web.pages.{page}").register(app)
    app.mount("/static", Static(directory=STATIC), "static")
    app.add_middleware(KeptPages, keeper=keeper)
    app.add_middleware(GZipMiddleware, minimum_size=4000, compresslevel=6)
    app.add_middleware(Guard, devices=devices, lan=lan)
    _faults(app)
    return app


def _faults(app: FastAPI) -> None:
    """One clear sentence for whatever goes wrong, on a page or as plain data."""

    @app.exception_handler(HTTPException)
    async def refused(request: Request, bad: HTTPException) -> Response:
        says = {404: "There is no such page.", 405: "That cannot be done here."}.get(bad.status_code, bad.detail)
        return say(request, str(says), bad.status_code)

    @app.exception_handler(RequestValidationError)
    async def unread(request: Request, bad: RequestValidationError) -> Response:
        first = bad.errors()[0] if bad.errors() else {}
        where = ".".join(str(word) for word in first.get("loc", ())[1:])
        return say(request, f"{where or 'What was sent'}: {first.get('msg', 'it cannot be read')}.", 422)

    @app.exception_handler(RakelightError)
    async def mistaken(request: Request, bad: RakelightError) -> Response:
        status = 404 if isinstance(bad, NotFound) else 422
        if isinstance(bad, Refused):
            return say(request, "", status, findings=bad.findings)
        if isinstance(bad, Misread):
            return say(request, bad.says, status, bad.mend)
        return say(request, str(bad), status)

    @app.exception_handler(Exception)
    async def fault(request: Request, bad: Exception) -> Response:
        print("".join(traceback.format_exception(bad)), file=sys.stderr)
        return say(request, "A fault of rakelight itself, not of what you did. What was told before it is kept.", 500)
