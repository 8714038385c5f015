"""What is in stock, and telling of cans bought, opened, mixed, weighed and emptied."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer


def register(app: typer.Typer) -> None:
    """Add the command."""
    app.command(short_help="What is in stock; tell of a can bought, opened, mixed, weighed, emptied.")(stock)


def stock(
    did: Annotated[str, typer.Argument(help="bought, opened, mixed, weighed or emptied; none: what is there.")] = "",
    what: Annotated[str, typer.Argument(help="The material, for bought and mixed; else the can.")] = "",
    size: Annotated[str, typer.Option("--size", help='Bought: what it holds, as "1 quart" or "250 g".')] = "",
    left: Annotated[str, typer.Option("--left", help="What is left in it; else all.")] = "",
    flakes: Annotated[str, typer.Option("--flakes", help='Mixed: flakes that went in, as "60 g".')] = "",
    powder: Annotated[str, typer.Option("--powder", help='Mixed: dye powder, as "8 g".')] = "",
    finish: Annotated[str, typer.Option("--finish", help='Mixed: finish from the can, as "8 fl oz".')] = "",
    thinner: Annotated[str, typer.Option("--thinner", "--alcohol", help="Mixed: thinner or alcohol.")] = "",
    cut: Annotated[str, typer.Option("--cut", help="Bought ready mixed: its cut, as 2.")] = "",
    can: Annotated[str, typer.Option("--can", help="What to call it; else it is given a name.")] = "",
    from_: Annotated[list[str] | None, typer.Option("--from", help="Mixed: the can it came from.")] = None,
    price: Annotated[float | None, typer.Option("--price", help="Bought: what it cost.")] = None,
    use_by: Annotated[str, typer.Option("--use-by", help="As its label says; else by the tables.")] = "",
    at: Annotated[str, typer.Option("--at", help="When; else now.")] = "",
    id: Annotated[str, typer.Option("--id", help="Your own key: told twice it is one.")] = "",
    labels: Annotated[Path | None, typer.Option("--labels", help="Folder for jar labels.", metavar="DIR")] = None,
    paper: Annotated[str, typer.Option("--paper", help="Of the labels: a4 or letter.")] = "a4",
    file: Annotated[Path | None, typer.Option("--file", help="The shop's file; else RAKELIGHT_SHOP.")] = None,
    now: Annotated[str, typer.Option("--now", help="As of this moment; else the clock.")] = "",
    as_json: Annotated[bool, typer.Option("--json", help="Plain data instead of text.")] = False,
) -> None:
    """What is in stock and how long it keeps; with `bought`, `opened`, `mixed`, `weighed`, `emptied`, telling of it."""
    from rakelight.cli import stock_told

    amounts = {"size": size, "left": left, "flakes": flakes, "powder": powder, "finish": finish, "thinner": thinner}
    told = stock_told.Told(did, what, amounts, cut, can, tuple(from_ or ()), price, use_by, at, id)
    if labels is not None:
        stock_told.labels(labels, paper, file, now)
    else:
        stock_told.run(told, file, now, as_json)
