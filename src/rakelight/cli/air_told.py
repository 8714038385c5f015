"""What the command of air asks, answers and prints."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import datetime
from pathlib import Path

from rakelight.cli.air_night import night_lines, week_lines
from rakelight.cli.plain import data, width
from rakelight.errors import Misread, Refused
from rakelight.facts import load
from rakelight.facts.load import Facts
from rakelight.facts.names import find_material
from rakelight.papers.wrapping import wrapped
from rakelight.physics.air import rh_of, saturation_pa
from rakelight.physics.blush import warmed_rh
from rakelight.plan.air_answers import AirAnswer, air_answer
from rakelight.plan.air_week import AirWeek, Tonight, night_test, night_way, tonight, week_of
from rakelight.schedule.tasks import Lay
from rakelight.shop.climate import with_reading
from rakelight.shop.model import Shop
from rakelight.units import (
    read_air,
    read_date,
    read_percent,
    read_temp,
    show_delta_temp,
    show_temp,
)

_FINE, _WARNED = 0, 1
_HEADS = {"go": "Go.", "warn": "Mind.", "hold": "Not now.", "refuse": "Stop.", "stop": "Stop."}
_DEFER = "The product's own sheet and local code come first."
_DAYS = 7
_AS_READ = (
    "Tonight and the good hours go by this reading for all hours in which the shop is as now, open or shut; for the "
    "rest by the shop file."
)


@dataclass(frozen=True)
class Asked:
    """What was said of the air and the coat, in words."""

    material: str
    method: str
    temp: str
    rh: str
    dew_point: str
    outdoor: str
    piece_temp: str
    retarder: bool
    heater: str

    @property
    def unit(self) -> str:
        """ "in" where anything was said in Fahrenheit."""
        said = " ".join((self.temp, self.dew_point, self.outdoor, self.piece_temp)).upper()
        return "in" if "F" in said else ""


def open_shop(path: Path) -> Shop:
    """A shop file; raises Refused with all that is wrong in it."""
    from rakelight.shop.file import read_shop

    shop, found = read_shop(path)
    if shop is None:
        raise Refused(found)
    return shop


def place_of(shop: Shop, name: str) -> str:
    """A place by its name; the first where none is said. Raises Misread for one the shop has not."""
    if not name:
        return shop.first_place.name
    if name not in shop.places:
        raise Misread(f"{shop.name} has no place {name!r}.", f"Write one of: {', '.join(shop.places)}.")
    return name


def coat_of(facts: Facts, material: str, method: str) -> Lay:
    """What is laid and how. Raises Misread where the name is not one material's."""
    found = find_material(facts, material)
    if found.one is None:
        raise Misread(found.says, found.ask)
    return Lay(found.one, method or facts.materials[found.one].methods[0])


def air(asked: Asked, shop_path: Path | None, place: str, now: str, svg: Path | None, as_json: bool) -> int:
    """The command; returns its exit code."""
    facts = load()
    lay = coat_of(facts, asked.material, asked.method)
    shop = open_shop(shop_path) if shop_path else None
    room = place_of(shop, place) if shop else ""
    moment = _moment(shop, now) if shop else None
    temp_c, rh = _state(asked, shop, room, moment)
    heater = asked.heater or (shop.places[room].heater if shop else "")
    piece = _of_piece(asked.piece_temp) if asked.piece_temp else None
    unit = asked.unit or ("in" if shop and shop.zone.key.startswith(("America/", "US/")) else "")
    answer = air_answer(
        facts, lay.material, lay.by, temp_c, rh, piece, retarded=asked.retarder, heater=heater, unit=unit
    )
    week, night = None, None
    if shop and moment:
        if asked.temp:
            shop = with_reading(shop, room, moment, temp_c, rh)
            answer = replace(answer, notes=(*answer.notes, _AS_READ))
        label = answer.material.name[0].upper() + answer.material.name[1:]
        week = week_of(shop, facts, room, [(label, lay)], moment, _DAYS)
        night = tonight(shop, facts, room, lay, moment)
        answer = _with_night(answer, night, facts)
        answer = replace(answer, more={"week": week.as_json(), "tonight": night.as_json()})
        if svg:
            from rakelight.papers.pictures.air import air_svg

            svg.write_text(air_svg(week, unit), "utf-8")
    elif svg or place or now:
        raise Misread("Tonight, the week and its picture want a shop.", "Say --shop SHOP.toml.")
    data(answer.as_json()) if as_json else print("\n".join(_air_lines(answer, week, night)))
    return _FINE if answer.verdict in ("go", "warn") else _WARNED


def _with_night(answer: AirAnswer, night: Tonight, facts: Facts) -> AirAnswer:
    """The answer with what the hours after laying hold against it, where the air of now does not stop it already."""
    test = night_test(answer, night, facts) if answer.verdict in ("go", "warn") else None
    if test is None or (test.verdict == "warn" and answer.verdict == "warn"):
        return answer
    do = "wait" if test.verdict == "hold" else answer.do
    return replace(answer, tests=(test, *answer.tests), ways=(night_way(answer, night, facts), *answer.ways), do=do)


def _moment(shop: Shop | None, now: str) -> datetime:
    from rakelight.shop.hours import by_moment

    assert shop is not None
    return (
        by_moment(shop, read_date(now)) if now else datetime.now(shop.zone).replace(second=0, microsecond=0)
    )


def _state(asked: Asked, shop: Shop | None, room: str, moment: datetime | None) -> tuple[float, float]:
    """Temperature and humidity as said, else the shop's at that moment."""
    given = [w for w in (asked.rh, asked.dew_point, asked.outdoor) if w]
    if len(given) > 1:
        raise Misread("The damp of the air is said twice.", "Say one of --rh, --dew-point, --outdoor.")
    if shop and moment and not asked.temp and not given:
        from rakelight.shop.climate import air_at

        return air_at(shop, room, moment)
    if not asked.temp or not given:
        mend = 'Say --temp "64 F" --rh 45; or --temp with --outdoor "40 F, 80 %"; or --shop SHOP.toml.'
        raise Misread("Of which air?", mend)
    temp_c = read_temp(asked.temp)
    if asked.rh:
        return temp_c, _humidity(asked.rh)
    if asked.outdoor:
        return temp_c, warmed_rh(*read_air(asked.outdoor), temp_c)
    dew_c = read_temp(asked.dew_point)
    if dew_c > temp_c:
        mend = "Look whether the two are exchanged, or one is in the other unit."
        raise Misread(f"A dew point of {asked.dew_point} cannot lie above air of {asked.temp}.", mend)
    return temp_c, rh_of(temp_c, saturation_pa(dew_c))


def _of_piece(words: str) -> float:
    """Temperature of a piece, C. Raises Misread for one that no piece in a shop has."""
    try:
        return read_temp(words)
    except Misread as bad:
        if "no air of a shop" not in bad.says:
            raise
        says = f"{bad.says.removesuffix('no air of a shop.')}no warmth of a piece that is to be finished."
        raise Misread(says, "Look at the unit; write it as 70 F or 21 C.") from bad


def _humidity(words: str) -> float:
    """Humidity in per cent, the sign or not, as a share; 0.6 is asked back."""
    number = words.strip().rstrip("% ")
    share = read_percent(f"{number} %", 100)
    if share <= 0.01:
        raise Misread(f"{number} % of humidity is met nowhere.", "Write per cent, as 60 for 60 %, not 0.6.")
    return share


def _air_lines(answer: AirAnswer, week: AirWeek | None, night: Tonight | None) -> list[str]:
    wide = width()
    unit = answer.unit
    head = f"{_HEADS[answer.verdict]} {answer.tests[0].says}"
    lines = wrapped(head, wide)
    lines += [
        line
        for n, way in enumerate(answer.ways)
        for line in wrapped(way, wide, "  or " if n else "  ", "     ")
    ]
    low, likely, high = (show_delta_temp(m, unit) for m in answer.margin)
    air, piece, dew = (show_temp(t, unit) for t in (answer.temp_c, answer.piece_c, answer.dew_point_c))
    figures = f"Air {air}, {answer.rh * 100:.0f} %; piece {piece}; dew point {dew}."
    lines += ["", *wrapped(f"{figures} Film above dew point: {likely} ({low} to {high}).", wide)]
    for test in answer.tests[1:]:
        lines += wrapped(f"{test.rule}: {test.says}", wide, "  ", "    ")
    for note in answer.notes:
        lines += wrapped(note, wide)
    lines += ["", "How the published rules would decide (they contradict each other):"]
    for other in answer.others:
        lines += wrapped(
            f"{'yes' if other.allows else 'no':4}{other.says} ({other.source.text})", wide, "  ", "      "
        )
    if night and week:
        lines += ["", *night_lines(answer, night, wide), *week_lines(answer, week, wide)]
    return [*lines, "", *wrapped(_DEFER, wide)]
