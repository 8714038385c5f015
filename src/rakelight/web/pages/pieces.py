"""Pages: the list of pieces, and what is done with a piece as a whole."""

from __future__ import annotations

import tomllib

from fastapi import APIRouter, FastAPI, Request
from starlette.responses import RedirectResponse, Response

from rakelight.piece.write import replaced
from rakelight.web.at_hand import shop_of, shown
from rakelight.web.content.piece_list import list_row
from rakelight.web.forms.typed import day_words
from rakelight.web.kept_pages import may_be_kept
from rakelight.web.pages.piece_text import text_page
from rakelight.web.render import render
from rakelight.web.typed import Said, one

router = APIRouter(include_in_schema=False)


def register(app: FastAPI) -> None:
    """Add the pages."""
    app.include_router(router)


@router.get("/pieces")
def pieces(request: Request) -> Response:
    """All pieces, those at hand first."""
    may_be_kept(request)
    desk = shop_of(request)
    known = bool(desk.shop_text)
    pieces = desk.pieces()
    rows = []
    for piece in pieces:
        seen = shown(request, piece)
        rows.append(list_row(piece, seen.answer, desk.now, seen.instead))
    away = {piece.key for piece in pieces if not piece.at_hand}
    here = [row for row in rows if row.key not in away]
    gone = [row for row in rows if row.key in away]
    return render(request, "pieces.html", rows=rows, at_hand=here, away=gone, shop_known=known)


@router.post("/pieces/{key}/date")
def set_date(request: Request, key: str, said: Said) -> Response:
    """Write the date wanted into the file of a piece that has none."""
    by = day_words(one(said, "by"))
    desk = shop_of(request)
    row = desk.piece(key)
    top = {k: v for k, v in tomllib.loads(row.text).items() if k not in ("part", "schedule")}
    text = replaced(row.text, (), top | {"wanted": [{"by": by}]})
    found = desk.change_piece(key, text)
    if desk.piece(key).text != text:
        return text_page(request, row.name, text, f"/pieces/{key}/text", f"/pieces/{key}", found, 422)
    return RedirectResponse(f"/pieces/{key}", 303)


@router.post("/pieces/{key}/copy")
def copy(request: Request, key: str, said: Said) -> Response:
    """The same piece again under another name; what happened to the first is not taken along."""
    desk = shop_of(request)
    name = one(said, "name") or f"{desk.piece(key).name} again"
    new = desk.copy_piece(key, name)
    return RedirectResponse(f"/pieces/{new}", 303)


@router.post("/pieces/{key}/away")
def put_away(request: Request, key: str) -> Response:
    """Not to be planned for now."""
    shop_of(request).put_away(key)
    return RedirectResponse("/pieces", 303)


@router.post("/pieces/{key}/finished")
def finished(request: Request, key: str) -> Response:
    """Finished: it counts among the jobs of this shop."""
    shop_of(request).finish(key)
    return RedirectResponse(f"/pieces/{key}", 303)


@router.post("/pieces/{key}/out")
def take_out(request: Request, key: str) -> Response:
    """At hand again."""
    shop_of(request).take_out(key)
    return RedirectResponse(f"/pieces/{key}", 303)
