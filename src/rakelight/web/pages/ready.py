"""Whether the pages answer."""

from __future__ import annotations

from fastapi import FastAPI, Request

from rakelight import __version__
from rakelight.web.keeper import keeper_of


def register(app: FastAPI) -> None:
    """Add the address that says ready."""

    @app.get("/healthz")
    def healthz(request: Request) -> dict[str, str]:
        """Ready, once the shop's file can be read."""
        keeper_of(request).shop.store.last_seq()
        return {"says": "ready", "version": __version__}

    @app.get("/api/ready")
    def ready(request: Request) -> dict[str, object]:
        """Whether there is a plan, whether one is being reckoned and how far that is."""
        keeper = keeper_of(request)
        plan, job = keeper.plan, keeper.working
        return {"schema": 1, "planned": plan is not None, "as_of": plan.now.isoformat() if plan else None,
                "working": job is not None, "says": job.said if job else keeper.said}  # fmt: skip
