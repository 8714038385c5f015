"""Pages: the book of schedules."""

from __future__ import annotations

from fastapi import APIRouter, FastAPI, Request
from starlette.responses import Response

from rakelight.errors import NotFound
from rakelight.schedule.book import SHIPPED
from rakelight.web.at_hand import looks, shop_of
from rakelight.web.content.finishes import faults_of, finish_of
from rakelight.web.kept_pages import may_be_kept
from rakelight.web.render import render

router = APIRouter(include_in_schema=False)


def register(app: FastAPI) -> None:
    """Add the pages."""
    app.include_router(router)


@router.get("/book")
def book(request: Request) -> Response:
    """All finishes by their look."""
    may_be_kept(request)
    desk = shop_of(request)
    shelf = desk.book()
    return render(request, "book.html", looks=looks(request), faults=faults_of(shelf) if desk.schedules() else [])


@router.get("/book/{name}.toml")
def book_file(request: Request, name: str) -> Response:
    """One schedule's file, to keep."""
    desk = shop_of(request)
    shelf = desk.book()
    if shelf.find(name) is None:
        raise NotFound(shelf.unknown(name).says)
    stands = shelf.text_of(name)
    text = stands[1] if stands else (SHIPPED / f"{name}.toml").read_text("utf-8")
    return Response(
        text,
        media_type="application/toml",
        headers={"Content-Disposition": f'attachment; filename="{name}.toml"'},
    )


@router.get("/book/{name}")
def schedule(request: Request, name: str) -> Response:
    """One schedule, step by step."""
    may_be_kept(request)
    desk = shop_of(request)
    shelf = desk.book()
    found = shelf.find(name)
    if found is None:
        unknown = shelf.unknown(name)
        raise NotFound(f"{unknown.says} {unknown.mend}")
    users = [(row.key, row.name) for row in desk.pieces() if row.at_hand and f'"{name}"' in row.text]
    return render(request, "book_one.html", finish=finish_of(found, desk.facts), users=users)
