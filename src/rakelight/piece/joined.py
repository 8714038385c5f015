"""Parts joined from parts: counts that come out, and the faces they have from their members."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from difflib import get_close_matches

from rakelight.errors import Misread, Severity
from rakelight.piece.faces import Spots, read_roles, said_faces, take_masks
from rakelight.piece.finish import named_for, read_finish
from rakelight.piece.model import Face, Part
from rakelight.reading import Table

#: what lies on a face: (schedule, from, to) of each part that laid it, oldest first
Laid = tuple[tuple[str, str, str], ...]


@dataclass(frozen=True)
class _Had:
    """A face a member brings."""

    member: str
    face: Face
    number: int  # how many of the member
    laid: Laid

    @property
    def base(self) -> str:
        """Name of the face alone, without the part."""
        return self.face.name.rpartition(".")[2]

    @property
    def alone(self) -> set[str]:
        """Names that single this face out on the joined part."""
        inner = {self.face.name} if "." in self.face.name else set()
        return {f"{self.member}.{self.base}", f"{self.member}.{self.face.name}"} | inner


def join_all(parts: dict[str, Part], tables: dict[str, Table], unit: str) -> dict[str, Part]:
    """All parts, joined ones with their faces, mask and finish; faults go to the tables."""
    _check_members(parts, tables)
    done: dict[str, Part] = {}
    laid: dict[tuple[str, str], Laid] = {}
    for name in _in_order(parts, tables):
        part = parts[name]
        if part.joined:
            part = _with_faces(part, tables[name], done, laid, unit)
        done[name] = part
        before = {f.name: laid[f.members[0]] for f in part.faces if f.members}
        for face in part.faces:
            had = before.get(face.name, ())
            use = part.finish.get(face.name) if had else named_for(part, face)
            own: Laid = ((use.schedule, use.from_step, use.to_step),) if use else ()
            laid[name, face.name] = had + own
    return {name: done.get(name, part) for name, part in parts.items()}


def _check_members(parts: dict[str, Part], tables: dict[str, Table]) -> None:
    used: dict[str, int] = {}
    for part in parts.values():
        for member, number in part.of.items():
            if member == part.name:
                tables[part.name].fault(
                    "joined-from-itself", f"{member} is joined from itself.", "Name other parts.", "of"
                )
            elif member not in parts:
                near = get_close_matches(member, parts, 1, 0.5)
                mend = f"Did you mean {near[0]}?" if near else f"Write a [part.{member}], or leave it out."
                says = f"{part.name} is joined from {member}, which is not a part of this piece."
                tables[part.name].fault("unknown-part", says, mend, "of", member)
            else:
                used[member] = used.get(member, 0) + number * part.count
    for member, number in used.items():
        have = parts[member].count
        users = [p.name for p in parts.values() if member in p.of]
        if number > have:
            there = "there is 1" if have == 1 else f"there are {have}"
            needs = "needs" if len(users) == 1 else "need"
            says = f"{said_faces(users)} {needs} {number} of {member}, and {there}."
            mend = f"Write count = {number} for {member}, or fewer in of."
            tables[users[-1]].fault("counts", says, mend, "of", member)
        elif number < have:
            says = f"{have - number} of {have} {member} are joined into nothing."
            mend = f"Write count = {number}, or give the others a part of their own."
            tables[member].fault("counts", says, mend, "count", severity=Severity.WARNING)


def _in_order(parts: dict[str, Part], tables: dict[str, Table]) -> list[str]:
    """Names so that members stand before what they are joined into; parts of a circle are left out."""
    ordered: list[str] = []
    waiting = dict(parts)
    while waiting:
        ready = [
            name
            for name, part in waiting.items()
            if all(m in ordered or m not in parts or m == name for m in part.of)
        ]
        if not ready:
            names = _circle(waiting)  # one thing wrong, told once
            way = ", which is joined from ".join(_circle(waiting, names[0]))
            says = f"{names[0]} is joined from {way.partition(', which is joined from ')[2]}: a circle."
            tables[names[0]].fault("circle", says, "A part cannot be joined from what it is joined into.", "of")
            return ordered
        for name in ready:
            ordered.append(name)
            del waiting[name]
    return ordered


def _circle(waiting: dict[str, Part], start: str = "") -> list[str]:
    """Parts of one circle among those that wait for one another; closed where `start` is given."""
    path = [start or next(iter(waiting))]
    while True:
        step = next(m for m in waiting[path[-1]].of if m in waiting)
        if step in path:
            circle = path[path.index(step) :]
            return [*circle, step] if start else circle
        path.append(step)


def _with_faces(
    part: Part, table: Table, done: dict[str, Part], laid: dict[tuple[str, str], Laid], unit: str
) -> Part:
    had = [
        _Had(member, face, number, laid[member, face.name])
        for member, number in part.of.items()
        if member in done and member != part.name
        for face in done[member].faces
        if face.role != "glue"
    ]
    groups = _grouped(had, _named_in(table))
    faces = tuple(_face(name, members) for name, members in groups.items())

    def picked(key: str) -> list[str]:
        return _pick(key, groups)

    roles = read_roles(table, picked)
    faces = tuple(replace(f, role=roles.get(f.name, f.role)) for f in faces)
    coated = {f.name for f in faces if f.coated}
    faces = take_masks(table, faces, Spots(unit), lambda key: _one_of(picked(key), coated))
    return replace(part, faces=faces, finish=read_finish(table, faces, picked))


def _named_in(table: Table) -> set[str]:
    """Names with a part before the face, in faces, mask and finish."""
    said: set[str] = set()
    for key in ("faces", "finish"):
        value = table.data.get(key)
        said |= set(value) if isinstance(value, dict) else set()
    masks = table.data.get("mask")
    if isinstance(masks, list):
        said |= {m["on"] for m in masks if isinstance(m, dict) and isinstance(m.get("on"), str)}
    return {name for name in said if "." in name}


def _grouped(had: Iterable[_Had], named: set[str]) -> dict[str, list[_Had]]:
    """Faces of one name, role and finish together; the part before the name where it alone would not do."""
    groups: dict[tuple[object, ...], list[_Had]] = {}
    for one in had:
        alone = sorted(one.alone & named)
        key: tuple[object, ...] = (alone[0],) if alone else (one.base, one.face.role, one.face.closed, one.laid)
        groups.setdefault(key, []).append(one)
    bases = [members[0].base for key, members in groups.items() if len(key) > 1]
    found: dict[str, list[_Had]] = {}
    for key, members in groups.items():
        if len(key) == 1:
            name = str(key[0])
        elif bases.count(members[0].base) == 1:
            name = members[0].base
        else:
            name = _qualified(members, found)
        found[name] = members
    return found


def _qualified(members: list[_Had], taken: Iterable[str]) -> str:
    first = members[0].face.name
    if len(members) == 1 and "." in first and first not in taken:
        return first
    return f"{'+'.join(dict.fromkeys(m.member for m in members))}.{members[0].base}"


def _face(name: str, members: list[_Had]) -> Face:
    first = members[0].face
    return Face(
        name,
        first.role,
        sum(m.face.area_m2 * m.number for m in members),
        sum(m.face.masked_m2 * m.number for m in members),
        end_grain=all(m.face.end_grain for m in members),
        stands=members[0].base not in ("top", "underside"),
        closed=all(m.face.closed for m in members),
        of="+".join(dict.fromkeys(m.member for m in members)),
        count=sum(m.number * m.face.count for m in members),
        members=tuple((m.member, m.face.name) for m in members),
    )


def _pick(key: str, groups: dict[str, list[_Had]]) -> list[str]:
    if key in groups:
        return [key]
    found = [
        n for n, members in groups.items() if members[0].base == key or any(key in m.alone for m in members)
    ]
    if not found:
        near = get_close_matches(key, groups, 1, 0.6)
        mend = f"Did you mean {near[0]}?" if near else f"Its faces are: {', '.join(groups) or 'none'}."
        raise Misread(f"this part has no face {key}.", mend)
    return found


def _one_of(names: list[str], coated: set[str]) -> list[str]:
    """The one that is finished, where a name means several."""
    return [n for n in names if n in coated] if len(names) > 1 and len(coated & set(names)) == 1 else names
