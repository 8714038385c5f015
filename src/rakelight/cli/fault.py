"""A fault seen: what it likely came from, and what to do."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer


def register(app: typer.Typer) -> None:
    """Add the command."""
    app.command(short_help="A fault seen: likely causes, and what to do by when.")(fault)


def fault(
    words: Annotated[
        list[str], typer.Argument(help="Of the shop's file STEP FAULT will do.", metavar="[PIECE] STEP FAULT")
    ],
    face: Annotated[str, typer.Option("--face", help="Where it is seen; else all of the step's faces.")] = "",
    did: Annotated[str, typer.Option("--did", help="What was done about it.")] = "",
    again: Annotated[bool, typer.Option("--again", help="Put the steps to do again into the plan.")] = False,
    note: Annotated[str, typer.Option("--note", help="Anything worth keeping.")] = "",
    at: Annotated[str, typer.Option("--at", help="When it was seen; else now.")] = "",
    id: Annotated[str, typer.Option("--id", help="Your own key: told twice it is one.")] = "",
    ask: Annotated[bool, typer.Option("--ask", help="Only ask: nothing is written.")] = False,
    shop: Annotated[Path | None, typer.Option("--shop", help="With a file: the shop.", metavar="SHOP.toml")] = None,
    log: Annotated[Path | None, typer.Option("--log", help="With a file: the piece's log.")] = None,
    file: Annotated[Path | None, typer.Option("--file", help="The shop's file; else RAKELIGHT_SHOP.")] = None,
    now: Annotated[str, typer.Option("--now", help="As of this moment; else the clock.")] = "",
    as_json: Annotated[bool, typer.Option("--json", help="Plain data instead of text.")] = False,
) -> None:
    """A fault seen on a step: likely causes by what was really done, wait or wash off, and by when to decide."""
    from rakelight.cli import fault_told
    from rakelight.cli.at_hand import Meant
    from rakelight.errors import Misread

    if not 2 <= len(words) <= 3:
        raise Misread("A fault is seen on a step.", "Say rakelight fault PIECE STEP FAULT, as case/coat-3 blush.")
    piece = words[0] if len(words) == 3 else ""
    seen = fault_told.Seen(words[-2], words[-1], face, did, again, note, at, id, ask)
    fault_told.run(Meant(piece, shop, file, now, log), seen, as_json)
