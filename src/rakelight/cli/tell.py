"""Commands that tell what happened, of a piece's own file or over the shop's file, and plan again from it."""

from __future__ import annotations

from typing import Annotated

import typer

from rakelight.cli.asked import Asked, asks
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


def register(app: typer.Typer) -> None:
    """Add the commands."""
    app.command(short_help="Say that a step is done.")(done)
    app.command(short_help="Say that a step is begun.")(started)
    app.command(short_help="Say that a step is left out.")(skipped)
    app.command(short_help="Say that a hand test failed, or passed.")(failed)
    app.command(short_help="Plan again from what happened; what moved, in words.")(replan)
    app.command("catch-up", short_help="Confirm all that went as planned.")(catch_up)
    app.command(short_help="Take back the last thing told.")(undo)


@asks("at")
def done(
    words: Step,
    at: Annotated[str, typer.Option("--at", help="When it was finished; else now.")] = "",
    took: Annotated[str, typer.Option("--took", help='How long it took, as "35 min"; else as planned.')] = "",
    coats: Annotated[int | None, typer.Option("--coats", help="Coats it took in fact, where that was open.")] = None,
    used: Annotated[str, typer.Option("--used", help='What was used, as "6 fl oz", or "850 g to 730 g".')] = "",
    can: Annotated[str, typer.Option("--can", help="The can or jar it was laid from, as `stock` calls it.")] = "",
    *,
    asked: Asked,
) -> None:
    """Say that a step is done, or several one after another: case/coat-3 shelf/coat-3."""
    from rakelight.cli import at_hand, show, telling

    piece, steps = at_hand.several_steps(words)
    if steps:
        own = {"--took": took, "--coats": coats, "--used": used, "--can": can, "--id": asked.id}
        for name in (name for name, said in own.items() if said):
            raise Misread(f"{name} is of one step, and {len(steps)} are named.", "Tell them one at a time.")
        telling.all_done(asked.meant(piece), steps, asked.said(at=at), asked.as_json)
        return
    piece, step = at_hand.piece_and_step(words)
    with at_hand.desk_of(asked.meant(piece), step) as (desk, name):
        told = asked.said(at=at, took=took, coats=coats, used=used, can=can)
        show.told(desk, *telling.done(desk, name, told), asked.as_json)


@asks()
def started(words: Step, *, asked: Asked) -> None:
    """Say that a step is begun: until it is told as done, it counts as done when its planned time is over."""
    from rakelight.cli import at_hand, show, telling

    piece, step = at_hand.piece_and_step(words)
    with at_hand.desk_of(asked.meant(piece), step) as (desk, name):
        show.told(desk, *telling.begun(desk, name, asked.said()), asked.as_json)


@asks()
def skipped(words: Step, *, asked: Asked) -> None:
    """Say that a step is left out for good: it leaves the plan."""
    from rakelight.cli import at_hand, show, telling

    piece, step = at_hand.piece_and_step(words)
    with at_hand.desk_of(asked.meant(piece), step) as (desk, name):
        show.told(desk, *telling.left_out(desk, name, asked.said()), asked.as_json)


@asks("at")
def failed(
    words: Step,
    at: Annotated[str, typer.Option("--at", help="When the test was made; else now.")] = "",
    again: Annotated[str, typer.Option("--again", help='Look again after, as "2 days"; or tomorrow.')] = "",
    passed: Annotated[bool, typer.Option("--passed", help="The test passed instead: the wait is over.")] = False,
    *,
    asked: Asked,
) -> None:
    """Say that a hand test failed (or passed) before the step that waits for it: it rules over the tables."""
    from rakelight.cli import at_hand, show, telling

    piece, step = at_hand.piece_and_step(words)
    with at_hand.desk_of(asked.meant(piece), step) as (desk, name):
        show.told(desk, *telling.tested(desk, name, asked.said(at=at), again, passed), asked.as_json)


@asks("at", "note", "id", "maker")
def replan(
    piece: Piece = "",
    by: Annotated[str, typer.Option("--by", help='Wanted by, as "19 March 2027 12:00"; else as the piece says.')] = "",
    for_: Annotated[str, typer.Option("--for", help="With --by: pack, show, use, or a step.")] = "",
    *,
    asked: Asked,
) -> None:
    """Plan again from what has happened, say in words what moved, and keep the new plan."""
    from rakelight.cli import over_all

    if for_ and not by:
        raise Misread("--for says what must be so by a date, and no date is given.", "Say --by as well.")
    raise typer.Exit(over_all.replan(asked.meant(piece), by, for_ or "pack", asked.as_json))


@asks("at", "note", "id", "maker")
def catch_up(
    piece: Piece = "",
    since: Annotated[str, typer.Option("--since", help="From this day on; else all.")] = "",
    *,
    asked: Asked,
) -> None:
    """Confirm at once all that went as planned and was not written down."""
    from rakelight.cli import over_all

    over_all.catch_up(asked.meant(piece), since, asked.as_json)


@asks("at", "note", "id", "maker")
def undo(piece: Piece = "", *, asked: Asked) -> None:
    """Take back the last thing told: done, failed or catch-up. It stays in the log and no longer counts."""
    from rakelight.cli import over_all

    over_all.undo(asked.meant(piece), asked.as_json)
