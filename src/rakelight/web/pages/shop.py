"""Pages: the shop, its hours, places and gear; said for the first time, or changed as text."""

from __future__ import annotations

from collections.abc import Callable

from fastapi import APIRouter, FastAPI, Request
from starlette.responses import RedirectResponse, Response

from rakelight.errors import Misread, Severity
from rakelight.web.at_hand import shop_of
from rakelight.web.content.learned_page import learned_rows
from rakelight.web.content.shop_page import shop_page
from rakelight.web.forms import off_form, shop_form
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
    return _page(request, desk)


def _page(
    request: Request, desk: ServedShop, at: str = "", bad: Misread | None = None, typed: dict[str, str] | None = None
) -> Response:
    """The shop; at, the form that could not be taken, and why."""
    learned = desk.learned()
    return render(
        request, "shop.html", 422 if bad else 200, shop=shop_page(desk.shop, desk.air_heard()),
        learned=learned_rows(learned), odd=learned.odd, off=off_form.days_off(desk.shop_text, desk.now.date()),
        at=at, bad=bad, typed=typed or {},
        country=desk.shop.holidays, gear=typed if typed and at == "gear" else off_form.gear_fields(desk.shop),
    )  # fmt: skip


@router.post("/shop/off")
def days_off(request: Request, said: Said) -> Response:
    """A day off more or less, or a country's holidays."""
    typed = {name: one(said, name) for name in ("first", "last", "out", "country", "do")}

    def changed(text: str) -> str:
        if typed["do"] == "holidays":
            return off_form.with_holidays(text, typed["country"])
        if typed["do"] == "out":
            return off_form.without_day_off(text, typed["out"])
        return off_form.with_day_off(text, typed["first"], typed["last"])

    return _changed(request, "off", changed, typed)


@router.post("/shop/gear")
def gear(request: Request, said: Said) -> Response:
    """Brush, pad and gun."""
    typed = {name: one(said, name) for name in ("brush", "pad", "gun", "set_up", "clean")}
    return _changed(request, "gear", lambda text: off_form.with_gear(text, typed), typed)


def _changed(request: Request, at: str, change: Callable[[str], str], typed: dict[str, str]) -> Response:
    """Keep the shop's file as a form changes it; where it cannot be so, the form comes back as it was typed."""
    desk = shop_of(request)
    if not desk.shop_text:
        return _first(request, desk, ShopFields())
    try:
        found = desk.set_shop(change(desk.shop_text))
    except Misread as bad:
        return _page(request, desk, at, bad, typed)
    wrong = next((f for f in found if f.severity is Severity.ERROR), None)
    if wrong:
        return _page(request, desk, at, Misread(wrong.says, wrong.mend), typed)
    return RedirectResponse(f"/shop#{at}", 303)


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
