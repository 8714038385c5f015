"""Pages: one part of a piece changed, a part added, a part taken off."""

from __future__ import annotations

from fastapi import APIRouter, FastAPI, Request
from starlette.responses import RedirectResponse, Response

from rakelight.desk import ShopDesk
from rakelight.errors import NotFound
from rakelight.web.at_hand import looks, shop_of
from rakelight.web.forms import part_form
from rakelight.web.forms.kinds import PICKED, asked_sizes
from rakelight.web.forms.part_form import OnePart
from rakelight.web.render import render
from rakelight.web.typed import Said, one

router = APIRouter(include_in_schema=False)


def register(app: FastAPI) -> None:
    """Add the pages."""
    app.include_router(router)


@router.get("/pieces/{key}/part")
def new_part(request: Request, key: str) -> Response:
    """An empty part."""
    return _page(request, shop_of(request), key, _part(shop_of(request), key, ""))


@router.post("/pieces/{key}/part")
def add_part(request: Request, key: str, said: Said) -> Response:
    """Add it to the piece."""
    return _keep(request, key, "", said)


@router.get("/pieces/{key}/part/{name}")
def part(request: Request, key: str, name: str) -> Response:
    """A part as its fields."""
    return _page(request, shop_of(request), key, _part(shop_of(request), key, name))


@router.post("/pieces/{key}/part/{name}")
def change_part(request: Request, key: str, name: str, said: Said) -> Response:
    """Keep what was changed, or take the part off."""
    return _keep(request, key, name, said)


def _part(desk: ShopDesk, key: str, name: str) -> OnePart:
    found = part_form.part_of(desk.piece(key).text, name)
    if found is None:
        raise NotFound(f"This piece has no part called {name[:60]!r}.")
    return found


def _keep(request: Request, key: str, name: str, said: Said) -> Response:
    desk = shop_of(request)
    was = _part(desk, key, name)
    before = desk.piece(key).text
    if name and one(said, "off"):
        form, text = was, part_form.without(before, name)
    else:
        form = part_form.read_part(was, said)
        text = part_form.into_piece(before, form)
    found = desk.change_piece(key, text)
    if desk.piece(key).text == text:
        return RedirectResponse(f"/pieces/{key}#parts", 303)
    part_form.check(form, text, found, desk.facts)
    return _page(request, desk, key, form, 422)


def _page(request: Request, desk: ShopDesk, key: str, form: OnePart, status: int = 200) -> Response:
    known = [finish.name for look in looks(request) for finish in look.finishes]
    own = form.fields.get("finish")
    return render(
        request, "part.html", status, key=key, piece=desk.piece(key).name, form=form, part=form.fields, kinds=PICKED,
        sizes=asked_sizes(), looks=looks(request), own=own if own and own not in (*known, "bare") else "",
        woods=sorted(desk.facts.woods), joins=part_form.JOINS, finish=part_form.finish_choice(form),
        pairs=lambda names: [(name, name) for name in names],
    )  # fmt: skip
