"""The help in words a maker reads: FILE, NUMBER and WORDS, where the option reader would name types."""

from __future__ import annotations

import re
from typing import Any

_LONGEST = 64
_KINDS = {"integer": "NUMBER", "float": "NUMBER", "path": "FILE"}


def in_plain_words(command: Any) -> Any:
    """The same commands, with what an option takes said in a word; flags take nothing."""
    for one in command.commands.values():
        one.short_help = one.short_help or _short(one.help or "")
        for param in one.params:
            if getattr(param, "is_flag", False):
                continue
            if param.param_type_name == "option" and param.metavar is None:
                param.metavar = _KINDS.get(_of(param), "WORDS")
    return command


def _short(says: str) -> str:
    """The first sentence of what a command does, or its beginning where that is too long for a list of commands.

    >>> _short("How far a board or top moves between two airs, or through the year, with its gap.")
    'How far a board or top moves between two airs.'
    """
    first = re.split(r"(?<=[.?])\s|\n\n", says.strip())[0]
    if len(first) <= _LONGEST:
        return " ".join(first.split())
    return re.split(r"[,;:]\s", first)[0].rstrip(".?") + ("?" if first.endswith("?") else ".")


def _of(param: Any) -> str:
    """The name of what a parameter is read as."""
    return str(param.type.name)
