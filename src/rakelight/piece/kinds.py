"""The kinds of part: their faces and roles, the sizes they need, and what is taken when nothing is said."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from rakelight.errors import Misread
from rakelight.piece import geometry
from rakelight.piece.geometry import BOX_SIDES, Measured
from rakelight.piece.model import Sizes
from rakelight.reading import Table
from rakelight.units import read_length, show_length

ROLES = ("show", "hidden", "inside", "sliding", "bare", "glue", "fitting")
#: other names of the two broad faces of a board, by the pair they come in
BROAD_PAIRS = (("front", "back"), ("outside", "inside"))
SIZE_KEYS = (
    "long", "wide", "thick", "deep", "high", "round",
    "rail", "taper", "turned_at", "girth", "wide_at", "outline",
)  # fmt: skip
MOST_STATIONS = 500


@dataclass(frozen=True)
class Kind:
    """What a kind of part is made of."""

    faces: dict[str, str]  # face -> role
    needs: tuple[str, ...]  # sizes that must be there; "a|b" one of the two
    may: tuple[str, ...] = ()  # sizes and keys that may be there
    both_faces: str = "turned"
    takes: str = "takes_panel"  # drying places one takes: id of the table of figures
    lying: tuple[str, ...] = ()  # faces that lie flat while they are coated, where the part is not hung


KINDS = {
    "panel": Kind(
        {"top": "show", "underside": "show", "edges": "show", "ends": "show"},
        ("long|round", "wide|round", "thick"),
        lying=("top", "underside", "edges", "ends"),
    ),
    "slab": Kind(
        {"top": "show", "underside": "show", "edges": "show", "ends": "show"},
        ("long|outline", "wide_at|outline", "thick"),
        ("natural",),
        lying=("top", "underside", "edges", "ends"),
    ),
    "box": Kind(
        {
            "top": "show", "left": "show", "right": "show", "front": "show",
            "back": "hidden", "underside": "hidden", "rims": "show", "inside": "inside",
        },
        ("wide", "deep", "high", "thick"),
        ("open",),
        "stands",
        "takes_box",
        ("top", "underside"),
    ),
    "frame": Kind(
        {"front": "show", "back": "hidden", "inner edges": "show", "outer edges": "show"},
        ("wide", "high|long", "rail", "thick"),
        both_faces="stands",
    ),
    "leg": Kind(
        {"sides": "show", "top": "glue", "foot": "hidden"},
        ("long", "thick|turned_at"),
        ("wide", "taper"),
        "hung",
        "takes_leg",
    ),
    "stick": Kind({"sides": "show", "ends": "glue"}, ("long", "thick"), ("wide",), "hung", "takes_leg"),
    "moulding": Kind(
        {"face": "show", "back": "glue", "ends": "glue"}, ("long", "girth"), ("wide", "thick"), "hung", "takes_leg"
    ),
}  # fmt: skip
#: shown for a size that is missing
_EXAMPLES = {
    "thick": '"7/8 in"',
    "turned_at": '["1 1/2 in", "2 in", "1 in"]',
    "wide_at": '["15 in", "16 in", "15 1/2 in"]',
}
#: sizes that may not stand together, by kind
_INSTEAD: dict[str, dict[str, tuple[str, ...]]] = {
    "panel": {"round": ("long", "wide")},
    "slab": {"outline": ("wide_at",)},
    "leg": {"turned_at": ("taper",)},
    "frame": {"long": ("high",)},
}


def keys_of(kind: str) -> set[str]:
    """Size keys, and keys of that kind alone, that a part of a kind may have."""
    needed = {key for need in KINDS[kind].needs for key in need.split("|")}
    return needed | set(KINDS[kind].may)


def read_sizes(table: Table, kind: str, unit: str) -> tuple[Sizes, bool]:
    """Sizes of a part, and whether all that its kind needs could be read; faults go to the table."""
    before = len(table.doc.findings)

    def length(value: Any) -> float:
        return read_length(value, unit)

    def stations(value: Any) -> tuple[float, ...]:
        return _stations(value, unit)

    for need in KINDS[kind].needs:
        names = need.split("|")
        if not any(name in table for name in names):
            example = _EXAMPLES.get(names[0], '"12 in"')
            either = f" (or {names[1]})" if len(names) > 1 else ""
            table.fault("missing", f"{names[0]}{either} is missing.", f"Write {names[0]} = {example}.")
    for one, others in _INSTEAD.get(kind, {}).items():
        beside = [other for other in others if other in table]
        if one in table and beside:
            says = f"{one} stands in place of {' and '.join(beside)}, not beside it."
            table.fault("misread", says, f"Leave out {one}, or {' and '.join(beside)}.", one)
    found: dict[str, Any] = {}
    for key in SIZE_KEYS:
        if key not in keys_of(kind):
            continue
        if key == "outline":
            found["outline_mm"] = table.take(key, lambda v: _outline(v, unit)) or ()
        elif key in ("turned_at", "wide_at"):
            name = "turned_mm" if key == "turned_at" else "wide_at_mm"
            found[name] = table.take(key, stations) or ()
        else:
            found[f"{key}_mm"] = table.take(key, length)
    return Sizes(**found), len(table.doc.findings) == before


def _stations(value: Any, unit: str) -> tuple[float, ...]:
    if not isinstance(value, list):
        raise Misread(
            "this is not a list of lengths.", "Write at least three, from end to end, at even distances."
        )
    if len(value) < 3:
        raise Misread(
            f"{len(value)} station{'' if len(value) == 1 else 's'} are too few to follow a curve.",
            "Measure at three even stations or more, an odd number best.",
        )
    if len(value) > MOST_STATIONS:
        raise Misread(f"{len(value)} stations are more than {MOST_STATIONS}.", "Write every tenth of them.")
    return tuple(read_length(v, unit) for v in value)


def _outline(value: Any, unit: str) -> tuple[tuple[float, float], ...]:
    mend = (
        'Write points in order round the slab, as [["0 in", "0 in"], ["34 in", "0 in"], ["34 in", "16 in"]].'
    )
    if not isinstance(value, list) or not all(isinstance(p, list) and len(p) == 2 for p in value):
        raise Misread("this is not a list of [along, across] points.", mend)
    if not 3 <= len(value) <= MOST_STATIONS:
        raise Misread(f"{len(value)} points: from 3 to {MOST_STATIONS} make an outline.", mend)
    points = tuple(
        (read_length(along, unit, signed=True), read_length(across, unit, signed=True))
        for along, across in value
    )
    if points[0] == points[-1]:
        points = points[:-1]
    if len(points) < 3 or geometry.outlined_slab(points, 1.0).area_m2["top"] < 1e-6:
        raise Misread("the outline encloses nothing.", mend)
    if geometry.crosses_itself(points):
        raise Misread("the outline crosses itself.", "Write the points in order, once round the slab.")
    return points


def measure(kind: str, sizes: Sizes, lacks: tuple[str, ...] = (), natural: str = "both") -> Measured:
    """Areas and arrises of a part whose sizes are all there and plausible."""
    s = sizes
    long, wide, thick = s.long_mm or 0.0, s.wide_mm or 0.0, s.thick_mm or 0.0
    if kind == "panel":
        if s.round_mm:
            return geometry.round_panel(s.round_mm, thick)
        return geometry.panel(long, wide, thick)
    if kind == "slab":
        if s.outline_mm:
            return geometry.outlined_slab(s.outline_mm, thick)
        return geometry.slab(long, s.wide_at_mm, thick, natural)
    if kind == "box":
        return geometry.box(wide, s.deep_mm or 0.0, s.high_mm or 0.0, thick, lacks)
    if kind == "frame":
        return geometry.frame(wide, s.high_mm or long, s.rail_mm or 0.0, thick)
    if kind == "leg":
        if s.turned_mm:
            return geometry.turned_leg(long, s.turned_mm)
        return geometry.square_leg(long, wide or thick, thick, s.taper_mm)
    if kind == "stick":
        return geometry.stick(long, wide or thick, thick)
    return geometry.moulding(long, s.girth_mm or 0.0, wide, thick)


def implausible(
    kind: str, sizes: Sizes, lacks: tuple[str, ...], unit: str
) -> list[tuple[str, str, str, str]]:
    """What cannot be about sizes that read well: (id, key, what is wrong, what to write)."""
    found = []
    thick, s = sizes.thick_mm or 0.0, sizes

    def shown(mm: float) -> str:
        return show_length(mm, unit)

    across = {"panel": s.round_mm or s.wide_mm, "stick": s.wide_mm, "slab": min(s.wide_at_mm, default=None)}
    width = across.get(kind)
    if width is not None and thick > width:
        says = f"the thickness, {shown(thick)}, is more than the width, {shown(width)}."
        found.append(("thick-over-wide", "thick", says, "Change them round, or mend the unit."))
    if kind == "box":
        walls = {"wide": ("left", "right"), "deep": ("front", "back"), "high": ("top", "underside")}
        for key, pair in walls.items():
            room = (getattr(s, f"{key}_mm") or 0.0) - sum(thick for side in pair if side not in lacks)
            if room <= 0:
                says = f"walls of {shown(thick)} leave no inside: {key} is too small."
                found.append(("thick-over-wide", key, says, f"Write the outside measure for {key}."))
    if kind == "frame" and 2 * (s.rail_mm or 0.0) >= min(s.wide_mm or 0.0, s.high_mm or s.long_mm or 0.0):
        says = f"members of {shown(s.rail_mm or 0.0)} leave no opening in the frame."
        found.append(
            ("rail-over-frame", "rail", says, "Write the width of one member, and outside measures.")
        )
    if kind == "leg" and s.taper_mm and s.taper_mm > thick:
        says = f"the small end, {shown(s.taper_mm)}, is more than the thickness, {shown(thick)}."
        found.append(("taper-over-thick", "taper", says, "Write the small end as taper, the large as thick."))
    if s.outline_mm and s.long_mm:
        run = max(p[0] for p in s.outline_mm) - min(p[0] for p in s.outline_mm)
        if abs(run - s.long_mm) > 0.02 * s.long_mm:
            says = f"the outline is {shown(run)} long, but long is {shown(s.long_mm)}."
            found.append(("outline-and-long", "long", says, "Leave long out, or mend the points."))
    return found


#: thinner than this is no wood that is finished: a veneer is thicker
_THINNEST_MM = 0.5
_THINNEST_LEG_MM = 3.0


def doubtful(kind: str, sizes: Sizes) -> list[tuple[str, str, str]]:
    """Sizes that can hardly be meant: (key, what is odd, what to write)."""
    s = sizes
    thick = [("thick", s.thick_mm)] if s.thick_mm else []
    across = [*thick, *([("wide", s.wide_mm)] if s.wide_mm else []), *([("taper", s.taper_mm)] if s.taper_mm else [])]
    turned = [("turned_at", mm) for mm in s.turned_mm]
    least_mm = _THINNEST_LEG_MM if kind == "leg" else _THINNEST_MM
    sized = [*across, *turned] if kind == "leg" else thick
    thin = min(sized, key=lambda one: one[1], default=None)
    if thin is None or thin[1] >= least_mm:
        return []
    key, mm = thin
    if kind == "leg":
        says = f"a leg of {mm:.2g} mm is too thin to stand on."
        return [(key, says, f'Write {key} with its unit, as "1 1/2 in" or "38 mm".')]
    says = f"a thickness of {mm:.2g} mm is less than a veneer has."
    return [(key, says, 'Write the whole board with its unit, as thick = "3/4 in" or "19 mm".')]


def read_sides(value: Any) -> tuple[str, ...]:
    """Sides a box lacks: one name or a list."""
    sides = value if isinstance(value, list) else [value]
    for side in sides:
        if side not in BOX_SIDES:
            raise Misread("this is not a list of sides.", f"Write some of: {', '.join(BOX_SIDES)}.")
    if len(set(sides)) > 5:
        raise Misread("a box with no side at all is nothing.", "Leave at least one side.")
    return tuple(dict.fromkeys(sides))
