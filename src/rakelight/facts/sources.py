"""Source codes of the tables turned into words and a kind.

A source cell is a list of items parted by ";". An item begins with one code of ``sources.csv`` (or several,
with commas), then any remark. The first code is that of the likely value and gives the kind.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass

from rakelight.errors import NotFound, SourceKind
from rakelight.facts.records import Source

_CODE = re.compile(r"[A-Za-z0-9][A-Za-z0-9.\-]*")


@dataclass(frozen=True)
class Origin:
    """One line of the list of sources."""

    code: str
    what: str
    kind: SourceKind
    read: str  # how much of it was read, where not the whole

    @property
    def words(self) -> str:
        """The words a person sees."""
        return f"{self.what} ({self.read})" if self.read else self.what


class Sources:
    """Looks up codes; remembers each cell it has read."""

    def __init__(self, origins: Mapping[str, Origin]) -> None:
        self.origins = dict(origins)
        self._seen: dict[str, Source] = {}

    def words(self, code: str) -> str:
        """Words of one code.

        Raises:
            NotFound: no such code in the list of sources.
        """
        if code not in self.origins:
            raise NotFound(f"the list of sources has no code {code!r}")
        return self.origins[code].words

    def read(self, cell: str) -> Source:
        """Source of a cell as written in a table.

        Raises:
            NotFound: the cell is empty or does not begin with a code of the list of sources.
        """
        found = self._seen.get(cell)
        if found is None:
            found = self._seen[cell] = self._resolve(cell)
        return found

    def _resolve(self, cell: str) -> Source:
        said: list[str] = []
        kind: SourceKind | None = None
        for item in split_items(cell):
            codes, remark = self._take_codes(item)
            if kind is None:
                if not codes:
                    raise NotFound(f"source {cell!r} does not begin with a code of the list of sources")
                kind = self.origins[codes[0]].kind
            words = ", ".join(self.origins[code].words for code in codes)
            said.append(f"{words} {remark}".strip() if words else remark)
        if kind is None:
            raise NotFound("a fact without a source")
        return Source("; ".join(said), kind)

    def _take_codes(self, item: str) -> tuple[list[str], str]:
        codes: list[str] = []
        at = 0
        while match := _CODE.match(item, at):
            if match.group() not in self.origins:
                break
            codes.append(match.group())
            at = match.end()
            if comma := re.compile(r"\s*,\s*").match(item, at):
                at = comma.end()
            else:
                break
        return codes, item[at:].strip(" ,")


def split_items(cell: str) -> list[str]:
    """Parts of a cell between semicolons that do not stand inside brackets.

    >>> split_items("S7; M (high; low too)")
    ['S7', 'M (high; low too)']
    """
    parts, depth, start = [], 0, 0
    for at, mark in enumerate(cell):
        if mark == "(":
            depth += 1
        elif mark == ")":
            depth -= 1
        elif mark == ";" and depth == 0:
            parts.append(cell[start:at].strip())
            start = at + 1
    parts.append(cell[start:].strip())
    return [part for part in parts if part]
