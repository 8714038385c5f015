"""Pages kept as they were drawn, until anything they are drawn from is another: the file, the plan, the minute.

Whoever asks gets the page that was drawn for the one before, with the key and the ids of his own forms in it. A page
says itself whether it may be kept (`may_be_kept`): it shows nothing but what the shop's file, the plan and the clock
say, and nothing that is there for seconds only.
"""

from __future__ import annotations

import asyncio
from collections.abc import MutableMapping
from typing import Any

from starlette.datastructures import Headers
from starlette.requests import Request, cookie_parser
from starlette.types import ASGIApp, Message, Receive, Scope, Send

from rakelight.web.keeper import Keeper, Sight
from rakelight.web.packed import Packed, packed
from rakelight.web.render import new_id

_MOST_BYTES, _MOST_PAGES, _MOST_QUERY = 24_000_000, 1000, 200
#: what a page depends on besides what is seen: address, query, scheme chosen, https, who asks
Key = tuple[str, bytes, str, str, str, str]


def may_be_kept(request: Request) -> None:
    """This page shows only what file, plan and minute say: it may be shown to the next who asks as well."""
    request.state.keep = True


class KeptPages:
    """Stands behind the guard: who asks is known, and may."""

    def __init__(self, app: ASGIApp, keeper: Keeper) -> None:
        self.app, self.keeper = app, keeper
        self._sight: Sight | None = None
        self._pages: dict[Key, tuple[Packed, int]] = {}  # with how many ids its forms want
        self._bytes = 0
        self._turns: dict[Key, asyncio.Lock] = {}

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Send the page kept, or have it drawn; who asks for one that is being drawn waits for it."""
        key = _key(scope) if scope["type"] == "http" and scope["method"] == "GET" else None
        if key is None:
            return await self.app(scope, receive, send)
        if found := self._found(key):
            return await _send(scope, send, *found)
        turn = self._turns.get(key)
        if turn is None:
            return await self.app(scope, receive, _Drawn(self, key, scope, send))
        async with turn:
            if found := self._found(key):
                return await _send(scope, send, *found)
            return await self.app(scope, receive, _Drawn(self, key, scope, send))

    def _found(self, key: Key) -> tuple[Packed, int] | None:
        self.seen()
        return self._pages.get(key)

    def seen(self) -> Sight:
        """What pages are drawn from now; those drawn from anything else are let go of."""
        sight = self.keeper.sight()
        if self._sight is None or not sight.is_as(self._sight):
            self._sight, self._bytes = sight, 0
            self._pages.clear()
        return sight

    def keep(self, key: Key, page: Packed, ids: int) -> None:
        """Keep a page that was drawn."""
        self._bytes += page.size
        if self._bytes > _MOST_BYTES or len(self._turns) > _MOST_PAGES:
            self._pages.clear()
            self._turns.clear()
            self._bytes = page.size
        self._pages[key] = page, ids
        self._turns.setdefault(key, asyncio.Lock())


class _Drawn:
    """Takes a page as it is drawn, keeps it where it may be kept, and hands it on."""

    def __init__(self, kept: KeptPages, key: Key, scope: Scope, send: Send) -> None:
        self.kept, self.key, self.scope, self.send = kept, key, scope, send
        self.began = kept.seen()
        self.start: Message | None = None

    async def __call__(self, message: Message) -> None:
        state: MutableMapping[str, Any] = self.scope["state"]
        if message["type"] == "http.response.start" and message["status"] == 200 and state.get("keep"):
            self.start = message
        elif self.start is None or message["type"] != "http.response.body" or message.get("more_body"):
            if self.start is not None:
                start, self.start = self.start, None
                await self.send(start)
            await self.send(message)
        else:
            ids: list[str] = state.get("ids", [])
            words = [word.encode() for word in (state["form_key"], *ids)]
            page = packed(self.start["headers"], message["body"], words)
            if self.began.is_as(self.kept.seen()):
                self.kept.keep(self.key, page, len(ids))
            await _send(self.scope, self.send, page, len(ids), words)


def _key(scope: Scope) -> Key | None:
    """Under what a page is kept; None where the request is none for a page that could be."""
    state = scope["state"]
    who = state["who"]
    if not state["form_key"] or len(scope["query_string"]) > _MOST_QUERY:
        return None
    scheme = cookie_parser(Headers(scope=scope).get("cookie", "")).get("scheme", "")
    scheme = scheme if scheme in ("light", "dark") else ""
    return scope["path"], scope["query_string"], scheme, scope["scheme"], who.kind, who.device


async def _send(scope: Scope, send: Send, page: Packed, ids: int, words: list[bytes] | None = None) -> None:
    if words is None:
        words = [scope["state"]["form_key"].encode(), *(new_id().encode() for _ in range(ids))]
    headers = [*page.headers, (b"vary", b"Accept-Encoding")]
    if "gzip" in Headers(scope=scope).get("accept-encoding", ""):
        body = page.gzipped(words)
        headers.append((b"content-encoding", b"gzip"))
    else:
        body = page.plain(words)
    headers.append((b"content-length", str(len(body)).encode()))
    await send({"type": "http.response.start", "status": 200, "headers": headers})
    await send({"type": "http.response.body", "body": body})
