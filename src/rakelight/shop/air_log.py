"""Reading of a temperature and humidity logger's file: rows of local time, temperature and humidity.

Nothing is guessed in silence: a column, a unit or an order of day and month that the file does not settle is asked
for. Rows that cannot be read are left out and counted.
"""

from __future__ import annotations

import csv
from dataclasses import dataclass, field
from datetime import datetime
from pathlib import Path
from zoneinfo import ZoneInfo

import numpy as np
from numpy.typing import NDArray

from rakelight.errors import Finding, NotFound, Severity, Where
from rakelight.shop.climate import HourlyAir
from rakelight.shop.log_columns import Columns, find_columns, first_figures
from rakelight.shop.log_times import to_seconds
from rakelight.units import K_PER_DEGREE_F, f_to_c

Floats = NDArray[np.float64]

_DELIMITERS = (";", "\t", "|", ",")
_LOOKED_AT = 40  # lines from which the delimiter is told
#: no room of a shop is outside this: a broken sensor or a wrong unit
_COLDEST_C, _WARMEST_C = -40.0, 60.0
HOUR_S = 3600.0
#: no shop is this warm in half of its hours, and a sensor that is sound leaves no more than this share outside
_HOT_SHOP_C, _MOST_OUTSIDE = 45.0, 0.05
#: a hole up to this long is bridged straight; a longer one is a gap
BRIDGED_H = 3.0


@dataclass(frozen=True, eq=False)
class AirLog:
    """What a logger wrote, in order of time."""

    seconds: Floats  # since 1970, UTC
    temp_c: Floats
    rh: Floats  # 0-1
    zone: ZoneInfo
    rows: int  # of the file
    left_out: int
    doubled: int  # rows of one and the same moment, taken as their mean
    gaps: tuple[tuple[datetime, float], ...]  # begin, hours
    notes: tuple[str, ...] = ()
    columns: dict[str, str] = field(default_factory=dict)

    @property
    def start(self) -> datetime:
        """First moment."""
        return datetime.fromtimestamp(float(self.seconds[0]), self.zone)

    @property
    def end(self) -> datetime:
        """Last moment."""
        return datetime.fromtimestamp(float(self.seconds[-1]), self.zone)

    def hourly(self) -> tuple[datetime, HourlyAir, NDArray[np.bool_]]:
        """Mean of each whole hour, with the first hour; and which hours are known, not drawn across a gap."""
        first = np.floor(self.seconds[0] / HOUR_S)
        hours = int(np.floor(self.seconds[-1] / HOUR_S) - first) + 1
        at = (np.floor(self.seconds / HOUR_S) - first).astype(np.int64)
        count = np.bincount(at, minlength=hours)
        known = count > 0
        filled = np.arange(hours, dtype=np.float64)

        def mean(values: Floats) -> Floats:
            sums = np.bincount(at, weights=values, minlength=hours)
            return np.interp(filled, filled[known], sums[known] / count[known])

        near = known.copy()
        for begin, end in _runs(~known):
            near[begin:end] = end - begin <= BRIDGED_H
        origin = datetime.fromtimestamp(float(first * HOUR_S), self.zone)
        return origin, HourlyAir(mean(self.temp_c), mean(self.rh)), near


def read_air_log(
    source: Path | str | bytes,
    zone: ZoneInfo,
    name: str = "",
    *,
    time: str = "",
    temp: str = "",
    rh: str = "",
    unit: str = "",
    order: str = "",
) -> tuple[AirLog | None, list[Finding]]:
    """A logger's file: any delimiter, decimal comma, Fahrenheit or Celsius, local times.

    Parameters: source, a path or the text itself; zone, of the wall clock the logger keeps; time, temp and rh,
    headings of the columns where they are not plain English; unit, "F" or "C" where no heading says it; order,
    "d/m" or "m/d" where dates with strokes do not settle it.
    Returns the log and what is to be said of it; None where something must be asked first.
    """
    if isinstance(source, Path):
        if not source.exists():
            raise NotFound(f"{source}: there is no such file.")
        name, raw = name or source.name, source.read_bytes()
    else:
        raw = source.encode() if isinstance(source, str) else source
    rows = _rows(_text(raw))
    columns, found = find_columns(rows, name, time=time, temp=temp, rh=rh, unit=unit)
    if columns is None:
        return None, found
    return _read(rows, columns, zone, name, order, found)


def _text(raw: bytes) -> str:
    for coding in ("utf-8-sig", "utf-16"):
        if coding == "utf-16" and raw[:2] not in (b"\xff\xfe", b"\xfe\xff"):
            continue
        try:
            return raw.decode(coding)
        except UnicodeDecodeError:
            continue
    return raw.decode("cp1252", errors="replace")


def _rows(text: str) -> list[list[str]]:
    """Cells of every line, by the delimiter that parts the most lines alike."""
    lines = [line for line in text.splitlines()[:_LOOKED_AT] if line.strip()]
    best, most = ",", 0
    for mark in _DELIMITERS:
        counts = [line.count(mark) for line in lines]
        common = max(set(counts), key=counts.count, default=0)
        alike = sum(c == common for c in counts) if common else 0
        if alike > most:
            best, most = mark, alike
    try:
        return list(csv.reader(text.splitlines(), delimiter=best, skipinitialspace=True))
    except csv.Error:  # one cell without end, or no text at all
        return []


def _read(
    rows: list[list[str]], columns: Columns, zone: ZoneInfo, name: str, order: str, found: list[Finding]
) -> tuple[AirLog | None, list[Finding]]:
    body = [r for r in rows[columns.first :] if r and any(c.strip() for c in r)]
    need = max(*columns.time, columns.temp, columns.rh)
    whole = [r for r in body if len(r) > need]
    times = [" ".join(r[c] for c in columns.time) for r in whole]
    seconds, asked = to_seconds(times, zone, order)
    if asked:
        return None, [*found, Finding("air-log-date", Severity.ERROR, Where(file=name), asked[0], asked[1])]
    temp = _numbers([r[columns.temp] for r in whole])
    rh = _numbers([r[columns.rh] for r in whole])
    if columns.fahrenheit:
        temp = temp * K_PER_DEGREE_F + f_to_c(0.0)
    if wrong := _wrong_unit(temp, columns, name):
        return None, [*found, wrong]
    notes = list(columns.notes)
    known = rh[np.isfinite(rh)]
    if known.size and float(known.max()) <= 1.0:
        notes.append("Humidity stands as a share of 1 in this file and is read so.")
    else:
        rh = rh / 100.0
    fit = np.isfinite(seconds) & np.isfinite(temp) & np.isfinite(rh)
    fit &= (temp >= _COLDEST_C) & (temp <= _WARMEST_C) & (rh >= 0.0) & (rh <= 1.0)
    left_out = len(body) - int(fit.sum())
    if not fit.any():
        says = "No row of it can be read as time, temperature and humidity."
        mend = "Say which columns they are (--time-column, --temp-column, --rh-column) and the unit."
        return None, [*found, Finding("air-log-empty", Severity.ERROR, Where(file=name), says, mend)]
    log = _sorted(seconds[fit], temp[fit], rh[fit], zone, len(body), left_out, tuple(notes), columns.named)
    return log, [*found, *_told(log, name)]


def _wrong_unit(temp_c: Floats, columns: Columns, name: str) -> Finding | None:
    """Too hot for any shop: Fahrenheit read as Celsius, or a column of something else."""
    known = temp_c[np.isfinite(temp_c)]
    if not known.size:
        return None
    outside = int(np.sum((known > _WARMEST_C) | (known < _COLDEST_C)))
    if outside <= _MOST_OUTSIDE * known.size and float(np.median(known)) <= _HOT_SHOP_C:
        return None
    read, other = ("Fahrenheit", "C") if columns.fahrenheit else ("Celsius", "F")
    says = (
        f"Read as {read}, half of its temperatures lie over {float(np.median(known)):.0f} C and {outside:,} of "
        f"{known.size:,} are no air of a shop."
    )
    column = columns.named.get("temperature", "")
    mend = f"Say --unit {other}, or --temp-column for another column than {column!r}."
    return Finding("air-log-unit", Severity.ERROR, Where(file=name), says, mend)


def _numbers(cells: list[str]) -> Floats:
    """Numbers with a point or a comma; nan for anything else."""
    try:
        return np.array([float(cell.replace(",", ".")) for cell in cells])
    except ValueError:
        return np.array([_number(cell) for cell in cells])


def _number(cell: str) -> float:
    try:
        return float(cell.replace(",", ".").strip(" %°CFcf\u00a0"))
    except ValueError:
        return float("nan")


def _sorted(
    seconds: Floats, temp: Floats, rh: Floats, zone: ZoneInfo, rows: int, left_out: int, notes: tuple[str, ...],
    named: dict[str, str],
) -> AirLog:  # fmt: skip
    at, where, count = np.unique(seconds, return_inverse=True, return_counts=True)
    where = where.reshape(-1)
    temp = np.bincount(where, weights=temp) / count
    rh = np.bincount(where, weights=rh) / count
    holes = np.flatnonzero(np.diff(at) > BRIDGED_H * HOUR_S)
    gaps = tuple(
        (datetime.fromtimestamp(float(at[n]), zone), float(at[n + 1] - at[n]) / HOUR_S) for n in holes
    )
    doubled = int(np.sum(count - 1))
    return AirLog(at, temp, rh, zone, rows, left_out, doubled, gaps, notes, named)


def _told(log: AirLog, name: str) -> list[Finding]:
    found = []
    if log.left_out:
        says = f"{log.left_out} of {log.rows} rows cannot be read, or are no air of a room, and are left out."
        found.append(Finding("air-log-rows", Severity.NOTE if log.left_out < log.rows / 20 else Severity.WARNING,
                             Where(file=name), says, "Look whether columns and unit are the right ones."))  # fmt: skip
    if log.gaps:
        longest = max(hours for _, hours in log.gaps)
        says = f"{len(log.gaps)} gaps, the longest of {longest:.0f} h."
        found.append(
            Finding("air-log-gaps", Severity.NOTE, Where(file=name), says, "Those hours are not counted.")
        )
    if log.doubled:
        says = f"{log.doubled} rows stand at a moment that another row has too; their mean is taken."
        found.append(Finding("air-log-doubled", Severity.NOTE, Where(file=name), says, ""))
    return found


def _runs(flags: NDArray[np.bool_]) -> list[tuple[int, int]]:
    padded = np.concatenate([[False], flags, [False]])
    turns = np.flatnonzero(padded[1:] != padded[:-1])
    return list(zip(turns[::2].tolist(), turns[1::2].tolist(), strict=True))


def headings(raw: bytes) -> tuple[str, ...]:
    """The headings of a logger's file: the line above the first figures; none where it has none."""
    rows = _rows(_text(raw))
    first = first_figures(rows)
    return tuple(cell.strip() for cell in rows[first - 1]) if first else ()
