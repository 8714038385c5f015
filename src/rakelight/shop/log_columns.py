"""Which column of a logger's file is the time, which the temperature, which the humidity."""

from __future__ import annotations

import re
from dataclasses import dataclass, field

from rakelight.errors import Finding, Severity, Where

_DATED = re.compile(r"\d{1,4}[-/.]\d{1,2}[-/.]\d{1,4}")
_NUMBER = re.compile(r"\s*-?\d+(?:[.,]\d+)?\s*[%°CF]*\s*$")
_TIME = re.compile(
    r"^(date|time|timestamp|date ?(/|and|&)? ?time|local ?time|datetime|datum|uhrzeit|zeit|zeitstempel|zeitpunkt)\b",
    re.IGNORECASE,
)
_TEMP = re.compile(r"\b(temp|temperature|air temp)", re.IGNORECASE)
_RH = re.compile(r"\b(rh|humidity|rel\.? ?hum|\w*feucht)", re.IGNORECASE)
_NOT = re.compile(r"dew|wet|outdoor|outside|min\b|max\b|alarm|high|low|taupunkt|au(ß|ss)en", re.IGNORECASE)
_FAHRENHEIT = re.compile(r"°\s*f\b|[(\[]\s*f\s*[)\]]|\bf$|fahrenheit|deg\.? ?f", re.IGNORECASE)
_CELSIUS = re.compile(r"°\s*c\b|[(\[]\s*c\s*[)\]]|\bc$|celsius|deg\.? ?c", re.IGNORECASE)


@dataclass(frozen=True)
class Columns:
    """Where things stand; time may be in two columns."""

    first: int  # first row of figures
    time: tuple[int, ...]
    temp: int
    rh: int
    fahrenheit: bool
    notes: tuple[str, ...] = ()
    named: dict[str, str] = field(default_factory=dict)


def find_columns(
    rows: list[list[str]], name: str, *, time: str, temp: str, rh: str, unit: str
) -> tuple[Columns | None, list[Finding]]:
    """Columns by their headings, or as told; what cannot be told is asked for.

    Parameters: rows of cells; time, temp, rh, headings as told, "" not; unit, "F", "C" or "".
    """
    first = first_figures(rows)
    if first is None:
        return None, [_ask(name, "air-log-empty", "It holds no line with a date and two numbers.",
                           "Write the logger's data out as CSV, with a heading.")]  # fmt: skip
    heads = [c.strip() for c in rows[first - 1]] if first > 0 else []
    if not heads or _figures(rows[first - 1]):
        mend = "Put a line with headings above the figures."
        return None, [_ask(name, "air-log-columns", "It has no headings.", mend)]
    bare = [h.replace("_", " ") for h in heads]  # as words: an underscore parts them too
    times = _named(heads, time) if time else [n for n, h in enumerate(bare) if _TIME.match(h)]
    temps = (
        _named(heads, temp)
        if temp
        else [n for n, h in enumerate(bare) if _TEMP.search(h) and not _NOT.search(h)]
    )
    rhs = (
        _named(heads, rh) if rh else [n for n, h in enumerate(bare) if _RH.search(h) and not _NOT.search(h)]
    )
    found = []
    asked = (("time", "time", times, 2), ("temperature", "temp", temps, 1), ("humidity", "rh", rhs, 1))
    for what, option, got, most in asked:
        if not 1 <= len(got) <= most:
            which = "No column" if not got else f"{len(got)} columns"
            says = f"{which} of it can be told to be the {what}; the headings: {', '.join(h for h in heads if h)}."
            found.append(_ask(name, "air-log-columns", says, f'Say --{option}-column "HEADING".'))
    if found:
        return None, found
    kind = _unit(bare[temps[0]], unit)
    if kind is None:
        says = f"The heading {heads[temps[0]]!r} says neither Fahrenheit nor Celsius."
        return None, [_ask(name, "air-log-unit", says, "Say --unit F or --unit C.")]
    named = {
        "time": ", ".join(heads[n] for n in times),
        "temperature": heads[temps[0]],
        "humidity": heads[rhs[0]],
    }
    return Columns(first, tuple(times), temps[0], rhs[0], kind == "F", (), named), []


def first_figures(rows: list[list[str]]) -> int | None:
    """The first line of figures; None where there is none."""
    first = next((n for n, r in enumerate(rows) if _figures(r)), None)
    while first and len(rows[first - 1]) == len(rows[first]) and _dated(rows[first - 1]):
        first -= 1  # a row with a date whose figures are missing is no heading
    return first


def _figures(row: list[str]) -> bool:
    """Whether a line holds a date and two numbers beside it."""
    return _dated(row) and sum(bool(_NUMBER.match(c)) for c in row) >= 2


def _dated(row: list[str]) -> bool:
    return any(_DATED.search(c) for c in row)


def _named(heads: list[str], words: str) -> list[int]:
    """Columns of these headings, whole; else those that have the words in them."""
    told = [h.casefold() for h in heads]
    found: list[int] = []
    for wanted in (w.strip().casefold() for w in words.split(",")):
        whole = [n for n, h in enumerate(told) if h == wanted]
        found += whole or [n for n, h in enumerate(told) if wanted and wanted in h]
    return sorted(set(found))


def _unit(head: str, told: str) -> str | None:
    if told:
        return "F" if told.strip().casefold().startswith("f") else "C"
    hot, cold = bool(_FAHRENHEIT.search(head)), bool(_CELSIUS.search(head))
    return None if hot == cold else "F" if hot else "C"


def _ask(name: str, id: str, says: str, mend: str) -> Finding:
    return Finding(id, Severity.ERROR, Where(file=name), says, mend)
