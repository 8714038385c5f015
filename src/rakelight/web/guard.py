"""The guard before every page: whose request it is, from where, and what the browser may do with the answer.

Host: only this machine's own names and the address the request came in by, so no foreign name can be pointed
here. Origin: what changes something must come from our own pages. Form key: and carry the word its form was given.
"""

from __future__ import annotations

import hmac
import ipaddress
import platform
import secrets
from dataclasses import dataclass
from urllib.parse import urlsplit

from fastapi import Request
from starlette.datastructures import Headers, MutableHeaders
from starlette.exceptions import HTTPException
from starlette.requests import Request as PlainRequest
from starlette.requests import cookie_parser
from starlette.types import ASGIApp, Message, Receive, Scope, Send

from rakelight.web.devices import Devices
from rakelight.web.render import say

COOKIE = "rakelight"
READS = ("GET", "HEAD", "OPTIONS")
#: what a device that is not paired may ask for
OPEN_TO_ALL = ("/healthz", "/pair", "/static/page.css")
#: the largest body of any request; photographs are the largest thing sent
MOST_BYTES = 16_000_000

POLICY = (
    "default-src 'none'; style-src 'self'; script-src 'self'; img-src 'self' blob:; connect-src 'self'; "
    "manifest-src 'self'; worker-src 'self'; form-action 'self'; base-uri 'none'; frame-ancestors 'none'"
)
HEADERS = {
    "Content-Security-Policy": POLICY,
    "X-Content-Type-Options": "nosniff",
    "X-Frame-Options": "DENY",
    "Referrer-Policy": "same-origin",
    "Cross-Origin-Resource-Policy": "same-origin",
    "Permissions-Policy": "geolocation=(), microphone=(), camera=()",
    "Cache-Control": "private, no-cache",
}


@dataclass(frozen=True)
class Who:
    """Who asks: this computer itself, a paired device, a sensor, or a stranger."""

    kind: str  # here, phone, sensor, stranger
    session: str = ""
    device: str = ""
    name: str = ""


class Guard:
    """Stands before the application."""

    def __init__(self, app: ASGIApp, devices: Devices, lan: bool) -> None:
        self.app, self.devices, self.lan = app, devices, lan

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Let a request through, or say why not."""
        if scope["type"] == "lifespan":
            return await self.app(scope, receive, send)
        if scope["type"] != "http":
            return None
        headers = Headers(scope=scope)
        who, fresh = self._who(scope, headers)
        scope.setdefault("state", {})["who"] = who
        scope["state"]["form_key"] = self.devices.form_key(who.session) if who.session else ""
        answer = _Answer(scope, send, who.session if fresh else "")
        refused = self._refusal(scope, headers, who)
        if refused:
            page = say(PlainRequest(scope), refused[1], refused[0])
            return await page(scope, receive, answer)
        await self.app(scope, _Counted(receive, headers), answer)
        return None

    def _who(self, scope: Scope, headers: Headers) -> tuple[Who, bool]:
        """Who asks, and whether the session is a new one."""
        key = headers.get("authorization", "").removeprefix("Bearer ").strip()
        sensor = self.devices.known(key, "sensor") if key else None
        if sensor:
            return Who("sensor", "", sensor.id, sensor.name), False
        session = _cookie(headers)
        phone = self.devices.known(session, "phone") if session else None
        if phone:
            return Who("phone", session, phone.id, phone.name), False
        if not _is_loopback((scope.get("client") or ("", 0))[0]):
            return Who("stranger"), False
        good = len(session) >= 32
        return Who("here", session if good else secrets.token_urlsafe(32)), not good

    def _refusal(self, scope: Scope, headers: Headers, who: Who) -> tuple[int, str] | None:
        host = headers.get("host", "")
        if not _is_own_host(host, scope, self.lan):
            return 421, "This address is not one of this computer's own."
        path = scope["path"]
        if who.kind == "stranger" and not any(path == p or path.startswith(f"{p}/") for p in OPEN_TO_ALL):
            return 403, "This device is not paired with the shop's computer."
        if who.kind == "stranger" and not self.lan:
            return 403, "This device is not paired with the shop's computer."
        if who.kind == "sensor" and path not in ("/air", "/api/air"):
            return 403, "A sensor's key is good for telling the air, and for nothing else."
        if scope["method"] in READS or who.kind == "sensor":
            return None
        origin, site = headers.get("origin"), headers.get("sec-fetch-site")
        if origin is not None and origin != f"{scope['scheme']}://{host}":
            return 403, "What was sent came from another page than ours, and was not taken."
        came = headers.get("referer")
        if site not in (None, "same-origin", "none") or (origin is None and came and not _is_from(came, scope, host)):
            return 403, "What was sent came from another page than ours, and was not taken."
        return None


async def checked(request: Request) -> None:
    """Whatever changes something carries its form's key, in the form or as the header X-Form-Key."""
    if request.method in READS or request.state.who.kind == "sensor" or not request.state.form_key:
        return
    said = request.headers.get("x-form-key", "")
    kind = request.headers.get("content-type", "")
    is_data = kind.startswith("application/json") or (not kind and request.headers.get("origin"))
    if request.url.path.startswith("/api/") and is_data:
        return  # no form of a foreign page can send this; a script of one must ask first, and is refused
    if not said and kind.startswith(("application/x-www-form-urlencoded", "multipart/form-data")):
        field = (await request.form(max_files=12, max_fields=2000)).get("form_key")
        said = field if isinstance(field, str) else ""
    if not hmac.compare_digest(said.encode(), request.state.form_key.encode()):
        raise HTTPException(403, "The page this was sent from is too old. Go back to it and load it again.")


class _Answer:
    """Adds our headers to every answer, and the cookie of a new session."""

    def __init__(self, scope: Scope, send: Send, session: str) -> None:
        self.scope, self.send, self.session = scope, send, session

    async def __call__(self, message: Message) -> None:
        if message["type"] == "http.response.start":
            headers = MutableHeaders(scope=message)
            for name, value in HEADERS.items():
                headers.setdefault(name, value)
            if self.session:
                headers.append("Set-Cookie", cookie_line(self.session, self.scope["scheme"] == "https"))
        await self.send(message)


class _Counted:
    """Hands on the body of a request, and stops where it is too large."""

    def __init__(self, receive: Receive, headers: Headers) -> None:
        self.receive, self.bytes = receive, 0
        said = headers.get("content-length", "0")
        self.too_much = not said.isdigit() or int(said) > MOST_BYTES

    async def __call__(self) -> Message:
        message = await self.receive()
        self.bytes += len(message.get("body", b""))
        if self.too_much or self.bytes > MOST_BYTES:
            raise HTTPException(413, f"That is too large; {MOST_BYTES // 1_000_000} MB is the most that is taken.")
        return message


def cookie_line(session: str, secure: bool) -> str:
    """The cookie of a session: not for scripts, not sent from foreign pages."""
    year_s = 365 * 24 * 3600
    return f"{COOKIE}={session}; Path=/; Max-Age={year_s}; HttpOnly; SameSite=Lax{'; Secure' if secure else ''}"


def _cookie(headers: Headers) -> str:
    found = cookie_parser(headers.get("cookie", "")).get(COOKIE, "")
    return found if found.isascii() else ""


def _is_from(came: str, scope: Scope, host: str) -> bool:
    """Whether the page a request came from is one of ours."""
    page = urlsplit(came)
    return page.scheme == scope["scheme"] and page.netloc == host


def _is_loopback(address: str) -> bool:
    try:
        return ipaddress.ip_address(address).is_loopback
    except ValueError:
        return False


def _is_own_host(host: str, scope: Scope, lan: bool) -> bool:
    """Whether a Host is a name of this machine: of the loop, or the address the request came in by."""
    name = host.rpartition(":")[0] if host.rpartition(":")[2].isdigit() else host
    name = name.strip("[]").lower()
    own = {"localhost", "127.0.0.1", "::1"}
    if lan:
        own |= {str((scope.get("server") or ("",))[0]).lower(), f"{platform.node().split('.')[0].lower()}.local"}
    return name in own
