"""Quantities as people write them, and as they read them back."""

from __future__ import annotations

import math
import os
from datetime import date, datetime, time, timedelta, timezone

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from rakelight import units
from rakelight.errors import Misread

SOAK = settings(max_examples=3_000 if os.environ.get("RAKELIGHT_SOAK") else 80, deadline=None)

READERS = (
    units.read_length, units.read_date, units.read_day_range, units.read_hours, units.read_duration,
    units.read_minutes, units.read_air, units.read_amount, units.read_percent, units.read_room,
    units.read_volume, units.read_temp, units.read_cut, units.read_strength, units.read_month,
)  # fmt: skip


@pytest.mark.parametrize(
    ("words", "inches"),
    [
        ("1 3/8 in", 1.375),
        ("1-3/8 in", 1.375),
        ("1⅜ in", 1.375),
        ("1 ⅜″", 1.375),
        ('7/8"', 0.875),
        ("½ in.", 0.5),
        ("¾”", 0.75),
        ("5' 2-1/2\"", 62.5),
        ("5' 2 1/2\"", 62.5),
        ("5′ 2½″", 62.5),
        ("5'2\"", 62),
        ("5'-2\"", 62),
        ("5 ft 2 in", 62),
        ("5' 2", 62),
        ("2''", 2),
        ("12 ft", 144),
        ("1 1/2 feet", 18),
        ("26 inches", 26),
        (".5 in", 0.5),
        ("  3   in ", 3),
    ],
)
def test_inches(words: str, inches: float) -> None:
    """Fractions, feet, quotes straight and curly, hyphens."""
    assert units.read_length(words) == pytest.approx(inches * 25.4, abs=1e-9)


@pytest.mark.parametrize(
    ("words", "mm"),
    [("35 mm", 35), ("0.9 m", 900), ("3.5 cm", 35), ("3 metres", 3000), ("2 centimeters", 20)],
)
def test_metric(words: str, mm: float) -> None:
    """Metric units."""
    assert units.read_length(words) == pytest.approx(mm)


@pytest.mark.parametrize("value", [26, 26.0, "26", " 26 "])
def test_bare_numbers_take_the_unit_of_the_piece(value: object) -> None:
    """Without a unit of the piece they are an error that says what to write."""
    assert units.read_length(value, "in") == 660.4
    assert units.read_length(value, "mm") == 26
    with pytest.raises(Misread, match=r"has no unit.*26.* in"):
        units.read_length(value)


@pytest.mark.parametrize(
    ("value", "why"),
    [
        ("0 in", "zero"),
        (0, "zero"),
        ("-3 in", "negative"),
        ("−3 in", "negative"),
        (-3, "negative"),
        ("7 m", "over 6 m"),
        ("20 ft", "over 6 m"),
        ("0.0001 mm", "too small"),
        (math.nan, "not a length"),
        (math.inf, "not a length"),
        (10**400, "not a length"),
        (True, "not a length"),
        (None, "not a length"),
        ([3], "not a length"),
        (date(2027, 3, 1), "not a length"),
        ("nan in", "cannot be read"),
        ("1e3 mm", "cannot be read"),
        ("3 furlongs", "cannot be read"),
        ("three inches", "cannot be read"),
        ("", "cannot be read"),
        ("3 in 4 mm", "cannot be read"),
        ("1,5 cm", "comma"),
        ("1/0 in", "divided by zero"),
        ("1 9/8 in", "fraction of one or more"),
        ("5' 14\"", "inches after the feet"),
        ("9" * 500 + " in", "too long"),
    ],
)
def test_lengths_that_are_none(value: object, why: str) -> None:
    """Each says what is wrong, and what to write."""
    with pytest.raises(Misread, match=why) as bad:
        units.read_length(value, "in")
    assert bad.value.mend


@given(st.integers(0, 200), st.sampled_from([2, 4, 8, 16, 32]), st.data())
@SOAK
def test_fuzz_inches_come_back_as_they_were_written(whole: int, parts: int, data: st.DataObject) -> None:
    """What is shown to the nearest 1/32 reads back to the same length."""
    top = data.draw(st.integers(0, parts - 1))
    if whole == top == 0:
        top = 1
    mm = (whole + top / parts) * 25.4
    assert units.read_length(f"{whole} {top}/{parts} in") == pytest.approx(mm)
    assert units.read_length(units.show_length(mm, "in", 32)) == pytest.approx(mm)


@given(
    st.one_of(
        st.text(max_size=30),
        st.text(alphabet="0123456789 /.-'\"½′″incmftoz,:%FCxam", max_size=24),
        st.floats(),
        st.integers(),
        st.booleans(),
        st.none(),
        st.lists(st.integers(), max_size=2),
        st.dates(),
        st.datetimes(),
    ),
    st.sampled_from(READERS),
)
@SOAK
def test_fuzz_readers_read_or_say_why(value: object, read: object) -> None:
    """Whatever is written: a value, or a Misread with two sentences; never anything else."""
    try:
        found = read(value)  # type: ignore[operator]
    except Misread as bad:
        assert bad.says
        assert bad.mend
    else:
        if isinstance(found, float):
            assert math.isfinite(found)


@pytest.mark.parametrize(
    ("value", "day", "hour"),
    [
        ("19 March 2027", date(2027, 3, 19), None),
        ("19 Mar 2027 13:00", date(2027, 3, 19), time(13)),
        ("19 March 2027 1:00 pm", date(2027, 3, 19), time(13)),
        ("19 March 2027, 12 am", date(2027, 3, 19), time(0)),
        ("March 19, 2027", date(2027, 3, 19), None),
        ("Fri 19th March 2027", date(2027, 3, 19), None),
        ("2027-03-19", date(2027, 3, 19), None),
        ("2027-03-19T13:00", date(2027, 3, 19), time(13)),
        (date(2027, 3, 19), date(2027, 3, 19), None),
        (datetime(2027, 3, 19, 13), date(2027, 3, 19), time(13)),
    ],
)
def test_dates(value: object, day: date, hour: time | None) -> None:
    """Words and TOML dates alike."""
    assert units.read_date(value) == units.DateWords(day, hour)


def test_an_offset_is_kept() -> None:
    """Of an ISO string and of a TOML datetime."""
    assert units.read_date("2027-03-19T13:00:00-05:00").offset_min == -300
    zone = timezone(timedelta(hours=1))
    assert units.read_date(datetime(2027, 3, 19, 13, tzinfo=zone)).offset_min == 60


@pytest.mark.parametrize(
    ("value", "why"),
    [
        ("19 March", "no year"),
        ("31 February 2027", "there is no 31 February 2027"),
        ("29 Feb 2027", "there is no 29 February 2027"),
        ("2027-13-01", "there is no"),
        ("19/3/2027", "two ways"),
        ("Thu 19 March 2027", "is a Friday"),
        ("19 Marhc 2027", "not a month"),
        ("19 March 2027 25:00", "no hour"),
        ("19 March 2027 13:00 pm", "no hour"),
        ("19 March 0027", "not meant"),
        ("soon", "cannot be read"),
        (20270319, "not a date"),
    ],
)
def test_dates_that_are_none(value: object, why: str) -> None:
    """Each says what is wrong."""
    with pytest.raises(Misread, match=why):
        units.read_date(value)


def test_day_ranges() -> None:
    """Both ends are included; one day is a range too."""
    three = [date(2027, 3, d) for d in (27, 28, 29)]
    assert units.read_day_range("27 March 2027 - 29 March 2027") == three
    assert units.read_day_range("27 – 29 March 2027") == three
    assert units.read_day_range(date(2027, 3, 27)) == three[:1]
    for bad in ("29 March 2027 - 27 March 2027", "1 March 2027 - 1 March 2097", "1 March 2027 8:00"):
        with pytest.raises(Misread):
            units.read_day_range(bad)


def test_hours_of_work() -> None:
    """The gap is a break; spans that touch are one."""
    assert units.read_hours("8:00-12:00, 12:45-17:00") == ((time(8), time(12)), (time(12, 45), time(17)))
    assert units.read_hours("8-12, 12-17") == ((time(8), time(17)),)
    assert units.read_hours("7:00 pm - 9:30 pm") == ((time(19), time(21, 30)),)
    assert units.read_hours("closed") == ()


@pytest.mark.parametrize(
    "words", ["17:00-8:00", "8:00-12:00, 11:00-17:00", "8:00-25:00", "8 to", "", "8:00-8:00"]
)
def test_hours_that_are_none(words: str) -> None:
    """Backwards, overlapping, no hour."""
    with pytest.raises(Misread):
        units.read_hours(words)


@pytest.mark.parametrize(
    ("words", "hours"),
    [("4 h", 4), ("35 min", 35 / 60), ("1 day", 24), ("2 weeks", 336), ("1 h 30 min", 1.5), ("1/2 day", 12)],
)
def test_durations(words: str, hours: float) -> None:
    """Clock time; overnight is not a number."""
    assert units.read_duration(words) == (pytest.approx(hours), False)
    assert units.read_duration("overnight") == (0.0, True)


@pytest.mark.parametrize("value", [4, "4", "-4 h", "1 month", "4 hh", "900 days", True, ""])
def test_durations_that_are_none(value: object) -> None:
    """A number needs its unit."""
    with pytest.raises(Misread):
        units.read_duration(value)


def test_air() -> None:
    """Temperature and humidity; a fraction asks for per cent."""
    assert units.read_air("50 F, 45 %") == (pytest.approx(10), 0.45)
    assert units.read_air("18 °C 45%") == (18.0, 0.45)
    for bad, mend in [
        ("64 F, 0.45", "Write 45 %"),
        ("64 F, 45", "Write 45 %"),
        ("64 F, 120 %", "45|25 %"),
        ("64, 45 %", "64 F"),
    ]:
        with pytest.raises(Misread, match=mend):
            units.read_air(bad)


def test_amounts() -> None:
    """US measures, imperial where said, oz alone a weight."""
    read = units.read_amount
    assert read("100 ml") == units.Amount(100, "ml")
    assert read("50 g") == units.Amount(50, "g")
    assert read("1 quart").value * 4 == pytest.approx(read("1 gallon").value)
    assert read("1 imperial pint").value == pytest.approx(568.26125)
    assert read("1 oz").unit == "g"
    assert read("8 fl. oz.").value == pytest.approx(read("1 cup").value)
    for bad in (5, "5", "0 ml", "-1 ml", "3 foo", "1,500 ml", "5000 gallons"):
        with pytest.raises(Misread):
            read(bad)


def test_shares_cuts_strengths() -> None:
    """A percentage is written as one; a cut is a number."""
    assert units.read_percent("25 %") == 0.25
    assert units.read_cut(2) == units.read_cut("2 lb cut") == 2
    assert units.read_strength("8 g/l") == 8
    for bad in (0.25, 25, "0.25", "-5 %"):
        with pytest.raises(Misread):
            units.read_percent(bad)
    with pytest.raises(Misread):
        units.read_cut(0)


def test_rooms() -> None:
    """Sizes and volumes of rooms, which may be longer than 6 m."""
    assert units.read_room("20 ft x 20 ft x 9 ft") == pytest.approx(3600 * 0.3048**3)
    assert units.read_room("8 m × 4 m × 2.5 m") == pytest.approx(80)
    assert units.read_volume("2800 ft3") == pytest.approx(2800 * 0.3048**3)
    assert units.read_volume("80 m³") == 80
    for bad in ("20 ft x 20 ft", "0 m x 2 m x 2 m", "22 x 16 x 8"):
        with pytest.raises(Misread):
            units.read_room(bad)


def test_what_is_read_back() -> None:
    """Rounded as a maker rounds."""
    assert units.show_length(12.7 + 25.4 * 16, "in") == "16 1/2 in"
    assert units.show_length(0.8, "in") == "1/32 in"
    assert units.show_volume(946.352946, "in") == "1 quart"
    assert units.show_volume(158, "mm") == "160 ml"
    assert units.show_mass(83, "mm") == "85 g"
    assert units.show_wait(168, 336, 504) == "7 to 21 days"
    assert units.show_wait(18, 44) == "18 h to 2 days"
    assert units.show_wait(168, math.inf) == "7 days or longer"
    assert units.show_hours(1) == "1 h"
    assert units.show_temp(0, "in") == "32 F"


def test_a_decimal_comma_is_read_where_it_cannot_be_a_thousand() -> None:
    assert units.read_temp("21,5 C") == 21.5 and units.read_cut("0,5") == 0.5
    assert units.read_air("21,5 C, 45,5 %") == (21.5, 0.455) == units.read_air("21,5 C 45,5%")
    assert units.read_amount("0,5 l").value == 500 and units.read_percent("8,5 %") == 0.085
    assert units.read_volume("7 x 5,5 x 2,5 m") == pytest.approx(96.25)
    with pytest.raises(Misread, match="comma"):
        units.read_amount("1,500 ml")


def test_a_room_may_say_its_unit_once_and_must_say_it() -> None:
    assert units.read_volume("24x16x9 ft") == pytest.approx(units.read_volume("24 ft x 16 ft x 9 ft"))
    assert units.read_volume("24 x 16 ft x 9 ft") == pytest.approx(units.read_volume("24x16x9 ft"))
    with pytest.raises(Misread, match="feet or metres") as bad:
        units.read_volume("24x16x9")
    assert bad.value.mend == 'Write "24 x 16 x 9 ft" or "24 x 16 x 9 m".'
