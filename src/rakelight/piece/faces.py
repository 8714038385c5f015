"""Faces of a part as its file names them: roles, other names of the broad faces, spots kept bare."""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterable
from dataclasses import dataclass, replace
from difflib import get_close_matches
from typing import Any

from rakelight.errors import Misread
from rakelight.piece import geometry
from rakelight.piece.geometry import Measured
from rakelight.piece.kinds import BROAD_PAIRS, KINDS, ROLES
from rakelight.piece.model import Face, Sizes
from rakelight.reading import Table, choice, whole
from rakelight.units import read_length

_BROAD = ("top", "underside")
MASK_KEYS = ("on", "long", "wide", "round", "count", "at")


def cut_faces(table: Table, kind: str, measured: Measured, hung: bool, closed: bool) -> tuple[Face, ...]:
    """Faces of a part cut from wood, with the roles and names its file gives them; masks are not off yet."""
    renamed = _renamed(table, kind)
    roles = dict(KINDS[kind].faces)
    faces = {}
    for name in measured.area_m2:
        faces[name] = Face(
            renamed.get(name, name),
            roles[name],
            measured.area_m2[name],
            end_grain=name == "ends" or (kind == "leg" and name in ("top", "foot")),
            broad=kind in ("panel", "slab") and name in _BROAD,
            stands=hung or name not in KINDS[kind].lying,
            closed=closed and name == "inside",
        )
    given = read_roles(table, lambda key: pick(key, faces.values(), kind))
    return tuple(replace(face, role=given.get(face.name, face.role)) for face in faces.values())


def _renamed(table: Table, kind: str) -> dict[str, str]:
    """Names the two broad faces carry instead of top and underside."""
    if kind not in ("panel", "slab"):
        return {}
    said = _names_in(table)
    pairs = [pair for pair in BROAD_PAIRS if any(name in said for name in pair)]
    if len(pairs) > 1:
        table.fault(
            "two-names",
            "the broad faces are called both front/back and inside/outside.",
            "Keep to one pair in faces, mask, old and finish.",
        )
    return dict(zip(_BROAD, pairs[0], strict=True)) if pairs else {}


def _names_in(table: Table) -> set[str]:
    """Every face named in faces, mask, old or finish; `inside` in finish is a role where a face was given it."""
    said: set[str] = set()
    roles = table.data.get("faces")
    if isinstance(roles, dict):
        said |= set(roles)
    masks = table.data.get("mask")
    if isinstance(masks, list):
        said |= {m["on"] for m in masks if isinstance(m, dict) and isinstance(m.get("on"), str)}
    old = table.data.get("old")
    on = old.get("on") if isinstance(old, dict) else None
    said |= {name for name in (on if isinstance(on, list) else [on]) if isinstance(name, str)}
    finish = table.data.get("finish")
    if isinstance(finish, dict):
        as_role = isinstance(roles, dict) and "inside" in [v for v in roles.values() if isinstance(v, str)]
        said |= set(finish) - ({"inside"} if as_role and "inside" not in said else set())
    return said


def pick(name: str, faces: Iterable[Face], kind: str) -> list[str]:
    """Names of the faces that a name of the file means; raises Misread where there is none."""
    known = {face.name: face for face in faces}
    if name in known:
        return [name]
    for pair in BROAD_PAIRS if kind in ("panel", "slab") else ():
        if name in pair and not {"top", "underside"} & set(known):  # both pairs are used: that has been said
            return [face.name for face in known.values() if face.broad][pair.index(name) :][:1]
    if kind == "box" and name == "outside":
        return [n for n in known if n != "inside"]
    near = get_close_matches(name.strip().casefold(), known, 1, 0.6)
    mend = f"Did you mean {near[0]}?" if near else f"Its faces are: {', '.join(known)}."
    raise Misread(f"this part has no face {name}.", mend)


def read_roles(table: Table, picked: Callable[[str], list[str]]) -> dict[str, str]:
    """Roles of `faces`, by face; `picked` turns a name of the file into faces."""
    given = table.child("faces")
    roles: dict[str, str] = {}
    for key in given.data if given else ():
        assert given is not None
        role = given.take(key, choice(*ROLES))
        try:
            names = picked(key)
        except Misread as bad:
            given.fault("unknown-face", bad.says, bad.mend, key)
            continue
        if role:
            roles.update(dict.fromkeys(names, role))
    return roles


@dataclass(frozen=True)
class Spots:
    """How masked spots of a part are read: its unit, and the band of a leg where it is one."""

    unit: str
    sizes: Sizes | None = None  # of a leg; None for any other kind
    anywhere: bool = False  # the kind of part is not known, so any face may be masked all round


def take_masks(
    table: Table, faces: tuple[Face, ...], spots: Spots, picked: Callable[[str], list[str]]
) -> tuple[Face, ...]:
    """Faces with the area of masked spots taken off."""
    masked: dict[str, float] = {}
    for mask in table.children("mask"):
        mask.only(MASK_KEYS, "a mask")
        said = mask.need("on", _face_name, 'Write the face, as on = "inside".')
        names = _picked(mask, said, picked)
        area = _spot_m2(mask, spots, names)
        if not names or area is None:
            continue
        if len(names) > 1:
            mask.fault(
                "which-face", f"{said} is more than one face.", f"Write one of: {', '.join(names)}.", "on"
            )
            continue
        face = next(f for f in faces if f.name == names[0])
        masked[face.name] = masked.get(face.name, 0.0) + area
        if face.area_m2 and masked[face.name] > face.area_m2 * (1 + 1e-9):
            share = masked[face.name] / face.area_m2
            says = f"masked spots cover {share * 100:.0f} % of {face.name}, more than there is."
            mask.fault("mask-over-face", says, "Mend the sizes or the count; masks of one face add up.")
    return tuple(
        replace(f, area_m2=max(0.0, f.area_m2 - masked[f.name]), masked_m2=min(f.area_m2, masked[f.name]))
        if f.name in masked
        else f
        for f in faces
    )


def _picked(mask: Table, said: str | None, picked: Callable[[str], list[str]]) -> list[str]:
    """The faces a mask speaks of; nothing, and a finding, where the part has none of that name."""
    try:
        return picked(said) if said else []
    except Misread as bad:
        mask.fault("unknown-face", bad.says, bad.mend, "on")
        return []


def any_faces() -> tuple[Face, ...]:
    """A face of every name that a part of any kind has, for a part whose kind is not known."""
    names = [name for kind in KINDS.values() for name in kind.faces]
    names += [name for pair in BROAD_PAIRS for name in pair]
    return tuple(Face(name, "show", 0.0) for name in dict.fromkeys(names))


def _face_name(value: Any) -> str:
    if not isinstance(value, str) or not value:
        raise Misread("this is not the name of a face.", 'Write it in quotes, as on = "inside".')
    return value


def _spot_m2(mask: Table, spots: Spots, names: list[str]) -> float | None:
    """Area of the spots of one mask, m2; None where it cannot be read (then a finding)."""

    def length(value: Any) -> float:
        return read_length(value, spots.unit)

    count = mask.take("count", whole(1, 1000)) if "count" in mask else 1
    if "at" in mask:
        at = mask.take("at", choice("top", "foot"))
        run = mask.need("long", length, 'Write the length of the tenon, as long = "1 in".')
        elsewhere = bool(names) and names != ["sides"]
        if elsewhere or (spots.sizes is None and not spots.anywhere):
            mask.fault(
                "misread", "at: only the sides of a leg are masked all round.", "Write long and wide.", "at"
            )
            return None
        if spots.sizes is None or not names or at is None or run is None or count is None:
            return None
        if spots.sizes.long_mm and run > spots.sizes.long_mm:
            mask.fault("mask-over-face", "the masked length is longer than the leg.", "Mend long.", "long")
            return None
        return _band_m2(spots.sizes, at, run) * count
    if "round" in mask:
        across = mask.take("round", length)
        for key in ("long", "wide"):
            if key in mask:
                mask.fault(
                    "misread", f"{key} and round stand together.", "Write round, or long and wide.", key
                )
        return None if across is None or count is None else geometry.circle_m2(across) * count
    long = mask.need("long", length, "Write long and wide, or round.")
    wide = mask.need("wide", length, "Write long and wide, or round.")
    return (
        None if long is None or wide is None or count is None else geometry.rectangle_m2(long, wide) * count
    )


def _band_m2(sizes: Sizes, at: str, run: float) -> float:
    long, thick = sizes.long_mm, sizes.thick_mm
    if not long or not (thick or sizes.turned_mm):
        return 0.0
    if sizes.turned_mm:
        stations = sizes.turned_mm if at == "top" else sizes.turned_mm[::-1]
        return geometry.turned_band(long, stations, run)
    assert thick is not None
    wide = sizes.wide_mm or thick
    if at == "top":
        return geometry.leg_band(long, wide, thick, sizes.taper_mm, run)
    whole_leg = geometry.leg_band(long, wide, thick, sizes.taper_mm, long)
    return whole_leg - geometry.leg_band(long, wide, thick, sizes.taper_mm, long - run)


def said_faces(names: Collection[str]) -> str:
    """Faces in a sentence."""
    words = list(names)
    return words[0] if len(words) == 1 else f"{', '.join(words[:-1])} and {words[-1]}"
