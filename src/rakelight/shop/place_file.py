"""Reads the places of a shop's file: size, heater, drying places, their air or a town to guess it from."""

from __future__ import annotations

from difflib import get_close_matches
from typing import Any

from rakelight.errors import Finding, Misread, Severity, SourceKind
from rakelight.physics.air import burner_pa_per_k
from rakelight.reading import Table, choice, number, text, whole
from rakelight.shop.guess import guessed_air
from rakelight.shop.model import MonthlyAir, Place
from rakelight.units import read_air, read_minutes, read_month, read_room, read_temp, read_volume
from rakelight.units.dates import MONTHS

PLACE_KEYS = (
    "size", "volume", "air_changes", "heater", "use", "drying_places", "carry", "air", "town", "heated_to",
)  # fmt: skip
AIR_KEYS = ("month", "open", "closed")
HEATERS = ("none", "electric", "vented", "unvented", "wood stove")
USES = ("all", "drying only", "wet only", "dusty only")

_AIR_MEND = 'Write air = [{ open = "68 F, 45 %", closed = "60 F, 50 %" }], or town = "Chicago".'


def read_places(root: Table) -> dict[str, Place]:
    """Every place of a shop's file, in order; what is wrong goes to the findings of the file."""
    table = root.child("place")
    if table is None or not table.data:
        if table is not None or "place" not in root:
            root.fault("missing", "a shop has at least one place.", "Write [place.shop], its air below.")
        return {}
    found = {}
    for name in table.data:
        below = table.child(name)
        if below is not None:
            found[name] = _place(below, name)
    if found and all(place.use == "drying only" for place in found.values()):
        says = "every place is for drying only: no work can be done."
        table.fault("no-place-to-work", says, 'Write use = "all" for one of them.')
    return found


def _place(table: Table, name: str) -> Place:
    from rakelight.facts import load

    table.only(PLACE_KEYS, "a place")
    plain, likely = Place(name), load().likely
    air_changes = table.take("air_changes", number(0.01, 100, "air_changes = 0.5"))
    drying_places = table.take("drying_places", whole(1, 1000))
    carry = table.take("carry", carry_minutes)
    use = table.take("use", choice(*USES)) or plain.use
    air, guessed = _air_of(table, name, use)
    return Place(
        name=name,
        use=use,
        volume_m3=_volume(table),
        air_changes_per_h=likely("air_changes_unknown") if air_changes is None else air_changes,
        air_changes_given=air_changes is not None,
        heater=table.take("heater", choice(*HEATERS)) or "",
        drying_places=plain.drying_places if drying_places is None else drying_places,
        carry_min=likely("carry_min") if carry is None else carry,
        air=air,
        air_guessed=guessed,
        line=table.line(),
    )


def _volume(table: Table) -> float | None:
    if "size" in table and "volume" in table:
        table.fault("twice", "size and volume say the same thing.", "Keep one of the two.", "volume")
    size, volume = table.take("size", read_room), table.take("volume", read_volume)
    return volume if size is None else size


def _air_of(table: Table, name: str, use: str) -> tuple[tuple[MonthlyAir, ...], bool]:
    """The air of a place, and whether it is a guess from a town."""
    if "town" in table:
        if "air" in table:
            mend = "Keep air; leave out town and heated_to."
            table.fault("twice", "air and town both say the air.", mend, "town")
            return _written_air(table), False
        return _guessed(table, name, use), True
    if "heated_to" in table:
        table.fault("missing", "heated_to stands without a town.", 'Add town = "Chicago".', "heated_to")
    elif "air" not in table:
        table.fault("missing", f"the air of {name} is missing.", _AIR_MEND)
    return _written_air(table), False


def _written_air(table: Table) -> tuple[MonthlyAir, ...]:
    if "air" in table and table.data["air"] == []:
        table.fault("missing", "air is an empty list.", _AIR_MEND, "air")
    found: dict[int, MonthlyAir] = {}
    for line in table.children("air"):
        line.only(AIR_KEYS, "air")
        month = line.take("month", read_month) if "month" in line else 0
        opened = line.need("open", read_air, 'Add open = "68 F, 45 %", the air while the shop is open.')
        closed = line.need("closed", read_air, 'Add closed = "60 F, 50 %", what a closed night comes to.')
        if month is None or opened is None or closed is None:
            continue
        if month in found:
            said = _month_name(month) if month else "all the year"
            line.fault("twice", f"the air of {said} stands twice.", "Keep one line for each month.")
            continue
        found[month] = MonthlyAir(month, *opened, *closed)
    return tuple(found.values())


def _guessed(table: Table, name: str, use: str) -> tuple[MonthlyAir, ...]:
    """Air from a town's year, with a note that says so in figures."""
    from rakelight.facts import load

    heated_to_c = table.take("heated_to", read_heat)
    said = table.take("town", text)
    if said is None or ("heated_to" in table and heated_to_c is None):
        return ()
    towns = load().towns
    word, _, state = (part.strip().casefold() for part in said.partition(","))
    year = [m for m in towns if m.town.casefold() == word and state in ("", m.state.casefold())]
    if not year:
        known = sorted({m.town for m in towns})
        near = get_close_matches(said.title(), known, 1, 0.6)
        mend = f"Did you mean {near[0]}?" if near else f"Known: {', '.join(known)}. Else write air = [...]."
        table.fault("unknown-town", f"town: the year of {said[:60]!r} is not known.", mend, "town")
        return ()
    heater = table.data.get("heater")
    keeps = 1.0 if use == "drying only" else load().likely("night_keeps")  # heated day and night, or not
    air = guessed_air(year, heated_to_c, keeps, _burner(heater if isinstance(heater, str) else ""))
    cold = min(air, key=lambda line: line.closed_temp_c)
    says = (
        f"The air of {name} is a guess from the mean year of {year[0].town}: in {_month_name(cold.month)} "
        f"{cold.open_temp_c:.0f} C, {cold.open_rh:.0%} open and {cold.closed_temp_c:.0f} C, "
        f"{cold.closed_rh:.0%} closed."
    )
    mend = "Hang a thermometer and a hygrometer there and write air = [...] as they read, open and at dawn."
    source = year[0].source.text
    table.doc.findings.append(
        Finding("air-guessed", Severity.NOTE, table.where("town"), says, mend, source, SourceKind.ASSUMPTION)
    )
    return air


def _burner(heater: str) -> float:
    """Vapour a heater leaves in the room for each degree it warms it, Pa; none where it has a flue or no flame."""
    from rakelight.facts import load
    from rakelight.facts.air_tables import heaters

    kind = heaters().get(heater)
    if kind is None or not kind.fuel:
        return 0.0
    walls = load().figures["burner_walls_times"].value.likely
    return burner_pa_per_k(kind.carbon, kind.hydrogen, kind.mj_per_kg, walls)


def _month_name(month: int) -> str:
    return MONTHS[month - 1].capitalize()


def read_heat(value: Any) -> float:
    """The temperature a place is heated to, C; raises Misread outside 0 to 45 C."""
    temp_c = read_temp(value)
    if not 0 <= temp_c <= 45:
        raise Misread(f"{value!r} is no heat to keep a shop at.", 'Write it as "64 F" or "18 C".')
    return temp_c


def carry_minutes(value: Any) -> float:
    """Minutes to take a part to a place; 0 for a place in the same room."""
    return read_minutes(value, zero=True)
