"""Reads one `[part.NAME]` of a piece's file."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, Any

from rakelight.errors import Misread, Severity
from rakelight.piece.faces import Spots, any_faces, cut_faces, pick, read_roles, take_masks
from rakelight.piece.finish import read_finish
from rakelight.piece.kinds import (
    KINDS,
    SIZE_KEYS,
    doubtful,
    implausible,
    keys_of,
    measure,
    read_sides,
    read_sizes,
)
from rakelight.piece.model import Part, Sizes, TestBoard
from rakelight.piece.old_film import read_old
from rakelight.piece.want import read_want
from rakelight.reading import Table, choice, text, texts, whole
from rakelight.units import read_duration, read_length, read_minutes
from rakelight.units.numbers import NUMBER, as_float, is_number, number_of, plain, said

if TYPE_CHECKING:
    from rakelight.facts import Facts

STRAINS = ("water", "alcohol", "heat", "wear", "handling")
BOTH_FACES = ("turned", "on points", "hung", "stands")
TOP_KEYS = ("piece", "unit", "start", "wanted", "lives", "must_stand", "want", "quote", "part", "schedule")
SHARED_KEYS = ("count", "faces", "mask", "finish", "extra", "both_faces", "cures_in", "takes", "must_stand", "want")
CUT_KEYS = ("kind", "wood", "cut", "veneer_on", "arris", "test_board", "old", "natural", "open")
JOIN_KEYS = ("of", "join", "minutes", "clamped")
#: glue joints stay in clamps this long when nothing is said (language of the files, section 2)
GLUE_CLAMPED_H = 4.0


def read_part(table: Table, name: str, unit: str, facts: Facts) -> Part:
    """One part as written; a joined part comes back without faces and finish, which follow from members.

    Faults go to the table's findings.
    """
    if "of" in table:
        return _joined_part(table, name, facts)
    said_kind = table.take("kind", choice(*KINDS)) if "kind" in table else "panel"
    kind = said_kind or "panel"
    if said_kind is None:  # which sizes it needs is not known: what stands there is read all the same
        return _of_no_kind(table, name, unit, facts)
    _check_keys(table, kind)
    sizes, complete = read_sizes(table, kind, unit)
    lacks = (table.take("open", read_sides) or ()) if kind == "box" else ()
    natural = (
        (table.take("natural", choice("both", "left", "right", "none")) or "both") if kind == "slab" else ""
    )
    wrong = implausible(kind, sizes, lacks, unit) if complete else []
    for id, key, says, mend in wrong:
        table.fault(id, says, mend, key)
    for key, says, mend in doubtful(kind, sizes):
        table.fault("thin-size", says, mend, key, severity=Severity.WARNING)
    part = Part(
        name,
        kind,
        woods=_woods(table, facts),
        cut=table.take("cut", choice("flat", "rift", "quarter")) or "flat",
        veneer_on=table.take("veneer_on", choice("plywood", "mdf", "chipboard")) or "",
        sizes=sizes,
        natural=natural,
        open_sides=lacks,
        arris_mm=_arris(table, unit),
        test_board=_test_board(table, unit),
        line=table.line(),
    )
    part = _shared(table, part, KINDS[kind].both_faces, facts.likely(KINDS[kind].takes))
    return _with_faces(table, part, complete and not wrong, unit, facts)


def _of_no_kind(table: Table, name: str, unit: str, facts: Facts) -> Part:
    """A part whose kind is not known: what stands there is read all the same, so that every fault is told."""
    for key in (k for k in SIZE_KEYS if k != "outline"):
        values = table.data.get(key)
        for value in values if isinstance(values, list) else [values] if key in table else []:
            table.take_value(key, value, lambda said: read_length(said, unit))
    _unknown(table, [*SHARED_KEYS, *CUT_KEYS, *JOIN_KEYS, *SIZE_KEYS])
    if "open" in table:
        table.take("open", read_sides)
    part = Part(
        name,
        "panel",
        woods=_woods(table, facts),
        cut=table.take("cut", choice("flat", "rift", "quarter")) or "flat",
        veneer_on=table.take("veneer_on", choice("plywood", "mdf", "chipboard")) or "",
        arris_mm=_arris(table, unit),
        test_board=_test_board(table, unit),
        line=table.line(),
    )
    part = _shared(table, part, "turned", 1.0)
    faces = any_faces()

    def picked(key: str) -> list[str]:
        return pick(key, faces, "")

    read_roles(table, picked)
    read_old(table, picked, facts)
    take_masks(table, faces, Spots(unit, anywhere=True), picked)
    return replace(part, finish=read_finish(table, faces, picked))


def _with_faces(table: Table, part: Part, measurable: bool, unit: str, facts: Facts) -> Part:
    """The part with its faces: areas where its sizes can be believed, else names and roles alone."""
    sizes = part.sizes if measurable else _STAND_IN
    measured = measure(part.kind, sizes, part.open_sides, part.natural or "both")
    hung, closed = part.both_faces == "hung", part.kind == "box" and not part.open_sides
    faces = cut_faces(table, part.kind, measured, hung, closed)
    if not measurable:
        faces = tuple(replace(face, area_m2=0.0) for face in faces)

    def picked(key: str) -> list[str]:
        return pick(key, faces, part.kind)

    faces = take_masks(table, faces, Spots(unit, sizes if part.kind == "leg" else None), picked)
    finish = read_finish(table, faces, picked)
    arrises = measured.arris_mm if measurable else 0.0
    old = read_old(table, picked, facts)
    return replace(part, faces=faces, finish=finish, arris_length_mm=arrises, old=old)


#: sizes of any part, to name its faces where its own could not be read
_STAND_IN = Sizes(
    long_mm=1000, wide_mm=500, thick_mm=10, deep_mm=500, high_mm=500, rail_mm=50, girth_mm=50,
    wide_at_mm=(500.0, 500.0, 500.0),
)  # fmt: skip


def _check_keys(table: Table, kind: str) -> None:
    """A finding for every key this kind of part does not take."""
    mine = {*SHARED_KEYS, *CUT_KEYS[:7], *keys_of(kind)}
    everything = [*SHARED_KEYS, *CUT_KEYS, *JOIN_KEYS, *SIZE_KEYS]
    for key in table.data:
        if key in mine:
            continue
        if key in JOIN_KEYS:
            table.fault(
                "unknown-key",
                f"{key} is only for a part joined from others.",
                "Add of, or leave it out.",
                key,
            )
        elif key in everything:
            homes = [k for k in KINDS if key in keys_of(k)]
            table.fault(
                "unknown-key",
                f"{key} is not a key of a {kind}.",
                f"It belongs to a {' or a '.join(homes)}.",
                key,
            )
    known = [k for k in everything if k in mine or k in table.data]
    _unknown(table, known)


def _unknown(table: Table, known: list[str]) -> None:
    stray = [key for key in table.data if key in TOP_KEYS and key not in known]
    for key in stray:
        table.fault(
            "unknown-key",
            f"{key} stands inside the part, but is a key of the whole piece.",
            "Write it at the top of the file, before the first [part.NAME].",
            key,
        )
    table.only([*known, *stray], "a part")


def _joined_part(table: Table, name: str, facts: Facts) -> Part:
    known = [*SHARED_KEYS, *JOIN_KEYS]
    cut = [key for key in table.data if key in (*CUT_KEYS, *SIZE_KEYS)]
    for key in cut:
        table.fault("unknown-key", f"{key} is said of the parts that are joined.", "Leave it out here.", key)
    _unknown(table, [*known, *cut])
    of: dict[str, int] = {}
    members = table.child("of")
    if members is not None:
        for member in members.data:
            number = members.take(member, whole(1, 1000))
            if number:
                of[member] = number
        if not members.data:
            table.fault("missing", "of names no part.", "Write of = { leg = 4, seat = 1 }.", "of")
    join = table.take("join", choice("glue", "screws", "dry")) or "glue"
    minutes = table.take("minutes", read_minutes)
    part = Part(
        name,
        "joined",
        of=of,
        join=join,
        join_minutes=30.0 if minutes is None else minutes,
        clamped=_clamped(table, join),
        line=table.line(),
    )
    return _shared(table, part, "stands", facts.likely("takes_box"))


def _shared(table: Table, part: Part, both_faces: str, takes: float) -> Part:
    """Keys that cut and joined parts have alike."""
    strains = table.take("must_stand", read_strains)
    return replace(
        part,
        count=(table.take("count", whole(1, 1000)) if "count" in table else 1) or 1,
        both_faces=table.take("both_faces", choice(*BOTH_FACES)) or both_faces,
        takes=table.take("takes", _places) or takes,
        cures_in=table.take("cures_in", text) or "",
        must_stand=strains or (),
        extra=tuple(table.children("extra")),
        want=read_want(table),
    )


def read_strains(value: Any) -> tuple[str, ...]:
    """What a piece or part must stand: one word or a list."""
    strain = choice(*STRAINS)
    return tuple(dict.fromkeys(strain(word) for word in texts(value)))


def _clamped(table: Table, join: str) -> str | float | None:
    default = GLUE_CLAMPED_H if join == "glue" else None
    if "clamped" not in table:
        return default
    read = table.take("clamped", read_duration)
    if read is None:
        return default
    hours, overnight = read
    return "overnight" if overnight else hours or None


def _places(value: Any) -> float:
    """Drying places one part takes: a number, or a fraction in quotes."""
    import re

    mend = 'Write takes = 2, or takes = "1/4" for four on one place.'
    if isinstance(value, str) and re.fullmatch(NUMBER, plain(value), re.ASCII):
        number = number_of(plain(value))
    elif is_number(value):
        number = as_float(value)
    else:
        raise Misread(f"{said(value)} is not a number of drying places.", mend)
    if not 0.01 <= number <= 100:
        raise Misread(f"{said(value)} is not a number of drying places.", mend)
    return number


def _arris(table: Table, unit: str) -> float:
    named = {"sharp": 0.0, "eased": 1.0}

    def radius(value: Any) -> float:
        if isinstance(value, str) and value.strip() in named:
            return named[value.strip()]
        mm = read_length(value, unit)
        if mm > 50:
            raise Misread(
                f"{said(value)} is no radius of an arris.", 'Write sharp, eased, or a radius as "3 mm".'
            )
        return mm

    found = table.take("arris", radius)
    return named["eased"] if found is None else found


def _woods(table: Table, facts: Facts) -> tuple[str, ...]:
    from rakelight.facts.names import find_wood

    words = table.need("wood", texts, 'Write for example wood = "white oak".')
    found = []
    for word in words or ():
        match = find_wood(facts, word)
        if match.one:
            found.append(match.one)
        else:
            id = "which-name" if match.ids else "unknown-wood"
            says = (
                f"{said(word)} may be several woods."
                if match.ids
                else f"{said(word)} is not a wood of the table."
            )
            table.fault(id, says, match.ask, "wood")
    if words == ():
        table.fault("missing", "wood names nothing.", 'Write for example wood = "white oak".', "wood")
    return tuple(dict.fromkeys(found))


def _test_board(table: Table, unit: str) -> TestBoard | None:
    board = table.child("test_board")
    if board is None:
        return None
    board.only(("through", "age", "long", "wide"), "a test board")
    through = board.need("through", text, 'Name the step, as through = "coat 1".')

    def age(value: Any) -> float:
        hours, overnight = read_duration(value)
        if overnight or not hours:
            raise Misread(f"{said(value)} is no age of a test board.", 'Write it as "1 day".')
        return hours

    def length(value: Any) -> float:
        return read_length(value, unit)

    sizes: dict[str, float | None] = {
        "age_h": board.take("age", age),
        "long_mm": board.take("long", length),
        "wide_mm": board.take("wide", length),
    }
    given = {key: value for key, value in sizes.items() if value is not None}
    return TestBoard(through or "", line=board.line(), **given) if through else None
