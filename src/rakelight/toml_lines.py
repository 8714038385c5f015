"""Lines of the headers and keys of a TOML text, which the standard reader does not give.

A light index: the text has already been read as valid TOML, so nothing is checked here.
"""

from __future__ import annotations

Spot = tuple[str | int, ...]


class _Scanner:
    def __init__(self, text: str) -> None:
        self.text = text
        self.at = 0
        self.line = 1
        self.lines: dict[Spot, int] = {}
        self.counts: dict[Spot, int] = {}
        self.headers: list[tuple[Spot, int]] = []

    def peek(self) -> str:
        return self.text[self.at] if self.at < len(self.text) else ""

    def step(self, n: int = 1) -> None:
        self.line += self.text.count("\n", self.at, self.at + n)
        self.at += n

    def skip(self, spaces: str = " \t\n\r,") -> None:
        while self.at < len(self.text):
            if self.peek() == "#":
                end = self.text.find("\n", self.at)
                self.step((end if end >= 0 else len(self.text)) - self.at)
            elif self.peek() in spaces:
                self.step()
            else:
                return

    def string(self) -> str:
        quote = self.peek()
        if self.text.startswith(quote * 3, self.at):
            close, start = quote * 3, self.at + 3
        else:
            close, start = quote, self.at + 1
        end = start
        while end < len(self.text) and not self.text.startswith(close, end):
            end += 2 if quote == '"' and self.text[end] == "\\" else 1
        inner = self.text[start:end]
        self.step(end + len(close) - self.at)
        while len(close) == 3 and self.peek() == quote:
            self.step()
        return inner

    def key(self) -> tuple[str, ...]:
        words: list[str] = []
        while True:
            self.skip(" \t")
            if self.peek() in "\"'":
                words.append(self.string())
            else:
                start = self.at
                while self.peek() and self.peek() not in " \t.=]\n":
                    self.step()
                words.append(self.text[start : self.at])
            self.skip(" \t")
            if self.peek() != ".":
                return tuple(words)
            self.step()

    def value(self, spot: Spot) -> None:
        first = self.peek()
        if first in "\"'":
            self.string()
        elif first == "[":
            self.step()
            self.members(spot, "]")
        elif first == "{":
            self.step()
            self.members(spot, "}")
        else:
            while self.peek() and self.peek() not in ",]}\n#":
                self.step()

    def members(self, spot: Spot, close: str) -> None:
        number = 0
        while True:
            self.skip()
            if not self.peek() or self.peek() == close:
                self.step()
                return
            if close == "]":
                self.lines[(*spot, number)] = self.line
                self.value((*spot, number))
                number += 1
            else:
                self.pair(spot)

    def pair(self, spot: Spot) -> None:
        line = self.line
        full = (*spot, *self.key())
        for n in range(len(spot) + 1, len(full) + 1):
            self.lines.setdefault(full[:n], line)
        self.skip(" \t=")
        self.value(full)

    def header(self) -> Spot:
        line, many = self.line, self.text.startswith("[[", self.at)
        self.step(2 if many else 1)
        spot = self.placed(self.key())
        self.skip(" \t")
        self.step(2 if many else 1)
        if many:
            number = self.counts.get(spot, -1) + 1
            self.counts[spot] = number
            self.lines.setdefault(spot, line)
            spot = (*spot, number)
        for n in range(1, len(spot) + 1):
            self.lines.setdefault(spot[:n], line)
        self.headers.append((spot, line))
        return spot

    def placed(self, words: tuple[str, ...]) -> Spot:
        """A header's path with the number of the latest member of each list on the way."""
        spot: Spot = ()
        for at, word in enumerate(words):
            spot = (*spot, word)
            if at < len(words) - 1 and spot in self.counts:
                spot = (*spot, self.counts[spot])
        return spot


def index_lines(text: str) -> dict[Spot, int]:
    """Line, counted from 1, of every table and key of a valid TOML text, by path.

    >>> lines = index_lines('a = 1\\n[part.top]\\nsteps = [\\n  { do = "sand" },\\n]')
    >>> lines["part", "top", "steps", 0, "do"]
    4
    """
    return _scanned(text).lines


def sections(text: str) -> list[tuple[Spot, int]]:
    """Headings of a valid TOML text in order: path and line, counted from 1.

    >>> sections("a = 1\\n[part.top]\\n[[part.top.extra]]")
    [(('part', 'top'), 2), (('part', 'top', 'extra', 0), 3)]
    """
    return _scanned(text).headers


def _scanned(text: str) -> _Scanner:
    scan = _Scanner(text)
    spot: Spot = ()
    while True:
        scan.skip()
        if not scan.peek():
            return scan
        if scan.peek() == "[":
            spot = scan.header()
        else:
            scan.pair(spot)
