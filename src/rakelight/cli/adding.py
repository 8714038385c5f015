"""Putting pieces into the shop's file from the command line, and what is there."""

from __future__ import annotations

import re
import tomllib
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path

from rakelight.as_json import finding_json
from rakelight.cli import at_hand
from rakelight.cli.at_hand import Meant
from rakelight.cli.files import shop_beside, there
from rakelight.cli.plain import data, width
from rakelight.desk import PieceRow, ShopDesk
from rakelight.desk.adding import Brought, key_of, read_text, renamed
from rakelight.desk.shop_file import brought_from
from rakelight.errors import Finding, Misread, RakelightError, Refused, Severity
from rakelight.facts import load
from rakelight.papers.plan_text import finding_lines
from rakelight.papers.wrapping import wrapped
from rakelight.piece.file import read_piece
from rakelight.piece.model import Piece
from rakelight.piece.write import replaced, write_toml
from rakelight.plan.wishes import Wish
from rakelight.shop.file import read_shop
from rakelight.shop.hours import by_moment
from rakelight.shop.model import Shop
from rakelight.store.where import shop_file
from rakelight.toml_lines import sections
from rakelight.units import read_date


@dataclass(frozen=True)
class With:
    """What goes with a piece that is put in."""

    shop: Path | None = None
    by: str = ""
    for_: str = "pack"
    name: str = ""


@dataclass(frozen=True)
class Read:
    """A piece read from its file, before anything is written."""

    path: Path
    text: str
    piece: Piece
    file: str  # name it goes by in the shop's file
    more: With


def add(meant: Meant, path: Path | None, more: With, as_json: bool) -> int:
    """Put a piece, or settings alone, in; the exit code."""
    read = _read(path, more) if path else None
    if path is None and more.shop is None:
        raise Misread("Nothing is named to put in.", "Say PIECE.toml, or --shop SHOP.toml, or both.")
    if more.shop is not None:
        there(more.shop)
    shop_path = more.shop
    if shop_path is None and read and not _has_shop(meant):
        shop_path = shop_beside(read.path)
        if shop_path is None:
            mend = "Say --shop SHOP.toml, or put shop.toml beside the piece."
            raise Misread("The shop's file has no shop yet.", mend)
    known: Shop | None = None
    if shop_path is not None:
        known, found = read_shop(shop_path)
        if known is None:
            raise Refused(found)
    with at_hand.opened(meant, create=True) as shop:
        says = []
        if shop_path is not None:
            text = read_text(shop_path)
            if text != shop.shop_text:
                how = "Changed" if shop.shop_text else "Put in"
                says.append(f"{how}: the settings of {known.name if known else ''}.")
            if stops := [f for f in shop.set_shop(text) if f.severity is Severity.ERROR]:
                raise Refused(stops)
        key, found = "", []
        if read:
            brought = brought_from(read.path, read.piece, known, shop_path, shop.facts)
            key, said, found = _put(shop, read, brought)
            says.append(said)
        return _tell(shop, key, " ".join(says) or "All of it is there already.", found, as_json)


def _has_shop(meant: Meant) -> bool:
    """Whether the shop's file is there and knows its shop."""
    if not shop_file(meant.file).exists():
        return False
    with at_hand.opened(meant, create=True) as shop:
        return bool(shop.shop_text)


def _read(path: Path, more: With) -> Read:
    """The piece, with the date and the name that were said in place of its own."""
    there(path)
    text, file = read_text(path), path.name
    piece, found = read_piece(text, path.name, load())
    if piece is None or any(f.severity is Severity.ERROR for f in found):
        raise Refused([f for f in found if f.severity is Severity.ERROR] or found)
    if more.by:
        read_date(more.by)
        text = wanted_by(text, more.by, more.for_)
    if more.name:
        text, file = renamed(text, more.name), f"{key_of(more.name)}.toml"
    piece, found = read_piece(text, path.name, load())
    if piece is None:
        raise Refused(found)
    return Read(path, text, piece, file, more)


def wanted_by(text: str, by: str, for_: str) -> str:
    """A piece's file with another date wanted, all else as it stands.

    >>> wanted_by('piece = "Shelf"  # oak\\n', "19 March 2027", "pack").splitlines()[-1]
    'wanted = [{ by = "19 March 2027", for = "pack" }]'
    """
    wanted = [{"by": by, "for": for_}]
    found = sections(text)
    if re.search(r"^\s*\[\[?\s*wanted\b", text, re.MULTILINE):
        return write_toml({**tomllib.loads(text), "wanted": wanted})
    head = "".join(text.splitlines(keepends=True)[: found[0][1] - 1]) if found else text
    return replaced(text, (), {**tomllib.loads(head), "wanted": wanted})


def _put(shop: ShopDesk, read: Read, brought: Brought) -> tuple[str, str, list[Finding]]:
    """Write it: a file put in before is changed, any other is new."""
    same = next((row for row in shop.pieces() if row.file == read.file), None)
    if same and read.more.name:
        raise RakelightError(f"{same.name} is there already, as {same.key}: say another name with --as.")
    if same is None:
        key, found = shop.add_piece(read.text, read.file, brought)
        if key is None:
            raise Refused(found)
        return key, f"Added: {read.piece.name}, as {key}.", found
    found = shop.change_piece(same.key, read.text, brought)
    if same.text == read.text:
        return same.key, f"{same.name} is there already, as {same.key}, and reads the same.", found
    return same.key, f"Changed: {read.piece.name} ({same.key}). What was told of it stays.", found


def _tell(shop: ShopDesk, key: str, says: str, found: list[Finding], as_json: bool) -> int:
    code = int(any(f.severity is Severity.ERROR for f in found))
    if as_json:
        rows = [finding_json(f) for f in found]
        data({"schema": 1, "says": says, "piece": key, "file": str(shop.path), "findings": rows})
        return code
    print("\n".join(wrapped(says, width(), "", "  ")))
    if found:
        print("\n".join(["", *finding_lines(found, width())]))
    return code


def pieces(meant: Meant, as_json: bool) -> None:
    """What is in the shop's file."""
    with at_hand.opened(meant) as shop:
        rows = shop.pieces()
        wanted = {row.key: _wanted(shop, row) for row in rows}
        if as_json:
            data({
                "schema": 1, "file": str(shop.path),
                "pieces": [{
                    "piece": row.key, "name": row.name, "file": row.file, "added": _when(row.added),
                    "finished": _when(row.finished), "put_away": row.put_away,
                    "wanted": [{"for": w.for_, "by": _when(w.by), "part": w.part} for w in wanted[row.key]],
                } for row in rows],
            })  # fmt: skip
            return
        if not rows:
            print("No piece is in it yet: `rakelight add PIECE.toml` puts one in.")
        wide = max((len(row.key) for row in rows), default=0)
        for row in rows:
            print("\n".join(wrapped(f"{row.key:<{wide}}  {row.name}, {_how(row, wanted[row.key])}", width(), "", "  ")))


def _wanted(shop: ShopDesk, row: PieceRow) -> list[Wish]:
    piece, _ = read_piece(row.text, row.file, shop.facts)
    return [Wish(w.for_, by_moment(shop.shop, w.by), w.part) for w in piece.wanted] if piece else []


def _when(moment: datetime | None) -> str | None:
    return moment.isoformat(timespec="minutes") if moment else None


def _how(row: PieceRow, wanted: list[Wish]) -> str:
    if row.finished:
        return f"finished {row.finished:%-d %B %Y}"
    if row.put_away:
        return "put away"
    days = ", ".join(f"{wish.by:%-d %B %Y}" for wish in wanted)
    return f"wanted by {days}" if days else "no date wanted"


_SET = {
    "finish": "finished: it leaves the plan",
    "put_away": "put away: it leaves the plan for now",
    "take_out": "at hand again",
}


def set_piece(meant: Meant, key: str, how: str, as_json: bool) -> None:
    """Finish, put away or take out a piece."""
    with at_hand.opened(meant) as shop:
        row = shop.piece(key)
        there_already = {"finish": bool(row.finished), "put_away": row.put_away, "take_out": row.at_hand}[how]
        if there_already:
            says = f"{row.name} is {_SET[how].split(':')[0]} already."
        else:
            getattr(shop, how)(key)
            says = f"{row.name} is {_SET[how]}."
        if as_json:
            data({"schema": 1, "says": says, "piece": key})
            return
        print(says)
