"""Pages: the file of a piece as text, with all that is wrong at its lines; and to keep."""

from __future__ import annotations

from collections.abc import Sequence

from fastapi import APIRouter, FastAPI, Request
from starlette.responses import RedirectResponse, Response

from rakelight.errors import Finding, Severity
from rakelight.web.at_hand import shop_of
from rakelight.web.render import render
from rakelight.web.typed import Said

router = APIRouter(include_in_schema=False)
_TEXT_BYTES = 400_000


def register(app: FastAPI) -> None:
    """Add the pages."""
    app.include_router(router)


@router.get("/pieces/{key}/text")
def text_of(request: Request, key: str) -> Response:
    """The file of a piece, to be changed."""
    desk = shop_of(request)
    row = desk.piece(key)
    return text_page(request, row.name, row.text, f"/pieces/{key}/text", f"/pieces/{key}", [])


@router.post("/pieces/{key}/text")
def change_text(request: Request, key: str, said: Said) -> Response:
    """Keep a changed text; where it cannot be read all faults are shown at their lines, and nothing is lost."""
    text = typed_text(said)
    desk = shop_of(request)
    row = desk.piece(key)
    found = desk.change_piece(key, text)
    if desk.piece(key).text != text:
        return text_page(request, row.name, text, f"/pieces/{key}/text", f"/pieces/{key}", found, 422)
    return RedirectResponse(f"/pieces/{key}", 303)


def typed_text(said: Said) -> str:
    text = (said.get("text") or [""])[0].replace("\r\n", "\n")[:_TEXT_BYTES]
    return text if text.endswith("\n") or not text else f"{text}\n"


def text_page(
    request: Request,
    name: str,
    text: str,
    action: str,
    back: str,
    found: Sequence[Finding],
    status: int = 200,
) -> Response:
    lines = text.splitlines()
    by_line: dict[int, list[Finding]] = {}
    for f in found:
        if f.severity is Severity.ERROR:
            by_line.setdefault(f.where.line, []).append(f)
    faults = [(n, lines[n - 1].strip() if 0 < n <= len(lines) else "", by_line[n]) for n in sorted(by_line)]
    minds = [f for f in found if f.severity is not Severity.ERROR]
    return render(
        request, "piece_text.html", status, name=name, text=text, action=action, back=back, faults=faults,
        minds=minds, at=set(by_line), rows=max(18, min(60, len(lines) + 4)),
    )  # fmt: skip


@router.get("/pieces/{key}/file.toml")
def file_of(request: Request, key: str) -> Response:
    """The file of a piece, to keep."""
    desk = shop_of(request)
    row = desk.piece(key)
    return Response(
        row.text, media_type="application/toml",
        headers={"Content-Disposition": f'attachment; filename="{key.encode("ascii", "replace").decode()}.toml"'},
    )  # fmt: skip
