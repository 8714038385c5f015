"""This shop's own figures: shown, pinned, begun anew."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

Json = Annotated[bool, typer.Option("--json", help="Plain data instead of text.")]
File = Annotated[
    Path | None, typer.Option("--file", help="The shop's file; else RAKELIGHT_SHOP, else your data folder.")
]
Pin = Annotated[
    tuple[str, str],
    typer.Option("--pin", help='Hold a figure at a value, as drying:shellac_dewaxed "30 h".', metavar="WHAT VALUE"),
]


def register(app: typer.Typer) -> None:
    """Add the command."""
    app.command(short_help="This shop's own figures: book, yours, used.")(learned)


def learned(
    file: File = None,
    pin: Pin = ("", ""),
    reset: Annotated[str, typer.Option("--reset", help="Begin a figure anew from the book; all for all.")] = "",
    now: Annotated[str, typer.Option("--now", help="As of this moment; else the clock.")] = "",
    as_json: Json = False,
) -> None:
    """What this shop's own jobs have taught beside the book's figures, and what is planned with."""
    from rakelight.cli import learned_shown

    learned_shown.learned(file, pin, reset, now, as_json)
