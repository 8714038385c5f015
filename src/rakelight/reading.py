"""Reads a TOML file so that every fault is found at once, each with its line and what to write instead."""

from __future__ import annotations

import tomllib
from collections.abc import Callable, Iterable
from dataclasses import dataclass, field
from difflib import get_close_matches
from pathlib import Path
from typing import Any, TypeVar

from rakelight.errors import Finding, Misread, NotFound, Severity, Where
from rakelight.toml_lines import Spot, index_lines
from rakelight.units.numbers import said

T = TypeVar("T")

#: a maker's file is a page or two; anything larger is the wrong file
LARGEST_BYTES = 2_000_000


@dataclass
class Doc:
    """A file read as TOML: its tables, and the findings collected so far (shared by all its tables)."""

    name: str
    data: dict[str, Any]
    lines: dict[Spot, int]
    findings: list[Finding] = field(default_factory=list)

    @property
    def root(self) -> Table:
        """The whole file as a table."""
        return Table(self, self.data, ())

    @property
    def ok(self) -> bool:
        """Whether nothing found so far is an error."""
        return not any(f.severity is Severity.ERROR for f in self.findings)


@dataclass(frozen=True)
class Table:
    """One table of a file. Values are taken by key and parsed; what cannot be read becomes a finding."""

    doc: Doc
    data: dict[str, Any]
    path: Spot

    def __contains__(self, key: str) -> bool:
        return key in self.data

    def line(self, *path: str | int) -> int:
        """Line of a key below this table, or of the table itself; falls back to the nearest one known."""
        spot = (*self.path, *path)
        while spot and spot not in self.doc.lines:
            spot = spot[:-1]
        return self.doc.lines.get(spot, 1)

    def where(self, *path: str | int) -> Where:
        """File, line and, inside a part, the part."""
        part = str(self.path[1]) if len(self.path) > 1 and self.path[0] == "part" else ""
        return Where(file=self.doc.name, line=self.line(*path), part=part)

    def fault(
        self,
        id: str,
        says: str,
        mend: str,
        *path: str | int,
        severity: Severity = Severity.ERROR,
    ) -> None:
        """Add a finding at a key of this table."""
        self.doc.findings.append(Finding(id, severity, self.where(*path), says, mend))

    def take(self, key: str, parse: Callable[[Any], T]) -> T | None:
        """The parsed value of a key; None where the key is absent or cannot be read (then a finding)."""
        return self.take_value(key, self.data[key], parse) if key in self.data else None

    def take_value(self, key: str, value: Any, parse: Callable[[Any], T]) -> T | None:
        """One value that stands below a key, parsed; a finding at that key where it cannot be read."""
        try:
            return parse(value)
        except Misread as bad:
            self.fault("misread", f"{key}: {bad.says}", bad.mend, key)
            return None

    def need(self, key: str, parse: Callable[[Any], T], mend: str) -> T | None:
        """As `take`, but an absent key is a finding too."""
        if key not in self.data:
            self.fault("missing", f"{key} is missing.", mend)
            return None
        return self.take(key, parse)

    def child(self, key: str) -> Table | None:
        """A table below a key; None where absent; a finding where it is not a table."""
        value = self.data.get(key)
        if value is None:
            return None
        if not isinstance(value, dict):
            self.fault("misread", f"{key} must be a table.", f"Write {key} = {{ ... }} or [{key}].", key)
            return None
        return Table(self.doc, value, (*self.path, key))

    def children(self, key: str) -> list[Table]:
        """Tables of a list below a key (empty where absent); what is not a table is a finding."""
        value = self.data.get(key)
        if value is None:
            return []
        if not isinstance(value, list):
            self.fault("misread", f"{key} must be a list of tables.", f"Write {key} = [{{ ... }}, ...].", key)
            return []
        found = []
        for at, item in enumerate(value):
            if isinstance(item, dict):
                found.append(Table(self.doc, item, (*self.path, key, at)))
            else:
                self.fault("misread", f"{key}: {said(item)} is not a table.", "Write { ... } here.", key, at)
        return found

    def only(self, known: Iterable[str], what: str) -> None:
        """A finding for every key that is not known, naming the nearest one that is."""
        known = list(known)
        for key in self.data:
            if key in known:
                continue
            near = get_close_matches(key, known, 1, 0.5)
            mend = f"Did you mean {near[0]}?" if near else f"Known here: {', '.join(known)}."
            self.fault("unknown-key", f"{key} is not a key of {what}.", mend, key)


def text(value: Any) -> str:
    """A word or phrase; raises Misread for anything else or for nothing."""
    if not isinstance(value, str) or not value.strip():
        raise Misread(f"{said(value)} is not text.", 'Write it in quotes, as "walnut".')
    return value.strip()


def texts(value: Any) -> tuple[str, ...]:
    """One word, or a list of them."""
    if isinstance(value, list):
        return tuple(text(v) for v in value)
    return (text(value),)


def flag(value: Any) -> bool:
    """true or false."""
    if not isinstance(value, bool):
        raise Misread(f"{said(value)} is neither true nor false.", "Write true or false.")
    return value


def choice(*words: str) -> Callable[[Any], str]:
    """A parser that takes one of some words."""

    def parse(value: Any) -> str:
        word = text(value)
        if word in words:
            return word
        near = get_close_matches(word, words, 1, 0.5)
        mend = f"Did you mean {near[0]}?" if near else f"Write one of: {', '.join(words)}."
        raise Misread(f"{said(word)} is not known here.", mend)

    return parse


def whole(least: int = 1, most: int = 10_000) -> Callable[[Any], int]:
    """A parser for a whole number within bounds."""

    def parse(value: Any) -> int:
        if isinstance(value, bool) or not isinstance(value, int) or not least <= value <= most:
            raise Misread(
                f"{said(value)} is not a whole number from {least} to {most}.", "Write for example 3."
            )
        return value

    return parse


def number(least: float, most: float, example: str) -> Callable[[Any], float]:
    """A parser for a finite number within bounds."""

    def parse(value: Any) -> float:
        good = isinstance(value, int | float) and not isinstance(value, bool)
        if not good or not least <= value <= most:
            raise Misread(f"{said(value)} is not a number from {least:g} to {most:g}.", f"Write {example}.")
        return float(value)

    return parse


def read_toml(source: Path | bytes | str, name: str = "") -> Doc:
    """A file, or its content, read as TOML; faults of the file itself stand in `Doc.findings`.

    Raises NotFound where a path leads to no file.
    """
    if isinstance(source, Path):
        name = name or source.name
        try:
            if source.stat().st_size > LARGEST_BYTES:
                return _spoilt(
                    name, 0, f"{name} is larger than 2 MB.", "Name the piece, schedule or shop file."
                )
            raw = source.read_bytes()
        except OSError as bad:
            raise NotFound(f"{source}: {bad.strerror or 'cannot be read'}.") from bad
    else:
        raw = source.encode() if isinstance(source, str) else source
    if len(raw) > LARGEST_BYTES:
        return _spoilt(name, 0, f"{name} is larger than 2 MB.", "Name the piece, schedule or shop file.")
    return _parse(raw, name)


def _parse(raw: bytes, name: str) -> Doc:
    try:
        written = raw.decode("utf-8-sig").replace("\r\n", "\n")
    except UnicodeDecodeError as bad:
        line = raw[: bad.start].count(b"\n") + 1
        return _spoilt(name, line, "this is not UTF-8 text.", "Save the file as UTF-8.")
    if not written.strip():
        return _spoilt(name, 1, "the file is empty.", _EMPTY)
    try:
        data = tomllib.loads(written)
        return Doc(name, data, index_lines(written))
    except RecursionError:
        return _spoilt(name, 1, "brackets are nested too deep.", "Write lists and tables two or three deep.")
    except (tomllib.TOMLDecodeError, ValueError) as bad:
        line, says, mend = _toml_fault(str(bad), written)
        return _spoilt(name, line, says, mend)


_EMPTY = 'A piece begins with piece = "Side table", a schedule with schedule = "Oil", a shop with shop = "Back yard".'

#: how the library begins a fault of the text; what is wrong in plain words, and what to write
_TOML_FAULTS = (
    ("Invalid value", "what stands after = is neither a number nor in quotes.",
     'Words and lengths want quotes: "1 3/8 in".'),
    ("Expected newline", "more stands on the line than one value.",
     'One key a line; words and lengths want quotes: "1 3/8 in".'),
    ("Unterminated string", "a quote is opened and never closed.",
     "Close it; an inch mark within quotes is written in, or \\\"."),
    ("Illegal character '\\n'", "a quote is opened and not closed on its line.",
     "Close it; an inch mark within quotes is written in, or \\\"."),
    ("Unescaped", "a backslash stands in quotes.", "Leave it out; before an inch mark it stays: \\\"."),
    ("Expected ']", "the bracket of a heading is not closed.", "Write it as [part.top]."),
    ("Cannot declare", "this heading stands twice.", "Give the second part another name, or write count = 2."),
    ("Cannot overwrite", "this key stands twice.", "Keep one of the two."),
    ("Duplicate inline", "a key stands twice between { and }.", "Keep one of the two."),
    ("Unclosed inline table", "what begins with { is not closed on its line.", "Keep all from { to } on one line."),
    ("Unclosed array", "a list is opened with [ and never closed, or a comma is missing in it.",
     "Write it as [120, 150, 180]."),
    ("Cannot mutate", "this is told already, further up.", "Write it all in one place."),
    ("Cannot redefine", "this is told already, further up.", "Write it all in one place."),
    ("Invalid date", "there is no such date.", 'Write it in quotes: "19 March 2027".'),
    ("Invalid initial", "a key cannot begin so.",
     "Write key = value, or begin the line with # to keep it as a remark."),
    ("Invalid statement", "the line is neither a key with a value nor a heading.",
     "Write key = value, or begin the line with # to keep it as a remark."),
    ("Expected '='", "after the key no = follows.",
     "Write key = value, or begin the line with # to keep it as a remark."),
)  # fmt: skip


def _toml_fault(message: str, written: str) -> tuple[int, str, str]:
    """Line of a TOML fault, what is wrong in plain words, and what to write."""
    words, _, place = message.partition(" (at ")
    line = int(place.split()[1].rstrip(",")) if place.startswith("line ") else written.count("\n") + 1
    for begins, says, mend in _TOML_FAULTS:
        if words.startswith(begins):
            return line, says, mend
    return line, f"{words}.", "Write key = value, words in quotes, each key once under its heading."


def _spoilt(name: str, line: int, says: str, mend: str) -> Doc:
    found = Finding("not-read", Severity.ERROR, Where(file=name, line=line), says, mend)
    return Doc(name, {}, {}, [found])
