"""What the command of vapour asks, answers and prints."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import floor, isfinite, log10
from pathlib import Path

from rakelight.cli.air_told import open_shop, place_of
from rakelight.cli.plain import data, width
from rakelight.errors import Misread
from rakelight.facts import load
from rakelight.facts.air_tables import heaters
from rakelight.facts.load import Facts
from rakelight.facts.names import find_material
from rakelight.papers.wrapping import wrapped
from rakelight.plan.vapour_answers import Part, VapourAnswer, stuff_of, vapour_answer
from rakelight.units import (
    M3_PER_FT3,
    ML_PER_FL_OZ,
    read_amount,
    read_volume,
    show_hours,
    show_volume,
    show_wait,
)

_FINE, _WARNED = 0, 1
_HEADS = {"go": "Go.", "warn": "Mind.", "stop": "Stop.", "refuse": "Stop."}
_LAID = {"brush": "brushed", "wipe": "wiped", "pad": "padded", "spray": "sprayed", "mix": "mixed",
         "clean": "used up"}  # fmt: skip
#: words of who measures in inches
_INCH_WORDS = ("ft", "foot", "feet", "oz", "ounce", "quart", "qt", "pint", "pt", "gal", "cup", '"', "'")


@dataclass(frozen=True)
class Where:
    """What was said of the room."""

    room: str
    air_changes: float | None
    mixing: float | None
    flame: bool
    heater: str
    no_methanol: bool
    shop: Path | None
    place: str


def vapour(
    materials: Sequence[str], amounts: Sequence[str], methods: Sequence[str], where: Where, as_json: bool
) -> int:
    """The command; returns its exit code."""
    facts = load()
    first, *beside = _parts(facts, materials, amounts, methods)
    volume, changes, heater = _room(where)
    answer = vapour_answer(facts, first.stuff, first.amount_ml, first.by, volume, changes, mixing=where.mixing,
                           flame=where.flame, heater=heater, methanol_free=where.no_methanol,
                           beside=beside)  # fmt: skip
    inches = any(unit in f"{where.room} {' '.join(amounts)}".lower() for unit in _INCH_WORDS)
    data(answer.as_json()) if as_json else print("\n".join(_vapour_lines(answer, "in" if inches else "")))
    return _FINE if answer.verdict in ("go", "warn") else _WARNED


def _parts(
    facts: Facts, materials: Sequence[str], amounts: Sequence[str], methods: Sequence[str]
) -> list[Part]:
    """Each material with its amount. Raises Misread where they do not go together one by one."""
    if len(materials) != len(amounts):
        says = f"{_count(len(materials), 'material')} and {_count(len(amounts), 'amount')}."
        raise Misread(says, "Say --material and --amount once for each: they are summed in the order said.")
    if len(methods) > 1 and len(methods) != len(materials):
        says = f"{_count(len(materials), 'material')} and {_count(len(methods), 'method')}."
        raise Misread(says, "Say --method once for each material, or once for all.")
    each = list(methods) if len(methods) == len(materials) else [*methods, ""][:1] * len(materials)
    found = []
    for material, amount, method in zip(materials, amounts, each, strict=True):
        by = method or _mostly(facts, material)
        if len(materials) > len(methods) and find_material(facts, material).one is None:
            by = _mostly(facts, material)  # a bare solvent among what is laid
        stuff = stuff_of(facts, material, by)
        said = read_amount(amount)
        density = stuff.row.density_kg_per_l.likely if stuff.row else sum(stuff.grams_per_ml.values())
        found.append(Part(stuff, said.value if said.unit == "ml" else said.value / (density or 1.0), by))
    return found


def _count(number: int, what: str) -> str:
    return f"{number} {what}{'' if number == 1 else 's'}"


def _mostly(facts: Facts, material: str) -> str:
    found = find_material(facts, material).one
    return facts.materials[found].methods[0] if found else "clean"


def _room(where: Where) -> tuple[float, float | None, str]:
    """Volume, air change and kind of heater: as said, else as the shop has it."""
    changes, heater = where.air_changes, where.heater
    volume = read_volume(where.room) if where.room else None
    if where.shop:
        shop = open_shop(where.shop)
        place = shop.places[place_of(shop, where.place)]
        volume = volume if volume is not None else place.volume_m3
        heater = heater or place.heater
        if changes is None and place.air_changes_given:
            changes = place.air_changes_per_h
    if volume is None:
        raise Misread("In how large a room?", 'Say --room "60 m3", or "20 ft x 20 ft x 9 ft".')
    if heater and heater not in heaters():
        raise Misread(f"{heater!r} is no kind of heater.", f"Write one of: {', '.join(heaters())}.")
    return volume, changes, heater


def _vapour_lines(answer: VapourAnswer, unit: str) -> list[str]:
    wide = width()
    says = answer.says[0].lower() + answer.says[1:]
    lines = wrapped(f"{_HEADS[answer.verdict]} {_asked(answer, unit)}: {says}", wide)
    if answer.mend:
        lines += wrapped(answer.mend, wide, "  ")
    lines.append("")
    for s in answer.seen.limits:
        whose = " (methanol's)" if s.id in answer.methanols else ""
        lines += wrapped(
            f"breath: {_ppm(s.ppm)} ppm of {s.solvent}; {s.says} {s.limit_ppm:,.0f} ppm{whose}.",
            wide,
            "  ",
            "    ",
        )
    if answer.seen.fire:
        share, burns = answer.seen.share_of_lel * 100, _space(answer.burnable_m3, unit)
        mixed = f"fire: {share:.1f} % of the lower explosive limit, the room mixed; lying low and unmixed, enough for"
        lines += wrapped(f"{mixed} {burns} of air that burns.", wide, "  ", "    ")
    told = [*_sums(answer, unit), *_heat_again(answer)]
    lines += [line for says in told for line in wrapped(says, wide, "  ", "    ")]
    for note in answer.notes:
        lines += wrapped(note, wide)
    return lines


def _asked(answer: VapourAnswer, unit: str) -> str:
    """What was reckoned: amounts, materials, room and air."""
    parts = [
        f"{show_volume(p.amount_ml, unit)} of {p.stuff.name}, {_LAID.get(p.by, p.by)}" for p in answer.parts
    ]
    room = answer.room
    return (
        f"{' and '.join(parts)}, in {_space(room.volume_m3, unit)} at {room.changes_per_h:g} air "
        f"change{'' if room.changes_per_h == 1 else 's'} an hour"
    )


def _space(volume_m3: float, unit: str) -> str:
    """Air of a room: cubic feet or cubic metres."""
    size, name = (volume_m3 / M3_PER_FT3, "cu ft") if unit == "in" else (volume_m3, "m3")
    return f"{size:,.0f} {name}" if size >= 10 else f"{size:.1f} {name}"


def _sums(answer: VapourAnswer, unit: str) -> list[str]:
    """What may be laid and when the air is thin again: sums over a room, and no leave."""
    found = []
    if answer.most_unlit_ml is not None:
        few = answer.most_unlit_ml < 1
        at_most = "Less than 1 ml" if few else f"At most about {_down(answer.most_unlit_ml, unit)}"
        alike = ", all in the shares said," if len(answer.parts) > 1 else ""
        if answer.flame:
            then = f"{at_most[0].lower()}{at_most[1:]}{alike} in one session"
            found.append(f"None while a flame is there; with every one out {then}.")
        else:
            found.append(f"{at_most}{alike} in one session by these sums.")
    if answer.seen.by_solvent and not answer.flame:
        if isfinite(answer.purge_h):
            after = show_hours(max(answer.purge_h, 0.25))
            comes = f"comes under the limits of breath about {after} after the coat is dust-free"
        if answer.purge_h <= 0:
            comes = "stays under the limits of breath"
        elif not isfinite(answer.purge_h):
            comes = "stays as rich without a change of air"
        found.append(f"The mean of the room {comes}; that is no leave to light anything.")
    return found


def _heat_again(answer: VapourAnswer) -> list[str]:
    """The earliest that the heat may come back, and what must be true by then."""
    if answer.relight_h is None:
        return []
    early, late = answer.relight_h
    if not isfinite(early):
        return ["Heat again: never while the air does not change; open door and window first."]
    if isfinite(late):
        span = f"{show_wait(early, late)} after it is laid, the later where the air stands still"
    else:
        span = f"{show_hours(early)} after it is laid, longer where the air stands still"
    return [
        f"Heat again: no sooner than {span}; and then only when no smell is left at the floor by the piece, the cans "
        "are shut, and wet rags and brushes are outdoors. Where the can's sheet says longer, wait that long."
    ]


def _ppm(value: float) -> str:
    return f"{value:,.0f}" if value >= 0.5 else "under 1"


def _down(volume_ml: float, unit: str) -> str:
    """Rounded down: to two figures of ml, or to the fractions of an ounce in which it is shown."""
    ounces = volume_ml / ML_PER_FL_OZ
    if unit == "in" and ounces >= 0.5:
        parts = 4 if ounces < 2 else 2 if ounces < 8 else 1
        return show_volume(floor(ounces * parts) / parts * ML_PER_FL_OZ, unit)
    step = 10 ** max(0, floor(log10(volume_ml)) - 1)
    return f"{floor(volume_ml / step) * step:,} ml"
