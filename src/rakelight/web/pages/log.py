"""The log: what the bench page and its small pages tell, taken back, put right and confirmed."""

from __future__ import annotations

from fastapi import FastAPI, Request
from starlette.responses import HTMLResponse, RedirectResponse, Response

from rakelight.errors import Misread, RakelightError
from rakelight.web import telling
from rakelight.web.bench_page import find_doing
from rakelight.web.keeper import RAGS_OUT, keeper_of, shop_of
from rakelight.web.render import render, say
from rakelight.web.sent import Form


def register(app: FastAPI) -> None:
    """Add what takes entries."""
    _add_steps(app)
    _add_behind(app)


def _add_steps(app: FastAPI) -> None:
    @app.post("/log", include_in_schema=False)
    def tell(request: Request, sent: Form) -> Response:
        shop = shop_of(request)
        kind = sent["event"] or "done"
        if kind == "done":
            try:
                telling.tell_done(sent, shop)
            except telling.ToldBefore as bad:
                return say(request, str(bad), 409)
        elif kind in ("started", "skipped"):
            telling.tell_simple(sent, shop, kind)
        else:
            raise Misread(f"{kind!r} is nothing the log takes here.", "Press Done or Begin on the bench.")
        return _back(request)

    @app.post("/log/test", include_in_schema=False)
    def tell_test(request: Request, sent: Form) -> Response:
        try:
            telling.tell_test(sent, shop_of(request), sent["test"] == "passed")
        except telling.ToldBefore as bad:
            return say(request, str(bad), 409)
        return _back(request)

    @app.post("/log/dust", include_in_schema=False)
    def tell_dust(request: Request, sent: Form) -> Response:
        telling.tell_dust(sent, shop_of(request), sent["dust"] == "white")
        return _back(request)

    @app.post("/log/rags", include_in_schema=False)
    def rags(request: Request, sent: Form) -> Response:
        shop = shop_of(request)
        telling.tell_simple(sent, shop, "note", what=RAGS_OUT, words="The rags are out.")
        return _back(request)

    @app.post("/log/put-right", include_in_schema=False)
    def put_right(request: Request, sent: Form) -> Response:
        words = f"What barred {telling.step_words(sent['task'])} is put right."
        telling.tell_simple(sent, shop_of(request), "note", what=sent["what"][:60], words=words)
        return _back(request)


def _add_behind(app: FastAPI) -> None:
    @app.post("/log/undo", include_in_schema=False)
    def undo(request: Request, sent: Form) -> Response:
        if not sent["told"]:
            raise RakelightError("Nothing is named that could be taken back.")
        shop_of(request).undo(sent["told"])
        return _back(request)

    @app.post("/log/as-planned", include_in_schema=False)
    def as_planned(request: Request, sent: Form) -> Response:
        keeper = keeper_of(request)
        today = keeper.today()
        open_steps = today.unconfirmed.steps if today else ()
        done = [(p, t) for p, t in open_steps if sent["all"] or f"{p}:{t}" in sent.ids]
        for piece in dict.fromkeys(p for p, _ in done):
            told = {t for p, t in done if p == piece}
            telling.tell_as_planned(keeper.shop, piece, told, sent.id, sent.device)
        not_done: dict[str, list[str]] = {}
        for piece, task in open_steps:
            if not sent["all"] and (piece, task) not in done:
                not_done.setdefault(piece, []).append(task)
        if not_done:
            keeper.again(not_done)
        return _back(request)

    @app.get("/catch-up", response_class=HTMLResponse, include_in_schema=False)
    def catch_up(request: Request) -> HTMLResponse:
        keeper = keeper_of(request)
        today = keeper.today()
        answers = keeper.laid.answers if keeper.laid else {}
        steps = [d for p, t in (today.unconfirmed.steps if today else ()) if (d := find_doing(answers, p, t))]
        return render(request, "catch_up.html", today=today, steps=steps)


def _back(request: Request) -> Response:
    """To the bench, by a page of its own, so that loading it again sends nothing twice."""
    return RedirectResponse("/", 303)
