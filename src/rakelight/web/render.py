"""From a template and what it is filled with to an answer: pages, plain sentences, pictures."""

from __future__ import annotations

import uuid
from collections.abc import Sequence
from functools import cache
from typing import Any
from urllib.parse import urlsplit

from jinja2 import Environment, PackageLoader, StrictUndefined
from markupsafe import Markup
from starlette.requests import Request
from starlette.responses import HTMLResponse, JSONResponse, Response

from rakelight.errors import Finding, Severity
from rakelight.web.filters import FILTERS

#: places of the head line: address, word
PLACES = (("/", "Bench"), ("/pieces", "Pieces"), ("/more", "More"))
#: what a picture may do when it is opened by itself
PICTURE_POLICY = "default-src 'none'; style-src 'unsafe-inline'; sandbox"


@cache
def templates() -> Environment:
    """All templates, read once; an unknown name in one is a fault, not an empty space."""
    found = Environment(
        loader=PackageLoader("rakelight.web"), autoescape=True, undefined=StrictUndefined, auto_reload=False,
        trim_blocks=True, lstrip_blocks=True,
    )  # fmt: skip
    found.filters |= FILTERS
    found.globals |= {"places": PLACES}
    return found


def new_id() -> str:
    """An id for what a form will tell: sent twice, it is told once."""
    return uuid.uuid4().hex


def render(request: Request, template: str, code: int = 200, /, **context: Any) -> HTMLResponse:
    """A page from a template.

    Always there: `request`, `who` (web.guard.Who), `form_key` and `form_field` (for every form), `new_id` (for every
    form that tells), `here` (the path), `scheme` ("", light, dark).
    """
    key, ids = getattr(request.state, "form_key", ""), []

    def own_id() -> str:
        ids.append(new_id())
        return ids[-1]

    request.state.ids = ids  # each reader of a page that is kept gets ids of its own
    field = Markup('<input type="hidden" name="form_key" value="{}">').format(key)
    scheme = request.cookies.get("scheme", "")
    page = templates().get_template(template).render(
        request=request, who=request.state.who, form_key=key, form_field=field, new_id=own_id, here=request.url.path,
        scheme=scheme if scheme in ("light", "dark") else "", **context,
    )  # fmt: skip
    return HTMLResponse(page, code)


def wants_data(request: Request) -> bool:
    """Whether plain data is asked for, not a page."""
    path = request.url.path
    return path.startswith("/api/") or path == "/air" or "application/json" in request.headers.get("accept", "")


def say(request: Request, says: str, status: int, mend: str = "", findings: Sequence[Finding] = ()) -> Response:
    """One sentence instead of a page: what is wrong, and what to do instead."""
    if wants_data(request):
        from rakelight.as_json import finding_json

        says = says or (findings[0].says if findings else "")
        found = [finding_json(f) for f in findings]
        return JSONResponse({"schema": 1, "says": says, "mend": mend, "findings": found}, status)
    back = urlsplit(request.headers.get("referer", ""))
    own = back.path if back.netloc == request.headers.get("host") and back.path != request.url.path else "/"
    return render(
        request, "say.html", status, says=says, mend=mend, findings=findings, mark_of=mark_of, status=status, back=own
    )


def mark_of(found: Finding) -> tuple[str, str]:
    """The chalk mark and the word of a warning: a stop is for fire, breath and harm alone.

    Returns the mark's name (stop, mend, mind, note) and its word.
    """
    if found.severity is Severity.ERROR:
        return ("stop", "Stop") if found.id.startswith(STOPPING) else ("mend", "Mend")
    return ("mind", "Mind") if found.severity is Severity.WARNING else ("note", "Note")


#: beginnings of the names of what bars a step: fire, breath, harm
STOPPING = ("vapour", "flame")


def picture(svg: str) -> Response:
    """A picture served as a file: it may style itself, and nothing else."""
    return Response(svg, media_type="image/svg+xml", headers={"Content-Security-Policy": PICTURE_POLICY})
