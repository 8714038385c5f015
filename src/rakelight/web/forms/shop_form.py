"""The shop as it is first said on a phone: hours, the air of one place, heat and gear; made into the shop's file."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any

from rakelight.errors import Finding
from rakelight.piece.write import write_toml
from rakelight.shop.file import read_shop
from rakelight.toml_lines import index_lines

#: how heat is made, as the language calls it, and as it is asked
HEATERS = (
    ("none", "none"), ("electric", "electric"), ("vented", "burner with a flue"), ("unvented", "burner without a flue"),
    ("wood stove", "wood stove"),
)  # fmt: skip
#: zones asked first; any other may be typed
ZONES = (
    "America/New_York", "America/Chicago", "America/Denver", "America/Los_Angeles", "Europe/London", "Europe/Berlin",
    "Europe/Paris", "Australia/Sydney",
)  # fmt: skip
_KEYS = (
    "name", "zone", "week", "sat", "sun", "holidays", "place", "size", "heater", "places", "town", "heated_to",
    "open", "closed", "gun",
)  # fmt: skip
#: the field in which each key of the file is typed
_FIELDS = {
    ("shop",): "name", ("zone",): "zone", ("hours", "mon-fri"): "week", ("hours", "sat"): "sat",
    ("hours", "sun"): "sun",
    ("hours",): "week", ("holidays",): "holidays", ("gear",): "gun",
}  # fmt: skip
_PLACE_FIELDS = {
    "size": "size",
    "heater": "heater",
    "drying_places": "places",
    "town": "town",
    "heated_to": "heated_to",
    "air": "open",
}


@dataclass
class ShopFields:
    """What is typed for a shop."""

    typed: dict[str, str] = field(
        default_factory=lambda: {"week": "8:00-12:00, 12:45-17:00", "heater": "electric", "place": "shop"}
    )
    faults: dict[str, list[Finding]] = field(default_factory=dict)

    def get(self, name: str) -> str:
        """What stands in a field."""
        return self.typed.get(name, "")

    @property
    def wrong(self) -> bool:
        """Whether anything must be mended first."""
        return any(f.severity == "error" for found in self.faults.values() for f in found)


def read_fields(said: Mapping[str, Sequence[str]]) -> ShopFields:
    """What was typed."""
    return ShopFields({key: (said.get(key) or [""])[0].strip()[:200] for key in _KEYS})


def as_table(form: ShopFields) -> dict[str, Any]:
    """The shop as a table of the language."""
    data: dict[str, Any] = {"shop": form.get("name"), "zone": form.get("zone")}
    days = (("mon-fri", "week"), ("sat", "sat"), ("sun", "sun"))
    data["hours"] = {day: form.get(key) for day, key in days if form.get(key)}
    if form.get("holidays"):
        data["holidays"] = form.get("holidays")
    place: dict[str, Any] = {}
    if form.get("size"):
        place["size"] = form.get("size")
    if form.get("heater"):
        place["heater"] = form.get("heater")
    if form.get("places").isdigit():
        place["drying_places"] = int(form.get("places"))
    if form.get("open") or form.get("closed"):
        place["air"] = [{"open": form.get("open"), "closed": form.get("closed") or form.get("open")}]
    elif form.get("town"):
        place["town"] = form.get("town")
        if form.get("heated_to"):
            place["heated_to"] = form.get("heated_to")
    data["place"] = {"shop": place}
    if form.get("gun"):
        data["gear"] = {"gun": {"set_up": "10 min", "clean": "15 min"}}
    return data


def check(form: ShopFields, found: Sequence[Finding] | None = None) -> str:
    """The shop's file; what is wrong stands at the fields afterwards."""
    text = write_toml(as_table(form))
    told = read_shop(text, "shop.toml")[1] if found is None else found
    form.faults = {}
    spots = {line: spot for spot, line in sorted(index_lines(text).items(), key=lambda row: len(row[0]))}
    for one in told:
        form.faults.setdefault(_field(spots.get(one.where.line, ()), one.says), []).append(one)
    return text


def _field(spot: tuple[str | int, ...], says: str) -> str:
    if len(spot) > 1 and spot[0] == "place":
        key = str(spot[2]) if len(spot) > 2 else "air"
        if key == "air" and says.startswith("closed"):
            return "closed"
        return _PLACE_FIELDS.get(key, "open")
    for depth in range(len(spot), 0, -1):
        if tuple(spot[:depth]) in _FIELDS:
            return _FIELDS[tuple(str(s) for s in spot[:depth])]
    return ""
