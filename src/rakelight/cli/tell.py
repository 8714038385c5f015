"""Commands that tell what happened, of a piece's own file or over the shop's file, and plan again from it."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from rakelight.errors import Misread

Step = Annotated[
    list[str],
    typer.Argument(
        help="The step as the plan shows it, case/coat-3; before it the piece, where it is not plain which.",
        metavar="[PIECE] STEP",
    ),
]
Piece = Annotated[
    str, typer.Argument(help="A piece's file, or a piece of the shop's file; none: all at hand.", metavar="[PIECE]")
]
Shop = Annotated[Path | None, typer.Option("--shop", help="With PIECE.toml: the shop.", metavar="SHOP.toml")]
File = Annotated[
    Path | None, typer.Option("--file", help="The shop's file; else RAKELIGHT_SHOP, else in your data folder.")
]
Log = Annotated[Path | None, typer.Option("--log", help="With PIECE.toml: its log; else PIECE.log.jsonl beside it.")]
Now = Annotated[str, typer.Option("--now", help="As of this moment; else the clock.")]
At = Annotated[str, typer.Option("--at", help="When it was; else now.")]
Note = Annotated[str, typer.Option("--note", help="Anything worth keeping.")]
Id = Annotated[str, typer.Option("--id", help="A key of your own: told again under it, it is still told once.")]
Maker = Annotated[str, typer.Option("--maker", help="Who tells; else RAKELIGHT_MAKER.")]
Json = Annotated[bool, typer.Option("--json", help="Plain data instead of text.")]


def register(app: typer.Typer) -> None:
    """Add the commands."""
    app.command(short_help="Say that a step is done.")(done)
    app.command(short_help="Say that a step is begun.")(started)
    app.command(short_help="Say that a step is left out.")(skipped)
    app.command(short_help="Say that a hand test failed, or passed.")(failed)
    app.command(short_help="Plan again from what happened; what moved, in words.")(replan)
    app.command("catch-up", short_help="Confirm all that went as planned.")(catch_up)
    app.command(short_help="Take back the last thing told.")(undo)


def done(
    words: Step,
    shop: Shop = None,
    file: File = None,
    at: Annotated[str, typer.Option("--at", help="When it was finished; else now.")] = "",
    took: Annotated[str, typer.Option("--took", help='How long it took, as "35 min"; else as planned.')] = "",
    coats: Annotated[int | None, typer.Option("--coats", help="Coats it took in fact, where that was open.")] = None,
    used: Annotated[str, typer.Option("--used", help='What was used, as "6 fl oz", or "850 g to 730 g".')] = "",
    can: Annotated[str, typer.Option("--can", help="The can or jar it was laid from, as `stock` calls it.")] = "",
    note: Note = "",
    id: Id = "",
    maker: Maker = "",
    now: Now = "",
    log: Log = None,
    as_json: Json = False,
) -> None:
    """Say that a step is done, or several one after another: case/coat-3 shelf/coat-3."""
    from rakelight.cli import at_hand, show, telling

    piece, steps = at_hand.several_steps(words)
    if steps:
        one = [name for name, said in (("--took", took), ("--coats", coats), ("--used", used), ("--can", can),
                                       ("--id", id)) if said]  # fmt: skip
        if one:
            raise Misread(f"{one[0]} is of one step, and {len(steps)} are named.", "Tell them one at a time.")
        told = telling.Said(at, note=note, maker=at_hand.teller(maker))
        telling.all_done(at_hand.Meant(piece, shop, file, now, log, maker), steps, told, as_json)
        return
    piece, step = at_hand.piece_and_step(words)
    with at_hand.desk_of(at_hand.Meant(piece, shop, file, now, log, maker), step) as (desk, name):
        told = telling.Said(at, took, coats, used, note, id, at_hand.teller(maker), can)
        show.told(desk, *telling.done(desk, name, told), as_json)


def started(
    words: Step,
    shop: Shop = None,
    file: File = None,
    at: At = "",
    note: Note = "",
    id: Id = "",
    maker: Maker = "",
    now: Now = "",
    log: Log = None,
    as_json: Json = False,
) -> None:
    """Say that a step is begun: until it is told as done, it counts as done when its planned time is over."""
    from rakelight.cli import at_hand, show, telling

    piece, step = at_hand.piece_and_step(words)
    with at_hand.desk_of(at_hand.Meant(piece, shop, file, now, log, maker), step) as (desk, name):
        told = telling.Said(at, note=note, id=id, maker=at_hand.teller(maker))
        show.told(desk, *telling.begun(desk, name, told), as_json)


def skipped(
    words: Step,
    shop: Shop = None,
    file: File = None,
    at: At = "",
    note: Note = "",
    id: Id = "",
    maker: Maker = "",
    now: Now = "",
    log: Log = None,
    as_json: Json = False,
) -> None:
    """Say that a step is left out for good: it leaves the plan."""
    from rakelight.cli import at_hand, show, telling

    piece, step = at_hand.piece_and_step(words)
    with at_hand.desk_of(at_hand.Meant(piece, shop, file, now, log, maker), step) as (desk, name):
        told = telling.Said(at, note=note, id=id, maker=at_hand.teller(maker))
        show.told(desk, *telling.left_out(desk, name, told), as_json)


def failed(
    words: Step,
    shop: Shop = None,
    file: File = None,
    at: Annotated[str, typer.Option("--at", help="When the test was made; else now.")] = "",
    again: Annotated[str, typer.Option("--again", help='Look again after, as "2 days"; or tomorrow.')] = "",
    passed: Annotated[bool, typer.Option("--passed", help="The test passed instead: the wait is over.")] = False,
    note: Note = "",
    id: Id = "",
    maker: Maker = "",
    now: Now = "",
    log: Log = None,
    as_json: Json = False,
) -> None:
    """Say that a hand test failed (or passed) before the step that waits for it: it rules over the tables."""
    from rakelight.cli import at_hand, show, telling

    piece, step = at_hand.piece_and_step(words)
    with at_hand.desk_of(at_hand.Meant(piece, shop, file, now, log, maker), step) as (desk, name):
        told = telling.Said(at, note=note, id=id, maker=at_hand.teller(maker))
        show.told(desk, *telling.tested(desk, name, told, again, passed), as_json)


def replan(
    piece: Piece = "",
    shop: Shop = None,
    file: File = None,
    by: Annotated[str, typer.Option("--by", help='Wanted by, as "19 March 2027 12:00"; else as the piece says.')] = "",
    for_: Annotated[str, typer.Option("--for", help="With --by: pack, show, use, or a step.")] = "",
    now: Now = "",
    log: Log = None,
    as_json: Json = False,
) -> None:
    """Plan again from what has happened, say in words what moved, and keep the new plan."""
    from rakelight.cli import at_hand, over_all

    if for_ and not by:
        raise Misread("--for says what must be so by a date, and no date is given.", "Say --by as well.")
    meant = at_hand.Meant(piece, shop, file, now, log)
    raise typer.Exit(over_all.replan(meant, by, for_ or "pack", as_json))


def catch_up(
    piece: Piece = "",
    shop: Shop = None,
    file: File = None,
    since: Annotated[str, typer.Option("--since", help="From this day on; else all.")] = "",
    now: Now = "",
    log: Log = None,
    as_json: Json = False,
) -> None:
    """Confirm at once all that went as planned and was not written down."""
    from rakelight.cli import at_hand, over_all

    over_all.catch_up(at_hand.Meant(piece, shop, file, now, log), since, as_json)


def undo(
    piece: Piece = "",
    shop: Shop = None,
    file: File = None,
    now: Now = "",
    log: Log = None,
    as_json: Json = False,
) -> None:
    """Take back the last thing told: done, failed or catch-up. It stays in the log and no longer counts."""
    from rakelight.cli import at_hand, over_all

    over_all.undo(at_hand.Meant(piece, shop, file, now, log), as_json)
