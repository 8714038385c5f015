"""Pages: the shop, its hours, places and gear; said for the first time, or changed as text."""

from __future__ import annotations

from fastapi import APIRouter, FastAPI, Request
from starlette.responses import RedirectResponse, Response

from rakelight.errors import Severity
from rakelight.web.at_hand import shop_of
from rakelight.web.content.learned_page import learned_rows
from rakelight.web.content.shop_page import shop_page
from rakelight.web.forms import shop_form
from rakelight.web.forms.shop_form import HEATERS, ZONES, ShopFields
from rakelight.web.keeper import ServedShop
from rakelight.web.kept_pages import may_be_kept
from rakelight.web.pages.piece_text import text_page, typed_text
from rakelight.web.render import render
from rakelight.web.typed import Said, one

router = APIRouter(include_in_schema=False)


def register(app: FastAPI) -> None:
    """Add the pages."""
    app.include_router(router)


@router.get("/shop")
def shop(request: Request) -> Response:
    """The shop in words; a form where it is not known yet."""
    desk = shop_of(request)
    if not desk.shop_text:
        return _first(request, desk, ShopFields())
    may_be_kept(request)
    learned = desk.learned()
    return render(
        request,
        "shop.html",
        shop=shop_page(desk.shop, desk.now.date()),
        learned=learned_rows(learned),
        odd=learned.odd,
    )


@router.post("/shop/learned")
def change_learned(request: Request, said: Said) -> Response:
    """Hold one of the shop's own figures at a value, or let it begin anew from the book."""
    desk, what = shop_of(request), one(said, "what")
    if one(said, "anew"):
        desk.reset(what)
    else:
        desk.pin(what, one(said, "value"))
    return RedirectResponse("/shop#learned", 303)


@router.post("/shop")
def put_shop(request: Request, said: Said) -> Response:
    """The shop said for the first time."""
    desk, form = shop_of(request), shop_form.read_fields(said)
    text = shop_form.check(form)
    if form.wrong:
        return _first(request, desk, form)
    found = desk.set_shop(text)
    if any(f.severity is Severity.ERROR for f in found):
        shop_form.check(form, found)
        return _first(request, desk, form)
    return RedirectResponse("/pieces", 303)


def _first(request: Request, desk: ServedShop, form: ShopFields) -> Response:
    towns = sorted({f"{town.town}, {town.state}" for town in desk.facts.towns})
    return render(
        request,
        "shop_first.html",
        422 if form.wrong else 200,
        form=form,
        heaters=HEATERS,
        zones=ZONES,
        towns=towns,
    )


@router.get("/shop/text")
def shop_text(request: Request) -> Response:
    """The shop's file, to be changed."""
    return text_page(request, "The shop", shop_of(request).shop_text, "/shop/text", "/shop", [])


@router.post("/shop/text")
def change_shop(request: Request, said: Said) -> Response:
    """Keep a changed text; where it cannot be read all faults are shown at their lines."""
    text, desk = typed_text(said), shop_of(request)
    found = desk.set_shop(text)
    if desk.shop_text != text:
        return text_page(request, "The shop", text, "/shop/text", "/shop", found, 422)
    return RedirectResponse("/shop", 303)


@router.get("/shop/file.toml")
def shop_file(request: Request) -> Response:
    """The shop's file, to keep."""
    return Response(
        shop_of(request).shop_text, media_type="application/toml",
        headers={"Content-Disposition": 'attachment; filename="shop.toml"'},
    )  # fmt: skip
