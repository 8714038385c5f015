"""Commands that tell all else that happened: notes, readings, photographs, steps to do again, corrections."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from rakelight.cli.asked import Asked, asks

Of = Annotated[str, typer.Option("--piece", help="The piece it is of, or its file; none: the shop.", metavar="PIECE")]
OfStep = Annotated[str, typer.Option("--step", help="The step it is of: case/coat-3.")]


def register(app: typer.Typer) -> None:
    """Add the commands."""
    app.command(short_help="Write down anything worth keeping.")(note)
    app.command(short_help="Write down what was read: air, wood, wet film, gloss, minutes.")(reading)
    app.command(short_help="Keep a photograph.")(photo)
    app.command(short_help="Steps that must be done again, and before which.")(rework)
    app.command(short_help="Correct an earlier entry.")(correct)
    app.command(short_help="What was told, newest last, each with its key.")(told)


@asks("note")
def note(
    words: Annotated[list[str], typer.Argument(help="What is to be kept.", metavar="WORDS")],
    piece: Of = "",
    step: OfStep = "",
    *,
    asked: Asked,
) -> None:
    """Write down anything worth keeping, of the shop, a piece or a step."""
    from rakelight.cli import telling_more

    telling_more.note(asked.meant(piece), step, asked.said(note=" ".join(words)), asked.as_json)


@asks()
def reading(
    what: Annotated[str, typer.Argument(help='air, wood, "wet film", gloss, minutes or pores.', metavar="WHAT")],
    value: Annotated[
        list[str], typer.Argument(help='As "64 F, 45 %", "8 %", "4 mil", 40, "35 min" or white.', metavar="VALUE")
    ],
    piece: Of = "",
    step: OfStep = "",
    *,
    asked: Asked,
) -> None:
    """Write down what was read: of the air of the shop, or of a piece or a step.

    Of pores: fine dust rubbed over a coat of filler lies white in open ones, or they are filled; after the second coat
    that settles how many coats there are to be.
    """
    from rakelight.cli import telling_more

    telling_more.reading(asked.meant(piece), step, what, " ".join(value), asked.said(), asked.as_json)


@asks("shop", "log")
def photo(
    picture: Annotated[Path, typer.Argument(help="The photograph, a file; it is copied.", metavar="FILE")],
    piece: Of = "",
    step: OfStep = "",
    *,
    asked: Asked,
) -> None:
    """Keep a photograph beside the shop's file, of the shop, a piece or a step."""
    from rakelight.cli import telling_more

    telling_more.photo(asked.meant(piece), step, picture, asked.said(), asked.as_json)


@asks()
def rework(
    steps: Annotated[list[str], typer.Argument(help="The steps to do again.", metavar="STEP...")],
    before: Annotated[str, typer.Option("--before", help="The step they go before; else after all.")] = "",
    faces: Annotated[str, typer.Option("--faces", help="Only these faces: top, front.")] = "",
    piece: Of = "",
    *,
    asked: Asked,
) -> None:
    """Say that steps must be done again; `replan` puts them in."""
    from rakelight.cli import telling_more

    telling_more.rework(asked.meant(piece), steps, before, faces, asked.said(), asked.as_json)


@asks("at")
def correct(
    entry: Annotated[str, typer.Argument(help="The entry's key, as `told` shows it, or its beginning.", metavar="KEY")],
    at: Annotated[str, typer.Option("--at", help="When it was in fact.")] = "",
    took: Annotated[str, typer.Option("--took", help='How long it took in fact, as "35 min".')] = "",
    coats: Annotated[int | None, typer.Option("--coats", help="Coats it took in fact.")] = None,
    used: Annotated[str, typer.Option("--used", help='What was used in fact, as "6 fl oz".')] = "",
    can: Annotated[str, typer.Option("--can", help="The can or jar it was laid from in fact.")] = "",
    piece: Annotated[str, typer.Option("--piece", help="With an entry of a piece's own log: its file.")] = "",
    *,
    asked: Asked,
) -> None:
    """Correct an earlier entry: what is said stands in its place, all else stays; `undo` takes the correction back."""
    from rakelight.cli import telling_more

    said = asked.said(at=at, took=took, coats=coats, used=used, can=can)
    telling_more.correct(asked.meant(piece), entry, said, asked.as_json)


@asks("at", "note", "id", "maker")
def told(
    piece: Annotated[str, typer.Argument(help="A piece, or its file; none: all.", metavar="[PIECE]")] = "",
    last: Annotated[int, typer.Option("--last", help="How many; 0: all.")] = 20,
    *,
    asked: Asked,
) -> None:
    """What was told, newest last: what was taken back is marked, what was corrected shows what counts."""
    from rakelight.cli import telling_more

    telling_more.told(asked.meant(piece), last, asked.as_json)
