"""Pages: what is in stock, and telling of cans bought, opened, weighed, emptied, of jars mixed."""

from __future__ import annotations

from fastapi import APIRouter, FastAPI, Request
from starlette.responses import RedirectResponse, Response

from rakelight.errors import Misread, RakelightError
from rakelight.facts.cans import thinners
from rakelight.web.at_hand import shop_of
from rakelight.web.content.stock_page import stock_page
from rakelight.web.forms import can_form
from rakelight.web.keeper import ServedShop
from rakelight.web.kept_pages import may_be_kept
from rakelight.web.render import render
from rakelight.web.typed import Said, one

router = APIRouter(include_in_schema=False)
_FIELDS = ("material", "size", "price", "flakes", "powder", "finish", "thinner", "cut")


def register(app: FastAPI) -> None:
    """Add the pages."""
    app.include_router(router)


@router.get("/stock")
def stock(request: Request) -> Response:
    """All cans at hand."""
    may_be_kept(request)
    return _page(request, shop_of(request), {})


@router.post("/stock")
def new_can(request: Request, said: Said) -> Response:
    """A can bought or a jar mixed; where it cannot be so the form comes back as it was typed."""
    desk, typed = shop_of(request), {name: one(said, name) for name in _FIELDS}
    try:
        desk.tell(can_form.new_can(desk, typed))
    except RakelightError as bad:
        return _page(request, desk, typed, bad)
    return RedirectResponse("/stock", 303)


@router.post("/stock/{can}")
def told(request: Request, can: str, said: Said) -> Response:
    """Opened, weighed or emptied."""
    desk = shop_of(request)
    try:
        desk.tell(can_form.told_of(desk, can, one(said, "what"), one(said, "left")))
    except RakelightError as bad:
        return _page(request, desk, {}, bad, can)
    return RedirectResponse("/stock", 303)


def _page(
    request: Request,
    desk: ServedShop,
    typed: dict[str, str],
    bad: RakelightError | None = None,
    can: str = "",
) -> Response:
    says, mend = (bad.says, bad.mend) if isinstance(bad, Misread) else (str(bad) if bad else "", "")
    shown = stock_page(desk.stock(), unit_of(desk))
    names = sorted({m.name for m in desk.facts.materials.values()} | {t.name for t in thinners() if t.bought})
    return render(
        request,
        "stock.html",
        422 if bad else 200,
        stock=shown,
        typed=typed,
        says=says,
        mend=mend,
        at=can,
        names=names,
    )


def unit_of(desk: ServedShop) -> str:
    """Ounces where the pieces are in inches, or there are none."""
    import tomllib

    for row in desk.pieces():
        unit = tomllib.loads(row.text).get("unit")
        if unit in ("in", "mm"):
            return str(unit)
    return "in"
