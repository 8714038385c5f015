"""Pages: a schedule of a piece changed step by step, what the change does, and keeping it."""

from __future__ import annotations

from fastapi import APIRouter, FastAPI, Request
from starlette.responses import RedirectResponse, Response

from rakelight.desk import ShopDesk
from rakelight.errors import NotFound
from rakelight.schedule.file import SHEENS
from rakelight.schedule.steps import READINESSES, VERBS
from rakelight.web.at_hand import Trial, begin_trial, shop_of, trial_of
from rakelight.web.forms import steps as form_of
from rakelight.web.forms.steps import ScheduleFields
from rakelight.web.render import render
from rakelight.web.typed import Said, one

router = APIRouter(include_in_schema=False)


def register(app: FastAPI) -> None:
    """Add the pages."""
    app.include_router(router)


_VERBS = (*((verb, verb) for verb in VERBS), ("own", "a step in your own words"))
_CHOICES = form_of.CHOICES | {"for": ("", *READINESSES), "when": ("", *READINESSES)}


@router.get("/pieces/{key}/schedule/{name}")
def schedule(request: Request, key: str, name: str, trial: str = "") -> Response:
    """A schedule as fields; with a trial under way or done, what the change does."""
    desk = shop_of(request)
    tried = trial_of(request, trial) if trial else None
    form = tried.form if tried else _fields(desk, key, name)
    form_of.check(form, name, desk.facts)
    return _page(request, desk, key, name, form, tried)


@router.post("/pieces/{key}/schedule/{name}")
def change(request: Request, key: str, name: str, said: Said) -> Response:
    """A button was pressed: a step moved, added, taken out; try the change; keep it."""
    form = form_of.read_steps(said)
    desk = shop_of(request)
    row = desk.piece(key)
    _fields(desk, key, name)
    form_of.check(form, name, desk.facts)
    if form.wrong or not (one(said, "try") or one(said, "keep")):
        return _page(request, desk, key, name, form, None, 422 if form.wrong else 200)
    text = form_of.into_piece(row.text, name, form)
    if one(said, "keep"):
        found = desk.change_piece(key, text)
        if desk.piece(key).text != text:
            form.faults = found
            return _page(request, desk, key, name, form, None, 422)
        return RedirectResponse(f"/pieces/{key}", 303)
    tried = begin_trial(request, key, form, text)
    return RedirectResponse(f"/pieces/{key}/schedule/{name}?trial={tried.id}", 303)


def _fields(desk: ShopDesk, key: str, name: str) -> ScheduleFields:
    table = form_of.table_of(desk.piece(key).text, desk.book(key), name)
    if table is None:
        raise NotFound(f"No schedule of this piece is called {name[:60]!r}.")
    return form_of.fields_of(table)


def _page(
    request: Request,
    desk: ShopDesk,
    key: str,
    name: str,
    form: ScheduleFields,
    tried: Trial | None,
    status: int = 200,
) -> Response:
    row = desk.piece(key)
    used = [part for part, finish in _finishes(row.text).items() if name in finish]
    where = ", ".join(part.replace("-", " ") for part in used) or "not used by any part"
    return render(
        request, "schedule.html", status, key=key, name=name, piece=row.name, where=where, form=form, trial=tried,
        verbs=_VERBS, asked=form_of.ASKED, choices=_CHOICES, sheens=SHEENS,
        materials=sorted(m.name for m in desk.facts.materials.values()),
    )  # fmt: skip


def _finishes(text: str) -> dict[str, str]:
    """What is written as finish of each part, as one line of words."""
    import tomllib

    parts = tomllib.loads(text).get("part", {})
    return {name: repr(part.get("finish", "")) for name, part in parts.items() if isinstance(part, dict)}
