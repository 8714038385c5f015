"""What the words of a command mean: a piece's own file, a piece of the shop's file, or all that are at hand."""

from __future__ import annotations

import os
import platform
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from dataclasses import dataclass
from pathlib import Path

from rakelight.cli import show
from rakelight.desk import Desk, ShopDesk, open_shop
from rakelight.errors import Misread, NotFound, RakelightError, Refused
from rakelight.units import read_date

#: names who tells, where no option does
MAKER = "RAKELIGHT_MAKER"


@dataclass(frozen=True)
class Meant:
    """Options that say of what a command speaks."""

    piece: str = ""
    shop: Path | None = None
    file: Path | None = None
    now: str = ""
    log: Path | None = None
    maker: str = ""

    @property
    def alone(self) -> bool:
        """Whether a piece's own file is meant, its log beside it."""
        if not self.piece:
            self._no_option("the shop's file")
            return False
        path = Path(self.piece)
        if self.shop is None and self.log is None and (path.suffix != ".toml" and not path.is_file()):
            return False
        if self.file is not None:
            says = f"--file names the shop's file, and {self.piece} is a file by itself."
            raise Misread(says, "Leave one out: `rakelight add` puts a piece into the shop's file.")
        return True

    def _no_option(self, what: str) -> None:
        if self.log is not None:
            mend = "Name the piece's file, or leave --log out."
            raise Misread(f"--log goes with a piece's own file, and {what} is meant.", mend)
        if self.shop is not None:
            mend = "Name the piece's file, or change the settings with `rakelight add --shop SHOP.toml`."
            raise Misread(f"--shop goes with a piece's own file, and {what} is meant.", mend)


def teller(said: str) -> str:
    """Who tells: the one said, else the one the variable RAKELIGHT_MAKER names."""
    return (said or os.environ.get(MAKER, "")).strip()


@contextmanager
def opened(meant: Meant, create: bool = False) -> Iterator[ShopDesk]:
    """The shop's file, let go of at the end."""
    now = read_date(meant.now) if meant.now else None
    try:
        shop = open_shop(meant.file, now, create, teller(meant.maker), platform.node())
    except NotFound as bad:
        _perhaps_the_file(meant.piece, str(bad))
        raise
    try:
        if meant.piece and shop.store.piece(meant.piece) is None:
            _perhaps_the_file(meant.piece, f"No piece of the shop's file is called {meant.piece!r}.")
        yield shop
    finally:
        shop.close()


def _perhaps_the_file(piece: str, says: str) -> None:
    """Raises NotFound where a piece's own file of that name lies here: it was meant, with its ending."""
    if piece and Path(f"{piece}.toml").is_file():
        raise NotFound(f"{says} Did you mean {piece}.toml?")


@contextmanager
def desk_of(meant: Meant, step: str = "") -> Iterator[tuple[Desk, str]]:
    """The piece something is told of, to write it down, and the step without the name of its piece.

    Where no piece is named, it is the one of those at hand that has the step. Raises RakelightError where none
    has it, or more than one.
    """
    if meant.alone:
        yield show.desk(Path(meant.piece), meant.shop, "", "pack", meant.now, meant.log, telling=True), step
        return
    with opened(meant) as shop:
        key, step = piece_of(shop, meant.piece, step)
        yield _laid_out(shop, key), step


def _laid_out(shop: ShopDesk, key: str) -> Desk:
    return shop.desk(key, telling=True)


def piece_of(shop: ShopDesk, piece: str, step: str) -> tuple[str, str]:
    """The key of the piece that has a step, and the step without it. Raises NotFound where none or several have it."""
    from rakelight.cli import telling

    rows = shop.pieces()
    if piece and piece not in {row.key for row in rows}:
        with suppress(RakelightError):  # "oil 1" is a step of two words
            return piece_of(shop, "", f"{piece} {step}")
    if piece:
        return shop.piece(piece).key, step
    head, _, rest = step.partition(":")
    if rest and head.strip() in {row.key for row in rows}:
        return head.strip(), rest.strip()
    known: list[tuple[str, str]] = []
    why: list[RakelightError] = []
    for row in rows:
        if not row.at_hand:
            continue
        try:
            known.append((row.key, telling.task_of(_laid_out(shop, row.key), step)))
        except Refused as bad:
            why.append(RakelightError(f"{row.name} cannot be read as it is: {bad.findings[0].says}"))
        except NotFound as bad:
            why.append(bad)
    exact = [found for found in known if found[1] == step]
    if len(exact or known) == 1:
        return (exact or known)[0]
    if known:
        ways = ", ".join(f"{key}:{task}" for key, task in known[:6])
        raise NotFound(f"{step!r} can mean a step of several pieces: {ways}. Name one so.")
    if len(why) == 1:
        raise why[0]
    there = ", ".join(row.key for row in rows if row.at_hand)
    tell = f"At hand: {there}; `rakelight today` shows their steps." if there else "None is at hand."
    raise NotFound(f"No piece at hand has a step called {step!r}. {tell}")


def several_steps(words: list[str]) -> tuple[str, list[str]]:
    """[PIECE] STEP STEP ...: the piece, "" where none is named, and the steps; none where only one is meant.

    Several are meant where more than one word is a step with its part, as "case/coat-3".
    """
    first = words[0]
    named = len(words) > 1 and ("/" not in first or first.endswith(".toml") or Path(first).is_file())
    steps = words[1:] if named else words
    several = len(steps) > 1 and all("/" in step for step in steps)
    return (first if named else "", list(steps)) if several else ("", [])


def piece_and_step(words: list[str]) -> tuple[str, str]:
    """[PIECE] STEP: the last word is the step, the one before it, where there is one, the piece."""
    if len(words) == 1:
        return "", words[0]
    return words[0], " ".join(words[1:])
