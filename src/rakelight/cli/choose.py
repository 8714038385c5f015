"""Which finish by the date."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import Annotated

import typer

Json = Annotated[bool, typer.Option("--json", help="Plain data instead of text.")]
PieceFile = Annotated[Path, typer.Argument(help="The piece, a TOML file.", metavar="PIECE.toml")]
ShopFile = Annotated[
    Path | None,
    typer.Option("--shop", help="The shop; else shop.toml beside the piece, or here.", metavar="SHOP.toml"),
]
Now = Annotated[str, typer.Option("--now", help="Plan as of this moment; else the clock.")]
LogFile = Annotated[
    Path | None, typer.Option("--log", help="The piece's log; else PIECE.log.jsonl beside it.")
]


def register(app: typer.Typer) -> None:
    """Add the commands of this room."""
    app.command(short_help="Which finish is ready by the date.")(choose)
    app.command(short_help="What a change of mind does to the date.")(mind)


def choose(
    piece: PieceFile,
    by: Annotated[
        str, typer.Option("--by", help='Wanted by, as "19 March 2027 12:00"; else as the piece says.')
    ] = "",
    for_: Annotated[
        str, typer.Option("--for", help="With --by: pack (as if nothing is said), show, use.")
    ] = "",
    shop: ShopFile = None,
    odds: Annotated[
        str, typer.Option("--odds", help='Odds the date must have, as "9 in 10"; else as the shop says, or 8 in 10.')
    ] = "",
    now: Now = "",
    log: LogFile = None,
    as_json: Json = False,
) -> None:
    """Which finishes are ready by the date, at what cost, and what would rescue the wished one."""
    from dataclasses import replace

    from rakelight.cli import show
    from rakelight.cli.choice_json import choice_json
    from rakelight.cli.plain import data, width
    from rakelight.desk.choosing import choose_for, limits_of
    from rakelight.errors import Misread
    from rakelight.papers.choice_text import choice_lines
    from rakelight.shop.choosing import read_odds

    if for_ and not by:
        raise Misread("--for says what must be so by a date, and no date is given.", "Say --by as well.")
    desk = show.desk(piece, shop, by, for_ or "pack", now, log)
    limits = limits_of(desk)
    if odds:
        limits = replace(limits, odds=read_odds(odds))
    choice = choose_for(desk, limits, tell=progress(as_json))
    if as_json:
        data(choice_json(choice, desk.piece.name))
    else:
        print("\n".join(choice_lines(choice, width())))
    raise typer.Exit(0 if choice.wished.fits else 1)


def mind(
    piece: PieceFile,
    part: Annotated[str, typer.Option("--part", help="The part that goes back.")],
    back_to: Annotated[str, typer.Option("--back-to", help='The step it goes back to, as "oil 1" or "sand".')],
    face: Annotated[list[str] | None, typer.Option("--face", help="Only this face; may be said again.")] = None,
    shop: ShopFile = None,
    now: Now = "",
    log: LogFile = None,
    as_json: Json = False,
) -> None:
    """What is done again when a part goes back to a step, and what that does to the date. Nothing is written."""
    from rakelight.cli import show
    from rakelight.cli.choice_json import mind_json
    from rakelight.cli.plain import data, width
    from rakelight.desk.mind import mind as going_back
    from rakelight.papers.mind_text import mind_lines

    desk = show.desk(piece, shop, "", "pack", now, log)
    found = show.working("Planning", lambda: going_back(desk, part, back_to, face or ()), as_json)
    if as_json:
        data(mind_json(found))
        return
    shown = desk.piece.parts[part].shown
    before, after = found.before.plan, found.after.plan
    lines = mind_lines(shown, found.back_to, found.faces, found.again, before, after, found.moved, width())
    print("\n".join(lines))


def progress(quiet: bool):  # type: ignore[no-untyped-def]
    """Tells where the search stands, on a terminal."""
    if quiet or not sys.stderr.isatty():
        return None

    def tell(words: str) -> None:
        print(f"\r{words:<60}", end="", file=sys.stderr, flush=True)

    return tell
