"""Words of a step read as values: papers, coats, times, faces; Misread says what to write instead."""

from __future__ import annotations

import re
from collections.abc import Callable
from difflib import get_close_matches
from typing import Any

from rakelight.errors import Misread
from rakelight.facts.load import Facts
from rakelight.reading import text, whole
from rakelight.schedule.steps import Count, Duration, Grit
from rakelight.units import read_date, read_duration
from rakelight.units.numbers import is_number, said

#: more coats of one step than any schedule has
MOST_COATS = 40
MOST_A_DAY = 20

#: faces of every kind of part, and roles (language of the files, section 3)
FACES = (
    "top", "underside", "edges", "ends", "front", "back", "inside", "outside", "left", "right", "rims",
    "inner edges", "outer edges", "sides", "foot", "face",
)  # fmt: skip
ROLES = ("show", "hidden", "inside", "all")
_PART_FACE = re.compile(r"[a-z0-9]+(?:-[a-z0-9]+)*\.(?P<face>[a-z ]+)")
_GRIT = re.compile(r"(?P<scale>us|cami|p)?\s*(?P<number>\d{1,5})", re.ASCII)


def words(most: int = 120) -> Callable[[Any], str]:
    """A parser for a name or phrase of a reasonable length, its spaces single."""

    def parse(value: Any) -> str:
        phrase = " ".join(text(value).split())
        if len(phrase) > most:
            raise Misread(f"{said(phrase)} is too long.", f"Write at most {most} letters.")
        return phrase

    return parse


def grit_of(facts: Facts) -> Callable[[Any], Grit]:
    """A parser for a grade of paper that is made: FEPA P, or the US scale where "US" stands before it."""

    def parse(value: Any) -> Grit:
        mend = 'Write for example 320, or "US 400" for a US grade.'
        number = is_number(value) and isinstance(value, int) and abs(value) < 100_000
        grade = str(value) if number else value
        found = _GRIT.fullmatch(grade.strip().casefold()) if isinstance(grade, str) else None
        if not found:
            raise Misread(f"{said(value)} is not a grade of paper.", mend)
        us = found["scale"] in ("us", "cami")
        grit = Grit(int(found["number"]), us)
        made = _grades(facts, us)
        if grit.number not in made:
            near = min(made, key=lambda each: abs(each - grit.number))
            mend = f'Did you mean "US {near}"?' if us else f"Did you mean {near}?"
            raise Misread(f"no paper is made as {grit}.", mend)
        return grit

    return parse


def grits_of(facts: Facts) -> Callable[[Any], tuple[Grit, ...]]:
    """A parser for papers in order, or a single one."""
    one = grit_of(facts)

    def parse(value: Any) -> tuple[Grit, ...]:
        if not isinstance(value, list):
            return (one(value),)
        mend = "Write for example [120, 150, 180]."
        if not value:
            raise Misread("no paper is named.", mend)
        if len(value) > MOST_COATS:
            raise Misread(f"{len(value)} papers are too many for one step.", mend)
        return tuple(one(v) for v in value)

    return parse


def _grades(facts: Facts, us: bool) -> list[int]:
    kind = "CAMI " if us else "FEPA_P P"
    return [int(key.removeprefix(kind)) for key in facts.abrasives if key.startswith(kind)]


def count(value: Any) -> Count:
    """A number of coats, or the least, the likely and the most."""
    one = whole(1, MOST_COATS)
    if not isinstance(value, list):
        number = one(value)
        return Count(number, number, number)
    mend = "Write one number, or the least, the likely and the most: [1, 2, 4]."
    if len(value) != 3:
        raise Misread(f"{len(value)} numbers stand where one or three are meant.", mend)
    least, likely, most = (one(v) for v in value)
    if not least <= likely <= most:
        raise Misread(f"{least}, {likely}, {most} are not in order.", mend)
    return Count(least, likely, most)


a_day = whole(1, MOST_A_DAY)


def duration(value: Any) -> Duration:
    """A clock time: hours, days, or overnight."""
    hours, overnight = read_duration(value)
    if not overnight and hours <= 0:
        raise Misread(f"{said(value)} is no time at all.", "Leave it out, or write for example 4 h.")
    return Duration(hours, overnight)


def date_words(value: Any) -> str:
    """A date, kept as written once it has been read."""
    read_date(value)
    return value if isinstance(value, str) else str(value.isoformat())


def face_or_role(value: Any) -> str:
    """A face, a role, show or all; a face of one member as "drawer-front.inside"."""
    face = words()(value)
    known = tuple(dict.fromkeys((*ROLES, *FACES)))
    of_member = _PART_FACE.fullmatch(face)
    if face in known or (of_member and of_member["face"] in FACES):
        return face
    near = get_close_matches(face.rpartition(".")[2].casefold(), (*known, "bottom"), 1, 0.5)
    mend = (
        f"Did you mean {near[0].replace('bottom', 'underside')}?"
        if near
        else f"Write one of: {', '.join(known)}."
    )
    raise Misread(f"{said(face)} is neither a face nor a role.", mend)
