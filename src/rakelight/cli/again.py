"""Do it again: a finished part as a schedule of the book, beside another, or for another area."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer


def register(app: typer.Typer) -> None:
    """Add the command."""
    app.command(short_help="A finished part as a schedule, beside another job, or for another area.")(again)


def again(
    piece: Annotated[str, typer.Argument(help="The piece: a TOML file, or its name in the shop's file.")],
    part: Annotated[str, typer.Option("--part", help="Which part; else the one that is finished.")] = "",
    face: Annotated[str, typer.Option("--face", help="Whose schedule, where faces have several.")] = "",
    name: Annotated[str, typer.Option("--name", help="Put it into the shop's book under this name.")] = "",
    out: Annotated[Path | None, typer.Option("--out", help="Write it to a file.", metavar="FILE")] = None,
    title: Annotated[str, typer.Option("--title", help="Its title; else made from the piece.")] = "",
    minutes: Annotated[
        bool, typer.Option("--minutes", help="Hold each step to its minutes; with --area to those of such a part.")
    ] = False,
    area: Annotated[str, typer.Option("--area", help='Amounts for another area, as "12 ft2" or "2 m2".')] = "",
    beside: Annotated[str, typer.Option("--beside", help="Another finished job to lay beside it, as PIECE/PART.")] = "",
    shop: Annotated[Path | None, typer.Option("--shop", help="With a file: the shop.", metavar="SHOP.toml")] = None,
    log: Annotated[Path | None, typer.Option("--log", help="With a file: the piece's log.")] = None,
    file: Annotated[Path | None, typer.Option("--file", help="The shop's file; else RAKELIGHT_SHOP.")] = None,
    now: Annotated[str, typer.Option("--now", help="As of this moment; else the clock.")] = "",
    as_json: Annotated[bool, typer.Option("--json", help="Plain data instead of text.")] = False,
) -> None:
    """What a finished part really took: as a schedule for the book, beside another job, or for another area."""
    from rakelight.cli import again_told

    asked = again_told.Asked(piece, part, face, name, out, title, minutes, area, beside, shop, log, file, now)
    again_told.run(asked, as_json)
