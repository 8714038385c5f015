"""Pages: a new piece, typed part by part or as text."""

from __future__ import annotations

from fastapi import APIRouter, FastAPI, Request
from starlette.responses import RedirectResponse, Response

from rakelight.desk import ShopDesk
from rakelight.web.at_hand import looks, shop_of
from rakelight.web.forms import piece_form
from rakelight.web.forms.kinds import PICKED, asked_sizes
from rakelight.web.forms.piece_form import PieceFields
from rakelight.web.pages.piece_text import text_page, typed_text
from rakelight.web.render import render
from rakelight.web.typed import Said, one

router = APIRouter(include_in_schema=False)


def register(app: FastAPI) -> None:
    """Add the pages."""
    app.include_router(router)


@router.get("/pieces/new")
def new_piece(request: Request, finish: str = "") -> Response:
    """An empty form."""
    desk = shop_of(request)
    return _form(request, desk, PieceFields(finish=finish))


@router.post("/pieces/new")
def put_piece(request: Request, said: Said) -> Response:
    """Put it in where it can be read; else the form again with what is to be mended, or with a part more or less."""
    form = piece_form.read_fields(said)
    desk = shop_of(request)
    text = piece_form.check(form, desk.facts)
    if one(said, "text"):
        return text_page(request, "A new piece", text, "/pieces/new/text", "/pieces/new", [])
    if not one(said, "put"):
        if not one(said, "look"):
            _hush(form)
        return _form(request, desk, form)
    lacks = not form.finish and all(not p.get("finish") for p in form.parts)
    if form.wrong or lacks:
        return _form(request, desk, form, lacks)
    key, found = desk.add_piece(text, "")
    if key is None:
        piece_form.check(form, desk.facts, found)
        return _form(request, desk, form)
    return RedirectResponse(f"/pieces/{key}", 303)


def _hush(form: PieceFields) -> None:
    """What is still empty is no fault while parts are being added."""
    form.faults = {}
    for part in form.parts:
        part.faults = {k: v for k, v in part.faults.items() if part.get(k)}


def _form(request: Request, desk: ShopDesk, form: PieceFields, lacks: bool = False) -> Response:
    facts = desk.facts
    return render(
        request, "new_piece.html", 422 if lacks or form.wrong else 200, form=form, kinds=PICKED, sizes=asked_sizes(),
        looks=looks(request), finish_fault=lacks, woods=sorted(facts.woods),
        pairs=lambda names: [(name, name) for name in names],
    )  # fmt: skip


@router.post("/pieces/new/text")
def puttext_page(request: Request, said: Said) -> Response:
    """A piece put in from its text."""
    text = typed_text(said)
    desk = shop_of(request)
    key, found = desk.add_piece(text, "")
    if key is None:
        return text_page(request, "A new piece", text, "/pieces/new/text", "/pieces/new", found, 422)
    return RedirectResponse(f"/pieces/{key}", 303)
