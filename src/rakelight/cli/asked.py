"""Options that commands share: said once here, handed to a command as one."""

from __future__ import annotations

import functools
import inspect
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any

import typer

if TYPE_CHECKING:
    from rakelight.cli.at_hand import Meant
    from rakelight.cli.telling import Said

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

#: each with what stands where it is not said, in the order the help shows them
_OPTIONS: dict[str, tuple[Any, Any]] = {
    "shop": (Shop, None), "file": (File, None), "at": (At, ""), "note": (Note, ""), "id": (Id, ""),
    "maker": (Maker, ""), "now": (Now, ""), "log": (Log, None), "as_json": (Json, False),
}  # fmt: skip


@dataclass(frozen=True)
class Asked:
    """What was said with the options a command shares with others."""

    shop: Path | None = None
    file: Path | None = None
    at: str = ""
    note: str = ""
    id: str = ""
    maker: str = ""
    now: str = ""
    log: Path | None = None
    as_json: bool = False

    def meant(self, piece: str) -> Meant:
        """Of what the command speaks."""
        from rakelight.cli.at_hand import Meant

        return Meant(piece, self.shop, self.file, self.now, self.log, self.maker)

    def said(self, **own: Any) -> Said:
        """What is told with a step; own, what the command asks besides."""
        from rakelight.cli.at_hand import teller
        from rakelight.cli.telling import Said

        shared = {"at": self.at, "note": self.note, "id": self.id, "maker": teller(self.maker)}
        return Said(**{**shared, **own})


def asks(*but: str) -> Callable[[Callable[..., None]], Callable[..., None]]:
    """A command that takes all these options, and is handed them as its last parameter `asked`.

    Parameters: but, options it does not take, or takes in words of its own.
    """
    names = [name for name in _OPTIONS if name not in but]

    def command(do: Callable[..., None]) -> Callable[..., None]:
        own = [p for p in inspect.signature(do, eval_str=True).parameters.values() if p.name != "asked"]

        @functools.wraps(do)
        def run(**said: Any) -> None:
            shared = {name: said.pop(name) for name in names}
            do(**said, asked=Asked(**shared))

        given = [
            inspect.Parameter(name, inspect.Parameter.POSITIONAL_OR_KEYWORD, default=none, annotation=kind)
            for name, (kind, none) in _OPTIONS.items()
            if name in names
        ]
        run.__signature__ = inspect.Signature([*own, *given])  # type: ignore[attr-defined]
        run.__annotations__ = {p.name: p.annotation for p in (*own, *given)}
        return run

    return command
