"""Sets a paper as PDF: a template of this folder, the content handed over as data."""

from __future__ import annotations

import io
import json
import re
import unicodedata
from collections.abc import Iterator
from dataclasses import asdict, dataclass
from functools import lru_cache
from pathlib import Path
from typing import Any

from rakelight.errors import RakelightError
from rakelight.papers.bench import BenchSheet
from rakelight.papers.render.glyphs import missing
from rakelight.papers.render.picture import for_print
from rakelight.papers.sheet_words import Head
from rakelight.papers.wrapping import together

PAPERS = {"a4": "a4", "letter": "us-letter"}
_HERE = Path(__file__).parent
#: plain upright faces, the first that is there; the last comes with the typesetter itself
_FACES = ("Liberation Sans", "Arial", "Helvetica", "Noto Sans", "DejaVu Sans", "Libertinus Serif")
#: words longer than this may be broken anywhere, so that none runs off the page
_LONG_WORD = 22
#: the stroke of a fraction; a grade as 0000 or a date has none
_FRACTION = re.compile(r"(?<=\d)/(?=\d{1,2}(?![\d/]))")
_BREAK = "\u200b"
#: fields that are no words to read
_AS_IT_IS = ("address", "task", "picture")
#: joiners that belong to a script or to a picture sign; every other sign that only steers is dropped
_KEPT_FORMAT = frozenset("\u200c\u200d")


@dataclass(frozen=True)
class Printed:
    """A paper set: the file's bytes, and the signs that no font at hand could set."""

    pdf: bytes
    lacks: tuple[str, ...]


def press(template: str, model: Any, head: Head, paper: str = "a4") -> Printed:
    """Set a content model by one of the templates of this folder.

    Parameters: template, its name without ending; model, a dataclass of words; paper, a4 or letter.
    Raises RakelightError where it cannot be set.
    """
    content = asdict(model)
    texts = list(words_of(content)) + list(words_of(asdict(head)))
    pdf = _set(template, _data(model, content, head, paper), "pdf")
    return Printed(pdf, tuple(missing((plain(text) for text in texts), _font_files())))


def first_page(template: str, model: Any, head: Head, paper: str = "a4", dots_an_inch: float = 40.0) -> bytes:
    """The first page of a paper as a small picture (PNG), to choose it by; parameters as of `press`."""
    return _set(template, _data(model, asdict(model), head, paper), "png", dots_an_inch)


def _data(model: Any, content: dict[str, Any], head: Head, paper: str) -> dict[str, Any]:
    data: dict[str, Any] = _printable({"model": content, "head": asdict(head)})
    data |= {"paper": PAPERS[paper], "faces": _faces(), "codes": _codes(model)}
    if "picture" in content:
        data["model"]["picture"] = for_print(content["picture"], data["faces"][0] if data["faces"] else "")
    return data


def _set(template: str, data: dict[str, Any], format: str, dots_an_inch: float = 144.0) -> bytes:
    import typst

    said = {"data": json.dumps(data)}
    try:
        made = _compiler(template).compile(sys_inputs=said, format=format, ppi=dots_an_inch)
    except typst.TypstError as bad:
        raise RakelightError(f"The paper {template!r} cannot be set: {bad}") from bad
    return bytes(made[0] if isinstance(made, list) else made)


@lru_cache(maxsize=16)
def _compiler(template: str) -> Any:
    import typst

    return typst.Compiler(str(_HERE / f"{template}.typ"), root=str(_HERE))


@lru_cache(maxsize=1)
def _fonts() -> tuple[Any, ...]:
    import typst

    return tuple(typst.Fonts().fonts())


def _faces() -> list[str]:
    known = {font.family for font in _fonts()}
    return [face for face in _FACES if face in known]


def _font_files() -> tuple[Path, ...]:
    return tuple(dict.fromkeys(Path(font.path) for font in _fonts() if font.path))


def words_of(content: Any) -> Iterator[str]:
    """Every text of a content model, in the order of its fields."""
    if isinstance(content, str):
        if content:
            yield content
    elif isinstance(content, dict):
        for value in content.values():
            yield from words_of(value)
    elif isinstance(content, list | tuple):
        for value in content:
            yield from words_of(value)


def plain(text: str) -> str:
    """Text without signs that only steer (they could turn a line about), blanks as single ones."""
    kept = (c if unicodedata.category(c) not in ("Cc", "Cf", "Cs", "Co") or c in _KEPT_FORMAT else
            " " if c.isspace() else "" for c in text)  # fmt: skip
    return "".join(kept)


def _printable(content: Any) -> Any:
    if isinstance(content, str):
        return re.sub(rf"\S{{{_LONG_WORD},}}", _breakable, _FRACTION.sub("⁄", together(plain(content))))
    if isinstance(content, dict):
        return {key: value if key in _AS_IT_IS else _printable(value) for key, value in content.items()}
    if isinstance(content, list | tuple):
        return [_printable(value) for value in content]
    return content


def _breakable(word: re.Match[str]) -> str:
    """A long word that may be broken before any sign that stands by itself."""
    signs = word.group()
    return "".join(_BREAK + c if n and n % 8 == 0 and not unicodedata.combining(c) and not _joined(signs, n) else c
                   for n, c in enumerate(signs))  # fmt: skip


def _joined(signs: str, at: int) -> bool:
    """Whether a sign is joined to the one before: picture signs made of several, letters of running scripts."""
    return (
        signs[at] in _KEPT_FORMAT or signs[at - 1] in _KEPT_FORMAT or 0xFE00 <= ord(signs[at]) <= 0xFE0F
        or 0x1F3FB <= ord(signs[at]) <= 0x1F3FF
    )  # fmt: skip


def _codes(model: Any) -> dict[str, str]:
    """The code that opens a step, drawn, by its address."""
    if not isinstance(model, BenchSheet):
        return {}
    found = {step.address for page in model.pages for step in page.steps if step.address}
    return {address: _code(address) for address in sorted(found)}


def _code(address: str) -> str:
    import segno

    drawn = io.BytesIO()
    segno.make(address, error="m", micro=False).save(drawn, kind="svg", scale=4, border=4)
    return drawn.getvalue().decode("utf-8")
