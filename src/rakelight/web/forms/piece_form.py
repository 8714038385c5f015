"""A new piece as it is typed on a phone: its fields, the file they make, and faults beside their field."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any

from rakelight.errors import Finding, Severity
from rakelight.facts.load import Facts
from rakelight.facts.names import find_wood
from rakelight.piece.file import read_piece
from rakelight.piece.write import write_toml
from rakelight.toml_lines import index_lines
from rakelight.web.forms.kinds import BY_ID, SIZE_KEYS
from rakelight.web.forms.typed import day_words, number_or_words, part_key, several

MOST_PARTS = 30
#: of a part's finish: none at all
BARE = "bare"
STRAINS = ("wear", "water", "alcohol", "heat")
_PART_KEYS = ("name", "kind", "count", "wood", "wood_is", "finish", *SIZE_KEYS)


@dataclass
class PartFields:
    """What is typed for one part."""

    typed: dict[str, str] = field(default_factory=dict)
    open: list[str] = field(default_factory=list)
    key: str = ""  # its name in the file
    faults: dict[str, list[Finding]] = field(default_factory=dict)  # by field
    woods: tuple[str, ...] = ()  # what the name of the wood may mean, where it may mean several

    def get(self, name: str) -> str:
        """What stands in a field."""
        return self.typed.get(name, "")

    @property
    def kind(self) -> str:
        """The kind picked."""
        return self.get("kind") if self.get("kind") in BY_ID else "panel"

    @property
    def empty(self) -> bool:
        """Whether nothing was typed for it."""
        return not any(self.get(key).strip() for key in ("name", "wood", *SIZE_KEYS))


@dataclass
class PieceFields:
    """What is typed for a piece."""

    name: str = ""
    unit: str = "in"
    by: str = ""
    for_: str = "pack"
    finish: str = ""
    join: str = ""
    stands: list[str] = field(default_factory=list)
    parts: list[PartFields] = field(default_factory=lambda: [PartFields()])
    faults: dict[str, list[Finding]] = field(default_factory=dict)  # by field of the piece; "" of no field

    @property
    def wrong(self) -> bool:
        """Whether anything must be mended first."""
        every = [*self.faults.values(), *(f for part in self.parts for f in part.faults.values())]
        return any(f.severity is Severity.ERROR for found in every for f in found)


def read_fields(said: Mapping[str, Sequence[str]]) -> PieceFields:
    """What was typed, as a form sends it: `part-1-wood` and so on. A button's name may ask for a part more or less."""

    def one(key: str, otherwise: str = "") -> str:
        return (said.get(key) or [otherwise])[0].strip()[:200]

    numbers = sorted({int(k.split("-")[1]) for k in said if _is_part(k)})[:MOST_PARTS]
    gone = one("less")
    parts = [
        PartFields(
            {key: one(f"part-{n}-{key}")[:400] for key in _PART_KEYS if f"part-{n}-{key}" in said},
            [side for side in said.get(f"part-{n}-open", ()) if side],
        )
        for n in numbers
        if str(n) != gone
    ]
    if one("more") and len(parts) < MOST_PARTS:
        last = parts[-1].typed if parts else {}
        parts.append(PartFields({key: last[key] for key in ("wood", "finish") if last.get(key)}))
    return PieceFields(
        one("name"), one("unit", "in"), one("by"), one("for", "pack"), one("finish"), one("join"),
        [s for s in said.get("stands", ()) if s in STRAINS], parts or [PartFields()],
    )  # fmt: skip


def _is_part(key: str) -> bool:
    head, _, rest = key.partition("-")
    number = rest.partition("-")[0]
    return head == "part" and number.isdigit() and len(number) <= 3


def as_table(form: PieceFields) -> dict[str, Any]:
    """The piece as a table of the language; each part is told its name in the file."""
    data: dict[str, Any] = {"piece": form.name}
    if form.unit in ("in", "mm"):
        data["unit"] = form.unit
    if form.by:
        wanted = {"by": day_words(form.by)}
        data["wanted"] = [wanted if form.for_ in ("", "pack") else wanted | {"for": form.for_}]
    if form.stands:
        data["must_stand"] = ["handling", *form.stands]
    parts: dict[str, Any] = {}
    for part in form.parts:
        part.key = part_key(part.get("name"), list(parts), BY_ID[part.kind].named)
        parts[part.key] = part_table(part, form.finish)
    if form.join and len(parts) + sum(_count(p) > 1 for p in form.parts) > 1:
        whole = part_key(form.name.split(" ")[-1] if form.name else "whole", list(parts), "whole")
        parts[whole] = {"of": {p.key: max(1, _count(p)) for p in form.parts}, "join": form.join}
    data["part"] = parts
    return data


def part_table(part: PartFields, finish: str = "") -> dict[str, Any]:
    """A part as a table of the language; finish, that of the piece."""
    row: dict[str, Any] = {} if part.kind == "panel" else {"kind": part.kind}
    row["wood"] = part.get("wood_is") or part.get("wood")
    if part.get("count") not in ("", "1"):
        row["count"] = number_or_words(part.get("count"))
    for size in BY_ID[part.kind].sizes:
        typed = part.get(size.key)
        if typed:
            row[size.key] = several(typed) if size.key == "wide_at" else number_or_words(typed)
    if part.kind == "box" and part.open:
        row["open"] = list(part.open)
    if part.get("finish") != BARE and (part.get("finish") or finish):
        row["finish"] = part.get("finish") or finish
    return row


def _count(part: PartFields) -> int:
    count = number_or_words(part.get("count") or "1")
    return count if isinstance(count, int) else 1


def as_text(form: PieceFields) -> str:
    """The piece's file."""
    return write_toml(as_table(form))


def check(form: PieceFields, facts: Facts, found: Sequence[Finding] | None = None) -> str:
    """The file of a piece; what is wrong stands at the fields afterwards.

    Parameters: found, what the desk found in that file, None to read it here alone.
    """
    for part in form.parts:
        part.faults, part.woods = {}, ()
        ask_wood(part, facts)
    text = as_text(form)
    told = read_piece(text, "piece.toml", facts)[1] if found is None else found
    form.faults, by_key = {}, {part.key: part for part in form.parts}
    spots = {line: spot for spot, line in sorted(index_lines(text).items(), key=lambda row: len(row[0]))}
    for one in told:
        spot = spots.get(one.where.line, ()) if one.where.line else ("part", one.where.part)
        part_named = str(spot[1]) if len(spot) > 1 else ""
        name = field_of(spot, one, part_named) if part_named in by_key else None
        if name is not None:
            _put(by_key[part_named].faults, name, one)
        else:
            _put(form.faults, _NAMES.get(str(spot[0]) if spot else "", ""), one)
    return text


#: keys of the file, and the field each is typed in
_NAMES = {"piece": "name", "unit": "unit", "wanted": "by", "must_stand": "stands"}


def field_of(spot: Sequence[str | int], found: Finding, part: str) -> str | None:
    """The field of a part that a fault of its file belongs to, "" for the part as a whole; None: not of this part.

    Parameters: spot, where it stands in the file. The sentence of a size that is missing begins with it.
    """
    if len(spot) < 2 or spot[0] != "part" or spot[1] != part:
        return None
    if len(spot) > 2:
        return str(spot[2])
    first = found.says.split(" ")[0].strip(":,")
    return first if found.id == "missing" and first in _PART_KEYS else ""


def _put(faults: dict[str, list[Finding]], name: str, found: Finding) -> None:
    rows = faults.setdefault(name, [])
    if found not in rows:
        rows.append(found)


def ask_wood(part: PartFields, facts: Facts) -> None:
    """The choices where a wood's name may mean several; a choice made of another name than is typed now is dropped."""
    said = part.get("wood")
    if not said:
        return
    match = find_wood(facts, said)
    if len(match.ids) > 1:
        part.woods = match.choices
        if part.get("wood_is") not in match.choices:
            part.typed["wood_is"] = ""
    elif part.get("wood_is"):
        part.typed["wood_is"] = ""
