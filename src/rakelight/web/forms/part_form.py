"""One part of a piece changed, added or taken off: its fields, and the piece's file with it.

What the fields do not ask for (faces, masks, extra steps, a finish by face) stays as it is written.
"""

from __future__ import annotations

import tomllib
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any

from rakelight.errors import Finding, Severity
from rakelight.facts.load import Facts
from rakelight.piece.write import replaced
from rakelight.toml_lines import index_lines
from rakelight.web.forms import piece_form
from rakelight.web.forms.kinds import BY_ID, SIZE_KEYS
from rakelight.web.forms.piece_form import BARE, PartFields
from rakelight.web.forms.typed import number_or_words, part_key

#: how parts are put together, as the form asks
JOINS = (("screws", "screwed"), ("glue", "glued up"), ("dry", "fitted dry"))
#: keys of a part's table that the fields stand for
_ASKED = ("kind", "wood", "count", *SIZE_KEYS, "open")


@dataclass
class OnePart:
    """A part under change."""

    key: str  # its name in the file; "" for one to be added
    fields: PartFields
    of: dict[str, str] = field(default_factory=dict)  # of a joined part: how many of each other part, as typed
    join: str = ""
    into: str = ""  # of a part to be added: the joined part it goes into
    others: tuple[str, ...] = ()  # parts a joined part may have
    wholes: tuple[str, ...] = ()  # joined parts
    by_face: bool = False  # its finish is said face by face, in the file
    faults: list[Finding] = field(default_factory=list)  # of no field

    @property
    def joined(self) -> bool:
        """Whether it is made of other parts."""
        return bool(self.of)

    @property
    def wrong(self) -> bool:
        """Whether it cannot be used as it is typed."""
        every = [self.faults, *self.fields.faults.values()]
        return any(f.severity is Severity.ERROR for found in every for f in found)


def parts_of(text: str) -> dict[str, dict[str, Any]]:
    """The parts of a piece's file, as tables."""
    return {k: v for k, v in tomllib.loads(text).get("part", {}).items() if isinstance(v, dict)}


def part_of(text: str, key: str) -> OnePart | None:
    """A part as fields; an empty one for ""; None where the piece has no such part."""
    parts = parts_of(text)
    wholes = tuple(name for name, table in parts.items() if "of" in table)
    if not key:
        return OnePart("", PartFields({"count": "1"}), wholes=wholes)
    if key not in parts:
        return None
    table = parts[key]
    typed = {name: _words(table[name]) for name in ("kind", "wood", "count", *SIZE_KEYS) if name in table}
    finish = table.get("finish", "")
    typed["finish"] = finish if isinstance(finish, str) else ""
    of = table.get("of", {}) if isinstance(table.get("of"), dict) else {}
    elsewhere = {member for name in wholes if name != key for member in parts[name]["of"]}
    others = tuple(name for name in parts if name != key and (name in of or name not in elsewhere))
    fields = PartFields(typed, [str(side) for side in table.get("open", ())], key)
    return OnePart(
        key, fields, {name: _words(of.get(name, 0)) for name in others} if of else {}, str(table.get("join", "glue")),
        "", others, tuple(name for name in wholes if name != key), not isinstance(finish, str),
    )  # fmt: skip


def _words(value: Any) -> str:
    return ", ".join(map(str, value)) if isinstance(value, list) else str(value)


def read_part(was: OnePart, said: Mapping[str, Sequence[str]]) -> OnePart:
    """The same part with what was typed."""
    typed = piece_form.read_fields(said).parts[0]
    typed.key = was.key
    of = {name: (said.get(f"of-{name}") or ["0"])[0].strip()[:6] for name in was.of}
    join, into = ((said.get(name) or [""])[0].strip() for name in ("join", "into"))
    return OnePart(
        was.key, typed, of, join or was.join, into if into in was.wholes else "", was.others, was.wholes, was.by_face
    )


def into_piece(text: str, one: OnePart) -> str:
    """The piece's file with the part as it is typed; one that is added is told its name in the file."""
    parts = parts_of(text)
    key = one.key or part_key(one.fields.get("name"), list(parts), BY_ID[one.fields.kind].named)
    one.fields.key = key
    text = replaced(text, ("part", key), _table(one, parts.get(key, {})))
    if not one.key and one.into:
        whole = parts[one.into]
        count = number_or_words(one.fields.get("count") or "1")
        text = replaced(text, ("part", one.into), whole | {"of": {**whole["of"], key: count}})
    return text


def _table(one: OnePart, was: Mapping[str, Any]) -> dict[str, Any]:
    new = piece_form.part_table(one.fields)
    asked: tuple[str, ...]
    if one.joined:
        count = {"count": new["count"]} if "count" in new else {}
        of = {name: number_or_words(n) for name, n in one.of.items() if n not in ("", "0")}
        new, asked = {"of": of, "join": one.join, **count}, ("of", "join", "count")
    else:
        asked = _ASKED if one.by_face else (*_ASKED, "finish")
    if one.by_face or one.joined:
        new.pop("finish", None)
    for name in asked:  # what is the same as before stays as it was written
        if name in new and name in was and _words(was[name]) == _words(new[name]):
            new[name] = was[name]
    kept = {name: new.pop(name) if name in asked else value for name, value in was.items()
            if name not in asked or name in new}  # fmt: skip
    return {**kept, **new}


def without(text: str, key: str) -> str:
    """The piece's file without a part; a joined part loses it too, and is gone with its last member."""
    gone = [key]
    for name in gone:
        text = replaced(text, ("part", name), None)
        for whole, table in parts_of(text).items():
            if name in table.get("of", {}):
                rest = {k: n for k, n in table["of"].items() if k != name}
                if rest:
                    text = replaced(text, ("part", whole), table | {"of": rest})
                else:
                    gone.append(whole)
    return text


def check(one: OnePart, text: str, found: Sequence[Finding], facts: Facts) -> None:
    """Put what was found in the piece's file at the field it is about."""
    part = one.fields
    part.faults, part.woods, one.faults = {}, (), []
    piece_form.ask_wood(part, facts)
    spots = {line: spot for spot, line in sorted(index_lines(text).items(), key=lambda row: len(row[0]))}
    for fault in found:
        if fault.severity is not Severity.ERROR:
            continue
        spot = spots.get(fault.where.line, ()) if fault.where.line else ("part", fault.where.part)
        name = piece_form.field_of(spot, fault, part.key)
        rows = one.faults if name is None else part.faults.setdefault(name, [])
        if fault not in rows:
            rows.append(fault)


def finish_choice(one: OnePart) -> str:
    """What the field of the finish shows: a name, or that the part is left bare."""
    return one.fields.get("finish") or BARE
