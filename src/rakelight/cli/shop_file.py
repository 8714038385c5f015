"""Commands on the shop's file itself: pieces put in, put away and finished."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from rakelight.cli.asked import File, Json, Maker, Now
from rakelight.errors import Misread

Key = Annotated[str, typer.Argument(help="A piece of the shop's file, as `pieces` shows it.", metavar="PIECE")]


def register(app: typer.Typer) -> None:
    """Add the commands."""
    app.command(short_help="Put a piece, or the shop's settings, into the shop's file.")(add)
    app.command(short_help="The pieces in the shop's file.")(pieces)
    app.command(short_help="Say that a piece is finished.")(finish)
    app.command("put-away", short_help="Leave a piece out of the plan for now.")(put_away)
    app.command("take-out", short_help="Take up a piece put away or finished.")(take_out)


def add(
    piece: Annotated[
        Path | None,
        typer.Argument(help="The piece; none: the settings of --shop alone.", metavar="[PIECE.toml]"),
    ] = None,
    shop: Annotated[
        Path | None, typer.Option("--shop", help="The shop's settings; else those in the file.", metavar="SHOP.toml")
    ] = None,
    by: Annotated[str, typer.Option("--by", help='Wanted by, as "19 March 2027"; else as the piece says.')] = "",
    for_: Annotated[str, typer.Option("--for", help="With --by: pack, show, use, or a step.")] = "",
    name: Annotated[str, typer.Option("--as", help="Another name: one more piece of the same file.")] = "",
    file: File = None,
    maker: Maker = "",
    now: Now = "",
    as_json: Json = False,
) -> None:
    """Put a piece with the schedules it uses into the shop's file; a file put in before is changed."""
    from rakelight.cli import adding, at_hand

    if for_ and not by:
        raise Misread("--for says what must be so by a date, and no date is given.", "Say --by as well.")
    meant = at_hand.Meant(file=file, now=now, maker=maker)
    raise typer.Exit(adding.add(meant, piece, adding.With(shop, by, for_ or "pack", name), as_json))


def pieces(file: File = None, now: Now = "", as_json: Json = False) -> None:
    """The pieces in the shop's file, what they are called on the command line, and when they are wanted."""
    from rakelight.cli import adding, at_hand

    adding.pieces(at_hand.Meant(file=file, now=now), as_json)


def finish(piece: Key, file: File = None, maker: Maker = "", now: Now = "", as_json: Json = False) -> None:
    """Say that a piece is finished: it leaves the plan and counts among the jobs of this shop."""
    from rakelight.cli import adding, at_hand

    adding.set_piece(at_hand.Meant(file=file, now=now, maker=maker), piece, "finish", as_json)


def put_away(piece: Key, file: File = None, maker: Maker = "", now: Now = "", as_json: Json = False) -> None:
    """Leave a piece out of the plan for now; what was told of it stays."""
    from rakelight.cli import adding, at_hand

    adding.set_piece(at_hand.Meant(file=file, now=now, maker=maker), piece, "put_away", as_json)


def take_out(piece: Key, file: File = None, maker: Maker = "", now: Now = "", as_json: Json = False) -> None:
    """Take up a piece that was put away or finished."""
    from rakelight.cli import adding, at_hand

    adding.set_piece(at_hand.Meant(file=file, now=now, maker=maker), piece, "take_out", as_json)
