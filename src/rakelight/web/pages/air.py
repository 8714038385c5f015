"""A thermometer tells the air of the shop with a key of its own."""

from __future__ import annotations

from typing import Any

from fastapi import FastAPI, Request
from pydantic import BaseModel, Field
from starlette.exceptions import HTTPException

from rakelight.errors import Misread
from rakelight.log.events import Event
from rakelight.web.keeper import shop_of


class Air(BaseModel):
    """The air, as a thermometer reads it."""

    temp_c: float = Field(description="temperature, C", ge=-40, le=60)
    rh: float = Field(description="relative humidity, 0 to 1", ge=0, le=1)
    place: str = Field("", description="place of the shop it hangs in; none: the first", max_length=200)


def register(app: FastAPI) -> None:
    """Add the address."""

    @app.post("/air", tags=["air"], status_code=201)
    @app.post("/api/air", tags=["air"], status_code=201)
    def air(request: Request, told: Air) -> dict[str, Any]:
        """Tell the air now. A thermometer sends its key as `Authorization: Bearer KEY`."""
        who = request.state.who
        if who.kind not in ("sensor", "here", "phone"):
            raise HTTPException(403, "This key is not known.")
        shop = shop_of(request)
        now = shop.now
        places = shop.shop.places if told.place else {}
        if told.place and told.place not in places:
            raise Misread(f"The shop has no place {told.place[:60]!r}.", f"Known: {', '.join(places)}.")
        values = {"temp_c": told.temp_c, "rh": told.rh}
        event = shop.tell(Event("reading", now, now, what="air", values=values, device=who.name, place=told.place))
        return {"schema": 1, "id": event.id, "at": now.isoformat()}
