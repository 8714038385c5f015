"""Writes the files of the language: a piece, a schedule or a shop as plain tables, back to TOML as a maker would.

What is read again is what was written: words stay as they were typed, nothing is turned into another unit.
"""

from __future__ import annotations

import math
import re
import tomllib
from collections.abc import Iterable, Mapping
from datetime import date, datetime, time
from typing import Any

from rakelight.toml_lines import Spot, sections

#: lists and tables that fit stay on one line
_WIDTH = 100
_BARE = re.compile(r"[A-Za-z0-9_-]+")
_ESCAPES = {"\\": "\\\\", '"': '\\"', "\b": "\\b", "\t": "\\t", "\n": "\\n", "\f": "\\f", "\r": "\\r"}
#: keys whose tables get headers of their own; all others are written in one line
_HEADED = ("part", "schedule", "place")


def write_toml(data: Mapping[str, Any]) -> str:
    """A whole file as TOML, in the style of the language: keys first, then a heading for each part or place.

    Parameters: data, as the standard reader gives it. Returns text that reads back equal.

    >>> print(write_toml({"piece": "Shelf", "part": {"board": {"wood": "cherry", "thick": "7/8"}}}), end="")
    piece = "Shelf"
    <BLANKLINE>
    [part.board]
    wood = "cherry"
    thick = "7/8"
    """
    blocks = []
    first = [f"{_key(k)} = {_value(v, len(k))}\n" for k, v in data.items() if not _is_headed(k, v)]
    if first:
        blocks.append("".join(first))
    for key, value in data.items():
        if _is_headed(key, value):
            blocks += [_section((key, name), table) for name, table in value.items()]
    return "\n".join(blocks)


def replaced(text: str, path: Spot, table: Mapping[str, Any] | None) -> str:
    """A file with one of its tables written anew, all else as it stands, remarks too.

    Parameters: text, valid TOML; path, as ("part", "case"), or () for the keys above the first heading;
    table, what is to stand there, None to take it out. A table that has no heading of its own, or that stands
    in pieces, makes the whole be written anew; remarks at the head of the file stay even then.
    """
    lines = text.splitlines(keepends=True)
    if lines and not lines[-1].endswith("\n"):
        lines[-1] += "\n"
    found = sections(text)
    if not path:
        end = found[0][1] - 1 if found else len(lines)
        return _joined("".join(_head(lines[:end])), _keys(table or {}), _tail(lines[:end]), "".join(lines[end:]))
    mine = [n for n, (spot, _) in enumerate(found) if spot[: len(path)] == path]
    if mine and mine == list(range(mine[0], mine[-1] + 1)) and found[mine[0]][0] == path:
        start = found[mine[0]][1] - 1
        end = found[mine[-1] + 1][1] - 1 if mine[-1] + 1 < len(found) else len(lines)
        section = "" if table is None else _section(path, table)
        kept = _tail(lines[start:end]) if mine[-1] + 1 < len(found) else ""
        return _joined("".join(lines[:start]), section, kept, "".join(lines[end:]))
    data = tomllib.loads(text)
    if not mine and table is not None and not _reach(data, path):
        return _joined("".join(lines), _section(path, table))
    _put(data, path, table)
    return _joined("".join(_head(lines)), write_toml(data))


def _joined(*blocks: str) -> str:
    """Blocks of a file with one empty line between them."""
    kept = [block.strip("\n") for block in blocks if block.strip("\n")]
    text = ""
    for block in kept:  # a remark stays right above what it is about
        close = text.rstrip("\n").rsplit("\n", 1)[-1].startswith("#") and not block.startswith("#")
        text += ("" if not text else "\n" if close else "\n\n") + block
    return text + "\n" if text else ""


def _head(lines: list[str]) -> list[str]:
    """The remarks a file begins with."""
    kept: list[str] = []
    for line in lines:
        if not line.lstrip().startswith("#"):
            break
        kept.append(line)
    return kept


def _tail(lines: list[str]) -> str:
    """The remarks right before what follows; a file's opening remarks are not among them."""
    at = len(lines)
    while at and (not lines[at - 1].strip() or lines[at - 1].lstrip().startswith("#")):
        at -= 1
    return "" if at == 0 else "".join(lines[at:]).strip("\n")


def _reach(data: Any, path: Iterable[str | int]) -> bool:
    """Whether something stands at a path."""
    for word in path:
        if not isinstance(data, dict) or word not in data:
            return False
        data = data[word]
    return True


def _put(data: dict[str, Any], path: Spot, table: Mapping[str, Any] | None) -> None:
    *above, last = (str(word) for word in path)
    for word in above:
        data = data.setdefault(word, {})
    if table is None:
        data.pop(last, None)
    else:
        data[last] = dict(table)


def _is_headed(key: str, value: Any) -> bool:
    return key in _HEADED and isinstance(value, Mapping) and bool(value) and _all_tables(value)


def _all_tables(value: Mapping[str, Any]) -> bool:
    return all(isinstance(v, Mapping) for v in value.values())


def _section(path: Iterable[str | int], table: Mapping[str, Any]) -> str:
    return f"[{'.'.join(_key(str(word)) for word in path)}]\n{_keys(table)}"


def _keys(table: Mapping[str, Any]) -> str:
    return "".join(f"{_key(k)} = {_value(v, len(k))}\n" for k, v in table.items())


def _key(word: str) -> str:
    return word if _BARE.fullmatch(word) else _string(word)


def _value(value: Any, before: int) -> str:
    """A value; a long list has a line for each member."""
    line = inline(value)
    if isinstance(value, list) and len(line) + before + 3 > _WIDTH:
        return "[\n" + "".join(f"  {inline(v)},\n" for v in value) + "]"
    return line


def inline(value: Any) -> str:
    """A value on one line, a table in braces."""
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, str):
        return _string(value)
    if isinstance(value, int):
        return str(value)
    if isinstance(value, float):
        return _float(value)
    if isinstance(value, datetime | date | time):
        return value.isoformat()
    if isinstance(value, Mapping):
        inner = ", ".join(f"{_key(k)} = {inline(v)}" for k, v in value.items())
        return f"{{ {inner} }}" if inner else "{}"
    return f"[{', '.join(inline(v) for v in value)}]"


def _float(value: float) -> str:
    if math.isnan(value):
        return "nan"
    if math.isinf(value):
        return "inf" if value > 0 else "-inf"
    return repr(value)


def _string(words: str) -> str:
    told = "".join(_ESCAPES.get(c, c if _prints(c) else f"\\u{ord(c):04X}") for c in words)
    return f'"{told}"'


def _prints(sign: str) -> bool:
    """Whether TOML lets a sign stand in a string as it is."""
    return ord(sign) >= 0x20 and ord(sign) != 0x7F
