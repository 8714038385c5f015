"""Pages: which finish is ready by the date, side by side; taking one writes it into the piece."""

from __future__ import annotations

import tomllib
from typing import Any

from fastapi import APIRouter, FastAPI, Request
from starlette.responses import RedirectResponse, Response

from rakelight.piece.write import replaced
from rakelight.web.at_hand import begin_choice, choice_of, shop_of
from rakelight.web.pages.piece_text import text_page
from rakelight.web.render import render
from rakelight.web.typed import Said

router = APIRouter(include_in_schema=False)


def register(app: FastAPI) -> None:
    """Add the pages."""
    app.include_router(router)


@router.get("/pieces/{key}/choose")
def choose(request: Request, key: str) -> Response:
    """What fits by the date, as far as it is worked out; it is begun by a press, since it takes a while."""
    row = shop_of(request).piece(key)
    return render(request, "choose.html", key=key, name=row.name, asked=choice_of(request, row))


@router.post("/pieces/{key}/choose")
def begin(request: Request, key: str) -> Response:
    """Begin to try the finishes of the book."""
    begin_choice(request, shop_of(request).piece(key))
    return RedirectResponse(f"/pieces/{key}/choose", 303)


@router.post("/pieces/{key}/choose/stop")
def stop(request: Request, key: str) -> Response:
    """Leave off."""
    asked = choice_of(request, shop_of(request).piece(key))
    if asked:
        asked.job.cancel()
    return RedirectResponse(f"/pieces/{key}/choose", 303)


@router.post("/pieces/{key}/choose/take")
def take(request: Request, key: str, said: Said) -> Response:
    """Write another finish into the piece; each `take` is part, face or role, schedule."""
    desk = shop_of(request)
    row = desk.piece(key)
    text = row.text
    for line in said.get("take", ())[:60]:
        part, spot, schedule = (*line.split("|"), "", "")[:3]
        text = with_finish(text, part, spot, schedule)
    found = desk.change_piece(key, text)
    if desk.piece(key).text != text:
        return text_page(request, row.name, text, f"/pieces/{key}/text", f"/pieces/{key}", found, 422)
    return RedirectResponse(f"/pieces/{key}", 303)


def with_finish(text: str, part: str, spot: str, schedule: str) -> str:
    """The piece's file with another schedule on a face or role of a part; all else as it stands.

    Parameters: spot, a face, a role, or "all" where the part names one finish for all of it.
    """
    table: dict[str, Any] | None = tomllib.loads(text).get("part", {}).get(part)
    if table is None or not schedule:
        return text
    said = table.get("finish")
    if isinstance(said, dict):
        own = said.get(spot)
        table["finish"] = said | {spot: own | {"as": schedule} if isinstance(own, dict) else schedule}
    else:
        table["finish"] = schedule
    return replaced(text, ("part", part), table)
