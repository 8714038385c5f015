"""Which finish by the date."""

from __future__ import annotations

import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from rakelight.cli.asked import File, Log, Now, Shop

if TYPE_CHECKING:
    from rakelight.desk import Desk
    from rakelight.log.stock import Stock

Json = Annotated[bool, typer.Option("--json", help="Plain data instead of text.")]
PieceNamed = Annotated[str, typer.Argument(help="A piece's file, or a piece of the shop's file.", metavar="PIECE")]


def register(app: typer.Typer) -> None:
    """Add the commands of this room."""
    app.command(short_help="Which finish is ready by the date.")(choose)
    app.command(short_help="What a change of mind does to the date.")(mind)


def choose(
    piece: PieceNamed,
    by: Annotated[
        str, typer.Option("--by", help='Wanted by, as "19 March 2027 12:00"; else as the piece says.')
    ] = "",
    for_: Annotated[
        str, typer.Option("--for", help="With --by: pack (as if nothing is said), show, use.")
    ] = "",
    shop: Shop = None,
    file: File = None,
    odds: Annotated[
        str, typer.Option("--odds", help='Odds the date must have, as "9 in 10"; else as the shop says, or 8 in 10.')
    ] = "",
    now: Now = "",
    log: Log = None,
    as_json: Json = False,
) -> None:
    """Which finishes are ready by the date, at what cost, and what would rescue the wished one."""
    from dataclasses import replace

    from rakelight.cli.choice_json import choice_json
    from rakelight.cli.plain import data, width
    from rakelight.desk.choosing import choose_for, limits_of, rates_of
    from rakelight.errors import Misread
    from rakelight.papers.choice_text import choice_lines
    from rakelight.shop.choosing import read_odds

    if for_ and not by:
        raise Misread("--for says what must be so by a date, and no date is given.", "Say --by as well.")
    with on_desk(piece, shop, file, now, log, by, for_ or "pack") as (desk, stock):
        limits = limits_of(desk)
        if odds:
            limits = replace(limits, odds=read_odds(odds))
        choice = choose_for(desk, limits, None, rates_of(desk, stock), progress(as_json))
    if as_json:
        data(choice_json(choice, desk.piece.name))
    else:
        print("\n".join(choice_lines(choice, width())))
    raise typer.Exit(0 if choice.wished.fits else 1)


def mind(
    piece: PieceNamed,
    part: Annotated[str, typer.Option("--part", help="The part that goes back.")],
    back_to: Annotated[str, typer.Option("--back-to", help='The step it goes back to, as "oil 1" or "sand".')],
    face: Annotated[list[str] | None, typer.Option("--face", help="Only this face; may be said again.")] = None,
    shop: Shop = None,
    file: File = None,
    now: Now = "",
    log: Log = None,
    as_json: Json = False,
) -> None:
    """What is done again when a part goes back to a step, and what that does to the date. Nothing is written."""
    from rakelight.cli import show
    from rakelight.cli.choice_json import mind_json
    from rakelight.cli.plain import data, width
    from rakelight.desk.mind import mind as going_back
    from rakelight.papers.mind_text import mind_lines

    with on_desk(piece, shop, file, now, log) as (desk, _):
        found = show.working("Planning", lambda: going_back(desk, part, back_to, face or ()), as_json)
    if as_json:
        data(mind_json(found))
        return
    shown = desk.piece.parts[part].shown
    before, after = found.before.plan, found.after.plan
    lines = mind_lines(shown, found.back_to, found.faces, found.again, before, after, found.moved, width())
    print("\n".join(lines))


@contextmanager
def on_desk(
    piece: str, shop: Path | None, file: Path | None, now: str, log: Path | None, by: str = "", for_: str = "pack"
) -> Iterator[tuple[Desk, Stock | None]]:
    """The piece a command means on the desk, by itself or out of the shop's file; there with the shop's stock."""
    from dataclasses import replace

    from rakelight.cli import show
    from rakelight.cli.at_hand import Meant, opened
    from rakelight.plan.planning import Wish
    from rakelight.shop.hours import by_moment
    from rakelight.units import read_date

    meant = Meant(piece, shop, file, now, log)
    if meant.alone:
        yield show.desk(Path(piece), shop, by, for_, now, log), None
        return
    with opened(meant) as shop_desk:
        desk = shop_desk.desk(piece)
        if by:
            desk = replace(desk, wishes=(Wish(for_, by_moment(desk.shop, read_date(by))),))
        yield desk, shop_desk.stock()


def progress(quiet: bool) -> Callable[[str], None] | None:
    """Tells where the search stands, on a terminal."""
    if quiet or not sys.stderr.isatty():
        return None

    def tell(words: str) -> None:
        print(f"\r{words:<60}", end="", file=sys.stderr, flush=True)

    return tell
