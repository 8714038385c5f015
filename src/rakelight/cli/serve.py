"""The pages, served by this computer."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer


def register(app: typer.Typer) -> None:
    """Add the command."""
    app.command(short_help="The bench page and all others, for this computer and a phone.")(serve)


def serve(
    port: Annotated[int, typer.Option("--port", help="Port to answer at; 0: a free one.", min=0, max=65535)] = 8200,
    lan: Annotated[bool, typer.Option("--lan", help="Let paired devices on the shop's network in.")] = False,
    https: Annotated[bool, typer.Option("--https", help="Over a certificate made here; it is explained.")] = False,
    file: Annotated[
        Path | None, typer.Option("--file", help="The shop's file; else where RAKELIGHT_SHOP says.", metavar="FILE")
    ] = None,
    now: Annotated[str, typer.Option("--now", help="As if it were this moment; the clock runs on from it.")] = "",
) -> None:
    """The bench page and all others: on this computer, and with --lan on a phone at the bench, once it is paired."""
    from rakelight.units import read_date
    from rakelight.web.serve import serve

    serve(file, port, lan, https, read_date(now) if now else None)
