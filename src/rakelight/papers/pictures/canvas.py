"""What every picture is drawn with: the tokens of the look, a sheet that collects shapes, words and their width.

A picture is plain SVG from a typed model. Colours are CSS variables with the day's value before them, so that a
reader without variables still shows it; on paper all is ink on white.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from xml.sax.saxutils import escape, quoteattr

Point = tuple[float, float]
Rules = Sequence[tuple[str, str]]

#: day, night, paper. Source: the tokens of the look
TOKENS = {
    "board": ("#f7f8f5", "#191e20", "#fff"), "sunk": ("#d9ddd8", "#242a2d", "#eee"),
    "ink": ("#171d1e", "#eceee9", "#000"), "ink-2": ("#465154", "#b4bdba", "#000"),
    "line": ("#6f7a7b", "#7f8b8b", "#000"), "hair": ("#c3c9c5", "#343c3f", "#777"),
    "lamp": ("#f0ae45", "#f2b552", "#fff"), "lamp-ink": ("#784700", "#f4bf69", "#000"),
    "shade": ("#5b6d85", "#8499b4", "#000"), "shade-soft": ("#b9c4d1", "#3d4a5b", "#fff"),
    "shade-ink": ("#33465e", "#b3c5dc", "#000"), "stop": ("#9f1d16", "#ff9a8b", "#000"),
    "wall": ("#1b2123", "#0a0c0d", "#fff"),
    "wood": ("#c99a78", "#5c3d2b", "#fff"), "ray": ("#8f5c3c", "#a47450", "#000"),
    "oil": ("#a9693f", "#7b4a2a", "#fff"), "fill": ("#efe6d2", "#8d8168", "#fff"),
    "c1": ("#f4dfae", "#7d5f28", "#fff"), "c2": ("#e9c983", "#6d511f", "#fff"),
}  # fmt: skip

#: words in pictures, px; the least anywhere
WORDS_PX = 16.0

#: rules of the words in every picture
WORDS: Rules = (
    ("text", f"font-family:system-ui,sans-serif;font-size:{WORDS_PX:g}px;fill:@ink;font-variant-numeric:tabular-nums"),
    (".b", "font-weight:700"),
    (".q", "fill:@ink-2"),
    (".m", "text-anchor:middle"),
    (".e", "text-anchor:end"),
    (".plate", "paint-order:stroke;stroke:@board;stroke-width:5px;stroke-linejoin:round"),
)

#: width of letters over their height, of a wide face; measured roughly, on the wide side
_NARROW, _SLIM, _BROAD = "iljI.,:;'|! ", "frt()[]-/", "mwMW@%…"
_WIDTHS = {**dict.fromkeys(_NARROW, 0.33), **dict.fromkeys(_SLIM, 0.41), **dict.fromkeys(_BROAD, 0.97)}
_LOWER, _UPPER, _BOLD = 0.605, 0.7, 1.1

#: what XML 1.0 does not allow in a text
_NOT_XML = re.compile("[^\t\n\r\x20-\ud7ff\ue000-\ufffd\U00010000-\U0010ffff]")


def clean(words: str) -> str:
    """Words a maker typed, without characters no picture may hold."""
    return _NOT_XML.sub("", words)


def words_width(words: str, bold: bool = False) -> float:
    """How wide words are drawn at most, px.

    >>> words_width("ill") < words_width("own")
    True
    """
    wide = sum(_WIDTHS.get(c, _UPPER if c.isupper() else 1.0 if ord(c) > 0x2E7F else _LOWER) for c in words)
    return wide * WORDS_PX * (_BOLD if bold else 1.0)


def fitted(words: str, width: float, bold: bool = False) -> str:
    """Words cut to a width with a mark that more follows."""
    if words_width(words, bold) <= width:
        return words
    while words and words_width(words + "…", bold) > width:
        words = words[:-1]
    return words.rstrip() + "…"


def num(value: float) -> str:
    """A coordinate: to a tenth of a px, no idle zeros.

    >>> num(12.0), num(3.14159), num(-0.01)
    ('12', '3.1', '0')
    """
    text = f"{value:.1f}".rstrip("0").rstrip(".")
    return "0" if text == "-0" else text


class Sheet:
    """A picture while it is drawn."""

    def __init__(self, width: float, height: float, title: str, says: str, rules: Rules, inline: str = "") -> None:
        """Parameters: title, says, for those who cannot see it; rules, selectors and declarations where @name
        is a token; inline, a name that makes ids and rules its own where the page already holds the tokens."""
        self.width, self.height = width, height
        self.inline = inline
        self._title, self._says, self._rules = title, says, (*WORDS, *rules)
        self._shapes: list[str] = []
        self._defs: list[str] = []

    def id(self, name: str) -> str:
        """An id of this picture."""
        return f"{self.inline}-{name}" if self.inline else name

    def define(self, shape: str) -> None:
        """A gradient or pattern."""
        self._defs.append(shape)

    def rect(self, cls: str, x: float, y: float, width: float, height: float) -> None:
        """A rectangle; none where it has no width or height."""
        if width > 0 and height > 0:
            self._add(f'<rect class="{cls}" x="{num(x)}" y="{num(y)}" width="{num(width)}" height="{num(height)}"/>')

    def polygon(self, cls: str, points: Iterable[Point]) -> None:
        """A closed shape."""
        self._add(f'<polygon class="{cls}" points="{_points(points)}"/>')

    def line(self, cls: str, *points: Point) -> None:
        """A line through points."""
        self._add(f'<polyline class="{cls}" points="{_points(points)}"/>')

    def path(self, cls: str, d: str) -> None:
        """A path, its data as SVG has them."""
        self._add(f'<path class="{cls}" d="{d}"/>')

    def circle(self, cls: str, at: Point, r: float) -> None:
        """A circle."""
        self._add(f'<circle class="{cls}" cx="{num(at[0])}" cy="{num(at[1])}" r="{num(r)}"/>')

    def text(self, x: float, y: float, words: str, cls: str = "", turn: float = 0.0) -> None:
        """Words; turn, degrees about their own point."""
        named = f' class="{cls}"' if cls else ""
        turned = f' transform="rotate({turn:g} {num(x)} {num(y)})"' if turn else ""
        self._add(f'<text x="{num(x)}" y="{num(y)}"{named}{turned}>{escape(clean(words))}</text>')

    def read(self, x: float, y: float, width: float, height: float, says: str) -> None:
        """A place whose figures a page may tell when it is touched; nothing is drawn."""
        if width > 0 and height > 0:
            place = f'x="{num(x)}" y="{num(y)}" width="{num(width)}" height="{num(height)}"'
            self._add(f'<rect fill="none" {place} data-says={quoteattr(clean(says))}/>')

    def _add(self, shape: str) -> None:
        self._shapes.append(shape)

    def svg(self) -> str:
        """The finished picture."""
        t, d = self.id("t"), self.id("d")
        wide, high = num(self.width), num(self.height)
        size = f'viewBox="0 0 {wide} {high}" width="{wide}" height="{high}"'
        own = f" id={quoteattr(self.inline)}" if self.inline else ""
        head = f'<svg xmlns="http://www.w3.org/2000/svg"{own} {size} role="img" aria-labelledby="{t} {d}">'
        title, says = escape(clean(self._title)), escape(clean(self._says))
        return "\n".join([
            head, f'<title id="{t}">{title}</title>', f'<desc id="{d}">{says}</desc>',
            f"<style>\n{self._style()}\n</style>", f"<defs>{''.join(self._defs)}</defs>", *self._shapes, "</svg>\n",
        ])  # fmt: skip

    def _style(self) -> str:
        scope = f"#{self.inline} " if self.inline else ""
        lines = [] if self.inline else _token_lines(self.width > self.height)
        paper = [(s.removeprefix("paper "), d) for s, d in self._rules if s.startswith("paper ")]
        for selector, declarations in self._rules:
            if not selector.startswith("paper "):
                lines.append(_rule(scope, selector, declarations))
        if paper:
            lines.append("@media print{" + "".join(_rule(scope, s, d) for s, d in paper) + "}")
        return "\n".join(lines)


def _token_lines(lying: bool) -> list[str]:
    """The tokens by day, by night and on paper, which it fills; lying, on its side."""

    def all_of(which: int) -> str:
        return "svg{" + ";".join(f"--{name}:{values[which]}" for name, values in TOKENS.items()) + "}"

    return [
        all_of(0),
        "@media (prefers-color-scheme:dark){" + all_of(1) + "}",
        "@media print{" + all_of(2) + "svg{width:100%;height:auto;max-height:100vh}}",
        *(["@page{size:landscape}"] if lying else []),
    ]


def _rule(scope: str, selector: str, declarations: str) -> str:
    """One rule: each token twice, as the day's value and as the variable that overrules it."""
    chosen = ",".join(scope + one for one in selector.split(","))
    said = []
    for declaration in declarations.split(";"):
        if "@" in declaration:
            said.append(re.sub(r"@([\w-]+)", lambda m: TOKENS[m[1]][0], declaration))
        said.append(re.sub(r"@([\w-]+)", r"var(--\1)", declaration))
    return f"{chosen}{{{';'.join(said)}}}"


def _points(points: Iterable[Point]) -> str:
    return " ".join(f"{num(x)},{num(y)}" for x, y in points)
