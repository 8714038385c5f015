"""The book of schedules: in the piece, beside it, in the shop's own book, and those that come with it."""

from __future__ import annotations

import re
import tomllib
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from difflib import get_close_matches
from pathlib import Path
from typing import Any

from rakelight.errors import Finding, Severity, Where
from rakelight.facts.load import Facts, load
from rakelight.facts.names import find_material
from rakelight.piece.model import Piece
from rakelight.reading import Table
from rakelight.schedule.file import read_inline, read_schedule
from rakelight.schedule.steps import Schedule
from rakelight.shop.model import Shop

#: the schedules that come with it
SHIPPED = Path(__file__).parent / "book"
_NAME = re.compile(r"\w[\w -]{0,98}\w|\w")
_TITLE = re.compile(r"^\s*schedule\s*=", re.MULTILINE)
_OTHER = re.compile(r"^\s*(?:piece|shop)\s*=", re.MULTILINE)
_HEADER = re.compile(r"^\s*\[", re.MULTILINE)
_HEAD_BYTES = 65_536


@dataclass(frozen=True)
class Shelf:
    """A folder of schedules, and what the book calls it: piece, own, shipped."""

    folder: Path
    called: str


class Book:
    """Schedules by name. Nothing is read before it is asked for, and each only once."""

    def __init__(
        self,
        *folders: Path,
        inline: Mapping[str, Table] | None = None,
        facts: Facts | None = None,
        beside: Path | None = None,
        written: Mapping[str, Mapping[str, str]] | None = None,
    ) -> None:
        """A book.

        Parameters: folders, the maker's own books, the first found rules; inline, [schedule.NAME] tables of
        the piece; beside, the folder of the piece; written, texts by name, under what the book calls them (piece,
        own), looked at before the folders. The schedules that come with it are looked at last.
        """
        own = [Shelf(folder, "own") for folder in folders]
        self.shelves = [*([Shelf(beside, "piece")] if beside else []), *own, Shelf(SHIPPED, "shipped")]
        self.inline = dict(inline or {})
        self.written = {called: dict(texts) for called, texts in (written or {}).items()}
        self._facts = facts
        self._read: dict[str, tuple[Schedule | None, list[Finding]]] = {}

    @classmethod
    def beside(
        cls,
        piece: Piece,
        piece_path: Path,
        shop: Shop,
        facts: Facts | None = None,
        shop_path: Path | None = None,
    ) -> Book:
        """The book a piece is made from: in its file, beside it, in the shop's own book, as shipped.

        The shop's `book` folder is sought from the shop's file where that is known, else from the piece's.
        """
        home = shop_path.parent if shop_path else piece_path.parent
        folders = [home / shop.book] if shop.book else []
        return cls(*folders, inline=piece.schedules, facts=facts, beside=piece_path.parent)

    def with_more(self, schedules: Iterable[Schedule]) -> Book:
        """The same book with further schedules, which go before any of the same name."""
        more = Book(inline=self.inline, facts=self._facts)
        more.shelves = self.shelves
        more._read = {**self._read, **{schedule.name: (schedule, []) for schedule in schedules}}
        return more

    @property
    def facts(self) -> Facts:
        """The tables the schedules are read with."""
        if self._facts is None:
            self._facts = load()
        return self._facts

    def find(self, name: str) -> Schedule | None:
        """The schedule of a name, None where there is none or it is faulty (`why` says more)."""
        schedule, findings = self.read(name)
        return None if any(f.severity is Severity.ERROR for f in findings) else schedule

    def read(self, name: str) -> tuple[Schedule | None, list[Finding]]:
        """As much of a schedule as can be read, and what is wrong in it; (None, []) where there is none."""
        if name not in self._read:
            self._read[name] = self._open(name)
        return self._read[name]

    def why(self, name: str, where: Where | None = None) -> list[Finding]:
        """Why `find` gave none: the faults of the schedule, or that there is none of that name."""
        schedule, findings = self.read(name)
        return findings if schedule or findings else [self.unknown(name, where)]

    def unknown(self, name: str, where: Where | None = None) -> Finding:
        """A finding for a name no schedule has, with the nearest one that is there."""
        names = self.names()
        materials = find_material(self.facts, name[:60]).ids
        near = get_close_matches(name[:60].casefold(), names, 1, 0.8 if materials else 0.5)
        says = f"{name[:60]!r} is not a schedule of the piece or of the book."
        mend = f'Did you mean "{near[0]}"?' if near else f"Schedules here: {', '.join(names)}."
        if materials and not near:
            says = f"{name[:60]!r} is a finish, not a schedule of the piece or of the book."
            using = self.using(materials)
            mend = f"Schedules that lay it: {', '.join(using)}." if using else f"No schedule lays it. {mend}"
        return Finding("unknown-schedule", Severity.ERROR, where or Where(), says, mend)

    def using(self, materials: Iterable[str]) -> list[str]:
        """Names of the schedules that lay one of some materials, by id."""
        wanted = set(materials)
        return [s.name for s in self.all() if any(step.material in wanted for step in s.steps)]

    @property
    def findings(self) -> list[Finding]:
        """What is wrong in the schedules asked for so far."""
        return [finding for _, found in self._read.values() for finding in found]

    def names(self) -> list[str]:
        """Names of all schedules, those nearest the piece first; nothing is parsed for it."""
        found = [*self.inline, *(name for texts in self.written.values() for name in sorted(texts))]
        for shelf in self.shelves:
            found += sorted(path.stem for path in _files(shelf.folder) if _is_schedule(path))
        return list(dict.fromkeys(found))

    def all(self) -> list[Schedule]:
        """Every schedule that can be used, in the order of `names`."""
        return [schedule for name in self.names() if (schedule := self.find(name))]

    def text_of(self, name: str) -> tuple[str, str] | None:
        """Where a schedule stands (piece, own) and its text; None for one that is in the piece or came with it.

        Raises OSError or UnicodeDecodeError where it cannot be read.
        """
        for called, texts in self.written.items():
            if name in texts:
                return called, texts[name]
        for shelf in self.shelves:
            path = shelf.folder / f"{name}.toml"
            if path.is_file() and not _is_other(path) and name not in self.inline and _NAME.fullmatch(name):
                return None if shelf.called == "shipped" else (shelf.called, path.read_text("utf-8"))
        return None

    def written_as(self, name: str) -> dict[str, Any]:
        """A schedule as its file has it, nothing filled in; empty where there is none that can be read."""
        if name in self.inline:
            return dict(self.inline[name].data)
        kept = next((texts[name] for texts in self.written.values() if name in texts), None)
        paths = [shelf.folder / f"{name}.toml" for shelf in self.shelves] if _NAME.fullmatch(name) else []
        try:
            text = kept if kept is not None else next((p.read_text("utf-8") for p in paths if p.is_file()), "")
            return tomllib.loads(text)
        except (OSError, UnicodeDecodeError, tomllib.TOMLDecodeError):
            return {}

    def _open(self, name: str) -> tuple[Schedule | None, list[Finding]]:
        if name in self.inline:
            schedule, findings = read_inline(self.inline[name], name, self.facts)
            return (replace(schedule, book="piece") if schedule else None), findings
        if not _NAME.fullmatch(name):
            return None, []
        for called, texts in self.written.items():
            if name in texts:
                schedule, findings = read_schedule(texts[name], f"{name}.toml", self.facts)
                return (replace(schedule, book=called) if schedule else None), findings
        for shelf in self.shelves:
            path = shelf.folder / f"{name}.toml"
            if path.is_file() and not _is_other(path):
                schedule, findings = read_schedule(path, facts=self.facts)
                return (replace(schedule, book=shelf.called) if schedule else None), findings
        return None, []


def _files(folder: Path) -> list[Path]:
    try:
        return [path for path in folder.glob("*.toml") if path.is_file()]
    except OSError:
        return []


def _head(path: Path) -> str:
    """The opening of a file, up to its first header."""
    try:
        with path.open("rb") as file:
            written = file.read(_HEAD_BYTES).decode("utf-8", "replace")
    except OSError:
        return ""
    header = _HEADER.search(written)
    return written[: header.start()] if header else written


def _is_schedule(path: Path) -> bool:
    """Whether a file says that it is a schedule."""
    return bool(_TITLE.search(_head(path)))


def _is_other(path: Path) -> bool:
    """Whether a file says that it is a piece or a shop."""
    return bool(_OTHER.search(_head(path)))
