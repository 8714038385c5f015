"""The week of air as a picture: air, wet film and dew point, and the hours in which each coat may be laid."""

from __future__ import annotations

from datetime import datetime, timedelta

from rakelight.papers.pictures.canvas import Rules, Sheet, fitted, words_width
from rakelight.plan.air_week import AirWeek, CoatRow
from rakelight.plan.good_hours import GO
from rakelight.units import K_PER_DEGREE_F, c_to_f

_WIDTH, _LEFT, _RIGHT = 480.0, 46.0, 8.0
_TOP, _PLOT = 32.0, 182.0
_ROW, _BLOCK = 56.0, 20.0
#: hours between two readings that a touch tells
_EVERY_H = 3

_RULES: Rules = (
    (".night", "fill:@sunk"),
    (".grid", "stroke:@hair;stroke-width:1;fill:none"),
    (".air", "fill:none;stroke:@ink;stroke-width:3"),
    (".wet", "fill:none;stroke:@ink;stroke-width:1.6;stroke-dasharray:2 3"),
    (".dew", "fill:none;stroke:@shade;stroke-width:3;stroke-dasharray:9 4"),
    (".dot", "fill:@ink"),
    (".now", "stroke:@lamp-ink;stroke-width:2.5;fill:none"),
    (".nowt", "fill:@lamp-ink"),
    (".off", "fill:none;stroke:@line;stroke-width:1"),
    (".go", "fill:@lamp;stroke:@ink;stroke-width:2"),
    (".hatch", "stroke:@ink;stroke-width:2"),
    ("paper .go", "fill:#000"),
)


def air_svg(week: AirWeek, unit: str = "mm", inline: str = "") -> str:
    """The picture as SVG.

    Parameters: week; unit, "in" for Fahrenheit; inline, a name of its own inside a page that holds the tokens.
    """
    return _Picture(week, unit == "in", inline).svg()


class _Picture:
    """The picture while it is drawn."""

    def __init__(self, week: AirWeek, fahrenheit: bool, inline: str) -> None:
        self.week, self.fahrenheit = week, fahrenheit
        height = _TOP + _PLOT + _ROW * len(week.rows) + 46
        dots = f"{inline}-hz" if inline else "hz"
        lines = f"{inline}-wm" if inline else "wm"
        rules = (
            *_RULES,
            (".haze", f"fill:url(#{dots});stroke:@shade;stroke-width:1"),
            (".half", f"fill:url(#{lines});stroke:@ink;stroke-width:1"),
        )
        title = "The air of the week and the hours in which a coat may be laid"
        self.sheet = Sheet(_WIDTH, height, title, self._told(), rules, inline)
        self.begin = week.begin.timestamp()
        self.end = (week.begin + timedelta(days=week.days)).timestamp()
        self.air = [self._degrees(h.temp_c) for h in week.hours]
        self.dew = [self._degrees(h.dew_point_c) for h in week.hours]
        self.wet = [self._degrees(h.temp_c - week.chill_k) for h in week.hours]
        step = 10 if fahrenheit else 5
        self.low = min(*self.dew, *self.wet) // step * step
        self.high = max(-(-max(self.air) // step) * step, self.low + 2 * step)
        self.step = step

    def svg(self) -> str:
        """Back to front."""
        self.sheet.define(
            f'<pattern id="{self.sheet.id("hz")}" width="6" height="6" patternUnits="userSpaceOnUse">'
            '<circle class="dot" cx="1.5" cy="1.5" r="1.3"/><circle class="dot" cx="4.5" cy="4.5" r="1.3"/></pattern>'
        )
        self.sheet.define(
            f'<pattern id="{self.sheet.id("wm")}" width="5" height="5" patternUnits="userSpaceOnUse" '
            'patternTransform="rotate(45)"><line class="hatch" x1="0" y1="0" x2="0" y2="5"/></pattern>'
        )
        self._days()
        self._scale()
        self._haze()
        at = [h.at.timestamp() + 1800 for h in self.week.hours]
        for cls, values in (("air", self.air), ("wet", self.wet), ("dew", self.dew)):
            self.sheet.line(cls, *((self._x(t), self._y(v)) for t, v in zip(at, values, strict=True)))
        self._readings(at)
        self._names(at)
        for n, row in enumerate(self.week.rows):
            self._row(row, _TOP + _PLOT + 30 + n * _ROW)
        self._now()
        self._key()
        return self.sheet.svg()

    def _told(self) -> str:
        week = self.week
        rows = "; ".join(f"{r.label}: {_spoken(r)}" for r in week.rows)
        haze = f" Haze threatens in {len(week.haze)} hours." if week.haze else ""
        unit = "Fahrenheit" if self.fahrenheit else "Celsius"
        return f"Air of {week.place} in degrees {unit}, the wet film colder, and the dew point.{haze} {rows}."

    def _degrees(self, temp_c: float) -> float:
        return c_to_f(temp_c) if self.fahrenheit else temp_c

    def _x(self, second: float) -> float:
        share = (second - self.begin) / (self.end - self.begin)
        return _LEFT + share * (_WIDTH - _LEFT - _RIGHT)

    def _y(self, degrees: float) -> float:
        return _TOP + _PLOT - (degrees - self.low) / (self.high - self.low) * _PLOT

    def _days(self) -> None:
        at = self.week.begin.timestamp()
        for opens, closes in (*self.week.windows, (None, None)):
            until = opens.timestamp() if opens else self.end
            self.sheet.rect("night", self._x(at), _TOP, self._x(until) - self._x(at), _PLOT)
            at = closes.timestamp() if closes else self.end
        for n in range(self.week.days):
            day = self.week.begin + timedelta(days=n)
            middle = self._x((day + timedelta(hours=12)).timestamp())
            today = day.date() == self.week.now.astimezone(day.tzinfo).date()
            self.sheet.text(middle, 20, f"{day:%a}", "m b" if today else "m")

    def _scale(self) -> None:
        self.sheet.text(_LEFT - 8, 20, "°F" if self.fahrenheit else "°C", "e q")
        degrees = self.low
        while degrees <= self.high:
            self.sheet.line("grid", (_LEFT, self._y(degrees)), (_WIDTH - _RIGHT, self._y(degrees)))
            self.sheet.text(_LEFT - 8, self._y(degrees) + 5, f"{degrees:.0f}°", "e q")
            degrees += self.step

    def _haze(self) -> None:
        """Dots where the wet film lies below the dew point."""
        run: list[int] = []
        for n in (*range(len(self.wet)), -1):
            if n >= 0 and self.wet[n] < self.dew[n]:
                run.append(n)
            elif run:
                at = [self.week.hours[i].at.timestamp() + 1800 for i in run]
                top = [(self._x(t), self._y(self.dew[i])) for t, i in zip(at, run, strict=True)]
                low = [(self._x(t), self._y(self.wet[i])) for t, i in zip(at, run, strict=True)]
                if len(run) == 1:
                    half = self._x(at[0] + 1800) - self._x(at[0])
                    top = [(top[0][0] - half, top[0][1]), (top[0][0] + half, top[0][1])]
                    low = [(low[0][0] - half, low[0][1]), (low[0][0] + half, low[0][1])]
                self.sheet.polygon("haze", [*top, *reversed(low)])
                run = []

    def _readings(self, at: list[float]) -> None:
        """What the three lines say, every few hours."""
        sign = "°F" if self.fahrenheit else "°C"
        for n in range(0, len(at), _EVERY_H):
            hour = self.week.hours[n].at
            a, b, c = (values[n] for values in (self.air, self.wet, self.dew))
            said = f"{hour:%a} {_clock(hour)}: air {a:.0f} {sign}, wet film {b:.0f} {sign}, dew point {c:.0f} {sign}."
            x = self._x(at[n] - 1800)
            self.sheet.read(x, _TOP, self._x(at[n] + 3600 * _EVERY_H - 1800) - x, _PLOT, said)

    def _names(self, at: list[float]) -> None:
        """Each line by its name, where its neighbours leave most room."""
        cooler = self.week.chill_k / (K_PER_DEGREE_F if self.fahrenheit else 1.0)
        named = [("air", self.air, -8.0), ("dew point", self.dew, 18.0)]
        if cooler >= 0.5:
            named.append((f"wet film, {cooler:.0f}° colder", self.wet, 18.0))
        for n, (words, values, off) in enumerate(named):
            i = min(len(at) - 1, (2 * n + 1) * len(at) // (2 * len(named)))
            half = words_width(words) / 2
            x = min(max(self._x(at[i]), _LEFT + half), _WIDTH - _RIGHT - half)
            self.sheet.text(x, min(self._y(values[i]) + off, _TOP + _PLOT - 4), words, "plate m")

    def _row(self, row: CoatRow, y: float) -> None:
        self.sheet.text(0, y - 2, fitted(row.label, _WIDTH, bold=True), "b plate")
        self.sheet.rect("off", _LEFT, y + 6, _WIDTH - _LEFT - _RIGHT, _BLOCK)
        for span in row.spans:
            x, right = self._x(span.start.timestamp()), self._x(span.end.timestamp())
            wide = max(right - x, 2.0)
            if span.grade == GO:
                self.sheet.rect("go", x, y + 6, wide, _BLOCK)
            else:
                self.sheet.rect("half", x, y + 6 + _BLOCK / 2, wide, _BLOCK / 2)
            does = "lay it" if span.grade == GO else "warm the piece first"
            said = f"{row.label}: {does}, {span.start:%a} {_clock(span.start)} to {_clock(span.end)}."
            self.sheet.read(x, y + 6, wide, _BLOCK, said)

    def _now(self) -> None:
        second = self.week.now.timestamp()
        if self.begin <= second <= self.end:
            x = self._x(second)
            self.sheet.line("now", (x, 26), (x, _TOP + _PLOT))
            for n in range(len(self.week.rows)):  # over the hours, not through the names
                top = _TOP + _PLOT + 36 + n * _ROW
                self.sheet.line("now", (x, top), (x, top + _BLOCK))
            self.sheet.polygon("nowt", ((x - 7, 22), (x + 7, 22), (x, 34)))

    def _key(self) -> None:
        y = self.sheet.height - 24
        self.sheet.rect("go", 0, y, 20, 16)
        self.sheet.text(26, y + 14, "lay it")
        self.sheet.rect("half", 90, y + 8, 20, 8)
        self.sheet.text(116, y + 14, "warm the piece first")
        if self.week.haze:
            self.sheet.rect("haze", 300, y, 20, 16)
            self.sheet.text(326, y + 14, "haze while wet")


def _spoken(row: CoatRow) -> str:
    spans = [s for s in row.spans if s.grade == GO]
    if not spans:
        return "no hour this week"
    days: dict[str, list[str]] = {}
    for s in spans:
        days.setdefault(f"{s.start:%a}", []).append(f"{_clock(s.start)} to {_clock(s.end)}")
    return ", ".join(f"{day} {' and '.join(hours)}" for day, hours in days.items())


def _clock(at: datetime) -> str:
    return f"{at:%H:%M}"
