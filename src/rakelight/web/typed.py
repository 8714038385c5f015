"""What a form sends, as lists of words by field."""

from __future__ import annotations

from typing import Annotated

from fastapi import Depends, Request

Typed = dict[str, list[str]]


async def _typed(request: Request) -> Typed:
    form = await request.form(max_files=12, max_fields=2000)
    said: Typed = {}
    for key, value in form.multi_items():
        if isinstance(value, str):
            said.setdefault(key, []).append(value)
    return said


Said = Annotated[Typed, Depends(_typed)]


def one(said: Typed, key: str, most: int = 200) -> str:
    """The first value of a field, without spaces about it."""
    return (said.get(key) or [""])[0].strip()[:most]
