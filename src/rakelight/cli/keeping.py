"""Commands that keep the shop's file: backup, restore, export, import."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from rakelight.cli.asked import File, Json


def register(app: typer.Typer) -> None:
    """Add the commands."""
    app.command(short_help="All of the shop's file, photographs too, in one file.")(backup)
    app.command(short_help="Bring a backup in the place of the shop's file.")(restore)
    app.command(short_help="All of the shop's file as TOML and JSON files.")(export)
    app.command("import", short_help="Read what `export` wrote into a new shop's file.")(import_)


def backup(
    to: Annotated[Path, typer.Argument(help="The backup; an earlier one of that name is replaced.", metavar="FILE")],
    file: File = None,
    as_json: Json = False,
) -> None:
    """Write all of the shop's file, photographs too, into one file; others may go on working in it meanwhile."""
    from rakelight.cli import at_hand, keeping_told

    raise typer.Exit(keeping_told.backup(at_hand.Meant(file=file), to, as_json))


def restore(
    from_: Annotated[Path, typer.Argument(help="The backup.", metavar="FILE")],
    file: File = None,
    as_json: Json = False,
) -> None:
    """Bring a backup in the place of the shop's file; what is there now is kept beside it under another name."""
    from rakelight.cli import at_hand, keeping_told

    raise typer.Exit(keeping_told.restore(at_hand.Meant(file=file), from_, as_json))


def export(
    folder: Annotated[Path, typer.Argument(help="A folder that is new or empty.", metavar="DIR")],
    file: File = None,
    as_json: Json = False,
) -> None:
    """Write all of the shop's file as files: pieces, schedules and settings as TOML, all else as JSON."""
    from rakelight.cli import at_hand, keeping_told

    raise typer.Exit(keeping_told.export(at_hand.Meant(file=file), folder, as_json))


def import_(
    folder: Annotated[Path, typer.Argument(help="A folder that `export` wrote.", metavar="DIR")],
    file: File = None,
    as_json: Json = False,
) -> None:
    """Read what `export` wrote into a shop's file that is new or empty: an equal shop."""
    from rakelight.cli import at_hand, keeping_told

    raise typer.Exit(keeping_told.bring_in(at_hand.Meant(file=file), folder, as_json))
