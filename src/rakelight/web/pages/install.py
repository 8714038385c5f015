"""What a phone needs to keep the bench on its home screen, over https alone: who it is, and what keeps it."""

from __future__ import annotations

from pathlib import Path

from fastapi import FastAPI, Request
from starlette.responses import FileResponse, JSONResponse, Response

from rakelight.errors import NotFound
from rakelight.web.keeper import keeper_of

_KEEPING = Path(__file__).parents[1] / "static" / "keeping.js"
_MANIFEST = {
    "name": "rakelight, the bench", "short_name": "Bench", "start_url": "/", "scope": "/", "display": "standalone",
    "background_color": "#1b2123", "theme_color": "#1b2123",
    "icons": [{"src": "/static/mark.svg", "sizes": "any", "type": "image/svg+xml", "purpose": "any"}],
}  # fmt: skip


def register(app: FastAPI) -> None:
    """Add the addresses."""

    @app.get("/manifest.webmanifest", include_in_schema=False)
    def manifest() -> Response:
        return JSONResponse(_MANIFEST, media_type="application/manifest+json")

    @app.get("/keeping.js", include_in_schema=False)
    def keeping() -> Response:
        return FileResponse(_KEEPING, media_type="text/javascript")

    @app.get("/devices/certificate.crt", include_in_schema=False)
    def certificate(request: Request) -> Response:
        """The authority to be installed on a phone; it holds no key."""
        found = keeper_of(request).file_beside("authority.crt")
        if request.url.scheme != "https" or not found.is_file():
            raise NotFound("No certificate is in use now: begin with `rakelight serve --lan --https`.")
        return FileResponse(found, media_type="application/x-x509-ca-cert", filename="rakelight.crt")
