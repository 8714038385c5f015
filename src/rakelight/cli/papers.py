"""The papers of a piece, written as files to print."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from rakelight.errors import Misread


def register(app: typer.Typer) -> None:
    """Add the command."""
    app.command(short_help="Bench sheets, labels, buying list, care sheet: to print.")(papers)


def papers(
    piece: Annotated[str, typer.Argument(help="The piece's file, or its name in the shop's file.", metavar="PIECE")],
    out: Annotated[Path | None, typer.Option("--out", help="Folder to write them in.", metavar="DIR")] = None,
    shop: Annotated[Path | None, typer.Option("--shop", help="The shop; else shop.toml.", metavar="SHOP.toml")] = None,
    only: Annotated[
        str, typer.Option("--only", help="bench, labels, buying, board, recipe, care, card, calendar; or several.")
    ] = "",
    paper: Annotated[str, typer.Option("--paper", help="a4 or letter.")] = "a4",
    by: Annotated[str, typer.Option("--by", help="Wanted by; else as the piece says.")] = "",
    now: Annotated[str, typer.Option("--now", help="As of this moment; else the clock.")] = "",
    log: Annotated[Path | None, typer.Option("--log", help="The piece's log.")] = None,
    file: Annotated[Path | None, typer.Option("--file", help="The shop's file, where it is another.")] = None,
    address: Annotated[str, typer.Option("--address", help="Where the pages run: a code by each step opens it.")] = "",
    maker: Annotated[str, typer.Option("--maker", help="Name to put on care sheet and card.")] = "",
    words: Annotated[str, typer.Option("--words", help="For the card: how it was made, in your own words.")] = "",
    as_json: Annotated[bool, typer.Option("--json", help="What stands on them, as plain data.")] = False,
) -> None:
    """Bench sheets by day and by part, jar labels, buying list, test-board card, recipe, care sheet and card."""
    from rakelight.cli import at_hand, papers_set, show

    kinds = _kinds(only)
    size = _paper(paper)
    if out is None and not as_json:
        raise Misread("No folder is named to write the papers in.", "Say --out DIR.")
    meant = at_hand.Meant(piece, shop, file, now, log)
    if meant.alone:
        desk = papers_set.open_for(Path(piece), shop, by, now, log)
        answer = show.working("Planning", desk.plan, as_json)
    else:
        answer, key = papers_set.of_shop(meant, by, as_json)
        address = f"{address}?piece={key}" if address else ""
    papers_set.write(answer, papers_set.Wanted(out, kinds, size, address, maker, words), as_json)


def _kinds(only: str) -> tuple[str, ...]:
    from rakelight.papers.bundle import KINDS

    said = [word for word in only.replace(",", " ").split() if word]
    for word in said:
        if word not in KINDS:
            raise Misread(f"There is no paper called {word!r}.", f"Write any of: {', '.join(KINDS)}.")
    return tuple(said)


def _paper(said: str) -> str:
    size = said.strip().lower()
    if size not in ("a4", "letter"):
        raise Misread(f"{said!r} is no paper.", "Write a4 or letter.")
    return size
